/* SPDX-License-Identifier: MIT */
/* Leaves against roots worked out elsewhere, the measured nights of Hamburg, and sense. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>

#include "check.h"
#include "physics/foliage.h"
#include "physics/humidity.h"
#include "physics/random_faces.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* Roots of the balance on a clear night: emissivity 0.95 both sides, no dew; worked out. */
static void dry_leaves_on_a_clear_night(void **state)
{
    (void)state;
    static const struct {
        double air_c, sky_wm2, ground_c, h, leaf_c;
    } rows[] = {
        {0, 230, 0, 8, -3.3046171},
        {2, 240, 1, 5, -2.5432649},
        {-2, 250, -1, 12, -3.5181367},
        {3, 220, 2, 4, -3.4903681},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        ow_plate plate = {.air_c = rows[i].air_c,
                          .above_wm2 = rows[i].sky_wm2,
                          .below_wm2 = ow_black_body_wm2(rows[i].ground_c),
                          .emissivity = 0.95,
                          .h_w_m2k = rows[i].h,
                          .vapour_kpa = NAN};
        check_close("leaf", ow_plate_c(&plate), rows[i].leaf_c, 1e-5, 0.0);
    }
}

static double gain_wm2(const ow_plate *plate, double c)
{
    double e = c < 0.0 ? ow_saturation_ice_kpa(c) : ow_saturation_water_kpa(c);
    double heat_of = c < 0.0 ? 2.834 / 2.45 : 1.0; /* latent heats, MJ/kg, over FAO-56's 2.45 */
    double wet = fmax(plate->vapour_kpa - e, 0.0) * heat_of * 2.0 * plate->h_w_m2k /
                 (0.665e-3 * plate->pressure_kpa);
    return plate->emissivity * (plate->above_wm2 + plate->below_wm2) + plate->sun_wm2 -
           2.0 * plate->emissivity * ow_black_body_wm2(c) +
           2.0 * plate->h_w_m2k * (plate->air_c - c) + wet;
}

/* The root is the root wherever it lies: the balance changes sign within a millionth of it. */
static void the_balance_closes_everywhere(void **state)
{
    (void)state;
    uint32_t dice = 1u;
    for (int i = 0; i < 20000; i++) {
        double share[6];
        for (size_t k = 0; k < COUNT(share); k++) {
            dice = dice * 1664525u + 1013904223u;
            share[k] = (double)(dice >> 8) / 16777216.0;
        }
        double air_c = -30.0 + 60.0 * share[0];
        ow_plate plate = {.air_c = air_c,
                          .above_wm2 = ow_black_body_wm2(air_c) * (0.6 + 0.4 * share[1]),
                          .below_wm2 = ow_black_body_wm2(air_c - 3.0 * share[2]),
                          .sun_wm2 = i % 2 == 0 ? 0.0 : 500.0 * share[3],
                          .emissivity = 0.95,
                          .h_w_m2k = 1.0 + 60.0 * share[4] * share[4],
                          .vapour_kpa = ow_vapour_kpa(air_c, 20.0 + 80.0 * share[5]),
                          .pressure_kpa = 100.0};
        double root_c = ow_plate_c(&plate);
        assert_true(gain_wm2(&plate, root_c - 1e-6) > 0.0);
        assert_true(gain_wm2(&plate, root_c + 1e-6) < 0.0);
    }
}

static ow_sky night(double air_c, double rh_pct, double wind_ms, double longwave_wm2)
{
    ow_sky sky = ow_sky_within(air_c, rh_pct, ow_pressure_kpa(11.0));
    sky.wind_ms = wind_ms;
    sky.longwave_wm2 = longwave_wm2;
    return sky;
}

static ow_leaf open_leaf(void)
{
    return (ow_leaf){.width_m = OW_LEAF_WIDTH_M,
                     .sky_view = 1.0,
                     .wind_share = 1.0,
                     .sun_share = 1.0,
                     .surround_c = NAN,
                     .under_c = NAN};
}

/*
 * Hamburg-Fuhlsbuettel (DWD station 01975), October to April: grass minimum at 5 cm minus air
 * minimum at 2 m, K, mean of 9 to 59 nights a class of cloud and wind, with the means of air,
 * humidity, wind at 10 m and incoming long-wave in the coldest dark hour.
 */
static void leaves_against_grass_minima(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double air_c, rh_pct, wind_ms, longwave_wm2, below_air_k;
    } rows[] = {
        {"clear, calm", 2.30, 88.63, 1.24, 257.17, -3.40},
        {"clear, light wind", 2.57, 83.08, 3.42, 249.88, -2.68},
        {"clear, windy", 2.39, 70.20, 7.19, 245.30, -1.50},
        {"half, calm", 1.90, 93.73, 1.37, 263.33, -2.89},
        {"half, light wind", 4.20, 86.71, 3.10, 276.21, -2.42},
        {"half, windy", 2.84, 79.22, 5.21, 260.56, -1.64},
        {"overcast, calm", 4.15, 92.26, 1.40, 305.78, -2.02},
        {"overcast, light wind", 4.16, 88.93, 3.36, 314.14, -1.13},
        {"overcast, windy", 4.21, 83.58, 6.69, 316.74, -1.09},
    };
    double bias = 0.0;
    for (size_t i = 0; i < COUNT(rows); i++) {
        ow_leaf leaf = open_leaf();
        ow_sky sky = night(rows[i].air_c, rows[i].rh_pct, rows[i].wind_ms, rows[i].longwave_wm2);
        double below_k = ow_leaf_under(&leaf, &sky).leaf_c - sky.air_c;
        check_close(rows[i].what, below_k, rows[i].below_air_k, 0.65, 0.0);
        bias += (below_k - rows[i].below_air_k) / (double)COUNT(rows);
    }
    check_close("bias over the classes", bias, 0.0, 0.2, 0.0);
}

static void dew_and_rime_slow_the_cooling(void **state)
{
    (void)state;
    ow_leaf leaf = open_leaf();
    for (double air_c = -6.0; air_c <= 6.0; air_c += 3.0) {
        double longwave = 0.75 * ow_black_body_wm2(air_c);
        ow_sky dry = night(air_c, 30.0, 0.5, longwave);
        ow_sky moist = night(air_c, 95.0, 0.5, longwave);
        double dry_c = ow_leaf_under(&leaf, &dry).leaf_c;
        double moist_c = ow_leaf_under(&leaf, &moist).leaf_c;
        check_between("warmer by dew", moist_c - dry_c, 0.5, 6.0);
        check_between("still below the air", moist_c, dry_c, air_c);
    }
}

/*
 * Dew and rime by Penman's linear form (Monteith and Unsworth, ch. 13, from memory): in saturated
 * air a plate that would lose Rn at the air's temperature falls below it by Rn / (2 (h + hr + h
 * s/gamma)), s by FAO-56 eq. 13, gamma by its eq. 8; below 0 C s is that of ice and the heat that of
 * rime. Held within a tenth, for small losses, which is what the form is good for.
 */
static void dew_and_rime_are_penmans(void **state)
{
    (void)state;
    for (double air_c = -12.0; air_c <= 12.0; air_c += 4.0) {
        for (double h = 4.0; h <= 16.0; h *= 2.0) {
            double black = ow_black_body_wm2(air_c), lost_wm2 = 20.0;
            ow_plate plate = {.air_c = air_c,
                              .above_wm2 = black - lost_wm2 / 0.95,
                              .below_wm2 = black,
                              .emissivity = 0.95,
                              .h_w_m2k = h,
                              .vapour_kpa = air_c < 0.0 ? ow_saturation_ice_kpa(air_c)
                                                        : ow_saturation_water_kpa(air_c),
                              .pressure_kpa = 101.3};
            double s = ow_saturation_over_water(air_c).slope_kpa_k, gamma = 0.665e-3 * 101.3;
            if (air_c < 0.0) {
                s = ow_saturation_over_ice(air_c).slope_kpa_k * 2.834 / 2.45;
            }
            double hr = 0.95 * 4.0 * black / (air_c + 273.15);
            double below_k = lost_wm2 / (2.0 * (h + hr + h * s / gamma));
            check_close("below the air", air_c - ow_plate_c(&plate), below_k, 0.0, 0.1);
        }
    }
}

static void wind_width_and_view(void **state)
{
    (void)state;
    ow_leaf leaf = open_leaf();
    ow_sky calm = night(1.0, 70.0, 0.5, 235.0);
    ow_sky windy = night(1.0, 70.0, 6.0, 235.0);
    double calm_c = ow_leaf_under(&leaf, &calm).leaf_c;
    check_between("wind warms", ow_leaf_under(&leaf, &windy).leaf_c, calm_c + 1.0, 1.0);
    ow_leaf bud = leaf;
    bud.width_m = OW_BUD_WIDTH_M;
    check_between("a bud is nearer to the air", ow_leaf_under(&bud, &calm).leaf_c, calm_c + 0.5,
                  1.0);
    ow_leaf eaves = leaf;
    eaves.sky_view = 0.0;
    check_close("no sky, no chill", ow_leaf_under(&eaves, &calm).leaf_c, 1.0, 1e-9, 0.0);
    eaves.surround_c = 4.0;
    check_between("a warm wall", ow_leaf_under(&eaves, &calm).leaf_c, 1.5, 4.0);
}

/* What lies below counts as much as what lies above; a shut cover hides it. */
static void ground_and_snow_are_seen_from_above(void **state)
{
    (void)state;
    ow_leaf leaf = open_leaf();
    ow_sky calm = night(-2.0, 60.0, 0.5, 225.0);
    double over_air_c = ow_leaf_under(&leaf, &calm).leaf_c;
    leaf.under_c = -2.0;
    check_close("ground at the air", ow_leaf_under(&leaf, &calm).leaf_c, over_air_c, 1e-12, 0);
    leaf.under_c = 2.0;
    check_between("warm ground", ow_leaf_under(&leaf, &calm).leaf_c, over_air_c + 0.5, 0.0);
    leaf.under_c = -12.0;
    check_between("cold snow", ow_leaf_under(&leaf, &calm).leaf_c, -12.0, over_air_c - 0.5);
    leaf.sky_shut = 1.0;
    check_close("hidden", ow_leaf_under(&leaf, &calm).leaf_c, -2.0, 1e-9, 0);
}

static void covers_shut_out_the_sky_and_lend_warmth(void **state)
{
    (void)state;
    ow_leaf leaf = open_leaf();
    ow_sky sky = night(-3.0, 80.0, 0.5, 215.0);
    ow_leaf_state bare = ow_leaf_under(&leaf, &sky);
    check_close("air as it is", bare.air_at_leaf_c, -3.0, 0.0, 0.0);
    leaf.sky_shut = 1.0;
    leaf.wind_shut = 1.0;
    leaf.credit_k = 1.5;
    ow_leaf_state covered = ow_leaf_under(&leaf, &sky);
    check_close("air within", covered.air_at_leaf_c, -1.5, 0.0, 0.0);
    check_close("the leaf is at it", covered.leaf_c, -1.5, 1e-9, 0.0);
    leaf.sky_shut = 0.5;
    check_between("half shut lies between", ow_leaf_under(&leaf, &sky).leaf_c, bare.leaf_c, -1.5);
}

static void sun_warms_and_shade_does_not(void **state)
{
    (void)state;
    ow_leaf leaf = open_leaf();
    ow_sky sky = night(-5.0, 60.0, 1.0, ow_black_body_wm2(-5.0));
    sky.sun_up = 0.34;
    sky.direct_wm2 = 600.0;
    double lit_c = ow_leaf_under(&leaf, &sky).leaf_c;
    check_between("sunlit", lit_c, -1.0, 10.0);
    leaf.light_shut = 1.0;
    check_close("shaded by a cover", ow_leaf_under(&leaf, &sky).leaf_c, -5.0, 1e-9, 0.0);
    leaf.light_shut = 0.0;
    leaf.sun_share = 0.0;
    check_close("shaded by a house", ow_leaf_under(&leaf, &sky).leaf_c, -5.0, 1e-9, 0.0);
}

/* However many there are beside it, a plate has the same last bit as alone. */
static void company_changes_no_plate(void **state)
{
    (void)state;
    uint64_t seed = 2;
    for (int n = 1; n <= OW_PLATES_ABREAST; n++) {
        ow_plate plate[OW_PLATES_ABREAST];
        ow_plates plates;
        plates.n = 0;
        for (int i = 0; i < n; i++) {
            plate[i] = random_plate(&seed);
            assert_int_equal(ow_plates_put(&plates, &plate[i]), i);
        }
        ow_plates_settle(&plates);
        for (int i = 0; i < n; i++) {
            check_close("in company", plates.plate_c[i], ow_plate_c(&plate[i]), 0.0, 0.0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dry_leaves_on_a_clear_night),
        cmocka_unit_test(the_balance_closes_everywhere),
        cmocka_unit_test(leaves_against_grass_minima),
        cmocka_unit_test(dew_and_rime_slow_the_cooling),
        cmocka_unit_test(dew_and_rime_are_penmans),
        cmocka_unit_test(wind_width_and_view),
        cmocka_unit_test(ground_and_snow_are_seen_from_above),
        cmocka_unit_test(covers_shut_out_the_sky_and_lend_warmth),
        cmocka_unit_test(sun_warms_and_shade_does_not),
        cmocka_unit_test(company_changes_no_plate),
    };
    return cmocka_run_group_tests_name("foliage", tests, NULL, NULL);
}
