/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/condition.h"

#define JANUARY ((ow_utc_s)1705276800)
#define STEP_S 1800

static ow_sense mild(void)
{
    ow_sense s = {.root = {.mean_c = 5, .open_share = 1.0},
                  .part_c = {5, NAN, 5, NAN, NAN},
                  .air_c = 5,
                  .leaf_air_c = 5};
    return s;
}

static ow_tolerance own(ow_part part, double damaged_c, double killed_c, bool of_air)
{
    ow_tolerance t;
    ow_tolerance_own(&t);
    t.limit[part] = ow_limit_own(damaged_c, killed_c, of_air);
    return t;
}

static void steps(ow_condition *c, const ow_tolerance *t, const ow_sense *s, int n, ow_utc_s *now)
{
    for (int i = 0; i < n; i++) {
        *now += STEP_S;
        ow_season season = ow_season_at(*now, STEP_S);
        ow_condition_step(c, t, s, &season, *now, STEP_S);
    }
}

static void a_limit_is_passed_after_its_minutes(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance t = own(OW_ROOTS, -2, -4, false);
    ow_sense s = mild();
    ow_condition_start(&c, now, 50.0);
    steps(&c, &t, &s, 10, &now);
    assert_false(c.watch[OW_ROOTS].damaged);
    s.part_c[OW_ROOTS] = -3;
    steps(&c, &t, &s, 1, &now); /* own limits last 30 minutes, a step */
    assert_true(c.watch[OW_ROOTS].damaged);
    assert_false(c.watch[OW_ROOTS].killed);
    check_close("lowest", c.watch[OW_ROOTS].lowest_c, -3, 0, 0);
    s.part_c[OW_ROOTS] = -5;
    steps(&c, &t, &s, 1, &now);
    assert_true(c.watch[OW_ROOTS].killed);
}

static void an_air_limit_does_not_count_the_sky_twice(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance air = own(OW_FOLIAGE, -4, -6, true), tissue = own(OW_FOLIAGE, -4, -6, false);
    ow_sense s = mild();
    s.part_c[OW_FOLIAGE] = -5; /* under a clear sky */
    s.air_c = s.leaf_air_c = -2;
    ow_condition_start(&c, now, 50.0);
    steps(&c, &air, &s, 4, &now);
    assert_false(c.watch[OW_FOLIAGE].damaged);
    check_close("the air counts", c.compared_c[OW_FOLIAGE], -2, 0, 0);
    steps(&c, &tissue, &s, 4, &now);
    assert_true(c.watch[OW_FOLIAGE].damaged);
    check_close("the leaf counts", c.compared_c[OW_FOLIAGE], -5, 0, 0);
}

static void a_part_that_is_not_there_is_not_compared(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance t = own(OW_BUDS, -2, -4, true);
    ow_sense s = mild();
    s.air_c = s.leaf_air_c = -9;
    ow_condition_start(&c, now, 50.0);
    steps(&c, &t, &s, 4, &now); /* buds are NAN: air alone must not stand for them */
    assert_true(isnan(c.compared_c[OW_BUDS]));
    assert_false(c.watch[OW_BUDS].damaged);
}

static void marks_of_ice_are_linear_within_a_step(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance t = own(OW_ROOTS, -20, -30, false);
    ow_sense s = mild();
    const double ice[] = {0.0, 0.2, 0.4, 0.8, 0.95, 0.6, 0.2, 0.02, 0.0};
    ow_condition_start(&c, now, 50.0);
    for (int i = 0; i < 9; i++) {
        s.root.ice_share = ice[i];
        steps(&c, &t, &s, 1, &now);
    }
    double first = (double)JANUARY + STEP_S; /* end of the step with ice[0] */
    check_close("half", c.marks.half_s, first + (2 + 0.25) * STEP_S, 1e-6, 0);
    check_close("nine tenths", c.marks.nine_tenths_s, first + (3 + 2.0 / 3.0) * STEP_S, 1e-6, 0);
    check_close("half again", c.marks.thaw_half_s, first + (5 + 0.25) * STEP_S, 1e-6, 0);
    check_close("gone", c.marks.thaw_gone_s, first + (7 + 0.5) * STEP_S, 1e-6, 0);
    s.root.ice_share = 0.9;
    steps(&c, &t, &s, 2, &now);
    check_close("the first time only", c.marks.half_s, first + 2.25 * STEP_S, 1e-6, 0);
}

static void unmarked_while_it_never_got_there(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance t = own(OW_ROOTS, -20, -30, false);
    ow_sense s = mild();
    ow_condition_start(&c, now, 50.0);
    s.root.ice_share = 0.4;
    steps(&c, &t, &s, 1, &now);
    s.root.ice_share = 0.0;
    steps(&c, &t, &s, 1, &now);
    assert_true(isnan(c.marks.half_s) && isnan(c.marks.thaw_gone_s));
}

static void frozen_through_runs_the_clock(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance t = own(OW_ROOTS, -20, -30, false);
    ow_sense s = mild();
    s.root = (ow_inside){.mean_c = -3, .ice_share = 0.93, .least_relative_ice = 0.9};
    ow_condition_start(&c, now, 50.0);
    steps(&c, &t, &s, 48 * 6, &now);
    check_close("seconds", c.frozen_through_s, 6 * 86400.0, 0, 0);
    check_close("days in shade and calm", ow_drought_clock_days(&c.drought), 6.0, 1e-9, 0);
    s.sun_wm2 = 500;
    s.wind_ms = 6;
    steps(&c, &t, &s, 48, &now);
    check_close("a day in sun and wind counts double", ow_drought_clock_days(&c.drought), 8.0, 1e-9,
                0);
}

static void limits_are_softer_before_winter(void **state)
{
    (void)state;
    ow_condition winter, autumn;
    ow_tolerance t = own(OW_FOLIAGE, -8, -10, true);
    t.soft_k = 4.0;
    ow_condition_start(&winter, JANUARY, 50.0);
    ow_condition_start(&autumn, JANUARY - 90 * OW_DAY_S, 50.0); /* 17 October */
    check_close("hardened", ow_condition_limit(&winter, &t, OW_FOLIAGE).damaged_c, -8, 1e-12, 0);
    check_between("not yet", ow_condition_limit(&autumn, &t, OW_FOLIAGE).damaged_c, -7.5, -4.0);
}

static void quick_thaw_in_morning_sun_is_seen(void **state)
{
    (void)state;
    ow_condition c;
    ow_utc_s now = JANUARY;
    ow_tolerance t = own(OW_BUDS, -20, -30, false);
    ow_sense s = mild();
    s.part_c[OW_BUDS] = -5;
    ow_condition_start(&c, now, 50.0);
    steps(&c, &t, &s, 4, &now);
    s.sun_wm2 = 200;
    steps(&c, &t, &s, 1, &now);
    s.part_c[OW_BUDS] = -1; /* 4 K in half an hour */
    steps(&c, &t, &s, 1, &now);
    assert_true(c.thaw[OW_BUDS].too_quick);
    assert_false(c.thaw[OW_ROOTS].too_quick);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_limit_is_passed_after_its_minutes),
        cmocka_unit_test(an_air_limit_does_not_count_the_sky_twice),
        cmocka_unit_test(a_part_that_is_not_there_is_not_compared),
        cmocka_unit_test(marks_of_ice_are_linear_within_a_step),
        cmocka_unit_test(unmarked_while_it_never_got_there),
        cmocka_unit_test(frozen_through_runs_the_clock),
        cmocka_unit_test(limits_are_softer_before_winter),
        cmocka_unit_test(quick_thaw_in_morning_sun_is_seen),
    };
    return cmocka_run_group_tests_name("condition", tests, NULL, NULL);
}
