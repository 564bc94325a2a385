/* SPDX-License-Identifier: MIT */
/* Answers of past winters are found in a season log, whatever else it holds. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "hosts/past_winters.h"

static char told[400];

static void take(void *self, const char *day, const char *subject, const char *detail)
{
    int *n = self;
    size_t used = strlen(told);
    snprintf(told + used, sizeof told - used, "%s|%s|%s\n", day, subject, detail);
    (*n)++;
}

static int read_log(const char *text)
{
    int n = 0;
    told[0] = '\0';
    int said = ow_past_winters_read(text, strlen(text), &n, take);
    assert_int_equal(said, n);
    return n;
}

static void answers_alone_are_taken(void **state)
{
    (void)state;
    assert_int_equal(read_log("time,subject,event,detail\n"
                              "2026-01-05T05:00:00Z,lemon,limit passed,foliage harmed\n"
                              "2026-05-01T10:00:00Z,lemon,answered,\"dead; roots -9.0 C (limits "
                              "-6.0, -8.0 C)\"\n"
                              "2026-05-01T10:00:00Z,lemon,seen,dead\n"
                              "2026-06-15T10:00:00Z,dahlias,answered,regrowing\n"),
                     2);
    assert_string_equal(told, "2026-05-01|lemon|dead; roots -9.0 C (limits -6.0, -8.0 C)\n"
                              "2026-06-15|dahlias|regrowing\n");
}

static void torn_and_odd_rows_are_passed_over(void **state)
{
    (void)state;
    assert_int_equal(read_log(""), 0);
    assert_int_equal(read_log("time,subject,event,detail\n2026-05-01T10:0\n\n,,answered\n"
                              "a,b,answered,\"torn\nx,lemon,answered,alive,more\n"
                              "2026-05-02T10:00:00Z,lemon,answered,alive\n"),
                     1);
    assert_string_equal(told, "2026-05-02|lemon|alive\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_alone_are_taken),
        cmocka_unit_test(torn_and_odd_rows_are_passed_over),
    };
    return cmocka_run_group_tests_name("past winters", tests, NULL, NULL);
}
