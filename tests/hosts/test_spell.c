/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "hosts/lines.h"
#include "hosts/spell.h"

/* Hourly rows at 0, 3600, ... 10 h, with a gap after 5 h. */
static ow_weather_row rows[] = {
    {.utc_s = 0},     {.utc_s = 3600},  {.utc_s = 7200},  {.utc_s = 10800},
    {.utc_s = 14400}, {.utc_s = 18000}, {.utc_s = 32400}, {.utc_s = 36000},
};
static const ow_weather_file weather = {rows, 8};
static struct lines lines;

static ow_spell chosen(int64_t from_s, int64_t until_s)
{
    ow_spell spell = {0};
    lines_start(&lines);
    assert_int_equal(ow_spell_choose(&weather, "spell.csv", from_s, until_s, &lines.report, &spell),
                     OW_OK);
    return spell;
}

static void ends_are_taken_in(void **state)
{
    (void)state;
    ow_spell spell = chosen(INT64_MIN, INT64_MAX);
    assert_int_equal(ow_spell_start_s(&spell), 0);
    assert_int_equal(ow_spell_end_s(&spell), 36000);
    spell = chosen(3600, 14400);
    assert_int_equal(ow_spell_start_s(&spell), 3600);
    assert_int_equal(ow_spell_end_s(&spell), 14400);
    spell = chosen(3601, 14399);
    assert_int_equal(ow_spell_start_s(&spell), 7200);
    assert_int_equal(ow_spell_end_s(&spell), 10800);
}

static void a_start_needs_an_air_temperature(void **state)
{
    ow_weather_row gappy[] = {
        {.utc_s = 0, .air_c = NAN}, {.utc_s = 60}, {.utc_s = 120, .air_c = NAN}};
    const ow_weather_file file = {gappy, 3};
    ow_spell spell;
    (void)state;
    lines_start(&lines);
    assert_int_equal(
        ow_spell_choose(&file, "spell.csv", INT64_MIN, INT64_MAX, &lines.report, &spell), OW_OK);
    assert_int_equal(ow_spell_start_s(&spell), 60);
    assert_int_equal(ow_spell_end_s(&spell), 120);
    assert_int_equal(ow_spell_choose(&file, "spell.csv", 61, INT64_MAX, &lines.report, &spell),
                     OW_BAD_INPUT);
}

static void an_empty_span_is_refused(void **state)
{
    ow_spell spell;
    (void)state;
    lines_start(&lines);
    assert_int_equal(ow_spell_choose(&weather, "spell.csv", 18001, 32399, &lines.report, &spell),
                     OW_BAD_INPUT);
    check_says(&lines, "spell.csv: no row with an air_c lies between");
    check_says(&lines, "1970-01-01T10:00:00Z");
}

static void rows_are_fed_once_and_as_far_as_needed(void **state)
{
    const ow_weather_row *next;
    (void)state;
    ow_spell spell = chosen(3600, 36000);
    assert_int_equal(ow_spell_feed(&spell, 3600, &next), 1);
    assert_int_equal(next[0].utc_s, 3600);
    assert_int_equal(ow_spell_feed(&spell, 7200, &next), 1);
    assert_int_equal(next[0].utc_s, 7200);
    /* between two rows the later one is needed too */
    assert_int_equal(ow_spell_feed(&spell, 9000, &next), 1);
    assert_int_equal(next[0].utc_s, 10800);
    assert_int_equal(ow_spell_feed(&spell, 10800, &next), 0);
    assert_int_equal(ow_spell_feed(&spell, 36000, &next), 4);
    assert_int_equal(next[3].utc_s, 36000);
    assert_int_equal(ow_spell_feed(&spell, 40000, &next), 0);
}

static void foresight_begins_after_now(void **state)
{
    const ow_weather_row *next;
    (void)state;
    ow_spell spell = chosen(0, 14400);
    assert_int_equal(ow_spell_ahead(&spell, 3600, 7200, &next), 2);
    assert_int_equal(next[0].utc_s, 7200);
    assert_int_equal(next[1].utc_s, 10800);
    /* it looks past the end of what is played, and not past the file */
    assert_int_equal(ow_spell_ahead(&spell, 14400, 360000, &next), 3);
    assert_int_equal(ow_spell_ahead(&spell, 36000, 3600, &next), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ends_are_taken_in),
        cmocka_unit_test(a_start_needs_an_air_temperature),
        cmocka_unit_test(an_empty_span_is_refused),
        cmocka_unit_test(rows_are_fed_once_and_as_far_as_needed),
        cmocka_unit_test(foresight_begins_after_now),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
