/* SPDX-License-Identifier: MIT */
/* Heat in a cheap hour before dear ones: when it pays, and in which house. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/guide.h"
#include "judgement/stage.h"

#define HOUSE(watts, keeps)                                                                        \
    "'places':[{'id':'house','kind':'glasshouse','floor_m2':6,'glazing_m2':18}],"                  \
    "'outputs':[{'id':'heater','kind':'heater','place':'house','topic':'p','on':'on','off':'off'," \
    "'watts':" #watts ",'keep_air_above_c':5" keeps "}],"                                          \
    "'plants':[{'id':'a','place':'house','limits':{'foliage':{'damaged_c':0,'of':'tissue'}},"      \
    YARD_POT "}]"

/* A day and a half in which the air outside falls from start_c within some hours. */
static yard falling(const char *garden, double start_c, double hours, double coldest_c)
{
    yard y = yard_open(garden, start_c);
    turn turns[] = {{0, start_c}, {hours, coldest_c}, {36, coldest_c}};
    yard_forecast(&y, turns, 3);
    return y;
}

static ow_guide *guided(const yard *y)
{
    ow_guide *guide;
    assert_int_equal(ow_guide_new(y->on.scene, &guide), OW_OK);
    ow_guide_begin(guide, y->on.scene, &y->ahead);
    assert_true(ow_guide_some(guide, &y->ahead, INT_MAX));
    return guide;
}

static void pays_from_its_ratio_on(void **state)
{
    (void)state;
    double times = OW_GUIDE_DEAR_TIMES;
    assert_true(ow_guide_pays(0.1, 0.1 * times));
    assert_false(ow_guide_pays(0.1, 0.1 * times - 1e-9));
    assert_false(ow_guide_pays(0.1, 0.1));
    assert_false(ow_guide_pays(0.0, 0.0));
    assert_true(ow_guide_pays(0.0, 0.01)); /* for nothing, or less */
    assert_true(ow_guide_pays(-0.1, 0.0));
    assert_true(ow_guide_pays(-0.1, -0.05));
    assert_false(ow_guide_pays(-0.1, -0.2));
    assert_false(ow_guide_pays((double)NAN, 1.0));
    assert_false(ow_guide_pays(1.0, (double)NAN));
}

/* By how much the house is warmed more in a cheap hour. */
static double more_k(const char *garden, double start_c, double hours, double coldest_c)
{
    yard y = falling(garden, start_c, hours, coldest_c);
    ow_guide *guide = guided(&y);
    const ow_output *heater = &y.on.garden->outputs[0];
    double plain_c = ow_guide_set_c(guide, heater);
    guide->cheap = true;
    double cheap_c = ow_guide_set_c(guide, heater);
    ow_guide_heaters(guide, false, y.on.scene);
    assert_true(y.on.scene->set_c[0] == cheap_c);
    ow_guide_free(guide);
    yard_close(&y);
    return cheap_c - plain_c;
}

static void only_where_it_will_heat_anyway(void **state)
{
    (void)state;
    assert_true(more_k(HOUSE(3000, ""), -5.0, 3.0, -8.0) == OW_GUIDE_EARLY_K);
    assert_true(more_k(HOUSE(3000, ",'too_warm_c':8"), -5.0, 3.0, -8.0) == 1.5); /* its bands */
    assert_true(more_k(HOUSE(3000, ",'too_warm_c':6.5"), -5.0, 3.0, -8.0) == 0.0);
    assert_true(more_k(HOUSE(3000, ""), 12.0, 3.0, 10.0) == 0.0); /* mild */
    assert_true(more_k(HOUSE(3000, ""), 14.0, 20.0, -8.0) == 0.0); /* cold only after that */
    assert_true(more_k(HOUSE(3000, ",'set_back_c':1"), -5.0, 3.0, -2.0) == 0.0); /* set back */
}

/* The dear hours are those from an hour ahead on, three of them, to the step. The air turns between
 * two rows of the forecast, half an hour apart, and the heater goes in the step between them. */
static void the_dear_hours_have_their_edges(void **state)
{
    (void)state;
    static const struct {
        double cold_from_h, cold_to_h;
        bool heats;
    } cases[] = {{0.0, 0.5, false}, {0.0, 1.0, true}, {4.0, 36.0, true}, {4.5, 36.0, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double from_h = cases[i].cold_from_h, to_h = cases[i].cold_to_h;
        turn turns[] = {{-1.0, 6.0},   {from_h - 0.01, 6.0}, {from_h, -20.0},
                        {to_h, -20.0}, {to_h + 0.01, 20.0},  {40.0, 20.0}};
        yard y = yard_open(HOUSE(3000, ""), 6.0);
        yard_forecast(&y, turns, 6);
        ow_guide *guide = guided(&y);
        assert_int_equal(guide->house[0].heats, cases[i].heats);
        ow_guide_free(guide);
        yard_close(&y);
    }
}

/* A forecast that turned mild takes back that it will have to heat. */
static void what_was_foretold_before_does_not_count(void **state)
{
    (void)state;
    yard y = falling(HOUSE(3000, ""), -5.0, 3.0, -8.0);
    ow_guide *guide = guided(&y);
    guide->cheap = true;
    assert_true(ow_guide_kept_c(guide, 0) == 5.0 + OW_GUIDE_EARLY_K);
    for (size_t i = 0; i < y.ahead.rows; i++) {
        y.ahead.row[i].weather.air_c += 25.0;
    }
    ow_guide_begin(guide, y.on.scene, &y.ahead);
    assert_true(ow_guide_some(guide, &y.ahead, INT_MAX));
    assert_true(ow_guide_kept_c(guide, 0) == 5.0);
    ow_guide_free(guide);
    yard_close(&y);
}

/* Heat given in so many hours; the first of them may be cheap. */
static double heat_j(yard *y, const ow_guide *guide, int hours, double *lowest_c)
{
    double before_j = y->on.scene->heater_j[0];
    ow_guide_heaters(guide, false, y->on.scene);
    for (int i = 0; i < 2 * hours; i++) {
        yard_live(y, 0.5);
        *lowest_c = fmin(*lowest_c, y->on.scene->glass[0].air_c);
    }
    return y->on.scene->heater_j[0] - before_j;
}

/* It costs less at that ratio over the hours that were counted as dear, and no plant is colder. */
static void what_it_costs_and_spares(void **state)
{
    (void)state;
    static const int dear_h = (int)(OW_GUIDE_DEAR_S / OW_HOUR_S);
    double first_j[2], later_j[2], lowest_c[2] = {INFINITY, INFINITY};
    for (int cheap = 0; cheap < 2; cheap++) {
        yard y = falling(HOUSE(3000, ""), -5.0, 3.0, -8.0);
        ow_guide *guide = guided(&y);
        (void)heat_j(&y, guide, 6, &lowest_c[cheap]); /* as it has been for hours */
        guide->cheap = cheap;
        first_j[cheap] = heat_j(&y, guide, 1, &lowest_c[cheap]);
        guide->cheap = false;
        later_j[cheap] = heat_j(&y, guide, dear_h, &lowest_c[cheap]);
        ow_guide_free(guide);
        yard_close(&y);
    }
    double more_j = first_j[1] - first_j[0], spared_j = later_j[0] - later_j[1];
    assert_true(more_j > 0.0 && spared_j > 0.0);
    assert_true(more_j <= OW_GUIDE_DEAR_TIMES * spared_j);
    assert_true(lowest_c[1] >= lowest_c[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pays_from_its_ratio_on),
        cmocka_unit_test(only_where_it_will_heat_anyway),
        cmocka_unit_test(the_dear_hours_have_their_edges),
        cmocka_unit_test(what_was_foretold_before_does_not_count),
        cmocka_unit_test(what_it_costs_and_spares),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
