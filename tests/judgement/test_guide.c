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
    ow_guide_heaters(guide, y.on.scene);
    yard_live(&y, 20);
    assert_near(y.on.scene->glass[0].air_c, 0.0, 0.01);
    ow_guide_heaters(NULL, y.on.scene);
    yard_live(&y, 2);
    assert_near(y.on.scene->glass[0].air_c, 5.0, 0.01);
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
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
