/* SPDX-License-Identifier: MIT */
/*
 * Vapour pressure, dew and frost point against FAO Irrigation and Drainage Paper 56 (Allen et al.
 * 1998), IAPWS and roots worked out to eight digits elsewhere.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "physics/humidity.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* Printed in FAO-56 in the example named; the tolerance is half of the last printed digit. */
static void examples_of_fao56(void **state)
{
    (void)state;
    check_close("example 2, pressure at 1800 m", ow_pressure_kpa(1800.0), 81.8, 0.05, 0.0);
    check_close("example 2, psychrometric constant", ow_psychrometric_kpa_k(81.8), 0.054, 0.0005,
                0.0);
    double mean = (ow_saturation_water_kpa(24.5) + ow_saturation_water_kpa(15.0)) / 2.0;
    check_close("example 3, mean saturation", mean, 2.39, 0.005, 0.0);
    double wet = ow_vapour_psychrometer_kpa(25.6, 19.5, 87.9, OW_PSYCHROMETER_VENTILATED);
    check_close("example 4, psychrometer", wet, 1.91, 0.005, 0.0);
    /* Its e(Tmin) 2.064 and e(Tmax) 3.168 kPa belong to 18 and 25 C. */
    double actual = (ow_vapour_kpa(18.0, 82.0) + ow_vapour_kpa(25.0, 54.0)) / 2.0;
    check_close("example 5, from humidity", actual, 1.70, 0.005, 0.0);
    check_close("example 20, from the minimum", ow_saturation_water_kpa(14.8), 1.68, 0.005, 0.0);
    check_close("example 17, slope", ow_saturation_over_water(30.2).slope_kpa_k, 0.246, 0.0005, 0.0);
}

/* The Tetens columns are the formula worked out; the IAPWS columns are another formula. */
static void saturation_over_water(void **state)
{
    (void)state;
    static const double rows[][2] = {
        {-20, 0.12461911}, {-15, 0.19046195}, {-10, 0.28571098}, {-5, 0.42117649},
        {-2, 0.52741},     {0, 0.6108},       {2, 0.70564143},   {5, 0.87231096},
        {10, 1.2279626},   {15, 1.7053462},   {20, 2.3382813},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        check_close("Tetens, water", ow_saturation_water_kpa(rows[i][0]), rows[i][1], 1e-7, 1e-7);
    }
    static const double iapws[][2] = {
        {2, 0.70596886}, {5, 0.87253022}, {10, 1.2281122}, {15, 1.705677}, {20, 2.3391937}};
    for (size_t i = 0; i < COUNT(iapws); i++) {
        check_close("IAPWS, water", ow_saturation_water_kpa(iapws[i][0]), iapws[i][1], 0.0, 0.001);
    }
}

static void saturation_over_ice(void **state)
{
    (void)state;
    static const double rows[][3] = {
        {-20, 0.10279042, 0.10323903}, {-15, 0.16482583, 0.16527374}, {-10, 0.25946069, 0.25987381},
        {-5, 0.40137812, 0.40174102},  {-2, 0.51735817, 0.51770467},  {0, 0.6108, 0.61115348},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        double got = ow_saturation_ice_kpa(rows[i][0]);
        check_close("Tetens, ice", got, rows[i][1], 1e-7, 1e-7);
        check_close("IAPWS, ice", got, rows[i][2], 0.0, 0.005);
    }
}

/* Roots worked out from the same Tetens formulas at eight digits. */
static void dew_and_frost_points(void **state)
{
    (void)state;
    static const struct {
        double air_c, rh_pct, dew_c, frost_c;
    } rows[] = {
        {5, 50, -4.5389191, -4.0254622},  {2, 80, -1.0779209, -0.95304507},
        {0, 60, -6.8173955, -6.0584856},  {-2, 90, -3.4148564, -3.0255279},
        {-5, 70, -9.6034994, -8.5557167},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        double vapour = ow_vapour_kpa(rows[i].air_c, rows[i].rh_pct);
        check_close("dew point", ow_dew_point_c(vapour), rows[i].dew_c, 1e-7, 0.0);
        check_close("frost point", ow_frost_point_c(vapour), rows[i].frost_c, 1e-7, 0.0);
    }
}

static void slopes_are_the_derivatives(void **state)
{
    (void)state;
    for (double c = -20.0; c <= 20.0; c += 5.0) {
        double step = 1e-4;
        double water =
            (ow_saturation_water_kpa(c + step) - ow_saturation_water_kpa(c - step)) / (2.0 * step);
        double ice =
            (ow_saturation_ice_kpa(c + step) - ow_saturation_ice_kpa(c - step)) / (2.0 * step);
        check_close("slope, water", ow_saturation_over_water(c).slope_kpa_k, water, 0.0, 1e-7);
        check_close("slope, ice", ow_saturation_over_ice(c).slope_kpa_k, ice, 0.0, 1e-7);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_of_fao56),          cmocka_unit_test(saturation_over_water),
        cmocka_unit_test(saturation_over_ice),        cmocka_unit_test(dew_and_frost_points),
        cmocka_unit_test(slopes_are_the_derivatives),
    };
    return cmocka_run_group_tests_name("humidity", tests, NULL, NULL);
}
