/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/climate.h"

#define DAMPING_M 2.2412 /* sqrt(2 a / w), a = 5e-7 m2/s, w = 2 pi a year: Carslaw & Jaeger 2.6 */

static const ow_site north = {43.0, 5.0, 0.0};

typedef struct wave {
    double least, most, coldest_day;
} wave;

/* A year at a depth; a negative depth asks for the air. */
static wave year_of(const ow_site *site, double depth_m)
{
    wave w = {1e9, -1e9, 0.0};
    for (int day = 0; day < 366; day++) {
        ow_utc_s t = (ow_utc_s)1704067200 + (ow_utc_s)day * OW_DAY_S; /* from 2024-01-01 */
        double c = depth_m < 0.0 ? ow_normal_air_c(site, t) : ow_normal_ground_c(site, t, depth_m);
        if (c < w.least) {
            w.least = c;
            w.coldest_day = day;
        }
        w.most = fmax(w.most, c);
    }
    return w;
}

static void air_is_coldest_in_january(void **state)
{
    (void)state;
    wave air = year_of(&north, -1.0);
    check_between("coldest day", air.coldest_day, 15, 25);
    check_close("swing", air.most - air.least, 18.0, 0.02, 0.0);
}

static void south_is_half_a_year_off(void **state)
{
    (void)state;
    ow_site south = {-43.0, 5.0, 0.0};
    wave air = year_of(&south, -1.0);
    check_between("coldest day", air.coldest_day, 15 + 181, 25 + 184);
    check_close("least", air.least, year_of(&north, -1.0).least, 0.01, 0.0);
}

static void the_wave_fades_and_lags_with_depth(void **state)
{
    (void)state;
    wave top = year_of(&north, 0.0), deep = year_of(&north, DAMPING_M);
    check_close("amplitude at a damping depth", (deep.most - deep.least) / (top.most - top.least),
                exp(-1.0), 1e-3, 0.0);
    check_close("lag at a damping depth, days", deep.coldest_day - top.coldest_day,
                365.2425 / (2.0 * 3.14159265358979), 1.0, 0.0);
    wave below = year_of(&north, 20.0);
    check_between("swing at 20 m", below.most - below.least, 0.0, 0.01);
}

static void ground_surface_is_the_air(void **state)
{
    (void)state;
    for (int month = 0; month < 12; month++) {
        ow_utc_s t = (ow_utc_s)1704067200 + (ow_utc_s)month * 30 * OW_DAY_S;
        check_close("surface", ow_normal_ground_c(&north, t, 0.0), ow_normal_air_c(&north, t),
                    1e-12, 0.0);
    }
}

static void colder_poleward_and_uphill(void **state)
{
    (void)state;
    ow_site hill = {43.0, 5.0, 1000.0}, polar = {63.0, 5.0, 0.0}, equator = {0.0, 5.0, 0.0};
    ow_site line = {10.0, 5.0, 0.0};
    ow_utc_s t = 1705276800;
    /* The fall of temperature with height in the standard atmosphere is 6.5 K/km (ISO 2533). */
    check_close("1000 m", ow_normal_air_c(&north, t) - ow_normal_air_c(&hill, t), 6.5, 1.0, 0.0);
    assert_true(ow_normal_air_c(&polar, t) < ow_normal_air_c(&north, t) - 5.0);
    check_close("no hotter towards the line", ow_normal_air_c(&equator, t),
                ow_normal_air_c(&line, t), 1e-12, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air_is_coldest_in_january),
        cmocka_unit_test(south_is_half_a_year_off),
        cmocka_unit_test(the_wave_fades_and_lags_with_depth),
        cmocka_unit_test(ground_surface_is_the_air),
        cmocka_unit_test(colder_poleward_and_uphill),
    };
    return cmocka_run_group_tests_name("climate", tests, NULL, NULL);
}
