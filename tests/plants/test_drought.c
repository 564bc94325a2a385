/* SPDX-License-Identifier: MIT */
/* The drought clock: start, pause, reset, pace. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "plants/drought.h"

#define HOUR_S 3600.0

static ow_drought fresh(void)
{
    ow_drought drought;
    ow_drought_start(&drought);
    return drought;
}

static void hours(ow_drought *drought, int count, double least_ice, double open_share, double pace)
{
    for (int i = 0; i < count; i++) {
        ow_drought_step(drought, least_ice, open_share, pace, HOUR_S);
    }
}

static void runs_while_frozen_through(void **state)
{
    (void)state;
    ow_drought drought = fresh();
    hours(&drought, 24, 0.79, 0.0, 1.0);
    assert_false(drought.frozen_through || drought.running || drought.was_frozen);
    check_close("not frozen through", ow_drought_frozen_days(&drought), 0.0, 0.0, 0.0);
    hours(&drought, 48, 0.8, 0.0, 1.0);
    assert_true(drought.frozen_through && drought.running);
    check_close("two days", ow_drought_frozen_days(&drought), 2.0, 1e-12, 0.0);
}

static void keeps_running_until_a_tenth_is_open(void **state)
{
    (void)state;
    ow_drought drought = fresh();
    hours(&drought, 24, 0.95, 0.0, 1.0);
    hours(&drought, 12, 0.3, 0.09, 1.0); /* some water, not a tenth of the volume */
    assert_true(drought.running);
    assert_false(drought.frozen_through);
    check_close("still running", ow_drought_frozen_days(&drought), 1.5, 1e-12, 0.0);
    hours(&drought, 12, 0.3, 0.1, 1.0);
    assert_false(drought.running);
    assert_true(ow_drought_thawing(&drought));
    check_close("paused", ow_drought_frozen_days(&drought), 1.5, 1e-12, 0.0);
    hours(&drought, 12, 0.6, 0.05, 1.0); /* neither: a paused clock rests */
    check_close("still paused", ow_drought_frozen_days(&drought), 1.5, 1e-12, 0.0);
    assert_false(ow_drought_thawing(&drought));
    hours(&drought, 12, 0.9, 0.0, 1.0); /* frozen through again: goes on from there */
    check_close("goes on", ow_drought_frozen_days(&drought), 2.0, 1e-12, 0.0);
}

static void resets_after_exactly_a_day_of_open_water(void **state)
{
    (void)state;
    ow_drought drought = fresh();
    hours(&drought, 72, 1.0, 0.0, 1.0);
    hours(&drought, 23, 0.0, 1.0, 1.0);
    ow_drought_step(&drought, 0.0, 1.0, 1.0, HOUR_S - 1.0);
    check_close("a second short", ow_drought_frozen_days(&drought), 3.0, 1e-12, 0.0);
    check_close("left", ow_drought_reset_in_s(&drought), 1.0, 1e-9, 0.0);
    assert_true(ow_drought_thawing(&drought));
    ow_drought_step(&drought, 0.0, 1.0, 1.0, 1.0);
    check_close("24 h", ow_drought_frozen_days(&drought), 0.0, 0.0, 0.0);
    check_close("24 h, clock", ow_drought_clock_days(&drought), 0.0, 0.0, 0.0);
    check_close("nothing left", ow_drought_reset_in_s(&drought), 0.0, 0.0, 0.0);
    assert_false(ow_drought_thawing(&drought));
    assert_false(drought.was_frozen);
}

static void a_broken_day_of_open_water_does_not_reset(void **state)
{
    (void)state;
    ow_drought drought = fresh();
    hours(&drought, 72, 1.0, 0.0, 1.0);
    for (int i = 0; i < 5; i++) {
        hours(&drought, 23, 0.0, 1.0, 1.0);
        hours(&drought, 1, 0.6, 0.0, 1.0);
    }
    check_close("five thaws of 23 h", ow_drought_frozen_days(&drought), 3.0, 1e-12, 0.0);
}

static void the_pace_moves_the_clock_and_not_the_plain_days(void **state)
{
    (void)state;
    ow_drought drought = fresh();
    hours(&drought, 48, 1.0, 0.0, 1.5);
    check_close("clock", ow_drought_clock_days(&drought), 3.0, 1e-12, 0.0);
    check_close("plain", ow_drought_frozen_days(&drought), 2.0, 1e-12, 0.0);
    check_close("left", ow_drought_days_left(&drought, 5.0, 2.0), 1.0, 1e-12, 0.0);
    check_close("passed", ow_drought_days_left(&drought, 3.0, 2.0), 0.0, 0.0, 0.0);
    assert_true(isinf(ow_drought_days_left(&drought, 5.0, 0.0)));
    assert_true(isinf(ow_drought_days_left(&drought, NAN, 1.0)));
}

static void sun_and_wind_hasten_evergreen_leaves_only(void **state)
{
    (void)state;
    const ow_leaves evergreen = OW_LEAVES_EVERGREEN;
    check_close("shade, calm", ow_drought_pace(evergreen, false, 0.0, 0.0), 1.0, 0.0, 0.0);
    check_close("sun", ow_drought_pace(evergreen, false, 500.0, 0.0), 1.5, 1e-12, 0.0);
    check_close("half wind", ow_drought_pace(evergreen, false, 0.0, 3.0), 1.25, 1e-12, 0.0);
    check_close("both, bounded", ow_drought_pace(evergreen, false, 900.0, 20.0), 2.0, 1e-12, 0.0);
    check_close("missing", ow_drought_pace(evergreen, false, NAN, NAN), 1.0, 0.0, 0.0);
    check_close("resting", ow_drought_pace(OW_LEAVES_RESTING, false, 500.0, 6.0), 1.0, 0.0, 0.0);
    check_close("leafless", ow_drought_pace(OW_LEAVES_NONE, false, 500.0, 6.0), 0.0, 0.0, 0.0);
    check_close("lifted", ow_drought_pace(evergreen, true, 500.0, 6.0), 0.0, 0.0, 0.0);
}

/* Common practice, no source: a bog plant suffers at 5-6 days and may die at about 14; a tough
 * evergreen (21 days to suffering in shade) stands weeks even in sun and wind. */
static void trade_facts_hold(void **state)
{
    (void)state;
    ow_drought bog = fresh(), tough = fresh();
    const double bog_pace = ow_drought_pace(OW_LEAVES_RESTING, false, 120.0, 4.0);
    const double tough_pace = ow_drought_pace(OW_LEAVES_EVERGREEN, false, 80.0, 2.0);
    int suffers_h = 0, dies_h = 0;
    for (int hour = 1; hour <= 20 * 24; hour++) {
        hours(&bog, 1, 0.95, 0.0, bog_pace);
        hours(&tough, 1, 0.95, 0.0, tough_pace);
        if (suffers_h == 0 && ow_drought_days_left(&bog, 5.0, bog_pace) <= 0.0) {
            suffers_h = hour;
        }
        if (dies_h == 0 && ow_drought_days_left(&bog, 14.0, bog_pace) <= 0.0) {
            dies_h = hour;
        }
        if (hour == 14 * 24) {
            assert_true(ow_drought_days_left(&tough, 21.0, tough_pace) > 0.0);
        }
    }
    check_between("bog plant suffers, h", suffers_h, 5.0 * 24.0, 6.0 * 24.0);
    check_close("bog plant may die, h", dies_h, 14.0 * 24.0, 24.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(runs_while_frozen_through),
        cmocka_unit_test(keeps_running_until_a_tenth_is_open),
        cmocka_unit_test(resets_after_exactly_a_day_of_open_water),
        cmocka_unit_test(a_broken_day_of_open_water_does_not_reset),
        cmocka_unit_test(the_pace_moves_the_clock_and_not_the_plain_days),
        cmocka_unit_test(sun_and_wind_hasten_evergreen_leaves_only),
        cmocka_unit_test(trade_facts_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
