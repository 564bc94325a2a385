/* SPDX-License-Identifier: MIT */
/* The evening sheet's now, and its sentences. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "check.h"
#include "hosts/ahead.h"
#include "hosts/printed_sheet.h"

enum { ROWS = 101, STEP_S = 1800 };
static const int64_t START = 1704412800; /* date -u -d 2024-01-05 +%s */

static ow_weather_row row[ROWS];

static ow_spell spell_from(int64_t start_s)
{
    for (int i = 0; i < ROWS; i++) {
        row[i] = (ow_weather_row){.utc_s = start_s + i * (int64_t)3600, .air_c = 1.0};
    }
    return (ow_spell){row, ROWS, 0, ROWS, 0};
}

static void now_is_given_or_the_clock_or_before_the_end(void **state)
{
    (void)state;
    ow_spell s = spell_from(START);
    int64_t none = INT64_MIN, hour = 3600, end = START + 100 * hour;
    assert_true(ow_ahead_now_s(&s, START + 7 * hour, START + 9 * hour, 72, STEP_S) ==
                START + 7 * hour);
    assert_true(ow_ahead_now_s(&s, none, START + 9 * hour, 72, STEP_S) == START + 9 * hour);
    assert_true(ow_ahead_now_s(&s, none, end, 72, STEP_S) == end - 72 * hour);
    assert_true(ow_ahead_now_s(&s, none, START - 1, 72, STEP_S) == end - 72 * hour);
    assert_true(ow_ahead_now_s(&s, none, 0, 240, STEP_S) == START);
}

/* A plant is judged where a step begins or crosses an hour, and nowhere else. */
static void now_is_put_back_to_a_judgement(void **state)
{
    (void)state;
    ow_spell s = spell_from(START);
    assert_true(ow_ahead_now_s(&s, START + 7199, 0, 72, STEP_S) == START + 3600);
    s = spell_from(START + 600); /* steps at ten past and twenty to */
    assert_true(ow_ahead_now_s(&s, START + 7199, 0, 72, STEP_S) == START + 4200);
}

static void efforts_and_times_are_told(void **state)
{
    (void)state;
    char text[OW_PRINTED_LINE];
    ow_job_view job = {.minutes = 8, .people = 2, .kg = 61.7, .who = "Ada and Ben",
                       .by_s = INT64_MIN, .last_s = INT64_MIN};
    ow_printed_effort(&job, text);
    assert_string_equal(text, "8 min, 2 people, 62 kg to lift, for Ada and Ben");
    ow_printed_by(&job, text);
    assert_string_equal(text, "no hurry");
    job = (ow_job_view){.minutes = 5, .people = 1, .kg = NAN, .by_s = START, .last_s = START + 3600,
                        .late = true};
    ow_printed_effort(&job, text);
    assert_non_null(strstr(text, "5 min; at the latest Fri "));
    ow_printed_by(&job, text);
    assert_non_null(strstr(text, "late, by Fri "));
}

static void nothing_to_do_is_said(void **state)
{
    (void)state;
    char text[OW_PRINTED_LINE];
    ow_printed e = {.ahead = {.known = false}};
    ow_printed_lowest(&e, text);
    assert_string_equal(text, "Nothing is known of the hours ahead.");
    ow_printed_first(&e, text);
    assert_string_equal(text, "Nothing to do.");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(now_is_given_or_the_clock_or_before_the_end),
        cmocka_unit_test(now_is_put_back_to_a_judgement),
        cmocka_unit_test(efforts_and_times_are_told),
        cmocka_unit_test(nothing_to_do_is_said),
    };
    return cmocka_run_group_tests_name("ahead", tests, NULL, NULL);
}
