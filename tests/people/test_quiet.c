/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "people/quiet.h"
#include "zone.h"

#define AT(h, m) ((h) * 60 + (m))

/* Quiet must begin and end at these instants (UTC) and not change in between. */
static void check_span(ow_hours hours, const char *from, const char *until)
{
    ow_utc_s begin = zone_time(from), end = zone_time(until);
    for (ow_utc_s t = begin - 3 * OW_HOUR_S; t < end + 3 * OW_HOUR_S; t += 60) {
        bool wanted = t >= begin && t < end;
        if (ow_is_quiet(hours, &zone, t) != wanted) {
            char text[OW_TIME_TEXT];
            fail_msg("at %s quiet is %d", ow_time_format(t, text), !wanted);
        }
    }
    assert_false(ow_is_quiet(hours, &zone, begin - 1)); /* to the second */
    assert_true(ow_is_quiet(hours, &zone, end - 1));
}

static void a_span_of_the_day(void **state)
{
    (void)state;
    check_span((ow_hours){AT(13, 0), AT(15, 30)}, "2024-01-10T12:00Z", "2024-01-10T14:30Z");
    check_span((ow_hours){AT(13, 0), AT(15, 30)}, "2024-07-10T11:00Z", "2024-07-10T13:30Z");
}

static void a_span_may_pass_midnight(void **state)
{
    (void)state;
    check_span((ow_hours){AT(22, 0), AT(7, 0)}, "2024-01-10T21:00Z", "2024-01-11T06:00Z");
    check_span((ow_hours){AT(0, 0), AT(6, 0)}, "2024-01-09T23:00Z", "2024-01-10T05:00Z");
    check_span((ow_hours){AT(22, 0), AT(0, 0)}, "2024-01-10T21:00Z", "2024-01-10T23:00Z");
}

static void no_hours_are_never_quiet(void **state)
{
    (void)state;
    for (ow_utc_s t = 1704844800; t < 1704844800 + OW_DAY_S; t += 600) {
        assert_false(ow_is_quiet((ow_hours){-1, -1}, &zone, t));
        assert_false(ow_is_quiet((ow_hours){AT(7, 0), AT(7, 0)}, &zone, t));
    }
}

/* 27 October: 03:00 becomes 02:00 at 01:00 UTC, the hour from two to three happens twice. */
static void the_night_with_an_hour_twice(void **state)
{
    (void)state;
    check_span((ow_hours){AT(22, 0), AT(7, 0)}, "2024-10-26T20:00Z", "2024-10-27T06:00Z");
    /* ends the second time it is half past two */
    check_span((ow_hours){AT(22, 0), AT(2, 30)}, "2024-10-26T20:00Z", "2024-10-27T01:30Z");
    /* begins the first time it is half past two */
    check_span((ow_hours){AT(2, 30), AT(7, 0)}, "2024-10-27T00:30Z", "2024-10-27T06:00Z");
    check_span((ow_hours){AT(2, 10), AT(2, 50)}, "2024-10-27T00:10Z", "2024-10-27T01:50Z");
    check_span((ow_hours){AT(22, 0), AT(2, 0)}, "2024-10-26T20:00Z", "2024-10-27T01:00Z");
    check_span((ow_hours){AT(3, 0), AT(7, 0)}, "2024-10-27T02:00Z", "2024-10-27T06:00Z");
}

/* 31 March: 02:00 becomes 03:00 at 01:00 UTC, the hour between does not exist. */
static void the_night_without_an_hour(void **state)
{
    (void)state;
    check_span((ow_hours){AT(22, 0), AT(7, 0)}, "2024-03-30T21:00Z", "2024-03-31T05:00Z");
    check_span((ow_hours){AT(22, 0), AT(2, 30)}, "2024-03-30T21:00Z", "2024-03-31T01:00Z");
    check_span((ow_hours){AT(2, 30), AT(7, 0)}, "2024-03-31T01:00Z", "2024-03-31T05:00Z");
    for (ow_utc_s t = zone_time("2024-03-30T23:00Z"); t < zone_time("2024-03-31T03:00Z"); t++) {
        assert_false(ow_is_quiet((ow_hours){AT(2, 10), AT(2, 50)}, &zone, t));
    }
}

static void local_times_as_instants(void **state)
{
    (void)state;
    int64_t twice = zone_time("2024-10-27T02:30Z"), never = zone_time("2024-03-31T02:30Z");
    assert_true(ow_local_first_s(&zone, twice) == zone_time("2024-10-27T00:30Z"));
    assert_true(ow_local_last_s(&zone, twice) == zone_time("2024-10-27T01:30Z"));
    assert_true(ow_local_first_s(&zone, never) == zone_time("2024-03-31T01:00Z"));
    assert_true(ow_local_last_s(&zone, never) == zone_time("2024-03-31T01:00Z"));
    assert_true(ow_local_first_s(&zone, zone_time("2024-03-31T03:00Z")) ==
                zone_time("2024-03-31T01:00Z"));
    assert_true(ow_local_first_s(&zone, zone_time("2024-10-28T02:30Z")) ==
                zone_time("2024-10-28T01:30Z"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_span_of_the_day),
        cmocka_unit_test(a_span_may_pass_midnight),
        cmocka_unit_test(no_hours_are_never_quiet),
        cmocka_unit_test(the_night_with_an_hour_twice),
        cmocka_unit_test(the_night_without_an_hour),
        cmocka_unit_test(local_times_as_instants),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
