/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "hosts/lines.h"
#include "hosts/weather_file.h"

static ow_weather_file weather;
static struct lines lines;

static ow_status read_text(const char *text)
{
    lines_start(&lines);
    weather = (ow_weather_file){0};
    return ow_weather_file_read("spell.csv", text, strlen(text), &lines.report, &weather);
}

static void check_refused(const char *text, const char *line)
{
    assert_int_equal(read_text(text), OW_BAD_INPUT);
    check_says(&lines, line);
    assert_null(weather.row);
}

static void columns_may_stand_in_any_order(void **state)
{
    (void)state;
    assert_int_equal(read_text("rain_mm,time,surface_c,air_c,solar_wm2\n"
                               "1.5,2024-01-31T05:00:00Z,-2.25,-3,-4\n"
                               ",2024-01-31T06:00+01:00,,,8e2\n2,2024-01-31 06:30,1,+.5,0\n"),
                     OW_BAD_INPUT); /* 06:00+01:00 is 05:00Z again */
    assert_int_equal(read_text("rain_mm,time,surface_c,air_c,solar_wm2\n"
                               "1.5,2024-01-31T05:00:00Z,-2.25,-3,-4\n"
                               ",2024-01-31T07:00+01:00,,,8e2\n2,2024-01-31 06:30,1,+.5,0\n"),
                     OW_OK);
    assert_int_equal(weather.count, 3);
    assert_int_equal(weather.row[0].utc_s, 1706677200); /* date -u -d 2024-01-31T05:00Z +%s */
    assert_int_equal(weather.row[1].utc_s, 1706680800);
    check_close("rain", weather.row[0].rain_mm, 1.5, 0, 0);
    check_close("surface", weather.row[0].surface_c, -2.25, 0, 0);
    check_close("air", weather.row[0].air_c, -3.0, 0, 0);
    check_close("solar below zero", weather.row[0].solar_wm2, 0.0, 0, 0);
    check_close("solar", weather.row[1].solar_wm2, 800.0, 0, 0);
    check_close("air", weather.row[2].air_c, 0.5, 0, 0);
    assert_true(isnan(weather.row[1].rain_mm) && isnan(weather.row[1].air_c));
    assert_true(isnan(weather.row[0].wind_ms) && isnan(weather.row[0].ground_c));
    ow_weather_file_free(&weather);
}

static void marks_quotes_and_line_ends_are_tolerated(void **state)
{
    (void)state;
    assert_int_equal(read_text("\xEF\xBB\xBF\"time\", air_c\r\n\r\n"
                               "\"2024-01-31T05:00:00Z\",\"-1.5\" \r\n"
                               " 2024-01-31T06:00:00Z , 2"),
                     OW_OK);
    assert_int_equal(weather.count, 2);
    check_close("quoted", weather.row[0].air_c, -1.5, 0, 0);
    check_close("last line without an end", weather.row[1].air_c, 2.0, 0, 0);
    assert_int_equal(lines.count, 0);
    ow_weather_file_free(&weather);
}

static void every_fault_is_told_with_its_place(void **state)
{
    (void)state;
    assert_int_equal(read_text("time,air_c,rh_pct\n"
                               "2024-01-31T05:00:00Z,-61,106\n"
                               "2024-01-31T05:00:00Z,1,50\n"
                               "yesterday,1,50\n"
                               "2024-01-31T07:00:00Z,\xC3\xA9\xC3\xA9,nan\n"
                               "2024-01-31T08:00:00Z,1\n"
                               "2024-01-31T09:00:00Z,1,0x10\n"
                               "2024-01-31T10:00:00Z,\"1,5\n"),
                     OW_BAD_INPUT);
    check_says(&lines, "spell.csv:2:22: air_c is -61; it is -60 to 60 degrees Celsius");
    check_says(&lines, "spell.csv:2:26: rh_pct is 106; it is 0 to 105 per cent");
    check_says(&lines, "spell.csv:3:1: time is 2024-01-31T05:00:00Z, not later than");
    check_says(&lines, "spell.csv:4:1: time is \"yesterday\"; write it like");
    check_says(&lines, "spell.csv:5:22: air_c is \"\xC3\xA9\xC3\xA9\", which is no number");
    check_says(&lines, "spell.csv:5:25: rh_pct is \"nan\", which is no number");
    check_says(&lines, "spell.csv:6:1: the row has 2 fields; the header has 3");
    check_says(&lines, "spell.csv:7:24: rh_pct is \"0x10\", which is no number");
    check_says(&lines, "spell.csv:8:22: a quote has no partner on this line");
    assert_int_equal(lines.report.errors, 10); /* the open quote swallows a field as well */
}

static void each_column_has_its_range(void **state)
{
    static const struct {
        const char *name, *low, *high, *too_low, *too_high;
    } column[] = {
        {"rh_pct", "0", "105", "-0.1", "105.1"},     {"wind_ms", "0", "90", "-1", "90.5"},
        {"cloud_pct", "0", "100", "-1", "101"},      {"solar_wm2", "-10", "1500", "-11", "1501"},
        {"longwave_wm2", "50", "600", "49", "601"},  {"rain_mm", "0", "500", "-1", "501"},
        {"snow_cm", "0", "1000", "-1", "1001"},      {"ground_c", "-60", "80", "-61", "81"},
        {"surface_c", "-60", "80", "-60.1", "80.1"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof column / sizeof column[0]; i++) {
        char text[300];
        snprintf(text, sizeof text, "time,air_c,%s\n2024-01-01,1,%s\n2024-01-02,1,%s\n",
                 column[i].name, column[i].low, column[i].high);
        assert_int_equal(read_text(text), OW_OK);
        ow_weather_file_free(&weather);
        snprintf(text, sizeof text, "time,air_c,%s\n2024-01-01,1,%s\n2024-01-02,1,%s\n",
                 column[i].name, column[i].too_low, column[i].too_high);
        assert_int_equal(read_text(text), OW_BAD_INPUT);
        assert_int_equal(lines.report.errors, 2);
    }
}

static void headers_are_checked(void **state)
{
    (void)state;
    check_refused("", "spell.csv:1:1: the file is empty");
    check_refused("\n\r\n  \n", "the file is empty");
    check_refused("time,air_c\n", "there are no rows");
    check_refused("time,air\n2024-01-01,1\n", "column \"air\" is not known; the nearest is air_c");
    check_refused("time,air\n2024-01-01,1\n", "column air_c is missing");
    check_refused("air_c\n1\n", "column time is missing");
    check_refused("time,air_c,air_c\n2024-01-01,1,2\n",
                  "spell.csv:1:12: column air_c is there twice");
    check_refused("time;air_c\n2024-01-01;1\n", "spell.csv:1:1: the header is \"time;air_c\"");
    check_refused("time;air_c\n2024-01-01;1,5\n", "put commas between the fields");
    check_refused("time,air_c\n2024-01-01,\n", "no row has an air_c");
    char many[400] = "time,air_c";
    for (int i = 0; i < 64; i++) {
        strcat(many, ",x");
    }
    /* 62 unknown names up to the 64th, one column too many, 20 told */
    check_refused(many, "spell.csv: and 43 more");
}

static void many_faults_are_counted(void **state)
{
    char text[4000] = "time,air_c\n";
    (void)state;
    for (int i = 0; i < 100; i++) {
        strcat(text, "2024-01-01T00:00:00Z,x\n");
    }
    assert_int_equal(read_text(text), OW_BAD_INPUT);
    assert_int_equal(lines.count, OW_WEATHER_FAULTS_TOLD + 1);
    /* 100 wrong numbers and 99 times that do not rise, less the 20 that are told */
    check_says(&lines, "spell.csv: and 179 more");
}

static void another_unit_is_doubted(void **state)
{
    (void)state;
    assert_int_equal(read_text("time,air_c\n2024-01-01,36\n2024-01-02,41\n"), OW_OK);
    check_says(&lines,
               "spell.csv:1:6: advice: every air_c is above 35: is it in degrees Fahrenheit");
    assert_int_equal(lines.report.errors, 0);
    ow_weather_file_free(&weather);
    check_refused("time,air_c\n2024-01-01,273.1\n", "in kelvin");
    assert_int_equal(
        read_text("time,air_c,rh_pct,cloud_pct\n2024-01-01,3,0.5,8\n2024-01-02,4,1,2\n"), OW_OK);
    check_says(&lines, "no rh_pct is above 1");
    check_says(&lines, "no cloud_pct is above 8");
    ow_weather_file_free(&weather);
    assert_int_equal(read_text("time,air_c,rh_pct,cloud_pct\n2024-01-01,3,50,0\n"), OW_OK);
    assert_int_equal(lines.count, 0);
    ow_weather_file_free(&weather);
}

static void a_long_file_is_kept_whole(void **state)
{
    enum { ROWS = 3000 };
    static char text[ROWS * 32 + 32];
    char *at = text + sprintf(text, "time,air_c\n");
    (void)state;
    for (int i = 0; i < ROWS; i++) {
        at += sprintf(at, "2024-%02d-%02dT%02d:%02d:00Z,%d\n", 1 + i / 1500, 1 + i % 1500 / 60,
                      i % 60 / 6, i % 6 * 10, i % 50);
    }
    assert_int_equal(read_text(text), OW_OK);
    assert_int_equal(weather.count, ROWS);
    check_close("last", weather.row[ROWS - 1].air_c, (ROWS - 1) % 50, 0, 0);
    ow_weather_file_free(&weather);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_may_stand_in_any_order),
        cmocka_unit_test(marks_quotes_and_line_ends_are_tolerated),
        cmocka_unit_test(every_fault_is_told_with_its_place),
        cmocka_unit_test(each_column_has_its_range),
        cmocka_unit_test(headers_are_checked),
        cmocka_unit_test(many_faults_are_counted),
        cmocka_unit_test(another_unit_is_doubted),
        cmocka_unit_test(a_long_file_is_kept_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
