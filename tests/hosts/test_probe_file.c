/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "check.h"
#include "hosts/lines.h"
#include "hosts/probe_file.h"

static struct lines lines;
static ow_probe_file file;

static ow_status read_text(const char *text)
{
    lines_start(&lines);
    return ow_probe_file_read("probe.csv", text, strlen(text), &lines.report, &file);
}

static void a_record_is_read(void **state)
{
    (void)state;
    assert_int_equal(read_text("time,lemon_c\n2024-01-05T00:00:00Z,3.5\n\n"
                               "2024-01-05T01:00:00Z,\n2024-01-05T02:30:00Z,-1.25\n"),
                     OW_OK);
    assert_string_equal(file.plant, "lemon");
    assert_int_equal(file.count, 3);
    assert_int_equal(file.row[0].utc_s, 1704412800); /* date -u -d 2024-01-05 +%s */
    check_close("first", file.row[0].c, 3.5, 0, 0);
    assert_true(isnan(file.row[1].c));
    check_close("last", file.row[2].c, -1.25, 0, 0);
    assert_int_equal(file.row[2].utc_s, 1704412800 + 9000);
    ow_probe_file_free(&file);
}

static void units_and_order_are_those_of_the_header(void **state)
{
    (void)state;
    assert_int_equal(read_text("probe_f,time\n41,2024-01-05T00:00:00Z\n"), OW_OK);
    assert_string_equal(file.plant, "");
    check_close("41 F", file.row[0].c, 5.0, 1e-12, 0);
    ow_probe_file_free(&file);
    assert_int_equal(read_text("time,bay-tree_k\n2024-01-05T00:00:00Z,275.15\n"), OW_OK);
    assert_string_equal(file.plant, "bay-tree");
    check_close("275.15 K", file.row[0].c, 2.0, 1e-9, 0);
    ow_probe_file_free(&file);
}

static void check_refused(const char *text, const char *says)
{
    assert_int_equal(read_text(text), OW_BAD_INPUT);
    check_says(&lines, says);
}

static void what_is_wrong_is_named(void **state)
{
    (void)state;
    check_refused("", "probe.csv:1:1: the file is empty");
    check_refused("time,lemon\n", "probe.csv:1:6: column \"lemon\" does not belong here");
    check_refused("time,lemon_c,bay_c\n", "column \"bay_c\" does not belong here");
    check_refused("lemon_c\n", "column time is missing");
    check_refused("time\n", "column of the temperature is missing");
    check_refused("time,air_c,wind_ms\n", "is this the weather?");
    check_refused("time,lemon_c\n", "there are no rows");
    check_refused("time,lemon_c\n3.5,2024-01-05T00:00:00Z\n",
                  "probe.csv:2:1: time is \"3.5\", a number: are the columns swapped?");
    check_refused("time,lemon_c\n3.5,2024-01-05T00:00:00Z\n",
                  "probe.csv:2:5: the temperature is \"2024-01-05T00:00:00Z\", which is no number "
                  "but a time: are the columns swapped?");
    check_refused("time,lemon_c\n2024-01-05T00:00:00Z,3,5\n", "the row has 3 fields");
    check_refused("time,lemon_c\n2024-01-05T00:00:00Z,cold\n", "which is no number; write it");
    check_refused("time,lemon_c\n2024-01-05T00:00:00Z,85\n", "a broken wire often reads 85 or -127");
    check_refused("time,lemon_c\n2024-01-05T00:00:00Z,-127\n", "the probe reads -127.0 C");
    check_refused("time,lemon_c\n2024-01-05T00:00:00Z,276\n", "name the column probe_k");
    check_refused("time,lemon_c\n2024-01-05T01:00:00Z,3\n2024-01-05T00:00:00Z,3\n",
                  "probe.csv:3:1: time is 2024-01-05T00:00:00Z, not later");
}

/* Not a line for each row of a file that is wrong all through. */
static void a_file_all_wrong_is_told_shortly(void **state)
{
    (void)state;
    static char text[20000] = "time,lemon_c\n";
    for (int i = 0; i < 500; i++) {
        strcat(text, "2024-01-05,85\n");
    }
    assert_int_equal(read_text(text), OW_BAD_INPUT);
    assert_in_range(lines.report.errors, 1, 25);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_record_is_read),
        cmocka_unit_test(units_and_order_are_those_of_the_header),
        cmocka_unit_test(what_is_wrong_is_named),
        cmocka_unit_test(a_file_all_wrong_is_told_shortly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
