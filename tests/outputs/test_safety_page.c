/* SPDX-License-Identifier: MIT */
/* What docs/safety.md says of the interlocks is what the table says. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(page_is_written_from_the_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
