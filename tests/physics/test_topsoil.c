/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "physics/humidity.h"
#include "physics/surface.h"
#include "physics/topsoil.h"

static ow_sky sky_of(double air_c, double rh_pct)
{
    ow_sky sky = ow_sky_within(air_c, rh_pct, ow_pressure_kpa(0.0));
    return sky;
}

/* FAO-56 eq. 74 with table 19's loam, 19 mm in all of which 9 readily. */
static void wetness_follows_what_is_left(void **state)
{
    (void)state;
    static const struct {
        double depletion_mm, wetness;
    } row[] = {{0, 1}, {9, 1}, {14, 0.5}, {18, 0.1}, {19, 0}, {25, 0}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        ow_topsoil loam = {.texture = OW_TEXTURE_FINE, .depletion_mm = row[i].depletion_mm};
        check_close("Kr", ow_topsoil_wetness(&loam), row[i].wetness, 1e-12, 0);
    }
}

static void words_go_from_dry_to_wet(void **state)
{
    (void)state;
    for (ow_texture t = OW_TEXTURE_FINE; t <= OW_TEXTURE_FIBROUS; t++) {
        ow_topsoil dry = ow_topsoil_at(t, OW_MOISTURE_DRY);
        ow_topsoil moist = ow_topsoil_at(t, OW_MOISTURE_MOIST);
        ow_topsoil wet = ow_topsoil_at(t, OW_MOISTURE_WET);
        assert_true(dry.depletion_mm > moist.depletion_mm);
        assert_true(moist.depletion_mm > wet.depletion_mm);
        check_close("drained", wet.depletion_mm, 0, 0, 0);
        check_between("dry", ow_topsoil_wetness(&dry), 0.0, 0.2);
    }
}

/* FAO-56 eq. 20: 0.408 mm a MJ/m2. Rain fills it, but not above what drains away. */
static void water_is_kept_account_of(void **state)
{
    (void)state;
    ow_topsoil t = ow_topsoil_at(OW_TEXTURE_FINE, OW_MOISTURE_WET);
    t.takes_w_m2 = 80.0;
    t.takes_w_m2k = 10.0;
    ow_topsoil_step(&t, 12.0, 10.0, 0.0, 1e4); /* 100 W/m2 for 10 000 s: 1 MJ/m2 */
    check_close("a megajoule", t.depletion_mm, 0.408, 1e-3, 0);
    ow_topsoil_step(&t, 12.0, 10.0, 0.3, 0.0);
    check_close("after rain", t.depletion_mm, 0.108, 1e-3, 0);
    ow_topsoil_step(&t, 12.0, 10.0, 50.0, 0.0);
    check_close("full", t.depletion_mm, 0, 0, 0);
    ow_topsoil_step(&t, 12.0, 10.0, 0.0, 1e8);
    check_close("empty", ow_topsoil_wetness(&t), 0, 0, 0);
}

/*
 * Over FAO-56's reference surface the air resists by 208/u2 s/m and the surface by 70 s/m, which
 * makes its eq. 6: delta over gamma (1 + 0.34 u2). 0.34 is rounded from 70/208.
 */
static void vapour_meets_the_surface_as_well(void **state)
{
    (void)state;
    ow_sky sky = sky_of(5.0, 70.0);
    for (double u2 = 0.5; u2 < 9.0; u2 *= 2.0) {
        double convection = 1277.0 * u2 / 208.0;
        ow_boundary film = {.te_c = 5.0, .h_w_m2k = convection + 0.95 * ow_radiative_black(5.0)};
        ow_topsoil wet = ow_topsoil_at(OW_TEXTURE_FINE, OW_MOISTURE_WET);
        (void)ow_topsoil_film(&wet, film, 0.95, &sky);
        double free = convection * ow_saturation_over_water(5.0).slope_kpa_k /
                      ow_psychrometric_kpa_k(sky.pressure_kpa);
        check_close("share", wet.takes_w_m2k / free, 1.0 / (1.0 + 0.34 * u2), 0, 0.02);
    }
}

/* A surface that takes nothing from below comes to rest where film and vapour balance. */
static void film_and_vapour_balance(void **state)
{
    (void)state;
    ow_sky sky = sky_of(12.0, 60.0);
    ow_boundary film = {.te_c = 15.0, .h_w_m2k = 18.0};
    ow_topsoil wet = ow_topsoil_at(OW_TEXTURE_FINE, OW_MOISTURE_WET);
    ow_boundary drying = ow_topsoil_film(&wet, film, 0.95, &sky);
    double gains = film.h_w_m2k * (film.te_c - drying.te_c);
    double loses = wet.takes_w_m2 + wet.takes_w_m2k * (drying.te_c - 12.0);
    assert_true(drying.te_c < film.te_c - 1.0);
    check_close("at rest", gains, loses, 1e-9, 0);
    ow_topsoil empty = {.texture = OW_TEXTURE_COARSE, .depletion_mm = 50.0};
    ow_boundary dry = ow_topsoil_film(&empty, film, 0.95, &sky);
    check_close("nothing left", dry.te_c, film.te_c, 1e-12, 0);
    check_close("nothing left", dry.h_w_m2k, film.h_w_m2k, 1e-12, 0);
    ow_topsoil more = {.texture = OW_TEXTURE_FINE, .extra = 0.5};
    (void)ow_topsoil_film(&more, film, 0.95, &sky);
    check_close("half as much again", more.takes_w_m2, 1.5 * wet.takes_w_m2, 0, 1e-12);
    ow_topsoil_close(&wet);
    ow_topsoil_step(&wet, 30.0, 12.0, 0.0, 86400.0);
    check_close("closed", wet.depletion_mm, 0, 0, 0);
}

/* In a film of 10 W/m2K: no resistance of the surface, and 200 s/m, against FAO-56's 70 s/m. */
static void vapour_ranges_from_no_resistance_to_grass_at_rest(void **state)
{
    (void)state;
    double a_s_m = 1277.0 / 10.0;
    check_close("bare", OW_VAPOUR_RANGE.high, (a_s_m + 70.0) / a_s_m, 0, 0.01);
    check_close("at rest", OW_VAPOUR_RANGE.low, (a_s_m + 70.0) / (a_s_m + 200.0), 0, 0.01);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wetness_follows_what_is_left),
        cmocka_unit_test(words_go_from_dry_to_wet),
        cmocka_unit_test(water_is_kept_account_of),
        cmocka_unit_test(vapour_meets_the_surface_as_well),
        cmocka_unit_test(film_and_vapour_balance),
        cmocka_unit_test(vapour_ranges_from_no_resistance_to_grass_at_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
