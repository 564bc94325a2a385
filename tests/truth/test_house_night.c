/* SPDX-License-Identifier: MIT */
/*
 * The air of a glasshouse through a frosty night, by the steps of half an hour that the garden
 * takes, against the same balance written down again and stepped each second: air and staging
 * between panes, leaks and a floor of many thin layers. Bounds are our own: half a kelvin, to which
 * a usual probe is right, at any hour; less at dawn, when it matters.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "physics/glasshouse.h"
#include "physics/rig.h"

enum { NIGHT_H = 16, FINE_CELLS = 60 };

/* A small house on warm soil; staging holds 20 kJ/K per m2. */
static const double GLAZING_M2 = 18, FLOOR_M2 = 6, VOLUME_M3 = 13.2, CHANGES_H = 1.0;
static const double PANE_FILM = 14.5, FLOOR_FILM = 7.7, STAGING_J_K = 20e3 * 6;
static const double SOIL_W_MK = 1.1, SOIL_J_M3K = 2.6e6, SOIL_M = 2.0, START_C = 9;
/* Air at 5 C: 1.27 kg/m3, 1006 J/kgK (handbook). 0.335 Wh/m3K for leaks as in heat-loss tables. */
static const double AIR_J_M3K = 1.27 * 1006, LEAK_WH_M3K = 0.335;

static double outside_c(double hour)
{
    return -2.0 + 6.0 * cos(hour / NIGHT_H * 3.14159265358979323846);
}

typedef struct night {
    double air_c[NIGHT_H + 1]; /* at each full hour */
    double heat_j;
} night;

/* ---- each second ----------------------------------------------------------------------------- */

typedef struct fine {
    double air_c, soil_c[FINE_CELLS];
    double heat_j;
} fine;

static double thermostat(double loss_w, double air_c, double set_c, double most_w)
{
    return air_c > set_c ? 0.0 : fmin(fmax(loss_w, 0.0), most_w);
}

static void fine_second(fine *f, double out_c, double set_c, double most_w)
{
    const double dz = SOIL_M / FINE_CELLS, u = ow_glazing_of(OW_GLAZING_SINGLE_GLASS)->u_w_m2k;
    /* The table's U holds with 25 W/m2K outside; this night has another film. */
    double pane = 1.0 / (1.0 / u - 0.04 + 1.0 / PANE_FILM);
    double through = 1.0 / (1.0 / FLOOR_FILM + 0.5 * dz / SOIL_W_MK);
    double to_floor = FLOOR_M2 * through * (f->air_c - f->soil_c[0]);
    double loss = (pane * GLAZING_M2 + LEAK_WH_M3K * CHANGES_H * VOLUME_M3) * (f->air_c - out_c) +
                  to_floor;
    double heater = thermostat(loss, f->air_c, set_c, most_w);
    double before = to_floor / FLOOR_M2;
    f->air_c += (heater - loss) / (STAGING_J_K + AIR_J_M3K * VOLUME_M3);
    f->heat_j += heater;
    for (int i = 0; i < FINE_CELLS; i++) {
        double after = i + 1 < FINE_CELLS
                           ? SOIL_W_MK * (f->soil_c[i] - f->soil_c[i + 1]) / dz
                           : 0.0;
        f->soil_c[i] += (before - after) / (dz * SOIL_J_M3K);
        before = after;
    }
}

static night fine_night(double set_c, double most_w)
{
    night n = {{0}, 0};
    fine f = {.air_c = START_C};
    for (int i = 0; i < FINE_CELLS; i++) {
        f.soil_c[i] = START_C;
    }
    n.air_c[0] = START_C;
    for (int h = 0; h < NIGHT_H; h++) {
        for (int s = 0; s < 3600; s++) {
            fine_second(&f, outside_c(h + s / 3600.0), set_c, most_w);
        }
        n.air_c[h + 1] = f.air_c;
    }
    n.heat_j = f.heat_j;
    return n;
}

/* ---- as the garden does ---------------------------------------------------------------------- */

static night garden_night(double set_c, double most_w)
{
    night n = {{0}, 0};
    rig floor;
    rig_shape column = {0, 1, SOIL_M, 1.15, OW_FINE_START};
    ow_law law = rig_constant_law(SOIL_W_MK, SOIL_J_M3K);
    ow_glasshouse_out out = {.air_c = START_C};
    rig_open(&floor, 1, 28);
    rig_put(&floor, 0, &column, &law, START_C);
    n.air_c[0] = START_C;
    for (int s = 0; s < 2 * NIGHT_H; s++) {
        double outside = outside_c((s + 0.5) / 2.0);
        ow_glasshouse_in in = {.glazing = ow_glazing_of(OW_GLAZING_SINGLE_GLASS),
                               .glazing_m2 = GLAZING_M2,
                               .floor_m2 = FLOOR_M2,
                               .volume_m3 = VOLUME_M3,
                               .air_changes_per_h = CHANGES_H,
                               .outside = {outside, PANE_FILM},
                               .outside_c = outside,
                               .sky_c = NAN,
                               .floor_c = ow_block_axis_c(&floor.block, 0, 0),
                               .floor_w_m2k = FLOOR_FILM,
                               .extra_j_k = STAGING_J_K,
                               .before_c = out.air_c,
                               .dt_s = 1800,
                               .heater_max_w = most_w,
                               .heater_set_c = set_c};
        assert_int_equal(ow_glasshouse_step(&in, &out), OW_OK);
        rig_face(&floor, 0, OW_TOP, out.air_c, FLOOR_FILM);
        ow_block_step(&floor.block, 1800, (uint64_t)s);
        n.heat_j += out.heater_w * 1800;
        if (s % 2 == 1) {
            n.air_c[(s + 1) / 2] = out.air_c;
        }
    }
    rig_close(&floor);
    return n;
}

static double worst_gap_k(const night *a, const night *b)
{
    double worst = 0;
    for (int h = 0; h <= NIGHT_H; h++) {
        worst = fmax(worst, fabs(a->air_c[h] - b->air_c[h]));
    }
    return worst;
}

static void unheated_night(void **state)
{
    (void)state;
    night a = fine_night(-40, 0), b = garden_night(-40, 0);
    check_between("it froze", a.air_c[NIGHT_H], -6, 0);
    check_close("unheated house: air at full hours (K)", worst_gap_k(&a, &b), 0, 0.5, 0);
    check_close("unheated house: air at dawn (K)", b.air_c[NIGHT_H] - a.air_c[NIGHT_H], 0, 0.2, 0);
}

static void heated_night(void **state)
{
    (void)state;
    night a = fine_night(3, 2500), b = garden_night(3, 2500);
    check_close("heated house: air at dawn (K)", b.air_c[NIGHT_H] - a.air_c[NIGHT_H], 0, 0.1, 0);
    check_close("heated house: heat of the night (share)", b.heat_j / a.heat_j - 1, 0, 0.03, 0);
}

static void heater_too_small(void **state)
{
    (void)state;
    night a = fine_night(3, 300), b = garden_night(3, 300);
    check_close("small heater: air at dawn (K)", b.air_c[NIGHT_H] - a.air_c[NIGHT_H], 0, 0.2, 0);
    check_close("small heater: heat of the night (share)", b.heat_j / a.heat_j - 1, 0, 0.03, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(unheated_night),
        cmocka_unit_test(heated_night),
        cmocka_unit_test(heater_too_small),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
