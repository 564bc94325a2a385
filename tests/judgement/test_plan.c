/* SPDX-License-Identifier: MIT */
/* The plan against every choice there is, on small gardens drawn at random. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "judgement/plan.h"

enum { PLANTS = 60, WAYS = 8, COVERS = 4, PLACES = 3, KNOBS = 2 };

typedef struct draw {
    ow_plan_way way[PLANTS][WAYS];
    ow_plan_plant plant[PLANTS];
    int stock[COVERS], room[PLACES];
    double knob_cost[KNOBS];
    ow_plan_task task;
} draw;

/* Small generator of our own: the same draws on every machine. */
static uint32_t seed_now;
static double chance(void)
{
    seed_now = seed_now * 1664525u + 1013904223u;
    return (double)(seed_now >> 8) / 16777216.0;
}

static int below(int n)
{
    return (int)(chance() * n);
}

static ow_plan_way leave(double loss)
{
    return (ow_plan_way){.loss = loss, .place = -1, .knob = -1, .hands_min = INFINITY};
}

static ow_plan_way drawn_way(double leave_loss, bool knobs)
{
    ow_plan_way w = {.loss = leave_loss * chance(), .effort = 0.01 * (1 + below(3)), .place = -1};
    w.covers = below(3);
    w.cover[0] = below(COVERS);
    w.cover[1] = (w.cover[0] + 1 + below(COVERS - 1)) % COVERS;
    w.place = chance() < 0.4 ? below(PLACES) : -1;
    w.knob = knobs && chance() < 0.3 ? below(KNOBS) : -1;
    w.minutes = 5.0 * (1 + below(3));
    w.hands_min = chance() < 0.2 ? INFINITY : 10.0 * (1 + below(6));
    w.bar = chance() < 0.1 ? OW_BAR_HEAVY : OW_BAR_NONE;
    w.stay = chance() < 0.1 ? 0.02 : 0.0;
    return w;
}

/* What a plant holds goes to another: it loses by that, takes nothing or another room. */
static ow_plan_way drawn_give(double leave_loss)
{
    ow_plan_way w = leave(leave_loss + chance());
    w.minutes = 5.0;
    w.gives_cover = chance() < 0.7;
    w.given_cover = below(COVERS);
    w.gives_room = !w.gives_cover;
    w.given_place = below(PLACES);
    w.place = w.gives_room && chance() < 0.5 ? (w.given_place + 1) % PLACES : -1;
    return w;
}

static void draw_garden(draw *d, uint32_t seed, int plants, int ways, bool knobs)
{
    bool gives = seed % 2 == 1, few = plants > 14;
    double share = few ? 0.1 : 0.4; /* in a large garden few hold what others want */
    seed_now = seed * 2654435761u + 12345u;
    for (int i = 0; i < plants; i++) {
        d->way[i][0] = leave(10.0 * chance());
        d->plant[i] = (ow_plan_plant){d->way[i], 1 + below(ways)};
        for (int w = 1; w < d->plant[i].ways; w++) {
            d->way[i][w] = gives && chance() < share ? drawn_give(d->way[i][0].loss)
                                                   : drawn_way(d->way[i][0].loss, knobs);
        }
    }
    for (int c = 0; c < COVERS; c++) {
        d->stock[c] = gives && !few ? 0 : below(2 + plants / 6);
    }
    for (int p = 0; p < PLACES; p++) {
        d->room[p] = gives && !few ? 0 : below(2 + plants / 8);
    }
    for (int k = 0; k < KNOBS; k++) {
        d->knob_cost[k] = 4.0 * chance();
    }
    d->task = (ow_plan_task){d->plant, plants, d->stock,     COVERS,
                             d->room,  PLACES, d->knob_cost, knobs ? KNOBS : 0};
}

/* The least cost of all choices, one after the other. */
static double best_of_all(const ow_plan_task *t)
{
    int choice[PLANTS] = {0};
    double best = INFINITY;
    for (unsigned knobs = 0; knobs < 1u << t->knobs; knobs++) {
        int at = 0;
        memset(choice, 0, sizeof choice);
        while (at < t->plants) {
            if (ow_plan_fits(t, choice, knobs)) {
                best = fmin(best, ow_plan_cost(t, choice, knobs));
            }
            for (at = 0; at < t->plants && ++choice[at] == t->plant[at].ways; at++) {
                choice[at] = 0;
            }
        }
    }
    return best;
}

/* Whoever takes what was not free has it from one who gives it. */
static int count_given(const ow_plan_task *t, const int *choice)
{
    ow_handing handing[PLANTS];
    int given = 0;
    for (int thing = 0; thing < COVERS + PLACES; thing++) {
        bool cover = thing < COVERS;
        int item = cover ? thing : thing - COVERS, taken = 0;
        int n = ow_plan_handings(t, choice, cover ? item : -1, cover ? -1 : item, handing, PLANTS);
        for (int i = 0; i < t->plants; i++) {
            const ow_plan_way *w = &t->plant[i].way[choice[i]];
            taken += cover ? (w->covers > 0 && w->cover[0] == item) ||
                                 (w->covers > 1 && w->cover[1] == item)
                           : w->place == item;
        }
        int free_ones = cover ? t->stock[item] : t->room[item];
        assert_int_equal(n, taken > free_ones ? taken - free_ones : 0);
        for (int k = 0; k < n; k++) {
            const ow_plan_way *from = &t->plant[handing[k].giver].way[choice[handing[k].giver]];
            assert_true(cover ? from->gives_cover && from->given_cover == item
                              : from->gives_room && from->given_place == item);
            assert_true(k == 0 || handing[k].giver != handing[k - 1].giver);
        }
        given += n;
    }
    return given;
}

static void as_good_as_trying_all(void **state)
{
    (void)state;
    static draw d;
    int short_of = 0, given = 0;
    for (uint32_t seed = 0; seed < 300; seed++) {
        int choice[PLANTS], free_choice = 0;
        ow_plan plan = {.choice = choice};
        draw_garden(&d, seed, 1 + (int)(seed % 5), 5, seed % 3 == 0);
        assert_int_equal(ow_plan_solve(&d.task, OW_PLAN_NODES, &plan), OW_OK);
        given += count_given(&d.task, choice);
        assert_true(plan.exact);
        assert_true(ow_plan_fits(&d.task, choice, plan.knobs));
        check_close("cost", ow_plan_cost(&d.task, choice, plan.knobs), plan.total, 1e-9, 0.0);
        check_close("least of all", plan.total, best_of_all(&d.task), 1e-7, 0.0);
        check_close("bound", plan.bound, plan.total, 1e-9, 0.0);
        for (int i = 0; i < d.task.plants; i++) {
            for (int w = 0; w < d.plant[i].ways; w++) {
                int item, who;
                ow_bar why = ow_plan_why(&d.task, &plan, i, w, &item, &who);
                short_of += why >= OW_BAR_STOCK && why <= OW_BAR_HANDS;
                free_choice += why == OW_BAR_NONE;
            }
        }
        assert_int_equal(free_choice, d.task.plants); /* each plant has exactly one way */
    }
    assert_true(given > 15);
    assert_true(short_of > 100); /* the draws are tight enough to tell anything */
}

/* Thirty plants that fight for everything: exact; sixty: a bound that holds and is near. */
static void exact_to_thirty_and_bounded_beyond(void **state)
{
    (void)state;
    static draw d;
    int choice[PLANTS];
    ow_plan plan = {.choice = choice};
    for (uint32_t seed = 1; seed <= 6; seed++) {
        draw_garden(&d, seed, 30, WAYS, false);
        assert_int_equal(ow_plan_solve(&d.task, OW_PLAN_NODES, &plan), OW_OK);
        assert_true(plan.exact);
        draw_garden(&d, seed, 60, WAYS, false);
        assert_int_equal(ow_plan_solve(&d.task, OW_PLAN_NODES, &plan), OW_OK);
        assert_true(ow_plan_fits(&d.task, choice, plan.knobs));
        assert_true(plan.bound <= plan.total);
        double none = 0.0;
        for (int i = 0; i < 60; i++) {
            none += d.way[i][0].loss;
        }
        assert_true(plan.total - plan.bound < 0.15 * (none - plan.bound));
    }
}

/* A search cut short still bounds from below what the whole search finds. */
static void a_bound_is_one(void **state)
{
    (void)state;
    static draw d;
    int choice[PLANTS], whole_choice[PLANTS], cut = 0;
    for (uint32_t seed = 100; seed < 120; seed++) {
        ow_plan plan = {.choice = choice}, whole = {.choice = whole_choice};
        draw_garden(&d, seed, 14, WAYS, seed % 2 == 0);
        assert_int_equal(ow_plan_solve(&d.task, 4, &plan), OW_OK);
        assert_int_equal(ow_plan_solve(&d.task, OW_PLAN_NODES, &whole), OW_OK);
        assert_true(whole.exact);
        assert_true(plan.bound <= whole.total + 1e-9 && whole.total <= plan.total + 1e-9);
        cut += !plan.exact;
    }
    assert_true(cut > 5);
}

/* ---- what is asked of it ------------------------------------------------------------------- */

static ow_plan_way cover(double loss, int which)
{
    return (ow_plan_way){.loss = loss,
                         .effort = 0.01,
                         .covers = 1,
                         .cover = {which},
                         .place = -1,
                         .knob = -1,
                         .minutes = 5.0,
                         .hands_min = INFINITY};
}

static void three_plants_and_one_fleece(void **state)
{
    (void)state;
    ow_plan_way ways[3][2] = {
        {leave(3.0), cover(0.0, 0)}, {leave(9.0), cover(1.0, 0)}, {leave(6.0), cover(0.0, 0)}};
    ow_plan_plant plants[3] = {{ways[0], 2}, {ways[1], 2}, {ways[2], 2}};
    int stock[1] = {1}, choice[3], item, who;
    ow_plan_task task = {.plant = plants, .plants = 3, .stock = stock, .covers = 1};
    ow_plan plan = {.choice = choice};
    assert_int_equal(ow_plan_solve(&task, OW_PLAN_NODES, &plan), OW_OK);
    assert_true(choice[0] == 0 && choice[1] == 1 && choice[2] == 0);
    assert_int_equal(ow_plan_why(&task, &plan, 2, 1, &item, &who), OW_BAR_STOCK);
    assert_true(item == 0 && who == 1);
    assert_int_equal(ow_plan_why(&task, &plan, 1, 0, &item, &who), OW_BAR_BETTER);
}

static void equal_choices_do_not_flip(void **state)
{
    (void)state;
    int stock[1] = {1}, choice[2];
    for (int before = 0; before < 2; before++) {
        for (int wobble = -1; wobble <= 1; wobble++) {
            ow_plan_way ways[2][2] = {{leave(5.0 + 0.005 * wobble), cover(0.0, 0)},
                                      {leave(5.0), cover(0.0, 0)}};
            ways[before][1].stay = 0.02;
            ow_plan_plant plants[2] = {{ways[0], 2}, {ways[1], 2}};
            ow_plan_task task = {.plant = plants, .plants = 2, .stock = stock, .covers = 1};
            ow_plan plan = {.choice = choice};
            assert_int_equal(ow_plan_solve(&task, OW_PLAN_NODES, &plan), OW_OK);
            assert_true(choice[before] == 1 && choice[1 - before] == 0);
        }
    }
}

/* Two jobs of ten minutes, a quarter of an hour until the first must be done. */
static void hands_run_out_in_order_of_time(void **state)
{
    (void)state;
    ow_plan_way ways[3][2] = {
        {leave(5.0), cover(0.0, 0)}, {leave(4.0), cover(0.0, 0)}, {leave(3.0), cover(0.0, 0)}};
    static const double hands[3] = {15.0, 15.0, 25.0};
    ow_plan_plant plants[3];
    for (int i = 0; i < 3; i++) {
        ways[i][1].minutes = 10.0;
        ways[i][1].hands_min = hands[i];
        plants[i] = (ow_plan_plant){ways[i], 2};
    }
    int stock[1] = {3}, choice[3], item, who;
    ow_plan_task task = {.plant = plants, .plants = 3, .stock = stock, .covers = 1};
    ow_plan plan = {.choice = choice};
    assert_int_equal(ow_plan_solve(&task, OW_PLAN_NODES, &plan), OW_OK);
    assert_true(choice[0] == 1 && choice[1] == 0 && choice[2] == 1);
    assert_int_equal(ow_plan_why(&task, &plan, 1, 1, &item, &who), OW_BAR_HANDS);
}

/* Heat that saves two is worth its price, for one it is not. */
static void heat_is_shared(void **state)
{
    (void)state;
    double cost[1] = {5.0};
    for (int plants_under_glass = 1; plants_under_glass <= 2; plants_under_glass++) {
        ow_plan_way ways[2][2] = {{leave(4.0), leave(0.0)}, {leave(4.0), leave(0.0)}};
        ways[0][1].knob = ways[1][1].knob = 0;
        ow_plan_plant plants[2] = {{ways[0], 2}, {ways[1], 2}};
        int choice[2];
        ow_plan_task task = {
            .plant = plants, .plants = plants_under_glass, .knob_cost = cost, .knobs = 1};
        ow_plan plan = {.choice = choice};
        assert_int_equal(ow_plan_solve(&task, OW_PLAN_NODES, &plan), OW_OK);
        assert_int_equal(plan.knobs, plants_under_glass == 2);
    }
}

static void wrong_tasks_are_refused(void **state)
{
    (void)state;
    int choice[1];
    ow_plan plan = {.choice = choice};
    ow_plan_way way = cover(1.0, 0);
    ow_plan_plant plant = {&way, 1};
    int stock[1] = {1};
    ow_plan_task task = {.plant = &plant, .plants = 1, .stock = stock, .covers = 1};
    assert_int_equal(ow_plan_solve(&task, 10, &plan), OW_BAD_INPUT);
    plant.ways = 0;
    assert_int_equal(ow_plan_solve(&task, 10, &plan), OW_BAD_INPUT);
    task.plants = 0;
    assert_int_equal(ow_plan_solve(&task, 10, &plan), OW_OK);
    task.knobs = OW_PLAN_KNOBS + 1;
    assert_int_equal(ow_plan_solve(&task, 10, &plan), OW_BAD_INPUT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_good_as_trying_all),
        cmocka_unit_test(exact_to_thirty_and_bounded_beyond),
        cmocka_unit_test(a_bound_is_one),
        cmocka_unit_test(three_plants_and_one_fleece),
        cmocka_unit_test(equal_choices_do_not_flip),
        cmocka_unit_test(hands_run_out_in_order_of_time),
        cmocka_unit_test(heat_is_shared),
        cmocka_unit_test(wrong_tasks_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
