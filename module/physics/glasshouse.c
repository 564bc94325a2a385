/* SPDX-License-Identifier: MIT */
#include "physics/glasshouse.h"

#include <math.h>

#include "physics/constants.h"
#include "physics/materials.h"
#include "physics/sky.h"

const char *const *ow_glazing_names(size_t *n)
{
    static const char *const names[] = {OW_GLAZING_LIST(OW_WORD_NAME)};
    if (n)
        *n = OW_GLAZING_COUNT;
    return names;
}

ow_status ow_glazing_kind_by_name(const char *word, ow_glazing_kind *kind)
{
    size_t index;
    ow_status status = ow_name_index(ow_glazing_names(NULL), OW_GLAZING_COUNT, word, &index);
    if (status == OW_OK)
        *kind = (ow_glazing_kind)index;
    return status;
}

/* Sources of U and its range stand in docs/materials.md; the shares are common practice. */
static const ow_glazing glazings[OW_GLAZING_COUNT] = {
    /* U W/m2K, sun let in, sky let through, range of U */
    [OW_GLAZING_SINGLE_GLASS] = {5.75, 0.80, 0.0, {0.95, 1.2}},
    [OW_GLAZING_DOUBLE_GLASS] = {2.81, 0.68, 0.0, {0.8, 1.4}},
    [OW_GLAZING_TWIN_WALL_4] = {3.97, 0.75, 0.0, {0.9, 1.1}},
    [OW_GLAZING_TWIN_WALL_6] = {3.55, 0.74, 0.0, {0.9, 1.13}},
    [OW_GLAZING_TWIN_WALL_10] = {3.04, 0.72, 0.0, {0.9, 1.2}},
    [OW_GLAZING_TRIPLE_WALL_16] = {2.33, 0.64, 0.0, {0.9, 1.15}},
    [OW_GLAZING_FILM] = {6.80, 0.78, 0.3, {0.83, 1.1}},
    [OW_GLAZING_DOUBLE_FILM] = {4.00, 0.66, 0.1, {0.85, 1.1}},
    [OW_GLAZING_GLASS_AND_BUBBLE] = {3.60, 0.65, 0.0, {0.92, 1.08}},
};

const ow_glazing *ow_glazing_of(ow_glazing_kind kind)
{
    return (unsigned)kind < OW_GLAZING_COUNT ? &glazings[kind] : NULL;
}

/* ---- steady loss ----------------------------------------------------------------------------- */

double ow_shell_w_k(const ow_shell_part *parts, size_t n)
{
    double sum_w_k = 0.0;
    for (size_t i = 0; i < n; i++)
        sum_w_k += parts[i].u_w_m2k * parts[i].area_m2;
    return sum_w_k;
}

double ow_air_change_w_k(double volume_m3, double air_changes_per_h)
{
    return OW_AIR_WH_M3K * air_changes_per_h * volume_m3;
}

double ow_energy_kwh(double watts, double hours, double efficiency)
{
    return watts * hours / efficiency / 1000.0;
}

double ow_glazing_u_w_m2k(const ow_glazing *glazing, double outside_film_w_m2k)
{
    double inside = 1.0 / glazing->u_w_m2k - OW_RSE_M2K_W; /* inner film and the glazing itself */
    return outside_film_w_m2k > 0.0 ? 1.0 / (inside + 1.0 / outside_film_w_m2k) : 0.0;
}

/* ---- one step of the air --------------------------------------------------------------------- */

/* The conductances that meet in the air, and what pulls through them at 0 C. */
typedef struct balance {
    double shell_w_k, leak_w_k, heat_w_k; /* heat_w_k: stored heat over the step */
    double sum_w_k;
    double sun_w, pull_w; /* pull_w: sum of conductance x temperature, and the sun */
} balance;

static balance balance_of(const ow_glasshouse_in *in)
{
    double volume_m3 = isnan(in->volume_m3) ? in->floor_m2 * OW_GLASSHOUSE_HEIGHT_M : in->volume_m3;
    ow_glazing glazing = *in->glazing;
    glazing.u_w_m2k *= 1.0 + in->extra_u;
    balance b = {
        .shell_w_k = in->glazing_m2 * ow_glazing_u_w_m2k(&glazing, in->outside.h_w_m2k),
        .leak_w_k = ow_air_change_w_k(volume_m3, in->air_changes_per_h),
        .sun_w = in->sun_wm2 * in->glazing->sun_share * in->floor_m2 * OW_SUN_TO_AIR,
    };
    if (in->dt_s > 0.0)
        b.heat_w_k = (volume_m3 * OW_AIR_J_M3K + in->extra_j_k) / in->dt_s;
    double floor_w_k = in->floor_w_m2k * in->floor_m2;
    b.sum_w_k = b.shell_w_k + b.leak_w_k + floor_w_k + in->bodies_w_k + b.heat_w_k;
    b.pull_w = b.shell_w_k * in->outside.te_c + b.leak_w_k * in->outside_c +
               floor_w_k * in->floor_c + in->bodies_w + b.sun_w;
    if (b.heat_w_k > 0.0)
        b.pull_w += b.heat_w_k * in->before_c;
    return b;
}

/* Inner face of the glazing, and what plants see overhead: that, and sky through thin film. */
static void see_overhead(const ow_glasshouse_in *in, double shell_w, ow_glasshouse_out *out)
{
    double flux_wm2 = in->glazing_m2 > 0.0 ? shell_w / in->glazing_m2 : 0.0;
    out->glass_c = out->air_c - flux_wm2 * OW_RSI_LEVEL_M2K_W;
    double sky_share = isnan(in->sky_c) ? 0.0 : in->glazing->sky_share;
    out->radiant_c = out->glass_c;
    if (sky_share > 0.0)
        out->radiant_c = ow_radiant_c((1.0 - sky_share) * ow_black_body_wm2(out->glass_c) +
                                      sky_share * ow_black_body_wm2(in->sky_c));
}

ow_status ow_glasshouse_step(const ow_glasshouse_in *in, ow_glasshouse_out *out)
{
    balance b = balance_of(in);
    if (!isfinite(b.pull_w) || !isfinite(b.sum_w_k) || b.sum_w_k <= 0.0)
        return OW_BAD_INPUT;
    double needed_w = 0.0, given_w = 0.0;
    if (in->heater_max_w > 0.0) {
        needed_w = fmax(0.0, b.sum_w_k * in->heater_set_c - b.pull_w);
        given_w = fmin(needed_w, in->heater_max_w);
    }
    double air_c = (b.pull_w + given_w) / b.sum_w_k;
    *out = (ow_glasshouse_out){
        .air_c = air_c,
        .heater_w = given_w,
        .heater_needed_w = needed_w,
        .shell_w = b.shell_w_k * (air_c - in->outside.te_c),
        .air_change_w = b.leak_w_k * (air_c - in->outside_c),
        .floor_w = in->floor_w_m2k * in->floor_m2 * (air_c - in->floor_c),
        .bodies_w = in->bodies_w_k * air_c - in->bodies_w,
        .sun_air_w = b.sun_w,
        .sun_floor_wm2 = in->sun_wm2 * in->glazing->sun_share * (1.0 - OW_SUN_TO_AIR),
    };
    see_overhead(in, out->shell_w, out);
    return OW_OK;
}
