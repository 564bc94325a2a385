/* SPDX-License-Identifier: MIT */
/* Numbers, files, flowing lines, the story and local time. */
#define _POSIX_C_SOURCE 200809L

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>
#include <unistd.h>

#include "check.h"
#include "hosts/flow.h"
#include "hosts/lines.h"
#include "hosts/local_time.h"
#include "hosts/numbers.h"
#include "hosts/story.h"
#include "hosts/text_file.h"

static struct lines lines;
static char text[65536];
static char dir[] = "/tmp/overwinter-texts-XXXXXX";

static void numbers_have_fixed_decimals(void **state)
{
    char out[OW_NUMBER_TEXT];
    (void)state;
    assert_string_equal(ow_fixed(-0.004, 2, out), "0.00");
    assert_string_equal(ow_fixed(-0.0, 2, out), "0.00");
    assert_string_equal(ow_fixed(-0.4, 0, out), "0");
    assert_string_equal(ow_fixed(-12.345678, 2, out), "-12.35");
    assert_string_equal(ow_fixed(0.5, 4, out), "0.5000");
    assert_string_equal(ow_fixed(NAN, 2, out), "");
    assert_string_equal(ow_fixed(INFINITY, 2, out), "");
}

static void csv_fields_are_quoted_when_needed(void **state)
{
    FILE *file = tmpfile();
    (void)state;
    assert_non_null(file);
    ow_csv_text(file, "plain; text");
    ow_csv_text(file, "a, \"b\"\nc");
    ow_csv_number(file, NAN, 2);
    ow_csv_number(file, 1.0, 2);
    assert_string_equal(file_text(file, text, sizeof text), "plain; text\"a, \"\"b\"\"\nc\",,1.00");
    fclose(file);
}

static void lines_keep_to_eighty_columns(void **state)
{
    FILE *file = tmpfile();
    ow_flow flow = {.file = file, .indent = 4}, counted = {.indent = 4};
    (void)state;
    assert_non_null(file);
    for (int i = 0; i < 60; i++) {
        ow_flow_words(&flow, "gr\xC3\xBCn \x1B[1m");
        ow_flow_words(&counted, "gr\xC3\xBCn \x1B[1m");
    }
    ow_flow_end(&flow);
    ow_flow_end(&counted);
    file_text(file, text, sizeof text);
    fclose(file);
    assert_int_equal(flow.lines, counted.lines);
    assert_null(strchr(text, '\x1B'));
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        assert_true(ow_flow_columns(line) <= 80);
        assert_memory_equal(line, "    ", 4);
    }
}

static void files_are_whole_or_not_there(void **state)
{
    ow_out out;
    char path[200], *whole;
    size_t size;
    (void)state;
    lines_start(&lines);
    snprintf(path, sizeof path, "%s/a/b", dir);
    assert_int_equal(ow_out_dir(path, &lines.report), OW_OK);
    assert_int_equal(ow_out_dir(path, &lines.report), OW_OK);
    assert_int_equal(ow_out_open(&out, path, "x.txt", &lines.report), OW_OK);
    fputs("seven b", out.file);
    snprintf(path, sizeof path, "%s/a/b/x.txt", dir);
    assert_int_not_equal(access(path, F_OK), 0);
    assert_int_equal(ow_out_keep(&out, &lines.report), OW_OK);
    assert_int_equal(ow_text_read(path, 7, &lines.report, &whole, &size), OW_OK);
    assert_int_equal(size, 7);
    assert_string_equal(whole, "seven b");
    free(whole);
    assert_int_equal(ow_text_read(path, 6, &lines.report, &whole, &size), OW_BAD_INPUT);
    check_says(&lines, "x.txt: is larger than");
    assert_int_equal(ow_out_dir(path, &lines.report), OW_IO);
    check_says(&lines, "the directory cannot be made");
}

static void a_full_device_is_told(void **state)
{
    ow_out out;
    char path[200];
    (void)state;
    lines_start(&lines);
    /* Whatever is written to the part file goes to a device that is always full. */
    snprintf(path, sizeof path, "%s/full.txt.part", dir);
    assert_int_equal(symlink("/dev/full", path), 0);
    assert_int_equal(ow_out_open(&out, dir, "full.txt", &lines.report), OW_OK);
    fputs("no room for this", out.file);
    assert_int_equal(ow_out_keep(&out, &lines.report), OW_IO);
    check_says(&lines, "full.txt: cannot be written: No space left on device");
    assert_int_not_equal(access(path, F_OK), 0);
}

/* Transition days of 2024 by Directive 2000/84/EC: last Sundays of March and October, 01:00 UTC. */
static void local_time_follows_the_zone(void **state)
{
    char out[OW_LOCAL_TEXT];
    (void)state;
    lines_start(&lines);
    assert_int_equal(ow_local_zone("CET-1CEST,M3.5.0,M10.5.0/3", "garden.json", &lines.report),
                     OW_OK);
    assert_int_equal(ow_local_offset_s(NULL, 1711846799), 3600); /* 2024-03-31T00:59:59Z */
    assert_int_equal(ow_local_offset_s(NULL, 1711846800), 7200);
    assert_int_equal(ow_local_offset_s(NULL, 1729990799), 7200); /* 2024-10-27T00:59:59Z */
    assert_int_equal(ow_local_offset_s(NULL, 1729990800), 3600);
    assert_string_equal(ow_local_short(1711846800, out), "Sun 31 03:00");
    assert_string_equal(ow_local_long(1704412800, out), "Fri  5 Jan 2024 01:00");
    assert_string_equal(ow_local_day(1704412800, out), "5 Jan");
    assert_int_equal(lines.count, 0);
}

static void unknown_zones_are_refused(void **state)
{
    (void)state;
    lines_start(&lines);
    setenv("TZDIR", dir, 1); /* a folder without any zone in it */
    assert_int_equal(ow_local_zone("Europe/Nowhere", "garden.json", &lines.report), OW_BAD_INPUT);
    check_says(&lines, "garden.json: site.time_zone is \"Europe/Nowhere\"");
    assert_int_equal(ow_local_zone("../etc/passwd", "garden.json", &lines.report), OW_BAD_INPUT);
    assert_int_equal(ow_local_zone("", "garden.json", &lines.report), OW_BAD_INPUT);
    lines_start(&lines);
    setenv("TZDIR", "/there/is/no/such/folder", 1);
    assert_int_equal(ow_local_zone("Europe/Paris", "garden.json", &lines.report), OW_OK);
    check_says(&lines, "advice: this system has no time zones");
    assert_int_equal(lines.report.errors, 0);
    assert_int_equal(ow_local_offset_s(NULL, 1711846800), 0);
    unsetenv("TZDIR");
}

static const char *story(const ow_event *event, int count, int most_lines)
{
    FILE *file = tmpfile();
    ow_event_log log = {.item = (ow_event *)event, .count = count};
    assert_non_null(file);
    ow_story_tell(file, &log, most_lines);
    file_text(file, text, sizeof text);
    fclose(file);
    return text;
}

static void the_story_puts_like_events_together(void **state)
{
    const ow_event event[] = {
        {0, "lemon", "state", "cover soon: leaves at -3 C by six"},
        {0, "olive", "state", "cover soon: leaves at -4 C by six"},
        {60, "lemon", "state", "cover soon: leaves at -3 C by six"},
        {7200, "fern", "job", "look"},
    };
    (void)state;
    lines_start(&lines);
    assert_int_equal(ow_local_zone("UTC0", "garden.json", &lines.report), OW_OK);
    assert_string_equal(story(event, 4, 25), "Thu  1 00:00  cover soon    lemon, olive\n"
                                             "    lemon: leaves at -3 C by six\n"
                                             "Thu  1 02:00  job: look     fern\n");
    /* shorter: first the jobs go, then the reasons; the last line counts what was left out */
    assert_string_equal(story(event, 4, 3), "Thu  1 00:00  cover soon    lemon, olive\n"
                                            "    lemon: leaves at -3 C by six\n"
                                            "and 1 more in events.csv\n");
    assert_string_equal(story(event, 4, 2), "Thu  1 00:00  cover soon    lemon, olive\n"
                                            "and 2 more in events.csv\n");
}

static void a_story_tells_each_state_of_a_plant_once(void **state)
{
    static ow_event event[24];
    char name[24][20];
    (void)state;
    for (int i = 0; i < 24; i++) {
        snprintf(name[i], sizeof name[i], "fern-%d", i % 12);
        event[i] = (ow_event){i * (int64_t)60, name[i], "state", "thawing: water moves"};
    }
    story(event, 24, 3);
    assert_non_null(strstr(text, "fern-0, fern-1"));
    assert_non_null(strstr(text, " more\n    fern-0: water moves\n"));
    assert_non_null(strstr(text, "and 12 more in events.csv\n"));
}

static void a_word_longer_than_a_line_is_broken(void **state)
{
    char word[200];
    FILE *file = tmpfile();
    ow_flow flow = {.file = file, .indent = 4};
    (void)state;
    assert_non_null(file);
    memset(word, 'x', sizeof word - 1);
    word[sizeof word - 1] = '\0';
    ow_flow_words(&flow, word);
    ow_flow_end(&flow);
    file_text(file, text, sizeof text);
    fclose(file);
    assert_int_equal(flow.lines, 3);
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        assert_true(ow_flow_columns(line) <= 80);
    }
}

static void a_long_story_stays_short(void **state)
{
    static ow_event event[500];
    int count = 0;
    (void)state;
    for (int i = 0; i < 500; i++) {
        event[i] = (ow_event){i * (int64_t)700000, "lemon", "state",
                              i % 2 == 0 ? "uncover: it is mild" : "carry in: it freezes"};
    }
    story(event, 500, 25);
    for (const char *at = text; *at != '\0'; at++) {
        count += *at == '\n' ? 1 : 0;
    }
    assert_true(count > 2 && count <= 25);
    assert_non_null(strstr(text, "carry in"));
    assert_non_null(strstr(text, "and 498 more in events.csv\n"));
}

static int make_dir(void **state)
{
    (void)state;
    return mkdtemp(dir) == NULL ? -1 : 0;
}

static int remove_dir(void **state)
{
    static const char *const left[] = {"a/b/x.txt", "a/b", "a", ""};
    (void)state;
    for (size_t i = 0; i < sizeof left / sizeof left[0]; i++) {
        char path[200];
        snprintf(path, sizeof path, "%s/%s", dir, left[i]);
        if (remove(path) != 0) {
            return -1;
        }
    }
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_have_fixed_decimals),
        cmocka_unit_test(csv_fields_are_quoted_when_needed),
        cmocka_unit_test(lines_keep_to_eighty_columns),
        cmocka_unit_test(files_are_whole_or_not_there),
        cmocka_unit_test(a_full_device_is_told),
        cmocka_unit_test(local_time_follows_the_zone),
        cmocka_unit_test(unknown_zones_are_refused),
        cmocka_unit_test(the_story_puts_like_events_together),
        cmocka_unit_test(a_story_tells_each_state_of_a_plant_once),
        cmocka_unit_test(a_word_longer_than_a_line_is_broken),
        cmocka_unit_test(a_long_story_stays_short),
    };
    return cmocka_run_group_tests(tests, make_dir, remove_dir);
}
