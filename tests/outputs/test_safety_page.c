/* SPDX-License-Identifier: MIT */
/* What docs/safety.md says of the interlocks is what the table says, and what it names is there. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "outputs/interlock_page.h"

#define PAGE_SIZE_MAX 65536

static char kept[PAGE_SIZE_MAX], made[PAGE_SIZE_MAX];

static void read_whole(FILE *file, char *text)
{
    assert_non_null(file);
    rewind(file);
    size_t size = fread(text, 1, PAGE_SIZE_MAX - 1, file);
    assert_in_range(size, 1, PAGE_SIZE_MAX - 2);
    text[size] = '\0';
    assert_int_equal(fclose(file), 0);
}

static void page_is_written_from_the_table(void **state)
{
    (void)state;
    FILE *written = tmpfile();
    assert_non_null(written);
    write_interlocks(written);
    read_whole(written, made);
    read_whole(fopen("docs/safety.md", "r"), kept);
    char *part = strstr(kept, INTERLOCKS_MARK);
    assert_non_null(part);
    char *next = strstr(part, "\n\n## ");
    assert_non_null(next); /* the table is not the page's end */
    next[1] = '\0';
    if (strcmp(part, made) != 0) {
        fail_msg("docs/safety.md is not what make_interlocks writes; write it anew");
    }
}

static bool is_there(const char *name, int length)
{
    static const char *const folders[] = {"outputs", "hub",   "live",
                                          "hosts",   "garden", "judgement"};
    static const char *const ends[] = {"c", "sh"};
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        for (size_t k = 0; k < 2; k++) {
            char path[200];
            snprintf(path, sizeof path, "tests/%s/%.*s.%s", folders[i], length, name, ends[k]);
            FILE *file = fopen(path, "r");
            if (file != NULL) {
                return fclose(file) == 0;
            }
        }
    }
    return false;
}

/* Every test that the page names is there. */
static void what_the_page_names_is_there(void **state)
{
    (void)state;
    int tests = 0;
    read_whole(fopen("docs/safety.md", "r"), kept);
    for (const char *at = strstr(kept, "`test_"); at != NULL; at = strstr(at + 1, "`test_")) {
        int length = (int)strcspn(at + 1, "`");
        if (!is_there(at + 1, length)) {
            fail_msg("docs/safety.md names %.*s, which is not there", length, at + 1);
        }
        tests++;
    }
    assert_true(tests > 40);
}

/* Every interlock answers something in the analysis, which stands before the table. */
static void every_interlock_answers_something(void **state)
{
    (void)state;
    read_whole(fopen("docs/safety.md", "r"), kept);
    char *table = strstr(kept, INTERLOCKS_MARK);
    assert_non_null(table);
    *table = '\0';
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        char name[40];
        const char *word = ow_interlock_about((ow_interlock)i)->word;
        snprintf(name, sizeof name, "`%s`", word);
        if (strstr(kept, name) == NULL) {
            fail_msg("the analysis of docs/safety.md has no use for %s", word);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(page_is_written_from_the_table),
        cmocka_unit_test(what_the_page_names_is_there),
        cmocka_unit_test(every_interlock_answers_something),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
