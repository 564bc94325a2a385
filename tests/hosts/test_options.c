/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "hosts/lines.h"
#include "hosts/options.h"
#include "hosts/rehearse.h"

static struct lines lines;
static ow_options options;

/* Reads a command line that is given as one text with blanks. */
static ow_status read_line(const char *text)
{
    static char words[400];
    char *argv[32] = {"overwinter"};
    int argc = 1;
    lines_start(&lines);
    snprintf(words, sizeof words, "%s", text);
    for (char *at = words; *at != '\0' && argc < 32;) {
        argv[argc++] = at;
        at += strcspn(at, " ");
        if (*at != '\0') {
            *at++ = '\0';
        }
    }
    return ow_options_read(argc, argv, &lines.report, &options);
}

static void defaults_are_those_of_the_help(void **state)
{
    (void)state;
    assert_int_equal(read_line("rehearse g.json w.csv --out o"), OW_OK);
    assert_int_equal(options.command, OW_COMMAND_REHEARSE);
    assert_string_equal(options.garden, "g.json");
    assert_string_equal(options.weather, "w.csv");
    assert_string_equal(options.out, "o");
    assert_int_equal(options.every_min, 60);
    check_close("foresight", options.foresight_h, 72.0, 0, 0);
    assert_false(options.hands_obey || options.json);
    assert_true(options.from_s == INT64_MIN && options.until_s == INT64_MAX);
}

static void options_may_stand_anywhere(void **state)
{
    (void)state;
    assert_int_equal(read_line("--every=15 rehearse --hands obey g.json --foresight none w.csv "
                               "--json --from 2024-01-05 --until 2024-01-06T12:00:00Z --out o"),
                     OW_OK);
    assert_string_equal(options.garden, "g.json");
    assert_string_equal(options.weather, "w.csv");
    assert_int_equal(options.every_min, 15);
    assert_true(options.hands_obey && options.json);
    check_close("foresight", options.foresight_h, 0.0, 0, 0);
    assert_int_equal(options.from_s, 1704412800);  /* date -u -d 2024-01-05 +%s */
    assert_int_equal(options.until_s, 1704542400); /* date -u -d 2024-01-06T12:00Z +%s */
    assert_int_equal(read_line("check -- --odd.json"), OW_OK);
    assert_string_equal(options.garden, "--odd.json");
}

static void a_fit_takes_three_files(void **state)
{
    (void)state;
    assert_int_equal(read_line("fit g.json --plant lemon p.csv w.csv --depth 120 --from 2024-01-05"),
                     OW_OK);
    assert_int_equal(options.command, OW_COMMAND_FIT);
    assert_string_equal(options.garden, "g.json");
    assert_string_equal(options.probe, "p.csv");
    assert_string_equal(options.weather, "w.csv");
    assert_string_equal(options.plant, "lemon");
    check_close("depth", options.depth_mm, 120.0, 0, 0);
    assert_int_equal(read_line("fit g p w"), OW_OK);
    assert_null(options.plant);
    assert_true(isnan(options.depth_mm));
}

static void help_and_version_go_before_all(void **state)
{
    (void)state;
    assert_int_equal(read_line("rehearse --help"), OW_OK);
    assert_int_equal(options.command, OW_COMMAND_HELP);
    assert_int_equal(read_line("help"), OW_OK);
    assert_int_equal(options.command, OW_COMMAND_HELP);
    assert_int_equal(read_line("check --version"), OW_OK);
    assert_int_equal(options.command, OW_COMMAND_VERSION);
}

static void check_refused(const char *line, const char *says, int errors)
{
    assert_int_equal(read_line(line), OW_BAD_INPUT);
    check_says(&lines, says);
    assert_int_equal(lines.report.errors, errors);
}

static void what_is_wrong_is_named(void **state)
{
    (void)state;
    check_refused("", "say what to do", 1);
    check_refused("chek g", "command chek is not known; the nearest is check", 1);
    check_refused("check", "check needs GARDEN", 1);
    check_refused("check g h i", "i is one word too many", 1);
    check_refused("check g --every 5", "check takes no --every", 1);
    check_refused("rehearse g", "rehearse needs WEATHER.csv", 2);
    check_refused("fit g", "fit needs PROBE.csv", 2);
    check_refused("fit g p", "fit needs WEATHER.csv", 1);
    check_refused("fit g p w --depth 5", "whole millimetres, 10 to 1000", 1);
    check_refused("fit g p w --out o", "fit takes no --out", 1);
    check_refused("rehearse g", "rehearse needs --out DIR", 2);
    check_refused("rehearse g w --ot o", "option --ot is not known; the nearest is --out", 1);
    check_refused("rehearse g w --out", "--out takes a directory", 1);
    check_refused("rehearse g w --out o --out p", "--out is given twice", 1);
    check_refused("rehearse g w --out o --every 0", "--every is \"0\"; it takes whole minutes", 1);
    check_refused("rehearse g w --out o --every 1441", "1 to 1440", 1);
    check_refused("rehearse g w --out o --every 5x", "--every is \"5x\"", 1);
    check_refused("rehearse g w --out o --hands maybe", "none or obey", 1);
    check_refused("rehearse g w --out o --foresight 0", "none or whole hours", 1);
    check_refused("rehearse g w --out o --foresight 241", "1 to 240", 1);
    check_refused("rehearse g w --out o --from noon", "--from is \"noon\"", 1);
    check_refused("rehearse g w --out o --json=yes", "--json takes no value", 1);
    check_refused("rehearse g w --out o --from 2024-02-01 --until 2024-01-01", "swap them", 1);
}

/* By the definition: every / n for the least n that gives whole seconds, at most 1800. */
static void steps_divide_the_interval(void **state)
{
    (void)state;
    assert_int_equal(ow_rehearse_step_s(60), 1800);
    assert_int_equal(ow_rehearse_step_s(45), 1350);
    assert_int_equal(ow_rehearse_step_s(7), 420);
    assert_int_equal(ow_rehearse_step_s(1), 60);
    assert_int_equal(ow_rehearse_step_s(1440), 1800);
    for (int every = 1; every <= 1440; every++) {
        int step = ow_rehearse_step_s(every);
        assert_true(step >= 60 && step <= 1800 && 60 * every % step == 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(defaults_are_those_of_the_help),
        cmocka_unit_test(options_may_stand_anywhere),
        cmocka_unit_test(a_fit_takes_three_files),
        cmocka_unit_test(help_and_version_go_before_all),
        cmocka_unit_test(what_is_wrong_is_named),
        cmocka_unit_test(steps_divide_the_interval),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
