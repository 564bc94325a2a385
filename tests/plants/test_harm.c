/* SPDX-License-Identifier: MIT */
/* Limits passed for long enough, and quick thaw in the morning sun. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "plants/harm.h"

static const double STEP_S = 600.0;

/* Steps of ten minutes at one temperature, from the time where the last ended. */
static ow_utc_s cold(ow_harm_watch *watch, const ow_limit *limit, ow_utc_s time_s, int minutes,
                     double temperature_c)
{
    for (int i = 0; i < minutes; i += 10) {
        time_s += 600;
        ow_harm_watch_step(watch, limit, temperature_c, time_s, STEP_S);
    }
    return time_s;
}

static void a_limit_must_be_passed_for_its_minutes(void **state)
{
    (void)state;
    ow_limit limit = ow_limit_own(-2.0, -4.0, true);
    ow_harm_watch watch;
    ow_harm_watch_start(&watch);
    ow_utc_s time_s = cold(&watch, &limit, 0, 20, -3.0);
    assert_false(watch.damaged);
    time_s = cold(&watch, &limit, time_s, 10, -3.0);
    assert_true(watch.damaged);
    assert_false(watch.killed);
    assert_int_equal(watch.damaged_at, 1800);
    time_s = cold(&watch, &limit, time_s, 30, -4.5);
    assert_true(watch.killed);
    assert_int_equal(watch.killed_at, 3600);
    (void)cold(&watch, &limit, time_s, 300, 5.0); /* passed stays passed, with its first time */
    (void)cold(&watch, &limit, 90000, 60, -9.0);
    assert_int_equal(watch.damaged_at, 1800);
    assert_int_equal(watch.killed_at, 3600);
}

static void a_break_starts_the_count_again(void **state)
{
    (void)state;
    ow_limit limit = ow_limit_own(-2.0, -4.0, true);
    ow_harm_watch watch;
    ow_harm_watch_start(&watch);
    ow_utc_s time_s = 0;
    for (int i = 0; i < 10; i++) {
        time_s = cold(&watch, &limit, time_s, 20, -3.0);
        time_s = cold(&watch, &limit, time_s, 10, -2.0); /* at the limit is not below it */
    }
    assert_false(watch.damaged);
    check_close("lowest", watch.lowest_c, -3.0, 0.0, 0.0);
    assert_int_equal(watch.lowest_at, 600);
}

static void minutes_of_the_limit_count(void **state)
{
    (void)state;
    ow_limit limit = ow_limit_own(0.0, 0.0, true);
    ow_harm_watch watch;
    limit.minutes = 5.0;
    ow_harm_watch_start(&watch);
    (void)cold(&watch, &limit, 0, 10, -0.1);
    assert_true(watch.killed);
    limit.minutes = 60.0;
    ow_harm_watch_start(&watch);
    ow_utc_s time_s = cold(&watch, &limit, 0, 50, -5.0);
    assert_false(watch.damaged);
    (void)cold(&watch, &limit, time_s, 10, -5.0);
    assert_true(watch.damaged);
}

static void an_unset_limit_records_the_lowest_only(void **state)
{
    (void)state;
    ow_limit unset = {.set = false};
    ow_harm_watch watch;
    ow_harm_watch_start(&watch);
    assert_true(isnan(watch.lowest_c));
    (void)cold(&watch, &unset, 0, 60, -30.0);
    assert_false(watch.damaged || watch.killed);
    check_close("lowest", watch.lowest_c, -30.0, 0.0, 0.0);
}

static void a_missing_temperature_neither_breaks_nor_adds(void **state)
{
    (void)state;
    ow_limit limit = ow_limit_own(-2.0, -4.0, true);
    ow_harm_watch watch;
    ow_harm_watch_start(&watch);
    ow_utc_s time_s = cold(&watch, &limit, 0, 20, -3.0);
    time_s = cold(&watch, &limit, time_s, 60, NAN);
    assert_false(watch.damaged);
    (void)cold(&watch, &limit, time_s, 10, -3.0);
    assert_true(watch.damaged);
}

/* Ten-minute steps from one temperature to another under that much sun. */
static ow_utc_s warm(ow_thaw_watch *watch, ow_utc_s time_s, double from_c, double k_h, int steps,
                     double sun_wm2)
{
    for (int i = 1; i <= steps; i++) {
        time_s += 600;
        ow_thaw_watch_step(watch, from_c + k_h * i / 6.0, sun_wm2, time_s, STEP_S);
    }
    return time_s;
}

static void morning_sun_on_a_frozen_part_thaws_it_too_quickly(void **state)
{
    (void)state;
    ow_thaw_watch watch;
    ow_thaw_watch_start(&watch);
    ow_utc_s time_s = warm(&watch, 0, -6.0, 0.0, 6, 0.0);
    (void)warm(&watch, time_s, -6.0, 8.0, 6, 300.0);
    assert_true(watch.too_quick);
    assert_int_equal(watch.too_quick_at, 7 * 600);
}

static void slow_shaded_or_unfrozen_thaw_does_no_harm(void **state)
{
    (void)state;
    ow_thaw_watch slow, shaded, mild;
    ow_thaw_watch_start(&slow);
    ow_thaw_watch_start(&shaded);
    ow_thaw_watch_start(&mild);
    (void)warm(&slow, warm(&slow, 0, -6.0, 0.0, 6, 0.0), -6.0, 2.0, 30, 300.0);
    (void)warm(&shaded, warm(&shaded, 0, -6.0, 0.0, 6, 0.0), -6.0, 8.0, 6, 20.0);
    (void)warm(&mild, warm(&mild, 0, -1.0, 0.0, 6, 0.0), -1.0, 12.0, 6, 300.0);
    assert_false(slow.too_quick);
    assert_false(shaded.too_quick);
    assert_false(mild.too_quick);
}

static void warming_after_the_thaw_does_not_count(void **state)
{
    (void)state;
    ow_thaw_watch watch;
    ow_thaw_watch_start(&watch);
    ow_utc_s time_s = warm(&watch, 0, -3.0, 0.0, 6, 0.0);
    time_s = warm(&watch, time_s, -3.0, 3.0, 7, 300.0); /* slowly to above 0 C */
    (void)warm(&watch, time_s, 0.5, 12.0, 6, 400.0);    /* then quickly */
    assert_false(watch.too_quick);
}

static void a_first_step_in_the_sun_knows_nothing_of_the_night(void **state)
{
    (void)state;
    ow_thaw_watch watch;
    ow_thaw_watch_start(&watch);
    (void)warm(&watch, 0, -6.0, 12.0, 6, 300.0);
    assert_false(watch.too_quick);
}

static void quick_thaw_harms_buds_and_evergreen_leaves(void **state)
{
    (void)state;
    assert_true(ow_thaw_harms(OW_BUDS, OW_LEAVES_NONE));
    assert_true(ow_thaw_harms(OW_FOLIAGE, OW_LEAVES_EVERGREEN));
    assert_false(ow_thaw_harms(OW_FOLIAGE, OW_LEAVES_RESTING));
    assert_false(ow_thaw_harms(OW_ROOTS, OW_LEAVES_EVERGREEN));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_limit_must_be_passed_for_its_minutes),
        cmocka_unit_test(a_break_starts_the_count_again),
        cmocka_unit_test(minutes_of_the_limit_count),
        cmocka_unit_test(an_unset_limit_records_the_lowest_only),
        cmocka_unit_test(a_missing_temperature_neither_breaks_nor_adds),
        cmocka_unit_test(morning_sun_on_a_frozen_part_thaws_it_too_quickly),
        cmocka_unit_test(slow_shaded_or_unfrozen_thaw_does_no_harm),
        cmocka_unit_test(warming_after_the_thaw_does_not_count),
        cmocka_unit_test(a_first_step_in_the_sun_knows_nothing_of_the_night),
        cmocka_unit_test(quick_thaw_harms_buds_and_evergreen_leaves),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
