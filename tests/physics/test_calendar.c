/* SPDX-License-Identifier: MIT */
/* The calendar against the C library's over two centuries, and every form of a written time. */
#define _DEFAULT_SOURCE /* timegm, gmtime_r */

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <time.h>

#include "physics/calendar.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static ow_utc_s parsed(const char *text)
{
    ow_utc_s time_s = 0;
    if (ow_time_parse(text, &time_s) != OW_OK) {
        fail_msg("\"%s\" was refused", text);
    }
    return time_s;
}

static void check_date(ow_utc_s time_s, ow_date want)
{
    ow_date got = ow_date_of(time_s);
    assert_int_equal(got.year, want.year);
    assert_int_equal(got.month, want.month);
    assert_int_equal(got.day, want.day);
    assert_int_equal(got.hour, want.hour);
    assert_int_equal(got.minute, want.minute);
    assert_int_equal(got.second, want.second);
    assert_int_equal(ow_time_of(&got), time_s);
}

static void the_epoch_and_its_neighbours(void **state)
{
    (void)state;
    check_date(0, (ow_date){1970, 1, 1, 0, 0, 0});
    check_date(-1, (ow_date){1969, 12, 31, 23, 59, 59});
    check_date(-OW_DAY_S, (ow_date){1969, 12, 31, 0, 0, 0});
    check_date(OW_DAY_S - 1, (ow_date){1970, 1, 1, 23, 59, 59});
}

/* Of the centuries only every fourth is a leap year (the Gregorian rule). */
static void leap_years(void **state)
{
    (void)state;
    assert_int_equal(parsed("1900-03-01") - parsed("1900-02-28"), OW_DAY_S);
    assert_int_equal(parsed("2000-03-01") - parsed("2000-02-28"), 2 * OW_DAY_S);
    assert_int_equal(parsed("2023-03-01") - parsed("2023-02-28"), OW_DAY_S);
    assert_int_equal(parsed("2024-03-01") - parsed("2024-02-28"), 2 * OW_DAY_S);
    assert_int_equal(ow_day_of_year(parsed("1900-12-31")), 365);
    assert_int_equal(ow_day_of_year(parsed("2000-12-31")), 366);
    assert_int_equal(ow_day_of_year(parsed("2024-12-31")), 366);
    check_date(parsed("2024-02-29T12:30:15Z"), (ow_date){2024, 2, 29, 12, 30, 15});
    check_date(parsed("2000-02-29"), (ow_date){2000, 2, 29, 0, 0, 0});
}

static void day_of_year(void **state)
{
    (void)state;
    assert_int_equal(ow_day_of_year(parsed("2024-01-01")), 1);
    assert_int_equal(ow_day_of_year(parsed("2023-03-01")), 60);
    assert_int_equal(ow_day_of_year(parsed("2024-03-01")), 61);
    assert_int_equal(ow_day_of_year(parsed("1969-12-31T23:59:59Z")), 365);
}

static void weekday(void **state)
{
    (void)state;
    assert_int_equal(ow_weekday(0), 3);                    /* a Thursday: POSIX epoch */
    assert_int_equal(ow_weekday(-1), 2);                   /* the Wednesday before */
    assert_int_equal(ow_weekday(parsed("2024-02-29")), 3); /* a Thursday: wall calendar */
    assert_int_equal(ow_weekday(parsed("2000-01-01")), 5); /* a Saturday: wall calendar */
    assert_int_equal(ow_weekday(parsed("1900-01-01")), 0); /* a Monday: wall calendar */
}

/* 1900 to 2100 in steps that meet every day and, over the years, every hour and second. */
static void agrees_with_the_c_library(void **state)
{
    const ow_utc_s first = -2208988800; /* 1900-01-01, as in RFC 5905 (NTP era offset) */
    const ow_utc_s last = 4133894400;   /* 2100-12-31 */
    (void)state;
    assert_int_equal(parsed("1900-01-01"), first);
    assert_int_equal(parsed("2100-12-31"), last);
    for (ow_utc_s time_s = first; time_s < last; time_s += 45007) {
        time_t theirs = (time_t)time_s;
        struct tm want;
        assert_non_null(gmtime_r(&theirs, &want));
        check_date(time_s, (ow_date){want.tm_year + 1900, want.tm_mon + 1, want.tm_mday,
                                     want.tm_hour, want.tm_min, want.tm_sec});
        assert_int_equal(ow_day_of_year(time_s), want.tm_yday + 1);
        assert_int_equal(ow_weekday(time_s), (want.tm_wday + 6) % 7);
        assert_int_equal(timegm(&want), time_s);
    }
}

static void far_years_round_trip(void **state)
{
    (void)state;
    check_date(parsed("0001-01-01"), (ow_date){1, 1, 1, 0, 0, 0});
    check_date(parsed("9999-12-31T23:59:59"), (ow_date){9999, 12, 31, 23, 59, 59});
    for (ow_utc_s t = parsed("0001-01-01"); t < parsed("9999-12-31"); t += 8640007) {
        ow_date date = ow_date_of(t);
        assert_int_equal(ow_time_of(&date), t);
    }
}

static void every_form_is_read(void **state)
{
    static const struct {
        const char *text;
        ow_utc_s want; /* GNU date -u -d TEXT +%s */
    } forms[] = {
        {"2024-01-31", 1706659200},
        {"2024-01-31T05:00", 1706677200},
        {"2024-01-31 05:00", 1706677200},
        {"2024-01-31T05:00Z", 1706677200},
        {"2024-01-31T05:00:07", 1706677207},
        {"2024-01-31T05:00:07Z", 1706677207},
        {"2024-01-31 05:00:07Z", 1706677207},
        {"2024-01-31T05:00:07.9Z", 1706677207},
        {"2024-01-31T05:00:07.123456789", 1706677207},
        {"2024-01-31T05:00+01:00", 1706673600},
        {"2024-01-31T05:00:07-03:30", 1706689807},
        {"2024-01-31 05:00:07.5+05:45", 1706656507},
        {"2024-01-01T00:30+01:00", 1704065400},
        {"2023-12-31T23:30-01:00", 1704069000},
        {"2024-01-31T05:00-00:00", 1706677200},
        {"2024-01-31T00:00+23:59", 1706572860},
    };
    (void)state;
    for (size_t i = 0; i < COUNT(forms); i++) {
        if (parsed(forms[i].text) != forms[i].want) {
            fail_msg("\"%s\" was read as %lld", forms[i].text, (long long)parsed(forms[i].text));
        }
    }
}

static void anything_else_is_refused(void **state)
{
    static const char *const wrong[] = {
        "",
        " ",
        "now",
        "2024",
        "2024-01",
        "2024-1-31",
        "24-01-31",
        "02024-01-31",
        "+2024-01-31",
        "-2024-01-31",
        "0000-01-01",
        "2024-00-31",
        "2024-13-01",
        "2024-01-00",
        "2024-01-32",
        "2024-04-31",
        "2023-02-29",
        "1900-02-29",
        "2024/01/31",
        "20240131",
        "2024-01-31Z",
        "2024-01-31T",
        "2024-01-31 ",
        " 2024-01-31",
        "2024-01-31T5:00",
        "2024-01-31T05",
        "2024-01-31T05:0",
        "2024-01-31T24:00",
        "2024-01-31T05:60",
        "2024-01-31T05:00:60",
        "2024-01-31T05:00:",
        "2024-01-31T05:00:7",
        "2024-01-31T05:00:07.",
        "2024-01-31T05:00:07.Z",
        "2024-01-31T05:00:07,5",
        "2024-01-31T05:00.5",
        "2024-01-31T05:00ZZ",
        "2024-01-31T05:00Z ",
        "2024-01-31t05:00",
        "2024-01-31T05:00z",
        "2024-01-31T05:00+1:00",
        "2024-01-31T05:00+0100",
        "2024-01-31T05:00+01",
        "2024-01-31T05:00+24:00",
        "2024-01-31T05:00+01:60",
        "2024-01-31T05:00 +01:00",
        "2024-01-31T05:00+01:00Z",
        "2024-01-31  05:00",
        "2024-01-31T-5:00",
        "31.01.2024 05:00",
    };
    (void)state;
    for (size_t i = 0; i < COUNT(wrong); i++) {
        ow_utc_s time_s = 42;
        if (ow_time_parse(wrong[i], &time_s) != OW_BAD_INPUT) {
            fail_msg("\"%s\" was read as %lld", wrong[i], (long long)time_s);
        }
        assert_int_equal(time_s, 42); /* left untouched */
    }
}

static void times_are_written(void **state)
{
    char text[OW_TIME_TEXT];
    (void)state;
    assert_ptr_equal(ow_time_format(0, text), text);
    assert_string_equal(text, "1970-01-01T00:00:00Z");
    assert_string_equal(ow_time_format(1706677207, text), "2024-01-31T05:00:07Z");
    assert_string_equal(ow_time_format(-1, text), "1969-12-31T23:59:59Z");
    assert_string_equal(ow_time_format(parsed("0001-02-03"), text), "0001-02-03T00:00:00Z");
    for (ow_utc_s t = parsed("0001-01-01"); t < parsed("9999-12-31"); t += 86400007) {
        assert_int_equal(parsed(ow_time_format(t, text)), t);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_epoch_and_its_neighbours),
        cmocka_unit_test(leap_years),
        cmocka_unit_test(day_of_year),
        cmocka_unit_test(weekday),
        cmocka_unit_test(agrees_with_the_c_library),
        cmocka_unit_test(far_years_round_trip),
        cmocka_unit_test(every_form_is_read),
        cmocka_unit_test(anything_else_is_refused),
        cmocka_unit_test(times_are_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
