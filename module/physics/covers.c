/* SPDX-License-Identifier: MIT */
#include "physics/covers.h"

#include <math.h>

#include "physics/materials.h"
#include "physics/ow_math.h"
#include "physics/surface.h"

#define DRY_DAY_S 86400.0
#define RAIN_THAT_WETS_MM_H 0.1 /* least rain a common gauge shows */

const char *const *ow_cover_kind_names(size_t *n)
{
    static const char *const names[] = {OW_COVER_LIST(OW_WORD_NAME)};
    if (n)
        *n = OW_COVER_COUNT;
    return names;
}

ow_status ow_cover_kind_by_name(const char *word, ow_cover_kind *kind)
{
    size_t index;
    ow_status status = ow_name_index(ow_cover_kind_names(NULL), OW_COVER_COUNT, word, &index);
    if (status == OW_OK)
        *kind = (ow_cover_kind)index;
    return status;
}

static const char *const on_names[] = {"side", "top", "all", "growing point"};
static const unsigned on_zones[] = {OW_ZONE_SIDE, OW_ZONE_TOP, OW_ZONES_ALL, OW_ZONE_GROWING_POINT};
#define ON_NAMES (sizeof on_names / sizeof on_names[0])

const char *const *ow_cover_on_names(size_t *n)
{
    if (n)
        *n = ON_NAMES;
    return on_names;
}

ow_status ow_cover_on_by_name(const char *word, unsigned *zones)
{
    size_t index;
    ow_status status = ow_name_index(on_names, ON_NAMES, word, &index);
    if (status == OW_OK)
        *zones = on_zones[index];
    return status;
}

/* Sources, and which numbers are common practice, stand in docs/materials.md. */
static const ow_cover_spec specs[OW_COVER_COUNT] = {
    [OW_COVER_FLEECE] = {.thickness_m = 0.010, .dry_w_mk = 0.075, .wet_w_mk = 0.40,
                         .on = OW_ZONES_ALL, .shut_wind = 0.6, .shut_sky = 0.6, .shut_rain = 0.0,
                         .shut_light = 0.15, .wind_limit_ms = 12.0, .foliage_k = 1.0,
                         .wets = true,
                         .range = {0.75, 1.5}},
    [OW_COVER_THICK_FLEECE] = {.thickness_m = 0.015, .dry_w_mk = 0.070, .wet_w_mk = 0.40,
                               .on = OW_ZONES_ALL, .shut_wind = 0.8, .shut_sky = 0.8,
                               .shut_rain = 0.0, .shut_light = 0.40, .wind_limit_ms = 12.0,
                               .foliage_k = 2.0, .wets = true,
                               .range = {0.75, 1.5}},
    [OW_COVER_BUBBLE_FILM] = {.thickness_m = 0.020, .dry_w_mk = 0.10, .wet_w_mk = 0.10,
                              .on = OW_ZONE_SIDE, .shut_wind = 1.0, .shut_sky = 0.9,
                              .shut_rain = 1.0, .shut_light = 0.20, .wind_limit_ms = 14.0,
                              .foliage_k = 0.5, .wets = false,
                              .range = {0.8, 1.3}},
    [OW_COVER_STRAW] = {.thickness_m = 0.100, .dry_w_mk = 0.060, .wet_w_mk = 0.20,
                        .on = OW_ZONE_SIDE, .shut_wind = 0.9, .shut_sky = 1.0, .shut_rain = 0.3,
                        .shut_light = 1.0, .wind_limit_ms = 16.0, .foliage_k = 2.0,
                        .wets = true,
                        .range = {0.83, 1.33}},
    [OW_COVER_MULCH] = {.thickness_m = 0.050, .dry_w_mk = 0.080, .wet_w_mk = 0.20,
                        .on = OW_ZONE_TOP, .shut_wind = 1.0, .shut_sky = 1.0, .shut_rain = 0.0,
                        .shut_light = 1.0, .wind_limit_ms = INFINITY, .foliage_k = 0.0,
                        .wets = true,
                        .range = {0.7, 1.6}},
    [OW_COVER_BOARD] = {.thickness_m = 0.025, .dry_w_mk = 0.036, .wet_w_mk = 0.036,
                        .on = OW_ZONE_TOP, .shut_wind = 1.0, .shut_sky = 1.0, .shut_rain = 1.0,
                        .shut_light = 1.0, .wind_limit_ms = 10.0, .foliage_k = 0.0,
                        .wets = false,
                        .range = {0.9, 1.6}},
};

const ow_cover_spec *ow_cover_spec_of(ow_cover_kind kind)
{
    return (unsigned)kind < OW_COVER_COUNT ? &specs[kind] : NULL;
}

unsigned ow_cover_zones(const ow_worn_cover *cover)
{
    if (cover->state.blown_off)
        return 0;
    return cover->on ? cover->on : specs[cover->kind].on;
}

/* Zones kept dry by a cover that lets no rain through: such film is laid over cloth and straw. */
static unsigned zones_under_film(const ow_worn_cover *covers, size_t n)
{
    unsigned zones = 0;
    for (size_t i = 0; i < n; i++) {
        if (specs[covers[i].kind].shut_rain >= 1.0)
            zones |= ow_cover_zones(&covers[i]);
    }
    return zones;
}

static void wet_or_dry(ow_cover_state *state, unsigned rained_on, double dt_s)
{
    if (rained_on) {
        state->wet_zones |= rained_on;
        state->dry_s = 0.0;
    } else if (state->wet_zones) {
        state->dry_s += dt_s;
        if (state->dry_s >= DRY_DAY_S)
            *state = (ow_cover_state){0};
    }
}

void ow_covers_step(ow_worn_cover *covers, size_t n, double rain_mm_h, double wind_ms, double dt_s)
{
    for (size_t i = 0; i < n; i++) {
        double own_ms = covers[i].holds_to_ms;
        if (wind_ms > (own_ms > 0.0 ? own_ms : specs[covers[i].kind].wind_limit_ms))
            covers[i].state.blown_off = true;
    }
    unsigned open = OW_ZONES_ALL & ~zones_under_film(covers, n);
    for (size_t i = 0; i < n; i++) {
        bool soaks = specs[covers[i].kind].wets && rain_mm_h >= RAIN_THAT_WETS_MM_H;
        if (!covers[i].state.blown_off)
            wet_or_dry(&covers[i].state, soaks ? open & ow_cover_zones(&covers[i]) : 0, dt_s);
    }
}

/* A measured resistance counts as it is; a table's layer bends with a round face. */
static void add_layer(ow_zone_cover *out, double face_radius_m, const ow_worn_cover *cover,
                      const ow_cover_spec *spec, bool wet)
{
    double outer_m = out->outer_radius_m + spec->thickness_m;
    double w_mk = wet ? spec->wet_w_mk : spec->dry_w_mk;
    w_mk /= 1.0 + cover->extra_r;
    if (!isnan(cover->r_m2k_w))
        out->r_m2k_w += cover->r_m2k_w;
    else if (face_radius_m <= 0.0)
        out->r_m2k_w += spec->thickness_m / w_mk;
    else
        out->r_m2k_w += ow_layer_round_m2k_w(face_radius_m, out->outer_radius_m, outer_m, w_mk);
    if (face_radius_m > 0.0)
        out->outer_radius_m = outer_m;
}

/* Two covers let through what both let through. */
static double shut_both(double one, double other)
{
    return 1.0 - (1.0 - one) * (1.0 - other);
}

void ow_covers_on_zone(const ow_worn_cover *covers, size_t n, ow_zone zone, double face_radius_m,
                       double start_radius_m, ow_zone_cover *out)
{
    *out = (ow_zone_cover){.outer_radius_m = start_radius_m};
    for (size_t i = 0; i < n; i++) {
        const ow_worn_cover *cover = &covers[i];
        const ow_cover_spec *spec = &specs[cover->kind];
        if (!(ow_cover_zones(cover) & (unsigned)zone))
            continue;
        bool wet = cover->state.wet_zones & (unsigned)zone;
        add_layer(out, face_radius_m, cover, spec, wet);
        out->shut_wind = shut_both(out->shut_wind, spec->shut_wind);
        out->shut_sky = shut_both(out->shut_sky, spec->shut_sky);
        out->shut_rain = shut_both(out->shut_rain, spec->shut_rain);
        out->shut_light = shut_both(out->shut_light, spec->shut_light);
        /* Wet cloth on leaves freezes to them and lends no warmth. */
        if (!wet && spec->foliage_k > out->foliage_k)
            out->foliage_k = spec->foliage_k;
    }
}

/* ---- snow and loose mulch -------------------------------------------------------------------- */

/* Sturm, Holmgren, Konig and Morris 1997, coefficients from memory; their density is g/cm3. */
double ow_snow_w_mk(double density_kg_m3)
{
    double rho = density_kg_m3 / 1000.0;
    return rho < 0.156 ? 0.023 + 0.234 * rho : 0.138 - 1.01 * rho + 3.233 * rho * rho;
}

double ow_snow_log_w_mk(double density_kg_m3)
{
    return ow_exp((2.650 * density_kg_m3 / 1000.0 - 1.652) * ow_log(10.0));
}

#define FRESH_SNOW_KG_M3 100.0
#define OLD_SNOW_KG_M3 300.0
#define SETTLING_PER_DAY 0.24 /* Verseghy 1991, from memory: 0.01 per hour */

double ow_snow_kg_m3(double age_days)
{
    return OLD_SNOW_KG_M3 +
           (FRESH_SNOW_KG_M3 - OLD_SNOW_KG_M3) * ow_exp(-SETTLING_PER_DAY * age_days);
}

double ow_snow_age_days(double age_days, double depth_before_m, double depth_m, double dt_s)
{
    if (depth_m <= 0.0)
        return 0.0;
    double older = age_days + dt_s / 86400.0;
    return depth_m > depth_before_m ? older * fmax(0.0, depth_before_m) / depth_m : older;
}

double ow_snow_r_m2k_w(double depth_m, double age_days)
{
    return depth_m / ow_snow_w_mk(ow_snow_kg_m3(age_days));
}

double ow_mulch_r_m2k_w(double depth_m, bool wet)
{
    const ow_cover_spec *mulch = &specs[OW_COVER_MULCH];
    return depth_m / (wet ? mulch->wet_w_mk : mulch->dry_w_mk);
}
