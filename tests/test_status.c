/* SPDX-License-Identifier: MIT */
/* The words of a status, and the lines that go to people. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "status.h"

typedef struct heard {
    int lines;
    char last[1024];
} heard;

static void hear(void *self, const char *text)
{
    heard *ear = self;
    ear->lines++;
    snprintf(ear->last, sizeof ear->last, "%s", text);
}

static void every_status_has_its_own_words(void **state)
{
    static const ow_status all[] = {
#define OW_STATUS_NAME(name, text) name,
        OW_STATUS_LIST(OW_STATUS_NAME)
#undef OW_STATUS_NAME
    };
    const size_t count = sizeof all / sizeof all[0];
    (void)state;
    for (size_t i = 0; i < count; i++) {
        assert_true(strlen(ow_status_text(all[i])) > 0);
        for (size_t j = 0; j < i; j++) {
            assert_string_not_equal(ow_status_text(all[i]), ow_status_text(all[j]));
        }
    }
    assert_string_equal(ow_status_text(OW_OK), "done");
    assert_string_equal(ow_status_text((ow_status)count), "unknown status");
}

static void an_error_is_told_and_counted(void **state)
{
    heard ear = {0};
    ow_report report = {.line = hear, .self = &ear};
    (void)state;
    ow_error(&report, "%s:%d: %s is %g", "garden.json", 14, "depth_mm", 3200.0);
    assert_string_equal(ear.last, "garden.json:14: depth_mm is 3200");
    ow_error(&report, "a second one");
    assert_string_equal(ear.last, "a second one");
    assert_int_equal(ear.lines, 2);
    assert_int_equal(report.errors, 2);
}

static void an_advice_is_told_but_not_counted(void **state)
{
    heard ear = {0};
    ow_report report = {.line = hear, .self = &ear};
    (void)state;
    ow_say(&report, "%d pots", 12);
    assert_string_equal(ear.last, "12 pots");
    assert_int_equal(ear.lines, 1);
    assert_int_equal(report.errors, 0);
}

static void a_long_line_is_cut_not_lost(void **state)
{
    heard ear = {0};
    ow_report report = {.line = hear, .self = &ear};
    char text[900];
    (void)state;
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    ow_error(&report, "%s", text);
    assert_in_range(strlen(ear.last), 500, sizeof text - 1);
    assert_memory_equal(ear.last, text, 500);
}

static void nobody_need_listen(void **state)
{
    ow_report report = {0};
    (void)state;
    ow_error(NULL, "unheard");
    ow_say(NULL, "unheard");
    ow_say(&report, "unheard");
    ow_error(&report, "unheard");
    assert_int_equal(report.errors, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_status_has_its_own_words),
        cmocka_unit_test(an_error_is_told_and_counted),
        cmocka_unit_test(an_advice_is_told_but_not_counted),
        cmocka_unit_test(a_long_line_is_cut_not_lost),
        cmocka_unit_test(nobody_need_listen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
