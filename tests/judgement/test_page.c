/* SPDX-License-Identifier: MIT */
/* Lines of at most 80 columns. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "judgement/page.h"
#include "judgement/page_lines.h"

static page said(int first, int rest, const char *text)
{
    page p = {0};
    ow_report report = {page_keep, &p, 0};
    ow_page_say(&report, first, rest, text);
    return p;
}

/* Two words, the first of that many letters, in the language of the letter. */
static page two_words(int first, int letters, const char *letter)
{
    char text[LINE] = "";
    for (int i = 0; i < letters; i++) {
        strcat(text, letter);
    }
    strcat(text, " word");
    return said(first, 4, text);
}

/* A letter is a column, however many bytes it takes: of UTF-8, e with an accent has two, a Greek
 * letter two, a Chinese sign three (counted as one here as well). */
static void a_line_holds_eighty_columns(void **state)
{
    (void)state;
    static const char *const letters[] = {"e", "\xC3\xA9", "\xCE\xB1", "\xE5\x86\xAC"};
    static const struct {
        int first, letters, lines;
    } cases[] = {{0, 75, 1}, {0, 76, 2}, {2, 73, 1}, {2, 74, 2}, {0, 74, 1}, {2, 72, 1}};
    for (size_t l = 0; l < sizeof letters / sizeof letters[0]; l++) {
        for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
            page p = two_words(cases[i].first, cases[i].letters, letters[l]);
            assert_int_equal(p.n, cases[i].lines);
        }
    }
}

static void lines_are_broken_at_blanks_and_indented(void **state)
{
    (void)state;
    page p = said(2, 4, "It is cold   outside and the wind blows from the north over the roof and "
                        "round the pots on the deck");
    assert_int_equal(p.n, 2);
    assert_string_equal(p.line[0], "  It is cold   outside and the wind blows from the north over "
                                   "the roof and round");
    assert_string_equal(p.line[1], "    the pots on the deck");
}

static void a_long_word_stays_whole(void **state)
{
    (void)state;
    char text[LINE];
    memset(text, 'x', 100);
    strcpy(text + 100, " y");
    page p = said(0, 2, text);
    assert_int_equal(p.n, 2);
    assert_int_equal(strlen(p.line[0]), 100);
    assert_string_equal(p.line[1], "  y");
    assert_int_equal(said(0, 0, "").n, 0);
}

static void one_is_not_plural(void **state)
{
    (void)state;
    assert_string_equal(ow_plural(0), "s");
    assert_string_equal(ow_plural(1), "");
    assert_string_equal(ow_plural(2), "s");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_holds_eighty_columns),
        cmocka_unit_test(lines_are_broken_at_blanks_and_indented),
        cmocka_unit_test(a_long_word_stays_whole),
        cmocka_unit_test(one_is_not_plural),
    };
    return cmocka_run_group_tests_name("page", tests, NULL, NULL);
}
