/* SPDX-License-Identifier: MIT */
/* Schedules of surveys that are made up: what a way costs and wants, what is picked, whose turn. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "garden/weight.h"
#include "judgement/stage.h"

enum { DECK, CELLAR, BARN, SOIL, SHED };
enum { FLEECE, THICK };
enum { ONE, TWO, THREE, PALM };

#define BUSH(id, more) "{'id':'" id "'," YARD_LEAVES ",'place':'deck'," YARD_POT more "}"
#define GARDEN(people)                                                                             \
    "'covers':[{'id':'fleece','kind':'fleece','count':2,'on':'all'},"                              \
    "{'id':'thick','kind':'thick fleece','count':1,'on':'all'}],"                                  \
    "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR ",{'id':'barn','kind':'indoors','air_c':9,"       \
    "'room_for':5},{'id':'soil','kind':'open sky','film_w_m2k':12,'ground_c':-3},"                 \
    "{'id':'shed','kind':'indoors','air_c':5}],"                                                   \
    "'plants':[" BUSH("one", "") "," BUSH("two", ",'value':'treasured'") "," BUSH(                 \
        "three", "") ",{'id':'palm'," YARD_LEAVES ",'place':'deck','bed':{},"                      \
                     "'trunk':{'diameter_mm':120,'height_mm':1800,'growing_point_mm':20}}]" people
#define ADA ",'household':[{'id':'ada','hands':'17:00-21:30','lifts_kg':40}]"

/* Opened at midnight UTC, half past one here; nothing is lived through and 72 hours are foreseen.
 */
static yard open_with(const char *quoted)
{
    yard y = yard_open(quoted, 3.0);
    y.outlook->start_s = y.on.scene->now_s;
    y.outlook->step_s = STAGE_STEP_S;
    y.outlook->steps = 144;
    for (int i = 0; i < y.on.garden->plant_count; i++) {
        y.schedule->survey[i] = (ow_survey){.made = true, .share = 1.0, .thaw_by_s = OW_NEVER};
        y.outlook->course[i].reset_s = OW_NEVER;
    }
    return y;
}

static ow_utc_s at(double hour)
{
    return STAGE_MIDWINTER + (ow_utc_s)(hour * OW_HOUR_S);
}

static void threaten(yard *y, int plant, double loss)
{
    ow_survey *s = &y->schedule->survey[plant];
    s->threat.any = true;
    s->leave = (ow_loss){loss, loss};
}

static void freeze(yard *y, int plant, double by_h)
{
    ow_survey *s = &y->schedule->survey[plant];
    s->thaw = true;
    s->thaw_by_s = at(by_h);
    s->leave_wait = 0.5;
}

static ow_way *add(yard *y, int plant, ow_trial act, double loss, double latest_h)
{
    ow_survey *s = &y->schedule->survey[plant];
    s->way[s->ways] =
        (ow_way){.act = act, .loss = {loss, loss}, .latest_s = at(latest_h), .reset_s = OW_NEVER};
    return &s->way[s->ways++];
}

static const ow_trial fleece = {.place = -1, .covers = 1, .cover = {FLEECE}};
static const ow_trial thick = {.place = -1, .covers = 1, .cover = {THICK}};
static const ow_trial both = {.place = -1, .covers = 2, .cover = {FLEECE, THICK}};
static const ow_trial to_cellar = {.place = CELLAR};
static const ow_trial to_barn = {.place = BARN};
static const ow_trial to_deck = {.place = DECK};

static const ow_pick *pick_of(const yard *y, int plant)
{
    return &y->schedule->pick[plant];
}

static const ow_plan_way *plan_way(const yard *y, int plant, int way)
{
    return &y->schedule->way[plant][way];
}

/* ---- what a way costs and wants -------------------------------------------------------------- */

static void a_way_is_put_in_numbers(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(ADA));
    threaten(&y, ONE, 5.0);
    y.schedule->survey[ONE].leave_wait = 0.25;
    add(&y, ONE, fleece, 2.0, 20.0)->wait = 0.125;
    add(&y, ONE, to_deck, 1.0, 16.0);
    add(&y, ONE, both, 1.5, 20.0);
    yard_plan(&y);
    const ow_plan_way *leave = plan_way(&y, ONE, 0), *w = plan_way(&y, ONE, 1);
    check_close("left alone", leave->loss, 5.25, 1e-12, 0.0);
    assert_true(leave->place == -1 && leave->knob == -1 && isinf(leave->hands_min));
    check_close("loss and wait", w->loss, 2.125, 1e-12, 0.0);
    assert_true(w->covers == 1 && w->cover[0] == FLEECE && w->place == -1 && w->knob == -1);
    check_close("minutes", w->minutes, 5.0, 0.0, 0.0);
    check_close("effort", w->effort, 0.02, 1e-12, 0.0);
    check_close("hands from 15:30 to 20:00 UTC", w->hands_min, 270.0, 1e-9, 0.0);
    check_close("none stood before", w->stay, 0.0, 0.0, 0.0);
    w = plan_way(&y, ONE, 2);
    assert_true(w->covers == 0 && w->place == DECK);
    check_close("minutes", w->minutes, 10.0, 0.0, 0.0);
    check_close("hands to 16:00 UTC", w->hands_min, 30.0, 1e-9, 0.0);
    w = plan_way(&y, ONE, 3);
    assert_true(w->covers == 2 && w->cover[0] == FLEECE && w->cover[1] == THICK);
    assert_int_equal(y.schedule->plant[ONE].ways, 4);
    yard_close(&y);
}

/* What it wears is not taken from the stock again; of the stock what others wear is gone, and of
 * the room what others fill. */
static void what_there_is_is_counted(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    assert_int_equal(ow_dress_add(&yard_actor(&y, ONE)->dress, y.on.garden, FLEECE), OW_OK);
    threaten(&y, ONE, 5.0);
    add(&y, ONE, both, 1.5, 20.0);
    yard_actor(&y, TWO)->place = BARN;
    y.on.garden->places[DECK].room_for = 2; /* three stand there */
    yard_plan(&y);
    assert_true(plan_way(&y, ONE, 1)->covers == 1 && plan_way(&y, ONE, 1)->cover[0] == THICK);
    assert_int_equal(y.schedule->stock[FLEECE], 1);
    assert_int_equal(y.schedule->stock[THICK], 1);
    assert_int_equal(y.schedule->room[DECK], 0);
    assert_int_equal(y.schedule->room[CELLAR], 1);
    assert_int_equal(y.schedule->room[BARN], 4);
    y.on.garden->places[DECK].room_for = 9;
    yard_plan(&y);
    assert_int_equal(y.schedule->room[DECK], 6);
    int worn_by_more_than_there_are[] = {-1, 0};
    assert_int_equal(ow_schedule_plan(y.schedule, y.on.scene, y.outlook, yard_local(),
                                      worn_by_more_than_there_are),
                     OW_OK);
    assert_int_equal(y.schedule->stock[FLEECE], 0);
    assert_int_equal(y.schedule->stock[THICK], 0);
    yard_close(&y);
}

/* Warmth costs what a kilowatt-hour and turning up do: five quarters of a minute of work, and five
 * minutes (ours). */
static void heat_is_put_in_minutes_of_work(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(ADA));
    threaten(&y, ONE, 5.0);
    add(&y, ONE, (ow_trial){.place = BARN, .warm = true}, 1.0, 20.0);
    y.outlook->warm_j[BARN] = 8.0 * 3.6e6;
    yard_plan(&y);
    assert_int_equal(y.schedule->knobs, 1);
    assert_int_equal(y.schedule->knob_place[0], BARN);
    check_close("8 kWh and turning up", y.schedule->knob_cost[0], (10.0 + 5.0) * OW_MINUTE_COSTS,
                1e-12, 0.0);
    yard_close(&y);
}

/* What is short is known before anything was ever planned. */
static void what_is_short_is_counted_anew(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(ADA));
    threaten(&y, ONE, 5.0);
    add(&y, ONE, thick, 2.0, 20.0);
    add(&y, ONE, to_cellar, 1.0, 20.0);
    for (int thicks = 1; thicks >= 0; thicks--) {
        int left[] = {2, thicks};
        y.on.garden->places[CELLAR].room_for = thicks;
        ow_schedule_find_short(y.schedule, y.on.scene, left);
        assert_true(y.schedule->cover_short[THICK] == (thicks == 0));
        assert_true(y.schedule->room_short[CELLAR] == (thicks == 0));
        assert_false(y.schedule->cover_short[FLEECE]);
    }
    yard_close(&y);
}

/* As many ways as a survey holds, the last of them the best. */
static void a_full_survey_is_planned(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    threaten(&y, PALM, 20.0);
    for (int i = 0; i < OW_WAYS; i++) {
        add(&y, PALM, i % 2 == 0 ? fleece : thick, 10.0 - 0.5 * i, 20.0);
    }
    yard_plan(&y);
    assert_int_equal(y.schedule->plant[PALM].ways, OW_WAYS + 1);
    assert_int_equal(pick_of(&y, PALM)->way, OW_WAYS - 1);
    yard_close(&y);
}

/* Pots of some 20 kg: one who lifts that carries it alone, two who do together take twice the
 * minutes; whom a pot is too heavy for it stays, but covers go on all the same. */
static void weight_wants_people(void **state)
{
    (void)state;
    static const struct {
        const char *household;
        double minutes;
        ow_bar bar;
    } cases[] = {
        {"", 10.0, OW_BAR_NONE},
        {",'household':[{'id':'ada','lifts_kg':40}]", 10.0, OW_BAR_NONE},
        {",'household':[{'id':'ada','lifts_kg':14},{'id':'bo','lifts_kg':14}]", 20.0, OW_BAR_NONE},
        {",'household':[{'id':'ada','lifts_kg':5}]", 10.0, OW_BAR_HEAVY},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[YARD_TEXT];
        snprintf(text, sizeof text, GARDEN("%s"), cases[i].household);
        yard y = open_with(text);
        threaten(&y, ONE, 5.0);
        add(&y, ONE, to_cellar, 0.0, 20.0);
        add(&y, ONE, fleece, 1.0, 20.0);
        add(&y, TWO, to_deck, 0.0, 20.0); /* the first of places weighs as others do */
        yard_plan(&y);
        const ow_plan_way *w = plan_way(&y, ONE, 1);
        assert_int_equal(plan_way(&y, TWO, 1)->bar, cases[i].bar);
        check_close("minutes", plan_way(&y, TWO, 1)->minutes, cases[i].minutes, 0.0, 0.0);
        check_close("minutes", w->minutes, cases[i].minutes, 0.0, 0.0);
        check_close("effort", w->effort, 0.004 * cases[i].minutes, 1e-12, 0.0);
        assert_int_equal(w->bar, cases[i].bar);
        assert_int_equal(plan_way(&y, ONE, 2)->bar, OW_BAR_NONE);
        const ow_pick *pick = pick_of(&y, ONE);
        assert_int_equal(pick->way, cases[i].bar == OW_BAR_NONE ? 0 : 1);
        if (pick->way == 0) {
            check_close("kg", pick->kg, ow_pot_kg(&y.on.garden->plants[ONE].pot), 0.0, 1e-12);
            assert_int_equal(pick->people, cases[i].minutes > 10.0 ? 2 : 1);
        } else {
            assert_true(isnan(pick->kg) && pick->people == 1);
        }
        yard_close(&y);
    }
}

/* A bar of weight comes before one of frost, and that before one of hands. */
static void bars_are_told_in_their_order(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(",'household':[{'id':'ada','lifts_kg':40,'hands':'17:00-21:30'}]"));
    y.on.garden->plants[ONE].pot.stands_on = OW_BASE_SOIL;
    ow_actor *a = yard_actor(&y, ONE);
    a->place = SOIL;
    y.on.scene->spot[SOIL].open_air = true;
    y.on.scene->spot[SOIL].ground_c = -3.0;
    threaten(&y, ONE, 5.0);
    add(&y, ONE, to_cellar, 0.0, 10.0); /* nobody until 15:30 UTC */
    add(&y, ONE, fleece, 1.0, 10.0);
    add(&y, ONE, thick, 1.0, 20.0);
    yard_plan(&y);
    assert_int_equal(plan_way(&y, ONE, 1)->bar, OW_BAR_NO_HANDS);
    assert_int_equal(plan_way(&y, ONE, 2)->bar, OW_BAR_NO_HANDS);
    assert_int_equal(plan_way(&y, ONE, 3)->bar, OW_BAR_NONE);
    a->condition.drought.frozen_through = true;
    yard_plan(&y);
    assert_int_equal(plan_way(&y, ONE, 1)->bar, OW_BAR_FROZEN_DOWN);
    assert_int_equal(plan_way(&y, ONE, 2)->bar, OW_BAR_NO_HANDS);
    assert_int_equal(plan_way(&y, ONE, 3)->bar, OW_BAR_NONE); /* a cover goes over it where it is */
    y.on.garden->household[0].lifts_kg = 5.0;
    yard_plan(&y);
    assert_int_equal(plan_way(&y, ONE, 1)->bar, OW_BAR_HEAVY);
    yard_close(&y);
}

/* Ten minutes of hands are enough for ten minutes' work. */
static void hands_that_just_reach_are_enough(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(",'household':[{'id':'ada','lifts_kg':40,'hands':'17:00-17:10'}]"));
    threaten(&y, ONE, 5.0);
    add(&y, ONE, to_barn, 0.0, 20.0);
    add(&y, ONE, (ow_trial){.place = BARN, .covers = 1, .cover = {FLEECE}}, 0.0, 20.0);
    yard_plan(&y);
    assert_int_equal(plan_way(&y, ONE, 1)->bar, OW_BAR_NONE);
    assert_int_equal(plan_way(&y, ONE, 2)->bar, OW_BAR_NO_HANDS);
    yard_close(&y);
}

/* The top of a trunk above 1.8 m is wrapped from a ladder, by daylight only. */
static void a_ladder_wants_light(void **state)
{
    (void)state;
    for (int tall = 0; tall < 2; tall++) {
        yard y = open_with(GARDEN(",'household':[{'id':'ada','hands':'19:00-21:30'}]"));
        y.on.garden->plants[PALM].trunk.height_mm = tall ? 1801.0 : 1800.0;
        threaten(&y, PALM, 5.0);
        threaten(&y, ONE, 5.0);
        add(&y, PALM, fleece, 1.0, 30.0);
        add(&y, PALM, to_barn, 1.0, 30.0); /* no cover, no ladder */
        add(&y, ONE, fleece, 1.0, 30.0);
        yard_plan(&y);
        assert_int_equal(plan_way(&y, PALM, 1)->bar, tall ? OW_BAR_NO_HANDS : OW_BAR_NONE);
        assert_int_equal(plan_way(&y, PALM, 2)->bar, OW_BAR_NONE);
        assert_int_equal(plan_way(&y, ONE, 1)->bar, OW_BAR_NONE);
        check_close("hands", plan_way(&y, PALM, 1)->hands_min, tall ? 0.0 : 150.0, 1e-9, 0.0);
        yard_close(&y);
    }
}

/* What stood before keeps an advantage: a quarter of what a harmed leaf counts, or for a thaw six
 * hours; only the very act, and only until the plant is forgotten. */
static void what_stood_before_is_dearer_to_leave(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    ow_verdict stood = {.asks = true, .act = fleece};
    ow_verdict none = {.asks = false, .act = fleece};
    for (int plant = ONE; plant <= THREE; plant++) {
        add(&y, plant, fleece, 1.0, 20.0);
        add(&y, plant, thick, 1.0, 20.0);
        ow_schedule_stand(y.schedule, plant, &stood);
    }
    threaten(&y, ONE, 5.0);
    threaten(&y, TWO, 5.0);
    y.schedule->survey[ONE].share = y.schedule->survey[TWO].share = 0.5;
    freeze(&y, THREE, 9.0);
    yard_plan(&y);
    check_close("ordinary", plan_way(&y, ONE, 1)->stay, 0.125, 1e-12, 0.0);
    check_close("treasured", plan_way(&y, TWO, 1)->stay, 0.375, 1e-12, 0.0);
    check_close("a thaw", plan_way(&y, THREE, 1)->stay, 0.04, 1e-12, 0.0);
    check_close("another act", plan_way(&y, ONE, 2)->stay, 0.0, 0.0, 0.0);
    ow_schedule_stand(y.schedule, ONE, &none);
    yard_plan(&y);
    check_close("nothing was asked", plan_way(&y, ONE, 1)->stay, 0.0, 0.0, 0.0);
    ow_schedule_forget(y.schedule, TWO);
    yard_plan(&y);
    check_close("forgotten", plan_way(&y, TWO, 1)->stay, 0.0, 0.0, 0.0);
    yard_close(&y);
}

/* ---- what is picked -------------------------------------------------------------------------- */

static void a_pick_is_told_whole(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(ADA));
    threaten(&y, ONE, 5.0);
    threaten(&y, TWO, 5.0);
    add(&y, ONE, fleece, 2.0, 29.0);
    add(&y, TWO, to_cellar, 1.0, 29.0);
    yard_plan(&y);
    const ow_pick *pick = pick_of(&y, ONE);
    assert_true(pick->way == 0 && pick->wanted == 0 && pick->bar == OW_BAR_NONE);
    assert_true(pick->item == -1 && pick->who == -1 && pick->people == 1 && isnan(pick->kg));
    check_close("minutes", pick->minutes, 5.0, 0.0, 0.0);
    check_close("saves", pick->saves, 3.0, 1e-12, 0.0);
    pick = pick_of(&y, TWO);
    check_close("saves", pick->saves, 4.0, 1e-12, 0.0);
    check_between("kg", pick->kg, 10.0, 30.0);
    check_close("all minutes", y.schedule->minutes, 15.0, 0.0, 0.0);
    pick = pick_of(&y, THREE);
    assert_true(pick->way == -1 && pick->wanted == -1 && pick->do_by_s == OW_NEVER);
    yard_plan(&y);
    check_close("not counted twice", y.schedule->minutes, 15.0, 0.0, 0.0);
    yard_close(&y);
}

/* By daylight, else by torch before the hands end; what is late as soon as there are hands. */
static void when_it_is_to_be_done(void **state)
{
    (void)state;
    static const struct {
        const char *hands;
        double latest_h, do_by_h;
        ow_bar bar;
    } cases[] = {
        {"19:00-21:30", 29.0, 20.0, OW_BAR_NONE},
        {"19:00-21:30", 18.0, 18.0, OW_BAR_NONE},
        {"09:00-12:00", 29.0, 10.5, OW_BAR_NONE},
        {"19:00-21:30", 0.0, 17.5, OW_BAR_NONE}, /* now is late */
        {"19:00-21:30", -5.0, 17.5, OW_BAR_NONE},
        {"19:00-21:30", 0.5, NAN, OW_BAR_NO_HANDS},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[YARD_TEXT];
        snprintf(text, sizeof text, GARDEN(",'household':[{'id':'ada','hands':'%s'}]"),
                 cases[i].hands);
        yard y = open_with(text);
        threaten(&y, ONE, 5.0);
        add(&y, ONE, fleece, 2.0, cases[i].latest_h);
        yard_plan(&y);
        const ow_pick *pick = pick_of(&y, ONE);
        assert_int_equal(pick->bar, cases[i].bar);
        assert_int_equal(pick->way, cases[i].bar == OW_BAR_NONE ? 0 : -1);
        if (pick->way == 0) {
            check_close("do by, h", (double)(pick->do_by_s - STAGE_MIDWINTER) / 3600.0,
                        cases[i].do_by_h, 1e-9, 0.0);
        }
        yard_close(&y);
    }
}

/* Alone in the garden it would have the best; why it has not is told, and who has it. */
static void what_was_wanted_is_told(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    threaten(&y, ONE, 5.0);
    threaten(&y, TWO, 9.0);
    threaten(&y, THREE, 5.0);
    add(&y, ONE, fleece, 2.0, 20.0);
    add(&y, ONE, to_cellar, 1.0, 20.0);
    add(&y, ONE, thick, 1.0 + 0.02 + 1e-10, 20.0); /* as good to a hair: the earlier is wanted */
    add(&y, TWO, to_cellar, 0.0, 20.0);
    add(&y, TWO, thick, 8.0, 20.0);
    add(&y, THREE, fleece, 4.99, 20.0); /* not worth its five minutes */
    add(&y, THREE, thick, 0.0, 20.0);
    yard_plan(&y);
    const ow_pick *pick = pick_of(&y, ONE);
    assert_int_equal(pick->way, 0);
    assert_int_equal(pick->wanted, 1);
    assert_int_equal(pick->bar, OW_BAR_ROOM);
    assert_true(pick->item == CELLAR && pick->who == TWO);
    pick = pick_of(&y, TWO);
    assert_true(pick->way == 0 && pick->wanted == 0 && pick->bar == OW_BAR_NONE);
    pick = pick_of(&y, THREE);
    assert_true(pick->way == 1 && pick->wanted == 1);
    y.schedule->survey[THREE].ways = 1;
    yard_plan(&y);
    pick = pick_of(&y, THREE);
    assert_true(pick->way == -1 && pick->wanted == -1 && pick->bar == OW_BAR_NONE);
    yard_close(&y);
}

/* ---- turns ----------------------------------------------------------------------------------- */

/* One room, three frozen pots: whose time runs out first goes in when the first has thawed; the
 * third waits, since nobody leaves after that. */
static void the_first_to_suffer_has_the_next_turn(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    static const double by_h[] = {90.0, 80.0, 70.0};
    for (int i = ONE; i <= THREE; i++) {
        freeze(&y, i, by_h[i]);
        add(&y, i, to_cellar, 0.0, 60.0)->reset_s = at(40.0 + i);
    }
    y.schedule->survey[TWO].leave_wait = 5.0; /* goes in first */
    yard_plan(&y);
    assert_int_equal(pick_of(&y, TWO)->way, 0);
    assert_true(pick_of(&y, TWO)->turn_s == OW_NEVER && pick_of(&y, TWO)->turn_after == -1);
    assert_int_equal(pick_of(&y, THREE)->bar, OW_BAR_ROOM);
    assert_int_equal(pick_of(&y, THREE)->turn_after, TWO);
    assert_true(pick_of(&y, THREE)->turn_s == at(40.0 + TWO));
    assert_int_equal(pick_of(&y, ONE)->turn_after, -1);
    assert_true(pick_of(&y, ONE)->turn_s == OW_NEVER);
    y.schedule->survey[ONE].thaw_by_s = at(69.0);
    yard_plan(&y);
    assert_int_equal(pick_of(&y, ONE)->turn_after, TWO);
    assert_int_equal(pick_of(&y, THREE)->turn_after, -1);
    y.schedule->survey[ONE].thaw_by_s = y.schedule->survey[THREE].thaw_by_s;
    yard_plan(&y); /* as soon as each other: in the file's order */
    assert_int_equal(pick_of(&y, ONE)->turn_after, TWO);
    assert_int_equal(pick_of(&y, THREE)->turn_after, -1);
    y.schedule->survey[ONE].thaw = false; /* it waits for nothing */
    yard_plan(&y);
    assert_int_equal(pick_of(&y, THREE)->turn_after, TWO);
    assert_int_equal(pick_of(&y, ONE)->turn_after, -1);
    yard_close(&y);
}

/* Two leave: the one first gone is followed first, and each is followed once. */
static void each_that_leaves_is_followed_once(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    y.on.garden->places[CELLAR].room_for = 1;
    /* One is a guest in the cellar that thaws; two goes... nowhere, there is no room; nor three. */
    yard_actor(&y, ONE)->place = CELLAR;
    yard_actor(&y, ONE)->condition.drought.was_frozen = true;
    y.outlook->course[ONE].reset_s = at(30.0);
    for (int i = TWO; i <= THREE; i++) {
        freeze(&y, i, 80.0 + i);
        add(&y, i, to_cellar, 0.0, 60.0);
    }
    yard_plan(&y);
    assert_int_equal(pick_of(&y, TWO)->turn_after, ONE);
    assert_true(pick_of(&y, TWO)->turn_s == at(30.0));
    assert_int_equal(pick_of(&y, THREE)->turn_after, -1);
    /* A second guest that leaves sooner is followed first, by whoever needs it first. */
    y.on.garden->places[CELLAR].room_for = 2;
    yard_actor(&y, PALM)->place = CELLAR;
    yard_actor(&y, PALM)->condition.drought.was_frozen = true;
    y.outlook->course[PALM].reset_s = at(20.0);
    yard_plan(&y);
    assert_int_equal(pick_of(&y, TWO)->turn_after, PALM);
    assert_true(pick_of(&y, TWO)->turn_s == at(20.0));
    assert_int_equal(pick_of(&y, THREE)->turn_after, ONE);
    assert_true(pick_of(&y, THREE)->turn_s == at(30.0));
    /* One at home there does not leave; nor one that was not frozen. */
    y.on.garden->plants[PALM].place.at = CELLAR;
    yard_actor(&y, ONE)->condition.drought.was_frozen = false;
    yard_plan(&y);
    assert_int_equal(pick_of(&y, TWO)->turn_after, -1);
    assert_int_equal(pick_of(&y, THREE)->turn_after, -1);
    yard_close(&y);
}

/* One that goes in for its leaves' sake stays; one that thaws elsewhere frees nothing here. */
static void only_a_thaw_in_that_room_frees_it(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    freeze(&y, TWO, 80.0);
    add(&y, TWO, to_cellar, 0.0, 60.0);
    threaten(&y, ONE, 9.0);
    add(&y, ONE, to_cellar, 0.0, 60.0)->reset_s = at(40.0);
    freeze(&y, THREE, 80.0);
    y.schedule->survey[THREE].leave_wait = 5.0;
    add(&y, THREE, to_barn, 0.0, 60.0)->reset_s = at(30.0);
    yard_plan(&y);
    assert_int_equal(pick_of(&y, TWO)->bar, OW_BAR_ROOM);
    assert_int_equal(pick_of(&y, TWO)->who, ONE);
    assert_int_equal(pick_of(&y, THREE)->way, 0);
    assert_int_equal(pick_of(&y, TWO)->turn_after, -1);
    yard_close(&y);
}

/* One that has another room waits for no turn in the better one. */
static void whoever_goes_elsewhere_waits_for_nothing(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    for (int i = ONE; i <= TWO; i++) {
        freeze(&y, i, 80.0);
        y.schedule->survey[i].leave_wait = 5.0;
        add(&y, i, to_barn, 0.0, 60.0)->wait = 1.0;
        add(&y, i, to_cellar, 0.0, 60.0)->reset_s = at(40.0);
    }
    yard_plan(&y);
    assert_int_equal(pick_of(&y, ONE)->way, 1); /* alike: the first of the file */
    assert_int_equal(pick_of(&y, TWO)->way, 0);
    assert_int_equal(pick_of(&y, TWO)->bar, OW_BAR_ROOM);
    assert_int_equal(pick_of(&y, TWO)->turn_after, -1);
    yard_close(&y);
}

/* ---- what goes from one to another ----------------------------------------------------------- */

static void give(yard *y, int plant, ow_trial act, double loss)
{
    ow_survey *s = &y->schedule->survey[plant];
    s->give[s->gives++] = (ow_give){.act = act, .loss = {loss, loss}};
}

/* One wears the only thick fleece, two would have it. */
static yard one_gives_two(const char *people, double latest_h)
{
    yard y = open_with(people);
    assert_int_equal(ow_dress_add(&yard_actor(&y, ONE)->dress, y.on.garden, THICK), OW_OK);
    give(&y, ONE, (ow_trial){.place = -1, .sheds = true, .shed = THICK}, 0.5);
    threaten(&y, TWO, 9.0);
    add(&y, TWO, thick, 1.0, latest_h);
    yard_plan(&y);
    return y;
}

/* Giving costs its work and a quarter of a harmed leaf. */
static void a_give_is_put_in_numbers(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(ADA));
    yard_actor(&y, ONE)->place = CELLAR;
    give(&y, ONE, (ow_trial){.place = DECK, .home = true}, 0.5);
    give(&y, ONE, (ow_trial){.place = -1, .sheds = true, .shed = THICK}, 0.25);
    y.schedule->survey[ONE].give[1].wait = 0.125;
    threaten(&y, ONE, 0.75); /* its own ways come first */
    add(&y, ONE, fleece, 0.5, 20.0);
    yard_plan(&y);
    assert_int_equal(y.schedule->plant[ONE].ways, 4);
    assert_int_equal(plan_way(&y, ONE, 1)->cover[0], FLEECE);
    const ow_plan_way *home = plan_way(&y, ONE, 2), *off = plan_way(&y, ONE, 3);
    assert_true(home->gives_room && home->given_place == CELLAR && !home->gives_cover);
    assert_true(off->gives_cover && off->given_cover == THICK && !off->gives_room);
    check_close("loss", home->loss, 0.5, 1e-12, 0.0);
    check_close("loss and wait", off->loss, 0.375, 1e-12, 0.0);
    check_close("ten minutes", home->effort, 0.25 + 10.0 * OW_MINUTE_COSTS, 1e-12, 0.0);
    check_close("five minutes", off->effort, 0.25 + 5.0 * OW_MINUTE_COSTS, 1e-12, 0.0);
    check_close("all evenings to come", off->hands_min, 3.0 * 270.0, 1e-9, 0.0);
    assert_true(pick_of(&y, ONE)->give == -1 && pick_of(&y, ONE)->way == 0);
    threaten(&y, TWO, 9.0);
    add(&y, TWO, to_cellar, 1.0, 20.0);
    yard_plan(&y);
    assert_true(pick_of(&y, ONE)->give == 0 && pick_of(&y, ONE)->way == -1);
    assert_true(pick_of(&y, ONE)->wanted == 0 && pick_of(&y, ONE)->bar == OW_BAR_BETTER);
    yard_close(&y);
}

/* What is taken off comes ten minutes before it is laid; at once where that is late. */
static void a_giver_is_done_just_before_its_taker(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        double latest_h, take_h, give_h;
    } cases[] = {
        {GARDEN(""), 20.0, 20.0, 20.0 - 1.0 / 6.0},
        {GARDEN(""), 0.0, 0.0, 0.0},
        {GARDEN(ADA), 20.0, 17.0 + 1.0 / 6.0, 17.0}, /* by the last light: dusk is at 17:02 */
        {GARDEN(ADA), 0.0, 15.5, 15.5 - 1.0 / 6.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = one_gives_two(cases[i].garden, cases[i].latest_h);
        const ow_pick *gives = pick_of(&y, ONE), *takes = pick_of(&y, TWO);
        assert_true(gives->give == 0 && gives->way == -1 && takes->way == 0);
        assert_true(gives->to == TWO && takes->from == ONE && takes->from_cover == THICK);
        assert_true(gives->from == -1 && takes->to == -1 && gives->people == 1);
        assert_true(gives->bar == OW_BAR_NONE && takes->bar == OW_BAR_NONE);
        check_close("minutes", gives->minutes, 5.0, 0.0, 0.0);
        check_close("in all", y.schedule->minutes, 10.0, 0.0, 0.0);
        check_close("taken, h", (double)(takes->do_by_s - at(0.0)) / OW_HOUR_S, cases[i].take_h,
                    1e-6, 0.0);
        check_close("given, h", (double)(gives->do_by_s - at(0.0)) / OW_HOUR_S, cases[i].give_h,
                    1e-6, 0.0);
        assert_true(gives->give_by_s == at(cases[i].latest_h));
        ow_schedule_settle(y.schedule, ONE, &y.verdict[ONE], y.on.scene->now_s);
        const ow_give *told = ow_schedule_give(y.schedule, ONE, &y.verdict[ONE]);
        assert_ptr_equal(told, &y.schedule->survey[ONE].give[0]);
        assert_null(ow_schedule_give(y.schedule, TWO, &y.verdict[TWO]));
        assert_true(y.schedule->stands[ONE] && y.schedule->standing[ONE].sheds);
        y.schedule->survey[ONE].gives = 0; /* looked at anew, it has nothing to give */
        assert_null(ow_schedule_give(y.schedule, ONE, &y.verdict[ONE]));
        yard_close(&y);
    }
}

/* A room goes over like a cover does, of the first place too. */
static void a_guest_leaves_its_room_to_another(void **state)
{
    (void)state;
    for (int first = 0; first < 2; first++) {
        int room = first ? DECK : CELLAR, home = first ? CELLAR : DECK;
        yard y = open_with(GARDEN(""));
        yard_actor(&y, THREE)->place = room;
        yard_actor(&y, TWO)->place = BARN;
        y.on.garden->plants[THREE].place.at = home;
        y.on.garden->places[room].room_for = ow_scene_crowd(y.on.scene, room);
        give(&y, THREE, (ow_trial){.place = home, .home = true}, 0.5);
        threaten(&y, TWO, 9.0);
        add(&y, TWO, (ow_trial){.place = room}, 1.0, 20.0);
        yard_plan(&y);
        assert_true(pick_of(&y, THREE)->give == 0 && pick_of(&y, THREE)->to == TWO);
        assert_true(pick_of(&y, TWO)->from == THREE && pick_of(&y, TWO)->from_cover == -1);
        check_close("carried", pick_of(&y, THREE)->minutes, 10.0, 0.0, 0.0);
        assert_true(pick_of(&y, THREE)->kg > 5.0);
        yard_close(&y);
    }
}

/* Whoever leaves a room in another's fleece gives, and is told of no giver of its own. */
static void who_gives_may_take_for_that(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    y.on.garden->covers[FLEECE].count = 1;
    assert_int_equal(ow_dress_add(&yard_actor(&y, THREE)->dress, y.on.garden, FLEECE), OW_OK);
    yard_actor(&y, ONE)->place = CELLAR;
    give(&y, ONE, (ow_trial){.place = DECK, .home = true}, 5.0);
    give(&y, ONE, (ow_trial){.place = DECK, .home = true, .covers = 1, .cover = {FLEECE}}, 0.5);
    give(&y, THREE, (ow_trial){.place = -1, .sheds = true, .shed = FLEECE}, 0.1);
    threaten(&y, TWO, 9.0);
    add(&y, TWO, to_cellar, 1.0, 20.0);
    yard_plan(&y);
    assert_true(pick_of(&y, ONE)->give == 1 && pick_of(&y, ONE)->to == TWO);
    assert_true(pick_of(&y, ONE)->from == -1 && pick_of(&y, TWO)->from == ONE);
    assert_true(pick_of(&y, THREE)->give == 0 && pick_of(&y, THREE)->to == -1);
    yard_close(&y);
}

/* Worn already it is not wanted; of two that want one, one is short of it. */
static void who_wants_what_is_counted(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    int left[] = {1, 1};
    threaten(&y, ONE, 5.0);
    threaten(&y, TWO, 5.0);
    add(&y, ONE, both, 2.0, 20.0);
    add(&y, ONE, to_cellar, 2.0, 20.0);
    add(&y, TWO, thick, 2.0, 20.0);
    add(&y, TWO, to_barn, 2.0, 20.0);
    ow_schedule_find_short(y.schedule, y.on.scene, left);
    assert_true(!y.schedule->cover_short[FLEECE] && y.schedule->cover_short[THICK]);
    assert_true(!y.schedule->room_short[CELLAR] && !y.schedule->room_short[BARN]);
    add(&y, TWO, to_cellar, 2.0, 20.0);
    assert_int_equal(ow_dress_add(&yard_actor(&y, ONE)->dress, y.on.garden, THICK), OW_OK);
    ow_schedule_find_short(y.schedule, y.on.scene, left);
    assert_true(!y.schedule->cover_short[FLEECE] && !y.schedule->cover_short[THICK]);
    assert_true(y.schedule->room_short[CELLAR] && !y.schedule->room_short[BARN]);
    for (int i = ONE; i <= TWO; i++) { /* what was found before counts no more */
        y.schedule->survey[i].ways = 0;
    }
    *add(&y, TWO, fleece, 2.0, 20.0) = (ow_way){.act = {.place = -1, .covers = 1,
                                                        .cover = {FLEECE, THICK}}};
    y.on.garden->places[BARN].room_for = 0; /* of what nobody wants nothing is short */
    for (int fleeces = 0; fleeces < 2; fleeces++) {
        int few[] = {fleeces, 0};
        ow_schedule_find_short(y.schedule, y.on.scene, few);
        assert_int_equal(y.schedule->cover_short[FLEECE], fleeces == 0);
        assert_false(y.schedule->cover_short[THICK] || y.schedule->room_short[CELLAR] ||
                     y.schedule->room_short[BARN]);
    }
    add(&y, TWO, to_cellar, 2.0, 20.0);
    ow_schedule_find_short(y.schedule, y.on.scene, (const int[]){0, 0});
    assert_true(!y.schedule->room_short[BARN] && !y.schedule->cover_short[THICK]);
    yard_actor(&y, TWO)->place = BARN;
    y.on.garden->places[DECK].room_for = 3; /* as many stand there */
    add(&y, TWO, to_deck, 2.0, 20.0);
    ow_schedule_find_short(y.schedule, y.on.scene, left);
    assert_true(y.schedule->room_short[DECK] && y.schedule->room_short[CELLAR] == false);
    yard_close(&y);
}

/* ---- heat ------------------------------------------------------------------------------------ */

/* A house is warmed from when the first of those for whom it is must have it, wherever it is named;
 * one that may not be is none. */
static void a_house_is_warmed_for_the_first(void **state)
{
    (void)state;
    static const int houses[] = {DECK, BARN, -1}; /* -1: where they stand */
    for (int i = 0; i < 6; i++) {
        yard y = open_with(GARDEN(""));
        int place = houses[i / 2], house = place < 0 ? CELLAR : place;
        bool may = i % 2 == 0;
        for (int plant = ONE; plant <= TWO; plant++) {
            threaten(&y, plant, 9.0);
            yard_actor(&y, plant)->place = CELLAR;
            add(&y, plant, (ow_trial){.place = place, .warm = true}, 1.0,
                plant == ONE ? 20.0 : 12.0);
        }
        y.schedule->may_warm[house] = may;
        yard_plan(&y);
        assert_int_equal(y.schedule->knobs, may); /* once for both */
        for (int k = DECK; k <= SOIL; k++) {
            assert_true(y.schedule->warm_from_s[k] == (may && k == house ? at(12.0) : OW_NEVER));
        }
        assert_int_equal(plan_way(&y, ONE, 1)->bar, may ? OW_BAR_NONE : OW_BAR_HEATER);
        y.schedule->survey[ONE].ways = y.schedule->survey[TWO].ways = 0;
        yard_plan(&y); /* and not a day longer */
        assert_true(y.schedule->warm_from_s[house] == OW_NEVER);
        yard_close(&y);
    }
}

/* Each house has its own heat; where it stands that asks for nobody's hands. */
static void each_house_is_warmed_for_its_own(void **state)
{
    (void)state;
    static const int houses[] = {CELLAR, BARN, SOIL};
    yard y = open_with(GARDEN(ADA));
    for (int plant = ONE; plant <= THREE; plant++) {
        threaten(&y, plant, 9.0);
        yard_actor(&y, plant)->place = houses[plant];
        add(&y, plant, (ow_trial){.place = -1, .warm = true}, 1.0, 5.0);
    }
    y.schedule->may_warm[SOIL] = false;
    yard_plan(&y);
    assert_true(y.schedule->knobs == 2 && y.schedule->plan.knobs == 3u);
    assert_int_equal(plan_way(&y, ONE, 1)->knob, 0);
    assert_int_equal(plan_way(&y, TWO, 1)->knob, 1);
    assert_int_equal(plan_way(&y, THREE, 1)->knob, -1);
    assert_int_equal(pick_of(&y, THREE)->bar, OW_BAR_HEATER);
    for (int plant = ONE; plant <= TWO; plant++) {
        assert_true(pick_of(&y, plant)->way == 0 && isinf(plan_way(&y, plant, 1)->hands_min));
        assert_true(y.schedule->warm_from_s[houses[plant]] == at(5.0));
    }
    yard_close(&y);
}

/* Of more houses than the plan can turn up the first are those it may. */
static void as_many_houses_as_the_plan_has_knobs(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    threaten(&y, ONE, 9.0);
    for (int k = DECK; k <= SHED; k++) {
        add(&y, ONE, (ow_trial){.place = k, .warm = true}, k == SHED ? 0.5 : 1.0, 20.0);
    }
    yard_plan(&y);
    assert_int_equal(y.schedule->knobs, OW_PLAN_KNOBS);
    for (int k = DECK; k <= SHED; k++) {
        assert_int_equal(plan_way(&y, ONE, 1 + k)->knob, k < OW_PLAN_KNOBS ? k : -1);
    }
    assert_int_equal(pick_of(&y, ONE)->wanted, SHED);
    assert_int_equal(pick_of(&y, ONE)->bar, OW_BAR_HEATER);
    yard_close(&y);
}

/* ---- settling -------------------------------------------------------------------------------- */

static void what_is_settled_stands(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    threaten(&y, ONE, 5.0);
    add(&y, ONE, fleece, 1.0, 20.0);
    yard_plan(&y);
    ow_schedule_settle(y.schedule, ONE, &y.verdict[ONE], y.on.scene->now_s);
    assert_true(y.verdict[ONE].asks && y.schedule->stands[ONE]);
    assert_true(ow_trial_same(&y.schedule->standing[ONE], &fleece));
    yard_plan(&y);
    check_close("it stood", plan_way(&y, ONE, 1)->stay, 0.25, 1e-12, 0.0);
    y.schedule->survey[ONE].ways = 0;
    yard_plan(&y);
    ow_schedule_settle(y.schedule, ONE, &y.verdict[ONE], y.on.scene->now_s);
    assert_false(y.schedule->stands[ONE]);
    y.schedule->pick[ONE].way = 0;
    ow_schedule_forget(y.schedule, ONE);
    assert_true(!y.schedule->survey[ONE].made && pick_of(&y, ONE)->way == -1);
    yard_close(&y);
}

/* A schedule begins with nothing planned and nothing standing. */
static void it_begins_empty(void **state)
{
    (void)state;
    yard y = open_with(GARDEN(""));
    for (int i = ONE; i <= PALM; i++) {
        assert_true(pick_of(&y, i)->way == -1 && pick_of(&y, i)->do_by_s == OW_NEVER);
        assert_false(y.schedule->stands[i]);
    }
    for (int k = DECK; k <= SOIL; k++) { /* no house is warmed, each may be */
        assert_true(y.schedule->warm_from_s[k] == OW_NEVER && y.schedule->may_warm[k]);
    }
    ow_schedule_free(NULL);
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_way_is_put_in_numbers),
        cmocka_unit_test(what_there_is_is_counted),
        cmocka_unit_test(heat_is_put_in_minutes_of_work),
        cmocka_unit_test(what_is_short_is_counted_anew),
        cmocka_unit_test(a_full_survey_is_planned),
        cmocka_unit_test(weight_wants_people),
        cmocka_unit_test(bars_are_told_in_their_order),
        cmocka_unit_test(hands_that_just_reach_are_enough),
        cmocka_unit_test(a_ladder_wants_light),
        cmocka_unit_test(what_stood_before_is_dearer_to_leave),
        cmocka_unit_test(a_pick_is_told_whole),
        cmocka_unit_test(when_it_is_to_be_done),
        cmocka_unit_test(what_was_wanted_is_told),
        cmocka_unit_test(the_first_to_suffer_has_the_next_turn),
        cmocka_unit_test(each_that_leaves_is_followed_once),
        cmocka_unit_test(only_a_thaw_in_that_room_frees_it),
        cmocka_unit_test(whoever_goes_elsewhere_waits_for_nothing),
        cmocka_unit_test(a_give_is_put_in_numbers),
        cmocka_unit_test(a_giver_is_done_just_before_its_taker),
        cmocka_unit_test(a_guest_leaves_its_room_to_another),
        cmocka_unit_test(who_gives_may_take_for_that),
        cmocka_unit_test(who_wants_what_is_counted),
        cmocka_unit_test(a_house_is_warmed_for_the_first),
        cmocka_unit_test(each_house_is_warmed_for_its_own),
        cmocka_unit_test(as_many_houses_as_the_plan_has_knobs),
        cmocka_unit_test(what_is_settled_stands),
        cmocka_unit_test(it_begins_empty),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
