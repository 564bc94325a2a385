/* SPDX-License-Identifier: MIT */
/* What heaters are to keep: set back while plants allow, early before what cannot be held. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/guide.h"
#include "judgement/stage.h"

/* A house of glass with a heater of those watts; what it keeps; its plant. */
#define HOUSE "'places':[{'id':'house','kind':'glasshouse','floor_m2':6,'glazing_m2':18}],"
#define HEATER(watts, keeps)                                                                       \
    "'outputs':[{'id':'heater','kind':'heater','place':'house','topic':'p','on':'on','off':'off'," \
    "'watts':" #watts "," keeps "}],"
#define LEAVES(limit) "'plants':[{'id':'a','place':'house','limits':{'foliage':{'damaged_c':"      \
    #limit ",'of':'tissue'}}," YARD_POT "}]"
#define ROOTS(limit) "'plants':[{'id':'a','place':'house','limits':{'roots':{'damaged_c':"         \
    #limit "}},'pot':{'diameter_mm':420,'depth_mm':400}}]"
#define SET_BACK "'keep_air_above_c':5,'set_back_c':0"

static void assert_near(double got, double want, double within)
{
    assert_true(fabs(got - want) <= within);
}

static yard frosty(const char *garden, double start_c, double coldest_c)
{
    yard y = yard_open(garden, start_c);
    turn turns[] = {{0, start_c}, {12, coldest_c}, {24, coldest_c}, {36, 3}};
    yard_forecast(&y, turns, 4);
    return y;
}

static ow_guide *guided(const yard *y, int portion)
{
    ow_guide *guide;
    assert_int_equal(ow_guide_new(y->on.scene, &guide), OW_OK);
    ow_guide_begin(guide, y->on.scene, &y->ahead);
    for (int i = 0; !ow_guide_some(guide, &y->ahead, portion); i++) {
        assert_in_range(i, 0, 400);
    }
    return guide;
}

static double set_of(const char *garden, double start_c, double coldest_c)
{
    yard y = frosty(garden, start_c, coldest_c);
    ow_guide *guide = guided(&y, INT_MAX);
    double set_c = guide->house[0].set_c;
    assert_near(ow_guide_set_c(guide, &y.on.garden->outputs[0]), set_c, 1e-12);
    ow_guide_free(guide);
    yard_close(&y);
    return set_c;
}

/* The same weather, so much colder. */
static void colder(yard *y, double by_k)
{
    for (size_t i = 0; i < y->ahead.rows; i++) {
        y->ahead.row[i].weather.air_c -= by_k;
    }
}

/* Runs the garden a day ahead with its air kept there; the plant's margin. */
static double margin_at(yard *y, double set_c)
{
    ow_course course;
    y->on.scene->set_c[0] = set_c;
    yard_look(y);
    course = y->outlook->course[0];
    return ow_course_margin_k(&course);
}

static void as_low_as_the_plants_allow(void **state)
{
    (void)state;
    /* all the way, part of the way, not at all */
    assert_near(set_of(HOUSE HEATER(3000, SET_BACK) LEAVES(-6), 5.0, -8.0), 0.0, 0.0);
    double part = set_of(HOUSE HEATER(3000, SET_BACK) LEAVES(0), 5.0, -8.0);
    assert_true(part > 0.5 && part < 4.5);
    assert_near(set_of(HOUSE HEATER(3000, SET_BACK) LEAVES(4.5), 5.0, -8.0), 5.0, 0.0);
    assert_near(
        set_of(HOUSE HEATER(3000, "'keep_air_above_c':5") LEAVES(-6), 5.0, -8.0), 5.0, 0.0);
}

/* What was found keeps the margin, and an eighth of the way lower does not. */
static void no_lower_and_no_higher(void **state)
{
    (void)state;
    yard y = frosty(HOUSE HEATER(3000, SET_BACK) LEAVES(0), 5.0, -8.0);
    y.foresight_h = OW_GUIDE_HOURS;
    ow_guide *guide = guided(&y, INT_MAX);
    double set_c = guide->house[0].set_c;
    colder(&y, OW_GUIDE_COLDER_K);
    assert_true(margin_at(&y, set_c) >= OW_GUIDE_MARGIN_K);
    assert_true(margin_at(&y, set_c - 5.0 / 8.0 - 0.01) < OW_GUIDE_MARGIN_K);
    ow_guide_free(guide);
    yard_close(&y);
}

/* Roots of a large pot lag behind one night: the air may be lower than they may. */
static void roots_lag_behind_the_air(void **state)
{
    (void)state;
    static const char deep[] = HOUSE HEATER(3000, "'keep_air_above_c':5,'set_back_c':-5") ROOTS(-2);
    double set_c = set_of(deep, 8.0, -10.0);
    assert_true(set_c < -3.0);
}

/* Nothing is known without twelve hours of forecast. */
static void what_is_not_known_is_not_set_back(void **state)
{
    (void)state;
    yard y = yard_open(HOUSE HEATER(3000, SET_BACK) LEAVES(-6), 5.0);
    ow_guide *guide = guided(&y, 1);
    assert_near(guide->house[0].set_c, 5.0, 0.0);
    assert_true(isnan(guide->house[0].falls_to_c));
    yard_steady(&y, 5.0, 11.0);
    ow_guide_begin(guide, y.on.scene, &y.ahead);
    assert_true(ow_guide_some(guide, &y.ahead, 1));
    assert_near(guide->house[0].set_c, 5.0, 0.0);
    ow_guide_free(guide);
    yard_close(&y);
}

/* In portions it finds the same, and leaves the garden as it is. */
static void portions_find_the_same(void **state)
{
    (void)state;
    double found[2];
    static const int portions[] = {1, INT_MAX};
    for (int k = 0; k < 2; k++) {
        yard y = frosty(HOUSE HEATER(3000, SET_BACK) LEAVES(0), 5.0, -8.0);
        ow_utc_s now_s = y.on.scene->now_s;
        ow_guide *guide = guided(&y, portions[k]);
        found[k] = guide->house[0].set_c;
        assert_int_equal(y.on.scene->now_s, now_s);
        ow_guide_free(guide);
        yard_close(&y);
    }
    assert_true(found[0] == found[1]);
}

/* 600 W cannot hold 5 C at -8: it says so and how far it falls; the scene agrees. */
static void says_how_far_it_falls(void **state)
{
    (void)state;
    yard y = frosty(HOUSE HEATER(600, "'keep_air_above_c':5") LEAVES(-6), 5.0, -8.0);
    ow_guide *guide = guided(&y, INT_MAX);
    const ow_guided *h = &guide->house[0];
    double lowest_c = INFINITY;
    assert_true(h->short_s != OW_NEVER && h->short_s < h->falls_s);
    for (int i = 0; i < 48; i++) {
        yard_live(&y, 0.5);
        lowest_c = fmin(lowest_c, y.on.scene->glass[0].air_c);
    }
    assert_near(h->falls_to_c, lowest_c, 1e-9);
    assert_true(lowest_c < 3.0 && lowest_c > -8.0);
    ow_guide_free(guide);
    yard_close(&y);
    yard enough = frosty(HOUSE HEATER(3000, "'keep_air_above_c':5") LEAVES(-6), 5.0, -8.0);
    guide = guided(&enough, INT_MAX);
    assert_true(guide->house[0].short_s == OW_NEVER);
    assert_near(guide->house[0].falls_to_c, 5.0, 0.1);
    ow_guide_free(guide);
    yard_close(&enough);
}

/* Falls in half an hour, three hours from now, to where those watts are 8 K short of the house. */
static yard short_of(const char *garden, double watts)
{
    const double w_per_k = 110.0; /* about what the house loses */
    double mild_c = 6.0 - watts / w_per_k, cold_c = -7.0 - watts / w_per_k;
    yard y = yard_open(garden, 2.0);
    turn turns[] = {{0, mild_c}, {3, mild_c}, {3.5, cold_c}, {5.5, cold_c}, {6.5, 2}, {36, 2}};
    yard_forecast(&y, turns, 6);
    y.foresight_h = OW_GUIDE_HOURS;
    return y;
}

#define SMALL_ROOTS                                                                                \
    "'plants':[{'id':'a','place':'house','limits':{'roots':{'damaged_c':0}}," YARD_SMALL_POT "}]"

/* Early only where a plant is lifted by it, and no nearer to too warm than the heater's bands. */
static void early_before_what_cannot_be_held(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        double watts, more_k;
    } cases[] = {
        {HOUSE HEATER(2400, "'keep_air_above_c':2") SMALL_ROOTS, 2400, OW_GUIDE_EARLY_K},
        {HOUSE HEATER(600, "'keep_air_above_c':2") SMALL_ROOTS, 600, 0.0},
        {HOUSE HEATER(2400, "'keep_air_above_c':2,'too_warm_c':6") SMALL_ROOTS, 2400, 2.5},
        {HOUSE HEATER(2400, "'keep_air_above_c':2") LEAVES(-30), 2400, 0.0},
    };
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        yard y = short_of(cases[k].garden, cases[k].watts);
        ow_guide *guide = guided(&y, INT_MAX);
        const ow_guided *h = &guide->house[0];
        assert_true(h->short_s <= y.on.scene->now_s + OW_GUIDE_EARLY_S);
        assert_near(h->set_c, h->keep_c + cases[k].more_k, 0.0);
        double lift_k = margin_at(&y, h->keep_c + 3.0) - margin_at(&y, h->keep_c);
        assert_true(k == 3 || (lift_k > OW_GUIDE_LIFT_K) == (cases[k].more_k > 0.0));
        ow_guide_free(guide);
        yard_close(&y);
    }
}

/* What is found is what a scene's heaters keep; without a guide, what the garden file says. */
static void heaters_keep_what_was_found(void **state)
{
    (void)state;
    yard y = frosty(HOUSE HEATER(3000, SET_BACK) LEAVES(-6), 5.0, -8.0);
    ow_guide *guide = guided(&y, INT_MAX);
    ow_guide_heaters(guide, false, y.on.scene);
    yard_live(&y, 20);
    assert_near(y.on.scene->glass[0].air_c, 0.0, 0.01);
    ow_guide_heaters(NULL, false, y.on.scene);
    yard_live(&y, 2);
    assert_near(y.on.scene->glass[0].air_c, 5.0, 0.01);
    ow_guide_free(guide);
    yard_close(&y);
}

/* ---- houses ---------------------------------------------------------------------------------- */

#define GLASS(id) "{'id':'" id "','kind':'glasshouse','floor_m2':6,'glazing_m2':18}"
#define HEATER_IN(place, id, watts, keeps)                                                         \
    "{'id':'" id "','kind':'heater','place':'" place "','topic':'" id "','on':'on','off':'off',"   \
    "'watts':" #watts "," keeps "}"
#define DRIVE_IN(place, id)                                                                        \
    "{'id':'" id "','kind':'cloth drive','place':'" place "','topic':'" id "','close':'c',"        \
    "'open':'o','stop':'s','travel_s':40}"
#define PLANT_IN(place, id, limits) "{'id':'" id "','place':'" place "'," limits "," YARD_POT "}"
#define LEAVES_TO(c) "'limits':{'foliage':{'damaged_c':" #c ",'of':'tissue'}}"
#define DECK "{'id':'deck','kind':'open sky'}"

/* All heaters of a house act as one: the highest that any keeps, no lower than each allows, no
 * nearer than 1.5 K to what is too warm for any. */
static void heaters_of_a_house_act_as_one(void **state)
{
    (void)state;
    static const struct {
        const char *outputs;
        bool heated;
        double keep_c, low_c, high_c;
    } cases[] = {
        {HEATER_IN("house", "a", 900, "'keep_air_above_c':5,'set_back_c':-1,'too_warm_c':12") ","
         HEATER_IN("house", "b", 900, "'keep_air_above_c':3,'set_back_c':0,'too_warm_c':20"),
         true, 5.0, 0.0, 10.5},
        {HEATER_IN("house", "b", 900, "'keep_air_above_c':3,'set_back_c':0,'too_warm_c':20") ","
         HEATER_IN("house", "a", 900, "'keep_air_above_c':5,'set_back_c':-1,'too_warm_c':12"),
         true, 5.0, 0.0, 10.5},
        {HEATER_IN("house", "a", 900, "'keep_air_above_c':5,'set_back_c':-1,'too_warm_c':12"),
         true, 5.0, -1.0, 10.5},
        {HEATER_IN("house", "a", 900, "'keep_air_above_c':4,'too_warm_c':12") ","
         DRIVE_IN("house", "c"),
         true, 4.0, 4.0, 10.5},
        {DRIVE_IN("house", "c"), false, 0.0, 0.0, 0.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char garden[2048];
        snprintf(garden, sizeof garden,
                 "'places':[" DECK "," GLASS("house") "," GLASS("cold") "],'outputs':[%s],"
                 "'plants':[" PLANT_IN("deck", "bush", YARD_LEAVES) "]",
                 cases[i].outputs);
        yard y = yard_open(garden, 5.0);
        ow_guide *guide;
        assert_int_equal(ow_guide_new(y.on.scene, &guide), OW_OK);
        const ow_guided *h = &guide->house[1];
        assert_int_equal(guide->houses, cases[i].heated);
        assert_int_equal(guide->ahead != NULL, cases[i].heated);
        assert_int_equal(h->heated, cases[i].heated);
        assert_false(guide->house[0].heated || guide->house[2].heated);
        assert_true(h->keep_c == cases[i].keep_c && h->low_c == cases[i].low_c);
        assert_near(h->high_c, cases[i].high_c, 1e-12);
        yard_steady(&y, 5.0, 24.0);
        ow_guide_begin(guide, y.on.scene, &y.ahead);
        assert_int_equal(ow_guide_some(guide, &y.ahead, 1), !cases[i].heated);
        assert_int_equal(guide->steps, cases[i].heated ? 48 : 0);
        ow_guide_free(guide);
        yard_close(&y);
    }
}

/* The most that a house may be asked for is that of its own heaters, under glass only. */
static void the_most_is_that_of_its_own_heaters(void **state)
{
    (void)state;
    ow_garden *g;
    char text[YARD_TEXT];
    g = stage_garden(yard_text(
        "'places':[" DECK "," GLASS("house") "," GLASS("other") "," GLASS("full") "," YARD_CELLAR "],"
        "'outputs':[" HEATER_IN("other", "a", 900, "'keep_air_above_c':9") ","
        HEATER_IN("house", "b", 900, "'keep_air_above_c':5") ","
        HEATER_IN("full", "c", 900, "'keep_air_above_c':5,'too_warm_c':6.5") ","
        DRIVE_IN("house", "d") "],'plants':[" PLANT_IN("house", "bush", LEAVES_TO(-6)) "]", text));
    static const double most_c[] = {NAN, 8.0, 12.0, NAN, NAN};
    for (int p = 0; p < g->place_count; p++) {
        double got_c = ow_guide_most_c(g, p);
        assert_true(isnan(most_c[p]) ? isnan(got_c) : got_c == most_c[p]);
    }
    g->outputs[1].place.at = 4; /* no file that is read says so of a heater */
    assert_true(isnan(ow_guide_most_c(g, 4)) && isnan(ow_guide_most_c(g, 1)));
    ow_garden_free(g);
}

/* A house that is turned up keeps the most, whatever was found; one that may not be goes on as it
 * was found. */
static void a_house_is_turned_up_as_far_as_it_may(void **state)
{
    (void)state;
    static const struct {
        const char *keeps;
        double found_c, raised_c;
    } cases[] = {{SET_BACK, 0.0, 8.0},
                 {SET_BACK ",'too_warm_c':8", 0.0, 6.5},
                 {SET_BACK ",'too_warm_c':6.5", 0.0, 0.0},
                 {"'keep_air_above_c':5", 5.0, 8.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char garden[2048];
        snprintf(garden, sizeof garden,
                 HOUSE "'outputs':[{'id':'heater','kind':'heater','place':'house','topic':'p',"
                       "'on':'on','off':'off','watts':3000,%s}],'plants':["
                       PLANT_IN("house", "a", LEAVES_TO(-6)) "]",
                 cases[i].keeps);
        yard y = frosty(garden, 5.0, -8.0);
        ow_guide *guide = guided(&y, INT_MAX);
        const double want_c[] = {cases[i].found_c, cases[i].raised_c, cases[i].found_c};
        for (int k = 0; k < 3; k++) {
            ow_guide_raise(guide, 0, k == 1);
            assert_near(ow_guide_kept_c(guide, 0), want_c[k], 0.0);
            ow_guide_heaters(guide, true, y.on.scene);
            assert_near(y.on.scene->set_c[0], want_c[k], 0.0);
            ow_guide_heaters(guide, false, y.on.scene);
            assert_near(y.on.scene->set_c[0], cases[i].found_c, 0.0);
        }
        ow_guide_free(guide);
        yard_close(&y);
    }
}

/* Each heater is moved by as much as its house; what is no heater of a glasshouse by nothing. */
static void each_heater_moves_with_its_house(void **state)
{
    (void)state;
    yard y = frosty("'places':[" DECK "," GLASS("house") "," YARD_CELLAR "],"
                    "'outputs':["
                    HEATER_IN("house", "a", 2000, "'keep_air_above_c':5,'set_back_c':1") ","
                    HEATER_IN("house", "b", 2000, "'keep_air_above_c':3,'set_back_c':0") ","
                    DRIVE_IN("house", "c") "],"
                    "'plants':[" PLANT_IN("house", "bush", LEAVES_TO(-6)) "]",
                    5.0, -8.0);
    ow_guide *guide = guided(&y, INT_MAX);
    assert_near(guide->house[1].set_c, 1.0, 0.0);
    assert_near(ow_guide_set_c(guide, &y.on.garden->outputs[0]), 1.0, 1e-12);
    assert_near(ow_guide_set_c(guide, &y.on.garden->outputs[1]), -1.0, 1e-12);
    assert_true(isnan(ow_guide_set_c(guide, &y.on.garden->outputs[2])));
    for (int p = 0; p < 3; p++) {
        y.on.scene->set_c[p] = 17.0;
    }
    assert_true(isnan(guide->house[0].falls_to_c) && isnan(guide->house[2].falls_to_c));
    ow_guide_heaters(guide, false, y.on.scene);
    assert_near(y.on.scene->set_c[1], 1.0, 0.0);
    assert_true(isnan(y.on.scene->set_c[0]) && isnan(y.on.scene->set_c[2]));
    ow_guide_heaters(NULL, false, y.on.scene);
    assert_true(isnan(y.on.scene->set_c[1]));
    ow_output in_cellar = y.on.garden->outputs[0];
    in_cellar.place.at = 2;
    assert_true(isnan(ow_guide_set_c(guide, &in_cellar)));
    ow_guide_free(guide);
    yard_close(&y);
}

/* ---- the search ------------------------------------------------------------------------------ */

/* One house of each outcome: all the way back, part of the way, not at all, and early. */
#define OUTCOMES 4
static const char *const outcome[OUTCOMES][2] = {
    {HEATER_IN("house", "a", 6000, SET_BACK), PLANT_IN("house", "pa", LEAVES_TO(-20))},
    {HEATER_IN("house", "b", 6000, SET_BACK), PLANT_IN("house", "pb", LEAVES_TO(-6))},
    {HEATER_IN("house", "c", 6000, SET_BACK), PLANT_IN("house", "pc", LEAVES_TO(4.5))},
    {HEATER_IN("house", "d", 2400, "'keep_air_above_c':2,'set_back_c':0"),
     "{'id':'pd','place':'house','limits':{'roots':{'damaged_c':0}}," YARD_SMALL_POT "}"},
};

/* Falls in half an hour, three hours from now, below what 2400 W hold. */
static void sudden_night(yard *y)
{
    const turn turns[] = {{0, -15}, {3, -15}, {3.5, -29}, {5.5, -29}, {6.5, 2}, {36, 2}};
    yard_forecast(y, turns, 6);
    y->foresight_h = OW_GUIDE_HOURS;
}

static void write_in(char *text, size_t room, const char *words, char house)
{
    static const char mark[] = "'house'";
    const char *at = strstr(words, mark);
    size_t used = strlen(text);
    snprintf(text + used, room - used, "%s%.*s'%c'%s", used > 0 ? "," : "", (int)(at - words), words,
             house, at + strlen(mark));
}

/* The set points of those houses, in one garden. */
static void search(const int *which, int n, double *set_c)
{
    char places[512] = "", outputs[1024] = "", plants[1024] = "", garden[4096];
    for (int i = 0; i < n; i++) {
        write_in(places, sizeof places, GLASS("house"), (char)('p' + i));
        write_in(outputs, sizeof outputs, outcome[which[i]][0], (char)('p' + i));
        write_in(plants, sizeof plants, outcome[which[i]][1], (char)('p' + i));
    }
    snprintf(garden, sizeof garden, "'places':[" DECK ",%s],'outputs':[%s],'plants':[%s]", places,
             outputs, plants);
    yard y = yard_open(garden, 2.0);
    sudden_night(&y);
    ow_guide *guide = guided(&y, 5);
    assert_int_equal(guide->houses, n);
    for (int i = 0; i < n; i++) {
        set_c[i] = guide->house[1 + i].set_c;
    }
    ow_guide_free(guide);
    yard_close(&y);
}

/* Houses searched together find what each finds by itself, in whatever order they stand. */
static void houses_do_not_mind_each_other(void **state)
{
    (void)state;
    static const int orders[][OUTCOMES] = {{0, 1, 2, 3}, {3, 2, 1, 0}, {1, 3, 0, 2}};
    double alone[OUTCOMES], together[OUTCOMES];
    for (int i = 0; i < OUTCOMES; i++) {
        search(&i, 1, &alone[i]);
    }
    assert_true(alone[0] == 0.0 && alone[1] > 0.0 && alone[1] < 5.0 && alone[2] == 5.0);
    assert_near(alone[3], 2.0 + OW_GUIDE_EARLY_K, 0.0);
    assert_true(alone[1] / 0.625 == floor(alone[1] / 0.625)); /* halved three times from 5 K */
    for (size_t k = 0; k < sizeof orders / sizeof orders[0]; k++) {
        search(orders[k], OUTCOMES, together);
        for (int i = 0; i < OUTCOMES; i++) {
            assert_near(together[i], alone[orders[k][i]], 0.0);
        }
    }
}

/* A plant of which no limit is known, or whose roots will stay frozen too long, keeps its house from
 * being set back; of several the nearest to its limit decides, and those elsewhere do not. */
static void the_nearest_plant_decides(void **state)
{
    (void)state;
    static const struct {
        const char *plants;
        bool set_back;
    } cases[] = {
        {PLANT_IN("house", "a", LEAVES_TO(-20)), true},
        {PLANT_IN("house", "a", LEAVES_TO(-20)) "," PLANT_IN("house", "b", LEAVES_TO(4.5)), false},
        {PLANT_IN("house", "b", LEAVES_TO(4.5)) "," PLANT_IN("house", "a", LEAVES_TO(-20)), false},
        {PLANT_IN("house", "a", LEAVES_TO(-20)) "," PLANT_IN("deck", "b", LEAVES_TO(4.5)), true},
        {PLANT_IN("deck", "b", LEAVES_TO(4.5)), true},
        {PLANT_IN("house", "a", "'limits':{'drought':{'suffers_days':9,'may_die_days':20}}"), false},
        {"{'id':'a','place':'house','start_c':-6,'limits':{'foliage':{'damaged_c':-20},"
         "'drought':{'suffers_days':0.1,'may_die_days':9}}," YARD_POT "}",
         false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char garden[2048];
        snprintf(garden, sizeof garden,
                 "'places':[" DECK "," GLASS("house") "],'outputs':["
                 HEATER_IN("house", "h", 6000, SET_BACK) "],'plants':[%s]",
                 cases[i].plants);
        yard y = frosty(garden, 5.0, -8.0);
        ow_guide *guide = guided(&y, INT_MAX);
        assert_near(guide->house[1].set_c, cases[i].set_back ? 0.0 : 5.0, 0.0);
        ow_guide_free(guide);
        yard_close(&y);
    }
}

/* Twelve hours tell of a night, less do not. */
static void twelve_hours_are_enough(void **state)
{
    (void)state;
    static const struct {
        double hours, set_c;
        int steps;
    } cases[] = {{11.5, 5.0, 0}, {12.0, 0.0, 24}, {24.0, 0.0, 48}, {36.0, 0.0, 48}};
    yard y = yard_open(HOUSE HEATER(3000, SET_BACK) LEAVES(-20), 5.0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard_steady(&y, 5.0, cases[i].hours);
        ow_guide *guide = guided(&y, INT_MAX);
        assert_int_equal(guide->steps, cases[i].steps);
        assert_int_equal(guide->run, cases[i].steps == 0 ? 0 : 2); /* nought, or keep and low */
        assert_near(guide->house[0].set_c, cases[i].set_c, 0.0);
        ow_guide_free(guide);
    }
    yard_close(&y);
}

/* What the house falls to and when, and when it first falls half a kelvin short, step by step as the
 * garden then goes with 5 C kept; that it is then set back is another run. */
static void what_is_foretold_of_the_air_comes(void **state)
{
    (void)state;
    const turn turns[] = {{0, 5}, {6, -12}, {8, -12}, {14, 2}, {36, 2}};
    yard y = yard_open(HOUSE HEATER(600, SET_BACK) LEAVES(-30), 5.0);
    yard_forecast(&y, turns, 5);
    ow_guide *guide = guided(&y, INT_MAX);
    assert_near(guide->house[0].set_c, 0.0, 0.0);
    const ow_guided h = guide->house[0];
    ow_utc_s falls_s = OW_NEVER, short_s = OW_NEVER, now_s = y.on.scene->now_s;
    double lowest_c = INFINITY;
    assert_true(guide->start_s == now_s);
    for (int i = 0; i < 48; i++) {
        yard_live(&y, 0.5);
        double air_c = y.on.scene->glass[0].air_c;
        if (air_c < lowest_c) {
            lowest_c = air_c;
            falls_s = y.on.scene->now_s;
        }
        if (short_s == OW_NEVER && air_c < 5.0 - OW_GUIDE_SHORT_K) {
            short_s = y.on.scene->now_s;
        }
    }
    assert_true(lowest_c < 4.0 && y.on.scene->glass[0].air_c > lowest_c + 1.0);
    assert_near(h.falls_to_c, lowest_c, 1e-9);
    assert_int_equal(h.falls_s - now_s, falls_s - now_s);
    assert_int_equal(h.short_s - now_s, short_s - now_s);
    ow_guide_free(guide);
    yard_close(&y);
}

/* Early is within four hours: from the half hour that ends then on, not from the one after. */
static void early_is_within_four_hours(void **state)
{
    (void)state;
    bool seen[2] = {false, false};
    for (double hour = 2.0; hour <= 4.5; hour += 0.5) {
        const turn turns[] = {{0, -15}, {hour, -15}, {hour + 0.1, -29}, {hour + 2, -29},
                              {hour + 3, 2}, {36, 2}};
        yard y = yard_open(HOUSE HEATER(2400, "'keep_air_above_c':2") SMALL_ROOTS, 2.0);
        yard_forecast(&y, turns, 6);
        ow_guide *guide = guided(&y, INT_MAX);
        const ow_guided *h = &guide->house[0];
        ow_utc_s in_s = h->short_s - y.on.scene->now_s;
        assert_int_equal(guide->run, in_s <= 4 * OW_HOUR_S ? 2 : 1); /* keep, and early */
        assert_true(in_s <= 4 * OW_HOUR_S || h->set_c == 2.0);
        seen[0] = seen[0] || in_s == 4 * OW_HOUR_S;
        seen[1] = seen[1] || in_s == 4 * OW_HOUR_S + STAGE_STEP_S;
        ow_guide_free(guide);
        yard_close(&y);
    }
    assert_true(seen[0] && seen[1]);
}

/* Where nothing lower may be asked, and nothing higher, one run tells all. */
static void what_cannot_move_is_not_tried(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        double coldest_c, set_c;
        int runs;
    } cases[] = {
        {HOUSE HEATER(3000, "'keep_air_above_c':5") LEAVES(-20), -8.0, 5.0, 1},
        {HOUSE HEATER(3000, SET_BACK) LEAVES(-20), -8.0, 0.0, 2},
        {HOUSE HEATER(300, "'keep_air_above_c':2,'too_warm_c':3.5") LEAVES(1), -20.0, 2.0, 1},
        {HOUSE HEATER(300, "'keep_air_above_c':2,'too_warm_c':3.6") LEAVES(1), -20.0, 2.0, 2},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = yard_open(cases[i].garden, 2.0);
        yard_steady(&y, cases[i].coldest_c, 30.0);
        ow_guide *guide = guided(&y, INT_MAX);
        assert_int_equal(guide->run, cases[i].runs);
        assert_near(guide->house[0].set_c, cases[i].set_c, 0.0);
        ow_guide_free(guide);
        yard_close(&y);
    }
}

/* Until the first look is done each house keeps what its file says. */
static void before_it_has_looked_it_keeps_what_is_kept(void **state)
{
    (void)state;
    yard y = frosty(HOUSE HEATER(3000, SET_BACK) LEAVES(-6), 5.0, -8.0);
    ow_guide *guide;
    assert_int_equal(ow_guide_new(y.on.scene, &guide), OW_OK);
    assert_near(ow_guide_set_c(guide, &y.on.garden->outputs[0]), 5.0, 0.0);
    ow_guide_begin(guide, y.on.scene, &y.ahead);
    assert_false(ow_guide_some(guide, &y.ahead, 1));
    ow_guide_heaters(guide, false, y.on.scene);
    assert_near(y.on.scene->set_c[0], 5.0, 0.0);
    ow_guide_free(guide);
    yard_close(&y);
}

/* Begun anew it finds the same again, in as many runs as it may take: what keeps 5 C, what sets it
 * back, and three halvings. */
static void it_looks_afresh_each_time(void **state)
{
    (void)state;
    yard y = frosty(HOUSE HEATER(3000, SET_BACK) LEAVES(0), 5.0, -8.0);
    ow_guide *guide = guided(&y, INT_MAX);
    ow_guided first = guide->house[0];
    int runs = guide->run;
    assert_in_range(runs, 5, 6);
    ow_guide_begin(guide, y.on.scene, &y.ahead);
    assert_true(isnan(guide->house[0].falls_to_c) && guide->house[0].short_s == OW_NEVER);
    assert_true(first.set_c < 4.5); /* it was set back, and stays so while it looks */
    int calls = 0;
    for (; !ow_guide_some(guide, &y.ahead, 1); calls++) {
        assert_near(guide->house[0].set_c, first.set_c, 0.0);
    }
    assert_in_range(calls, (runs - 1) * 48, runs * 48);
    assert_int_equal(guide->run, runs);
    assert_near(guide->house[0].set_c, first.set_c, 0.0);
    assert_near(guide->house[0].falls_to_c, first.falls_to_c, 0.0);
    ow_guide_free(guide);
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_low_as_the_plants_allow),
        cmocka_unit_test(no_lower_and_no_higher),
        cmocka_unit_test(roots_lag_behind_the_air),
        cmocka_unit_test(what_is_not_known_is_not_set_back),
        cmocka_unit_test(portions_find_the_same),
        cmocka_unit_test(says_how_far_it_falls),
        cmocka_unit_test(early_before_what_cannot_be_held),
        cmocka_unit_test(heaters_keep_what_was_found),
        cmocka_unit_test(heaters_of_a_house_act_as_one),
        cmocka_unit_test(the_most_is_that_of_its_own_heaters),
        cmocka_unit_test(a_house_is_turned_up_as_far_as_it_may),
        cmocka_unit_test(each_heater_moves_with_its_house),
        cmocka_unit_test(houses_do_not_mind_each_other),
        cmocka_unit_test(the_nearest_plant_decides),
        cmocka_unit_test(twelve_hours_are_enough),
        cmocka_unit_test(what_is_foretold_of_the_air_comes),
        cmocka_unit_test(early_is_within_four_hours),
        cmocka_unit_test(what_cannot_move_is_not_tried),
        cmocka_unit_test(before_it_has_looked_it_keeps_what_is_kept),
        cmocka_unit_test(it_looks_afresh_each_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
