/* SPDX-License-Identifier: MIT */
/* Numbers and texts as the tile writes them. */
#define _POSIX_C_SOURCE 200809L
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "people/palette.h"
#include "people/svg.h"

static char *drawn;
static size_t size;
static FILE *file;

static int begin(void **state)
{
    (void)state;
    file = open_memstream(&drawn, &size);
    return file == NULL;
}

static int end(void **state)
{
    (void)state;
    free(drawn);
    return 0;
}

static void check_drawn(const char *want)
{
    assert_int_equal(fclose(file), 0);
    assert_string_equal(drawn, want);
}

static void numbers_are_short_tenths(void **state)
{
    (void)state;
    ow_svg_put(file, "M##h#v#z", 1.0, -2.5, 3.25, -0.04);
    check_drawn("M1-2.5h3.3v0z");
}

static void numbers_never_run_together(void **state)
{
    (void)state;
    ow_svg_put(file, "L##L##", 10.0, 0.5, 1e-9, 12.34);
    check_drawn("L10 0.5L0 12.3");
}

static void long_texts_end_in_an_ellipsis(void **state)
{
    (void)state;
    ow_svg_text_cut(file, "abcdef", 6);
    ow_svg_text_cut(file, "abcdefg", 6);
    check_drawn("abcdefabcde\xE2\x80\xA6");
}

/* A letter of two bytes and an escaped one count as one each. */
static void letters_are_counted_not_bytes(void **state)
{
    (void)state;
    ow_svg_text_cut(file, "\xC3\xBC\xC3\xBC<\xC3\xBC", 4);
    ow_svg_text_cut(file, "\xC3\xBC\xC3\xBC<\xC3\xBC\xC3\xBC", 4);
    check_drawn("\xC3\xBC\xC3\xBC&lt;\xC3\xBC"
                "\xC3\xBC\xC3\xBC&lt;\xE2\x80\xA6");
}

static void steps_of_the_scale(void **state)
{
    (void)state;
    fputc(' ', file);
    assert_int_equal(ow_palette_of_c(-40.0), 0);
    assert_int_equal(ow_palette_of_c(-8.01), 0);
    assert_int_equal(ow_palette_of_c(-7.99), 1);
    assert_int_equal(ow_palette_of_c(-0.01), 4);
    assert_int_equal(ow_palette_of_c(0.01), 5);
    assert_int_equal(ow_palette_of_c(40.0), 9);
    assert_int_equal(ow_palette_of_c((double)NAN), -1);
    assert_int_equal(ow_palette_of_margin_k(0.5), 0);
    assert_int_equal(ow_palette_of_margin_k(9.5), 9);
    check_drawn(" ");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(numbers_are_short_tenths, begin, end),
        cmocka_unit_test_setup_teardown(numbers_never_run_together, begin, end),
        cmocka_unit_test_setup_teardown(long_texts_end_in_an_ellipsis, begin, end),
        cmocka_unit_test_setup_teardown(letters_are_counted_not_bytes, begin, end),
        cmocka_unit_test_setup_teardown(steps_of_the_scale, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
