/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdlib.h>

#include "judgement/advice.h"
#include "judgement/page_lines.h"
#include "judgement/stage.h"
#include "judgement/steady_frost.h"

static ow_garden *garden_of(const char *quoted)
{
    char text[YARD_TEXT];
    return stage_garden(yard_text(quoted, text));
}

static page advise_anew(const char *quoted)
{
    static page p;
    ow_garden *garden = garden_of(quoted);
    ow_report report = {page_keep, &p, 0};
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
    check_says(tuber, "with mulch not in 21 days");
    (void)line_of(&p, "no limit is passed within 21 days: 1 plant");
}

/* How long the best cover holds is that of the frost under it. */
static void what_would_hold_longer_is_told_by_its_hours(void **state)
{
    (void)state;
    static const char garden[] =
        "'places':[{'id':'deck','kind':'open sky'}],'covers':[{'id':'straw','kind':'straw'}],"
        "'plants':[{'id':'tub','limits':{'roots':{'damaged_c':-2}},'place':'deck',"
        "'covers':['straw']," YARD_SMALL_POT "}]";
    page p = advise(garden);
    ow_frost_course course[OW_FROST_DRESSES];
    ow_garden *g = garden_of(garden);
    assert_int_equal(ow_steady_frost(g, 0, course), OW_OK);
    const char *line = line_of(&p, "  tub: roots after ");
    /* To the hour. */
    check_close("bare", number_after(line, "roots after "), course[0].harm_h, 0.5, 0.0);
    check_close("with straw", number_after(line, "with straw after "), course[1].harm_h, 0.5, 0.0);
    ow_garden_free(g);
}

/* ---- whole pages ----------------------------------------------------------------------------- */

/* Every # stands for one number with its unit of time and the blanks after it. */
static const char *after_number(const char *line)
{
    line += strspn(line, "0123456789.");
    line += strncmp(line, " h", 2) == 0 ? 2 : strncmp(line, " days", 5) == 0 ? 5 : 0;
    return line + strspn(line, " ");
}

static bool matches(const char *line, const char *want)
{
    for (; *want != '\0' && (*want == '#' || *want == *line); want++) {
        line = *want == '#' ? after_number(line) : line + 1;
    }
    return *want == *line;
}

static void check_page(const char *quoted, const char *const *want, int lines)
{
    page p = advise(quoted);
    for (int i = 0; i < p.n && i < lines; i++) {
        if (!matches(p.line[i], want[i])) {
            fail_msg("line %d is\n\"%s\", and not\n\"%s\"", i, p.line[i], want[i]);
        }
    }
    assert_int_equal(p.n, lines);
}

#define CHECK_PAGE(garden, want) check_page(garden, want, (int)(sizeof want / sizeof want[0]))

#define MEASURED                                                                                   \
    "{'thawed_w_mk':0.5,'frozen_w_mk':1.2,'thawed_j_m3k':2.2e6,'frozen_j_m3k':1.5e6,"              \
    "'water_fraction':0.3,'freezing_c':-0.1,'curve_exponent':0.6}"
#define ALL_SORTS                                                                                  \
    "'places':[{'id':'deck','name':'the deck','kind':'open sky'}," YARD_CELLAR "],"                \
    "'covers':[{'id':'fleece','kind':'fleece'},{'id':'straw','kind':'straw','on':'all'}],"         \
    "'plants':[{'id':'tub','limits':{'roots':{'damaged_c':-2}},'place':'deck',"                    \
    "'covers':['straw']," YARD_SMALL_POT "},"                                                      \
    "{'id':'dahlia','taxon':'Dahlia x hybrida','place':'deck','bed':{},'covers':['straw'],"        \
    "'limits':{'foliage':{'damaged_c':-20},'storage organ':{'damaged_c':-15}}},"                   \
    "{'id':'lemon','taxon':'Citrus limon','place':'deck','covers':['fleece'],"                     \
    "'pot':{'diameter_mm':1200,'depth_mm':1100,'medium':" MEASURED "}},"                           \
    "{'id':'bay','limits':{'foliage':{'damaged_c':-4,'of':'tissue'}},'place':'deck','bed':{}},"    \
    "{'id':'odd','taxon':'Citrus novissima','place':'cellar'," YARD_SMALL_POT "}]"

/* The list at the end: sooner harm first, of equals the one that the file names first; the one
 * indoors is neither in need nor counted as safe. */
static void a_page_of_all_sorts(void **state)
{
    (void)state;
    static const char *const want[] = {
        "stage: 5 plants, 2 places, 2 kinds of cover, 0 outputs",
        "The frost below is the same for all: -5 C day and night for 21 days, overcast,",
        "wind 3 m/s, after a day at 4 C. It shows how long each holds out; - means: not",
        "within these days. Limits are those of a hardened plant.",
        "",
        "tub, the deck",
        "  pot of 110 x 100 mm, peat-free mix, moist, about #kg to lift",
        "  roots          harmed below  -2.0 C, killed below  -4.0 C",
        "  frozen roots   suffers after 21 days, may die after 42",
        "  in the frost       half ice       ice through    first harm",
        "  bare               ###, roots",
        "  straw              ###, roots",
        "  most in doubt: moisture; ice through: #dry, #wet",
        "",
        "dahlia (Dahlia x hybrida), the deck",
        "  bed of loam, moist",
        "  foliage        harmed below -20.0 C, killed below -22.0 C in the air",
        "  storage organ  harmed below -15.0 C, killed below -17.0 C",
        "  in the frost                                     first harm",
        "  bare                                             -",
        "  straw                                            -",
        "  most in doubt: sky; ice through: #if clear, #if shut",
        "",
        "lemon (Citrus limon), the deck",
        "  pot of 1200 x 1100 mm, measured medium, moist",
        "  foliage        harmed below  -1.1 C, killed below  -3.3 C in the air",
        "  buds           harmed below  -1.1 C, killed below  -3.3 C in the air",
        "  roots          harmed below  -1.3 C, killed below  -3.3 C",
        "  growing point  harmed below  -1.1 C, killed below  -3.3 C in the air",
        "  frozen roots   suffers after 10 days, may die after 28",
        "    foliage, buds, growing point: LSU AgCenter citrus page (field record)",
        "    roots: by kind: Dirr & Smith 1988, Ornamentals Northwest 2(5):5 (growers'",
        "      word)",
        "  in the frost       half ice       ice through    first harm",
        "  bare               #-              1 h, foliage",
        "  fleece             #-              1 h, foliage",
        "  most in doubt: sky; ice through: #if clear, over 21 days if shut",
        "",
        "bay, the deck",
        "  bed of loam, moist",
        "  foliage        harmed below  -4.0 C, killed below  -6.0 C",
        "  frozen roots   suffers after 21 days, may die after 42",
        "  in the frost                                     first harm",
        "  bare                                             1 h, foliage",
        "  most in doubt: sky; ice through: #if clear, #if shut",
        "",
        "odd (Citrus novissima), cellar",
        "  pot of 110 x 100 mm, peat-free mix, moist, about #kg to lift",
        "  indoors at 8 C: the frost below is what it is spared",
        "  foliage        harmed below  -1.1 C, killed below  -3.3 C in the air",
        "  buds           harmed below  -1.1 C, killed below  -3.3 C in the air",
        "  roots          harmed below  -1.3 C, killed below  -3.3 C",
        "  growing point  harmed below  -1.1 C, killed below  -3.3 C in the air",
        "  frozen roots   suffers after 10 days, may die after 28",
        "    foliage, buds, growing point: by genus: LSU AgCenter citrus page (field",
        "      record)",
        "    roots: by genus: by kind: Dirr & Smith 1988, Ornamentals Northwest 2(5):5",
        "      (growers' word)",
        "    this species is not in the table: the tenderest of its genus holds",
        "  in the frost       half ice       ice through    first harm",
        "  bare               ##1 h, foliage",
        "  most in doubt: moisture; ice through: #dry, #wet",
        "",
        "Out of doors these are harmed first in such a frost, and need you first:",
        "  lemon: foliage after 1 h; no cover at hand holds longer, so carry it in",
        "  bay: foliage after 1 h; no cover is named for it, so lift it in time or lay",
        "    mulch",
        "  tub: roots after #; with straw after #",
        "  no limit is passed within 21 days: 1 plant",
    };
    CHECK_PAGE(ALL_SORTS, want);
}

#define OUTPUT(id, more)                                                                           \
    "{'id':'" id "','place':'house','topic':'" id "','off':'off'," more "}"
#define HEATER(id, more)                                                                           \
    OUTPUT(id, "'kind':'heater','on':'on','watts':2000,'keep_air_above_c':3" more)
#define HARDY_IN(pot) "'place':'deck','limits':{'foliage':{'damaged_c':-20}},'pot':" pot
#define UNDER_GLASS                                                                                \
    "'places':[{'id':'house','kind':'glasshouse','floor_m2':6,'glazing_m2':18},"                   \
    "{'id':'deck','kind':'open sky'}],"                                                            \
    "'outputs':[" HEATER("fan", "") "," HEATER("oil", ",'cautions_read':true") ","                 \
    HEATER("tube", ",'cautions_read':true,'off_by_itself_s':600") ","                              \
    "{'id':'cloth','kind':'cloth drive','place':'house','topic':'c','close':'c','open':'o',"       \
    "'stop':'s','travel_s':40,'cautions_read':true}],"                                             \
    "'plants':[{'id':'vine','place':'house'," YARD_LEAVES "," YARD_SMALL_POT "},"                  \
    "{'id':'yew'," HARDY_IN("{'diameter_mm':1500,'depth_mm':1500,'moisture':'standing'}") "},"                           \
    "{'id':'box'," HARDY_IN("{'diameter_mm':110,'depth_mm':100}") "}]"

static void a_page_of_a_heated_house(void **state)
{
    (void)state;
    static const char *const want[] = {
        "stage: 3 plants, 2 places, 0 kinds of cover, 4 outputs",
        "  fan, heater in house: it is only rehearsed, since cautions_read is not true",
        "  oil, heater in house: it is only rehearsed, since off_by_itself_s is not given",
        "  tube, heater in house: a rehearsal only works out when it would be switched",
        "  cloth, cloth drive in house: it is only rehearsed, since off_by_itself_s is",
        "    not given",
        "  Outputs are switched for convenience only. What keeps people safe is",
        "  installed: each device's own thermostat, thermal cut-out, end stops and",
        "  off-timer, a residual-current device, and a licensed electrician's work. Read",
        "  docs/safety.md before you set cautions_read.",
        "The frost below is the same for all: -5 C day and night for 21 days, overcast,",
        "wind 3 m/s, after a day at 4 C. It shows how long each holds out; - means: not",
        "within these days. Limits are those of a hardened plant.",
        "",
        "vine, house",
        "  pot of 110 x 100 mm, peat-free mix, moist, about #kg to lift",
        "  under glass: the frost below is that of the open, which is harder",
        "  foliage        harmed below  -5.0 C, killed below  -8.0 C",
        "  frozen roots   suffers after 21 days, may die after 42",
        "  in the frost       half ice       ice through    first harm",
        "  bare               ##1 h, foliage",
        "  most in doubt: moisture; ice through: #dry, #wet",
        "",
        "yew, deck",
        "  pot of 1500 x 1500 mm, peat-free mix, standing, about #kg to lift",
        "  foliage        harmed below -20.0 C, killed below -22.0 C in the air",
        "  frozen roots   suffers after 21 days, may die after 42",
        "  in the frost       half ice       ice through    first harm",
        "  bare               #-              -",
        "  most in doubt: nothing that brings ice through within 21 days",
        "",
        "box, deck",
        "  pot of 110 x 100 mm, peat-free mix, moist, about #kg to lift",
        "  foliage        harmed below -20.0 C, killed below -22.0 C in the air",
        "  frozen roots   suffers after 21 days, may die after 42",
        "  in the frost       half ice       ice through    first harm",
        "  bare               ##-",
        "  most in doubt: wall; ice through: #if thin, #if thick",
        "",
        "Out of doors these are harmed first in such a frost, and need you first:",
        "  none",
        "  no limit is passed within 21 days: 2 plants",
        "",
        "Glasshouses (state site.design_c, or check with a weather record, and they are",
        "  held against a night):",
        "  house, single glass of 18 m2: loses #W for each degree that it is warmer",
        "    than outside",
        "    6000 W of heaters hold 3.0 C down to -#C outside",
        "  Reckoned with the usual loss of panes and leaks, give or take a fifth; a clear",
        "  still night takes more. The heater's own thermostat and cut-out, and a",
        "  licensed electrician's work, come before any number here.",
    };
    CHECK_PAGE(UNDER_GLASS, want);
}

static bool has_line(const page *p, const char *words)
{
    bool has = false;
    for (int i = 0; i < p->n; i++) {
        has = has || strstr(p->line[i], words) != NULL;
    }
    return has;
}

/* Cautions stand where anything is switched; nobody is called safe where nobody is. */
static void what_is_not_so_is_not_said(void **state)
{
    (void)state;
    page p = advise(ALL_SORTS);
    assert_false(has_line(&p, "switched for convenience"));
    assert_false(has_line(&p, "Glasshouses"));
    p = advise("'places':[{'id':'house','kind':'glasshouse','floor_m2':6,'glazing_m2':18},"
                    YARD_PLAIN_DECK "],'outputs':[" HEATER("fan", "") "],"
                    "'plants':[{'id':'bay','limits':{'foliage':{'damaged_c':-4}},'place':'deck',"
                    YARD_SMALL_POT "}]");
    (void)line_of(&p, "Outputs are switched for convenience only.");
    (void)line_of(&p, "  bay: foliage after 1 h; no cover is named for it, so carry it in");
    assert_false(has_line(&p, "no limit is passed"));
    assert_false(has_line(&p, "  none"));
}

#define TEN(letter) letter letter letter letter letter letter letter letter letter letter

/* What people call a garden or a plant may fill a line; what follows is set in. */
static void long_names_go_on_in_the_next_line(void **state)
{
    (void)state;
    static const char garden_name[] = TEN("garden-");
    page p = {.n = 0};
    ow_report report = {page_keep, &p, 0};
    ow_garden *garden = garden_of("'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bay','name':'"
                                  TEN("laurel ") "trees','place':'deck'," YARD_LEAVES
                                  "," YARD_SMALL_POT "}]");
    const char *id = garden->id;
    garden->id = garden_name;
    assert_int_equal(ow_advise(garden, NULL, &report), OW_OK);
    garden->id = id;
    ow_garden_free(garden);
    assert_string_equal(p.line[0], TEN("garden-") ": 1 plant,");
    assert_string_equal(p.line[1], "  1 place, 0 kinds of cover, 0 outputs");
    int at = 0;
    for (; at < p.n && strncmp(p.line[at], "laurel", 6) != 0; at++) {
    }
    assert_string_equal(p.line[at], TEN("laurel ") "trees,");
    assert_string_equal(p.line[at + 1], "  deck");
}

/* Hours up to three days, then days: what the frost itself says. */
static void times_are_those_of_the_frost(void **state)
{
    (void)state;
    ow_frost_course course[OW_FROST_DRESSES];
    page p = advise(ALL_SORTS);
    const char *bare = line_of(&p, "  bare               "), *straw = line_of(&p, "  straw  ");
    ow_garden *garden = garden_of(ALL_SORTS);
    assert_int_equal(ow_steady_frost(garden, 0, course), OW_OK);
    check_close("bare, half ice, h", strtod(bare + 21, NULL), course[0].half_h, 0.5, 0.0);
    check_close("bare, through, h", strtod(bare + 36, NULL), course[0].through_h, 0.5, 0.0);
    check_close("bare, harm, h", strtod(bare + 51, NULL), course[0].harm_h, 0.5, 0.0);
    check_close("straw, half ice, h", strtod(straw + 21, NULL), course[1].half_h, 0.5, 0.0);
    check_says(straw + 36, " days ");
    check_close("straw, through, days", strtod(straw + 36, NULL), course[1].through_h / 24.0, 0.05,
                0.0);
    ow_garden_free(garden);
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
        cmocka_unit_test(what_would_hold_longer_is_told_by_its_hours),
        cmocka_unit_test(the_same_garden_gets_the_same_page),
        cmocka_unit_test(a_page_of_all_sorts),
        cmocka_unit_test(times_are_those_of_the_frost),
        cmocka_unit_test(what_is_not_so_is_not_said),
        cmocka_unit_test(a_page_of_a_heated_house),
        cmocka_unit_test(long_names_go_on_in_the_next_line),
        cmocka_unit_test(covers_buy_hours),
        cmocka_unit_test(small_pots_freeze_first),
    };
    return cmocka_run_group_tests_name("advice", tests, NULL, NULL);
}
