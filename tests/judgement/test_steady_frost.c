/* SPDX-License-Identifier: MIT */
/* The steady frost that all plants are held against: the same for each, and what each wears in it. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"
#include "judgement/steady_frost.h"

static ow_garden *garden_of(const char *quoted)
{
    char text[YARD_TEXT];
    return stage_garden(yard_text(quoted, text));
}

/* 2025-01-17 and 2025-07-17, date -u +%s. */
static void it_begins_in_the_midwinter_of_either_half(void **state)
{
    (void)state;
    static const struct {
        double latitude_deg;
        ow_utc_s from_s;
    } cases[] = {{48.8, 1737072000}, {0.0, 1737072000}, {-0.1, 1752710400}, {-40.0, 1752710400}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_garden g = {.site.latitude_deg = cases[i].latitude_deg};
        assert_true(ow_frost_from_s(&g) == cases[i].from_s);
    }
}

static void one_course_bare_and_one_a_cover(void **state)
{
    (void)state;
    static const struct {
        int covers, dresses;
    } cases[] = {{0, 1}, {1, 2}, {5, 6}, {6, 7}, {7, 8}, {8, 8}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_plant plant = {.covers.count = cases[i].covers};
        assert_int_equal(ow_frost_dresses(&plant), cases[i].dresses);
    }
}

#define PLACES                                                                                     \
    "'places':[{'id':'deck','kind':'open sky'},{'id':'wall','kind':'wall','faces_deg':180},"       \
    "{'id':'glass','kind':'glasshouse','floor_m2':6,'glazing_m2':18}," YARD_CELLAR "],"
#define LEMON(place) "{'id':'in-" place "'," YARD_LEAVES ",'place':'" place "'," YARD_SMALL_POT "}"

/* Under glass and indoors it is that of the open sky; a wall gives what a wall gives. */
static void a_roof_is_taken_away_and_a_wall_is_not(void **state)
{
    (void)state;
    ow_garden *g = garden_of(PLACES "'plants':[" LEMON("deck") "]");
    ow_spot open = ow_frost_spot(g, &g->places[0], 3.0, 100.0);
    check_close("air, C", open.sky.air_c, -5.0, 0.0, 0.0);
    for (int place = 1; place < g->place_count; place++) {
        ow_spot spot = ow_frost_spot(g, &g->places[place], 3.0, 100.0);
        bool same = spot.sky_view == open.sky_view && spot.wind_share == open.wind_share;
        assert_int_equal(same, place != 1);
        assert_true(spot.open_air);
        check_close("air, C", spot.sky.air_c, -5.0, 0.0, 0.0);
    }
    ow_garden_free(g);
}

static ow_frost_course bare(const char *quoted, int plant)
{
    ow_frost_course course[OW_FROST_DRESSES];
    ow_garden *g = garden_of(quoted);
    assert_int_equal(ow_steady_frost(g, plant, course), OW_OK);
    ow_garden_free(g);
    return course[0];
}

static void check_same(const ow_frost_course *a, const ow_frost_course *b)
{
    check_close("half ice, h", a->half_h, b->half_h, 0.0, 0.0);
    check_close("ice through, h", a->through_h, b->through_h, 0.0, 0.0);
    check_close("harm, h", a->harm_h, b->harm_h, 0.0, 0.0);
    assert_int_equal(a->part, b->part);
}

/* Roots that are harmed at -2 C after the ball of a small pot has frozen through. */
#define TUB(place, more)                                                                           \
    "{'id':'in-" place "','limits':{'roots':{'damaged_c':-2}},'place':'" place "'," YARD_SMALL_POT    \
    more "}"

static void where_it_stands_and_what_it_wears_now_does_not_count(void **state)
{
    (void)state;
    static const char garden[] =
        PLACES "'covers':[{'id':'straw','kind':'straw','on':'all'}],'plants':["
        TUB("deck", "") "," TUB("glass", "") "," TUB("cellar", ",'wearing':['straw']") "]";
    ow_frost_course deck = bare(garden, 0), glass = bare(garden, 1), dressed = bare(garden, 2);
    assert_true(deck.half_h < deck.through_h);
    assert_int_equal(deck.part, OW_ROOTS);
    check_same(&glass, &deck);
    check_same(&dressed, &deck);
}

/* Each course is that of its own cover, of as many as there is room for. */
static void each_cover_has_its_course(void **state)
{
    (void)state;
    char covers[1024] = "", names[256] = "", garden[4096];
    for (int i = 0; i < 9; i++) {
        size_t used = strlen(covers);
        snprintf(covers + used, sizeof covers - used,
                 "%s{'id':'c%d','kind':'straw','on':'all','r_m2k_w':%.1f}", i > 0 ? "," : "", i,
                 0.1 * (i + 1));
        used = strlen(names);
        snprintf(names + used, sizeof names - used, "%s'c%d'", i > 0 ? "," : "", i);
    }
    snprintf(garden, sizeof garden,
             PLACES "'covers':[%s],'plants':[{'id':'tub','limits':{'roots':{'damaged_c':-2}},"
                    "'place':'deck'," YARD_SMALL_POT ",'covers':[%s]}]",
             covers, names);
    ow_frost_course course[OW_FROST_DRESSES];
    ow_garden *g = garden_of(garden);
    assert_int_equal(ow_steady_frost(g, 0, course), OW_OK);
    for (int i = 1; i < OW_FROST_DRESSES; i++) {
        assert_true(course[i].half_h > course[i - 1].half_h);
        assert_true(course[i].half_h < course[i].through_h);
    }
    ow_garden_free(g);
}

/* Of two parts that are harmed in the same step the first in the list stands for both; the hour is
 * that of the end of the step: leaves at the air's -5 C from the start, thirty minutes long. */
static void harm_is_dated_at_the_end_of_its_step(void **state)
{
    (void)state;
    ow_frost_course c =
        bare("'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush','place':'deck',"
             "'limits':{'foliage':{'damaged_c':-4,'of':'tissue'},"
             "'buds':{'damaged_c':-4,'of':'tissue'}}," YARD_POT "}]",
             0);
    check_close("harm, h", c.harm_h, 0.5, 0.0, 0.0);
    assert_int_equal(c.part, OW_FOLIAGE);
}

/* A large ball that the 21 days do not freeze through: bare it is half ice at the most. */
static void what_does_not_come_in_three_weeks_is_not_told(void **state)
{
    (void)state;
    ow_frost_course c = bare("'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush',"
                             "'place':'deck'," YARD_LEAVES
                             ",'pot':{'diameter_mm':1200,'depth_mm':1000}}]",
                             0);
    assert_true(isnan(c.through_h) && isnan(c.harm_h)); /* leaves at -5 C that stand it */
    assert_int_equal(c.part, OW_PARTS);
}

/* Hours until a raised pot so deep is frozen through. */
static double through_h(double depth_mm)
{
    char garden[1024];
    snprintf(garden, sizeof garden,
             "'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush','place':'deck'," YARD_LEAVES
             ",'pot':{'diameter_mm':1200,'depth_mm':%.4f,'stands_on':'raised'}}]",
             depth_mm);
    return bare(garden, 0).through_h;
}

/* The deepest pot that still freezes through does so at the end of the twenty-first day. */
static void the_last_step_of_three_weeks_counts(void **state)
{
    (void)state;
    double told_mm = 400.0, untold_mm = 600.0;
    assert_true(!isnan(through_h(told_mm)) && isnan(through_h(untold_mm)));
    while (untold_mm - told_mm > 0.02) {
        double middle_mm = 0.5 * (told_mm + untold_mm);
        *(isnan(through_h(middle_mm)) ? &untold_mm : &told_mm) = middle_mm;
    }
    check_close("ice through, h", through_h(told_mm), 21.0 * 24.0, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_begins_in_the_midwinter_of_either_half),
        cmocka_unit_test(one_course_bare_and_one_a_cover),
        cmocka_unit_test(a_roof_is_taken_away_and_a_wall_is_not),
        cmocka_unit_test(where_it_stands_and_what_it_wears_now_does_not_count),
        cmocka_unit_test(each_cover_has_its_course),
        cmocka_unit_test(harm_is_dated_at_the_end_of_its_step),
        cmocka_unit_test(what_does_not_come_in_three_weeks_is_not_told),
        cmocka_unit_test(the_last_step_of_three_weeks_counts),
    };
    return cmocka_run_group_tests_name("steady frost", tests, NULL, NULL);
}
