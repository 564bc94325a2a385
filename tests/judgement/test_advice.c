/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdlib.h>

#include "judgement/advice.h"
#include "judgement/stage.h"
#include "judgement/steady_frost.h"

enum { LINES = 128, LINE = 200 };

typedef struct page {
    char line[LINES][LINE];
    int n;
} page;

static void keep(void *self, const char *text)
{
    page *p = self;
    assert_in_range(p->n, 0, LINES - 1);
    assert_in_range(strlen(text), 0, LINE - 1);
    snprintf(p->line[p->n++], LINE, "%s", text);
}

static ow_garden *garden_of(const char *quoted)
{
    char text[YARD_TEXT];
    return stage_garden(yard_text(quoted, text));
}

static page advise_anew(const char *quoted)
{
    static page p;
    ow_garden *garden = garden_of(quoted);
    ow_report report = {keep, &p, 0};
    p.n = 0;
    assert_int_equal(ow_advise(garden, NULL, &report), OW_OK);
    assert_int_equal(report.errors, 0);
    ow_garden_free(garden);
    return p;
}

/* The page of a garden; that of the last one asked for is still at hand. */
static page advise(const char *quoted)
{
    static char last[YARD_TEXT];
    static page p;
    if (strcmp(quoted, last) != 0) {
        p = advise_anew(quoted);
        snprintf(last, sizeof last, "%s", quoted);
    }
    return p;
}

/* The first line that holds the words; fails without one. */
static const char *line_of(const page *p, const char *words)
{
    for (int i = 0; i < p->n; i++) {
        if (strstr(p->line[i], words) != NULL) {
            return p->line[i];
        }
    }
    fail_msg("no line says \"%s\"", words);
    return NULL;
}

/* The number that follows the words. */
static double number_after(const char *line, const char *words)
{
    const char *at = strstr(line, words);
    return at != NULL ? strtod(at + strlen(words), NULL) : NAN;
}

#define GARDEN                                                                                     \
    "'places':[{'id':'deck','name':'the deck','kind':'open sky'}," YARD_CELLAR "],"                \
    "'covers':[{'id':'fleece','kind':'fleece'},{'id':'straw','kind':'straw'},"                     \
    "{'id':'mulch','kind':'mulch'}],"                                                              \
    "'plants':[{'id':'lemon','taxon':'Citrus limon','place':'deck','covers':['fleece','straw'],"   \
    "'pot':{'diameter_mm':360,'depth_mm':320,'stands_on':'raised','medium':'loam mix'}},"          \
    "{'id':'tuber','limits':{'storage organ':{'damaged_c':-2}},'place':'deck','bed':{},"           \
    "'covers':['mulch']},"                                                                         \
    "{'id':'fern','taxon':'Dicksonia antarctica','place':'deck','covers':['straw'],'bed':{},"      \
    "'trunk':{'diameter_mm':220,'height_mm':900,'growing_point_mm':40}},"                          \
    "{'id':'odd','taxon':'Citrus novissima','place':'cellar'," YARD_SMALL_POT "}]"

static void a_page_fits_and_reads(void **state)
{
    (void)state;
    page p = advise(GARDEN);
    for (int i = 0; i < p.n; i++) {
        assert_in_range(strlen(p.line[i]), 0, 80);
        check_wording(p.line[i]);
    }
    (void)line_of(&p, "4 plants, 2 places, 3 kinds of cover, 0 outputs");
    (void)line_of(&p, "lemon (Citrus limon), the deck");
    (void)line_of(&p, "pot of 360 x 320 mm, loam mix, moist");
    (void)line_of(&p, "trunk of 220 x 900 mm, growing point 40 mm deep");
    (void)line_of(&p, "this species is not in the table: the tenderest of its genus holds");
}

/* Each limit with its grade in words and its source, or that it is borrowed from the genus. */
static void limits_name_their_source(void **state)
{
    (void)state;
    page p = advise(GARDEN);
    (void)line_of(&p, "storage organ  harmed below  -2.0 C, killed below  -4.0 C");
    check_says(line_of(&p, "foliage, buds, growing point: LSU"), "(field record)");
    (void)line_of(&p, "foliage, buds, growing point: by genus: LSU");
    (void)line_of(&p, "frozen roots   suffers after 10 days, may die after 28");
}

/* Radius 0.18 m less the wall, 0.32 m deep, a loam mix of 1.2 to 1.9 t/m3 moist: 36 to 62 kg. */
static void there_is_something_to_lift(void **state)
{
    (void)state;
    page p = advise(GARDEN);
    check_between("weight, kg", number_after(line_of(&p, "loam mix, moist"), "about "), 36.0, 62.0);
}

/* One line a plant: what to measure, and both ends of what it makes of the ice. */
static void each_plant_says_what_is_in_doubt(void **state)
{
    (void)state;
    page p = advise(GARDEN);
    int told = 0;
    for (int i = 0; i < p.n; i++) {
        told += strstr(p.line[i], "  most in doubt: ") == p.line[i];
    }
    assert_int_equal(told, 4);
    check_says(line_of(&p, "  most in doubt: "), "; ice through: ");
}

/* What is harmed first stands first, with what would hold longer. */
static void who_needs_you_first_stands_first(void **state)
{
    (void)state;
    page p = advise(GARDEN);
    const char *lemon = line_of(&p, "  lemon: foliage after ");
    const char *tuber = line_of(&p, "  tuber: storage organ after ");
    assert_true(lemon < tuber);
    check_says(lemon, "no cover at hand holds longer, so carry it in");
    check_says(tuber, "with mulch");
    (void)line_of(&p, "no limit is passed within 21 days: 1 plant");
}

/* ---- the frost itself ---------------------------------------------------------------------- */

static void frost_on(const char *quoted, int plant, ow_frost_course course[OW_FROST_DRESSES])
{
    ow_garden *garden = garden_of(quoted);
    assert_int_equal(ow_steady_frost(garden, plant, course), OW_OK);
    ow_garden_free(garden);
}

/* Covers hold the frost off: straw longer than fleece, fleece longer than nothing; ice comes half
 * way before it is through. */
static void covers_buy_hours(void **state)
{
    (void)state;
    ow_frost_course lemon[OW_FROST_DRESSES], tuber[OW_FROST_DRESSES];
    frost_on(GARDEN, 0, lemon);
    check_between("bare, h", lemon[0].half_h, 6.0, 72.0);
    for (int i = 0; i < 3; i++) {
        assert_true(lemon[i].through_h > lemon[i].half_h);
        assert_true(i == 0 || lemon[i].half_h > 1.2 * lemon[i - 1].half_h);
    }
    assert_int_equal(lemon[0].part, OW_FOLIAGE);
    frost_on(GARDEN, 1, tuber);
    check_between("a tuber 0.1 m down in bare loam, h", tuber[0].harm_h, 48.0, 480.0);
    assert_int_equal(tuber[0].part, OW_STORAGE_ORGAN);
    assert_true(isnan(tuber[1].harm_h) || tuber[1].harm_h > 1.5 * tuber[0].harm_h);
}

#define HARDY "'limits':{'foliage':{'damaged_c':-9}}"
#define TWO_POTS                                                                                   \
    "'places':[{'id':'deck','kind':'open sky'}],'plants':[{'id':'small'," HARDY                    \
    ",'place':'deck'," YARD_SMALL_POT "},{'id':'large'," HARDY ",'place':'deck',"                  \
    "'pot':{'diameter_mm':500,'depth_mm':450,'stands_on':'raised'}}]"

/*
 * By hand: 0.3 of water is 1.0e8 J/m3; a pot 0.1 m wide and high loses through 6 / 0.1 m of face
 * a volume, some 8 W/m2K over 5 K: 1.0e8 / (60 x 8 x 5) s = 12 h for all of it, half of that for
 * half, more with the way that the heat has through the mix. A pot five times as large takes five
 * times as long or, as ice thickens, up to 25 times.
 */
static void small_pots_freeze_first(void **state)
{
    (void)state;
    ow_frost_course small[OW_FROST_DRESSES], large[OW_FROST_DRESSES];
    frost_on(TWO_POTS, 0, small);
    frost_on(TWO_POTS, 1, large);
    check_between("small pot half ice, h", small[0].half_h, 4.0, 24.0);
    check_between("large to small", large[0].half_h / small[0].half_h, 5.0, 25.0);
    assert_true(isnan(small[0].harm_h)); /* leaves that stand -9 C */
}

static void the_same_garden_gets_the_same_page(void **state)
{
    (void)state;
    page one = advise(GARDEN), two = advise_anew(GARDEN);
    assert_int_equal(one.n, two.n);
    for (int i = 0; i < one.n; i++) {
        assert_string_equal(one.line[i], two.line[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_page_fits_and_reads),
        cmocka_unit_test(limits_name_their_source),
        cmocka_unit_test(there_is_something_to_lift),
        cmocka_unit_test(each_plant_says_what_is_in_doubt),
        cmocka_unit_test(who_needs_you_first_stands_first),
        cmocka_unit_test(covers_buy_hours),
        cmocka_unit_test(small_pots_freeze_first),
        cmocka_unit_test(the_same_garden_gets_the_same_page),
    };
    return cmocka_run_group_tests_name("advice", tests, NULL, NULL);
}
