/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdlib.h>

#include "judgement/stage.h"

enum { LEMON, BOG, BED, FERN, LEAN, PLANTS };

/* One of each kind of body and place. */
#define MIXED                                                                                      \
    "'places':[{'id':'deck','kind':'open sky'},{'id':'wall','kind':'wall','faces_deg':180},"       \
    "{'id':'glass','kind':'glasshouse','floor_m2':6,'glazing_m2':18}," YARD_CELLAR "],"            \
    "'covers':[{'id':'fleece','kind':'fleece','count':4},"                                         \
    "{'id':'film','kind':'bubble film','count':4}],"                                               \
    "'outputs':[{'id':'fan-heater','kind':'heater','place':'glass','topic':'p','on':'on',"         \
    "'off':'off','watts':500,'keep_air_above_c':2,'cautions_read':true,"                           \
    "'off_by_itself_s':600}],"                                                                     \
    "'plants':[{'id':'lemon','taxon':'Citrus limon','place':'deck','covers':['fleece','film'],"    \
    "'pot':{'diameter_mm':360,'depth_mm':320,'wall':'terracotta'}},"                               \
    "{'id':'bog','taxon':'Sarracenia flava','place':'deck','pot':{'diameter_mm':200,"              \
    "'depth_mm':180,'medium':'bog mix','moisture':'standing','stands_on':'tray of water',"         \
    "'tray_mm':40}},"                                                                              \
    "{'id':'bed','limits':{'storage organ':{'damaged_c':-2}},'place':'wall',"                      \
    "'covers':['fleece'],'bed':{'mulch_mm':30}},"                                                  \
    "{'id':'fern','taxon':'Dicksonia antarctica','place':'deck','covers':['fleece','film'],"       \
    "'trunk':{'diameter_mm':220,'height_mm':900,'growing_point_mm':40},'bed':{}},"                 \
    "{'id':'lean'," YARD_LEAVES ",'place':'glass'," YARD_POT "}]"

/* Two frosty nights that get colder, then a thaw. */
static void two_nights(yard *y)
{
    turn turns[] = {{0, 1}, {14, -7}, {26, 0}, {38, -10}, {50, 1}, {84, 5}};
    yard_forecast_under(y, turns, 6, 60.0);
}

static yard mixed(void)
{
    yard y = yard_open(MIXED, 2.0);
    yard_steady(&y, 0.0, 48);
    yard_live(&y, 40);
    two_nights(&y);
    return y;
}

static void look_in_portions(yard *y, int portion)
{
    assert_int_equal(ow_outlook_begin(y->outlook, y->on.scene, &y->ahead, 72.0), OW_OK);
    int calls = 1;
    for (; !ow_outlook_some(y->outlook, &y->ahead, portion); calls++) {
        assert_int_equal(y->outlook->steps, 0);
        assert_int_equal(y->outlook->looked, calls * portion);
    }
    assert_int_equal(calls, 143 / portion + 1); /* at most `portion` a call, and no less */
    assert_int_equal(y->outlook->steps, 144);
}

static void a_look_in_portions_is_the_same(void **state)
{
    (void)state;
    static const int portions[] = {1, 7, INT_MAX};
    yard y = mixed();
    ow_course want[PLANTS];
    double leaf_c[PLANTS], lowest_c = NAN;
    for (int k = 0; k < 3; k++) {
        look_in_portions(&y, portions[k]);
        for (int i = 0; i < PLANTS; i++) {
            double now_c = y.outlook->ahead->cast->actor[i].sense.root.mean_c;
            assert_true(k == 0 || memcmp(&want[i], &y.outlook->course[i], sizeof want[i]) == 0);
            assert_true(k == 0 || leaf_c[i] == now_c);
            want[i] = y.outlook->course[i];
            leaf_c[i] = now_c;
        }
        assert_true(k == 0 || lowest_c == y.outlook->lowest_air_c);
        lowest_c = y.outlook->lowest_air_c;
    }
    assert_true(want[LEMON].lowest_c[OW_FOLIAGE] < -5.0);
    yard_close(&y);
}

static int trials_of_lemon(const yard *y, ow_trial *trial)
{
    int n = 0;
    for (int hour = 0; hour < 60; hour += 15) {
        ow_utc_s at = y->on.scene->now_s + hour * OW_HOUR_S;
        trial[n++] = (ow_trial){.place = -1, .covers = 1, .cover = {0}, .at_s = at};
        trial[n++] = (ow_trial){.place = -1, .covers = 2, .cover = {0, 1}, .at_s = at};
        trial[n++] = (ow_trial){.place = 3, .at_s = at + 600};
        trial[n++] = (ow_trial){.place = -1, .at_s = at};
    }
    return n;
}

static void a_question_in_portions_is_the_same(void **state)
{
    (void)state;
    static const int portions[] = {1, 7, INT_MAX};
    yard y = mixed();
    ow_question q = {.plant = LEMON};
    ow_course want[OW_LANES];
    look_in_portions(&y, INT_MAX);
    q.n = trials_of_lemon(&y, q.trial);
    for (int k = 0; k < 3; k++) {
        assert_int_equal(ow_question_begin(&q, y.outlook, y.on.scene), OW_OK);
        int calls = 1;
        for (; !ow_question_some(&q, y.outlook, portions[k]); calls++) {
            assert_int_equal(q.step, calls * portions[k]);
        }
        assert_int_equal(calls, 143 / portions[k] + 1);
        assert_true(k == 0 || memcmp(want, q.answer, sizeof want) == 0);
        memcpy(want, q.answer, sizeof want);
    }
    yard_close(&y);
}

static void a_lane_beside_others_is_as_alone(void **state)
{
    (void)state;
    yard y = mixed();
    ow_trial trial[OW_LANES];
    ow_course together[OW_LANES], alone;
    look_in_portions(&y, INT_MAX);
    int n = trials_of_lemon(&y, trial), differ = 0;
    for (int plant = LEMON; plant <= FERN; plant++) {
        yard_ask(&y, plant, trial, n, together);
        for (int i = 0; i < n; i++) {
            yard_ask(&y, plant, &trial[i], 1, &alone);
            assert_memory_equal(&alone, &together[i], sizeof alone);
            differ += i > 0 && memcmp(&together[0], &together[i], sizeof alone) != 0;
        }
    }
    assert_in_range(differ, 30, 60); /* or the trials would say nothing */
    yard_close(&y);
}

/* A question that changes nothing is the outlook's own course. */
static void doing_nothing_is_the_outlook(void **state)
{
    (void)state;
    yard y = mixed();
    ow_trial nothing = {.place = -1, .at_s = y.on.scene->now_s};
    look_in_portions(&y, INT_MAX);
    for (int plant = 0; plant < PLANTS; plant++) {
        ow_course answer;
        yard_ask(&y, plant, &nothing, 1, &answer);
        assert_memory_equal(&answer, &y.outlook->course[plant], sizeof answer);
    }
    yard_close(&y);
}

/* Every enthalpy and every actor of the living scene. */
static size_t scene_bytes(const ow_scene *s, char *bytes)
{
    size_t used = 0, actors = (size_t)s->cast->actors * sizeof *s->cast->actor;
    for (int g = 0; g < OW_BODY_GRIDS; g++) {
        for (int i = 0; i < s->cast->blocks[g]; i++) {
            const ow_block *b = &s->cast->block[g][i];
            size_t cells = (size_t)(b->grid.nr * b->grid.nz) * sizeof *b->h_j_m3;
            memcpy(bytes + used, b->h_j_m3, cells);
            used += cells;
        }
    }
    memcpy(bytes + used, s->cast->actor, actors);
    used += actors;
    size_t ground = (size_t)s->ground.grid.nz * sizeof *s->ground.h_j_m3;
    memcpy(bytes + used, s->ground.h_j_m3, ground);
    used += ground;
    size_t glass = (size_t)s->garden->place_count * sizeof *s->glass;
    memcpy(bytes + used, s->glass, glass);
    return used + glass;
}

static void the_living_garden_is_left_alone(void **state)
{
    (void)state;
    enum { ROOM = 1 << 18 };
    yard y = mixed();
    char *before = malloc(ROOM), *after = malloc(ROOM);
    ow_trial trial[OW_LANES];
    ow_course answer[OW_LANES];
    assert_true(before != NULL && after != NULL);
    size_t n = scene_bytes(y.on.scene, before);
    ow_utc_s now = y.on.scene->now_s;
    look_in_portions(&y, INT_MAX);
    yard_ask(&y, LEMON, trial, trials_of_lemon(&y, trial), answer);
    (void)yard_judge(&y, FERN);
    assert_int_equal(scene_bytes(y.on.scene, after), n);
    assert_in_range(n, 10000, ROOM);
    assert_memory_equal(before, after, n);
    assert_int_equal(y.on.scene->now_s, now);
    free(before);
    free(after);
    yard_close(&y);
}

/* The outlook foretells what then comes, byte for byte, when the forecast proves true. */
static void what_is_foretold_comes(void **state)
{
    (void)state;
    yard y = mixed();
    look_in_portions(&y, INT_MAX);
    yard_live(&y, 72);
    for (int i = 0; i < PLANTS; i++) {
        const ow_condition *c = &yard_actor(&y, i)->condition;
        const ow_course *course = &y.outlook->course[i];
        const ow_actor *ahead = &y.outlook->ahead->cast->actor[i];
        assert_true(yard_actor(&y, i)->sense.root.mean_c == ahead->sense.root.mean_c);
        for (int p = 0; p < OW_PARTS; p++) {
            assert_int_equal(c->watch[p].damaged, course->damaged_s[p] != OW_NEVER);
            assert_true(!c->watch[p].damaged || c->watch[p].damaged_at == course->damaged_s[p]);
            assert_true(isnan(course->lowest_c[p]) || c->watch[p].lowest_c <= course->lowest_c[p]);
        }
    }
    yard_close(&y);
}

static void it_looks_no_further_than_it_may(void **state)
{
    (void)state;
    yard y = mixed();
    for (int hours = 0; hours <= 96; hours += 24) {
        y.foresight_h = hours;
        yard_look(&y);
        assert_int_equal(y.outlook->steps, 2 * (hours < 84 ? hours : 84));
        assert_int_equal(ow_outlook_end_s(y.outlook),
                         y.on.scene->now_s + OW_HOUR_S * (hours < 84 ? hours : 84));
    }
    ow_forcing_clear(&y.ahead);
    yard_look(&y);
    assert_int_equal(y.outlook->steps, 0);
    for (int p = 0; p < OW_PARTS; p++) {
        assert_true(y.outlook->course[LEMON].damaged_s[p] == OW_NEVER);
    }
    yard_close(&y);
}

#define ONE_PLAIN                                                                                  \
    "'places':[" YARD_PLAIN_DECK "],"                                                              \
    "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT "}]"

/* Leaves at air temperature: from 3 C at hour 12 to -9 at hour 30 is 2/3 K an hour. */
static void a_course_by_hand(void **state)
{
    (void)state;
    yard y = yard_open(ONE_PLAIN, 3.0);
    ow_utc_s now = y.on.scene->now_s;
    yard_cold_night(&y, -9.0);
    yard_look(&y);
    const ow_course *c = &y.outlook->course[0];
    check_close("lowest of the leaves", c->lowest_c[OW_FOLIAGE], -9.0, 1e-9, 0.0);
    check_close("lowest of the air", c->lowest_air_c, -9.0, 1e-9, 0.0);
    check_close("its limit", c->limit_c[OW_FOLIAGE], -5.0, 0.0, 0.0);
    assert_int_equal(c->lowest_s[OW_FOLIAGE], now + 61 * STAGE_STEP_S);
    /* -5 C at hour 24, -8 at 28.5: the half hour after has a mean below, and that is enough */
    assert_int_equal(c->damaged_s[OW_FOLIAGE], now + 24 * OW_HOUR_S + STAGE_STEP_S);
    assert_int_equal(c->killed_s[OW_FOLIAGE], now + 29 * OW_HOUR_S);
    assert_true(isnan(c->limit_c[OW_ROOTS]) && isnan(c->lowest_c[OW_BUDS]));
    assert_true(c->frozen_s == OW_NEVER && c->suffers_s == OW_NEVER && c->clock_days == 0.0);
    yard_close(&y);
}

static void what_was_passed_is_watched_anew(void **state)
{
    (void)state;
    yard y = yard_open(ONE_PLAIN, 3.0);
    turn turns[] = {{0, 3}, {6, -7}, {12, 3}, {24, 3}, {36, -6}, {48, 3}, {84, 3}};
    yard_forecast(&y, turns, 7);
    yard_live(&y, 12);
    assert_true(yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].damaged);
    yard_look(&y);
    check_close("the lowest ahead, not the one behind", y.outlook->course[0].lowest_c[OW_FOLIAGE],
                -6.0, 0.3, 0.0);
    assert_true(y.outlook->course[0].damaged_s[OW_FOLIAGE] != OW_NEVER);
    assert_false(ow_threat_of(&y.outlook->course[0], &yard_actor(&y, 0)->condition).any);
    yard_close(&y);
}

/* A pot frozen through from the start, at -6 C for two days, then at 8 C. */
static void frost_and_thaw_are_dated(void **state)
{
    (void)state;
    yard y = yard_open("'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush','place':'deck',"
                       "'limits':{'drought':{'suffers_days':1,'may_die_days':1.75}},"
                       "'start_c':-6," YARD_SMALL_POT "}]",
                       -6.0);
    turn turns[] = {{0, -6}, {48, -6}, {49, 8}, {96, 8}};
    yard_forecast(&y, turns, 4);
    y.foresight_h = 96.0;
    yard_look(&y);
    const ow_course *c = &y.outlook->course[0];
    double now = (double)y.on.scene->now_s;
    assert_int_equal(c->frozen_s, y.on.scene->now_s + STAGE_STEP_S);
    /* Paced by 2 m/s of wind, 6 m/s being half as fast again: 1 + 0.5 / 3. */
    check_close("suffers, h", ((double)c->suffers_s - now) / 3600.0, 24.0 / (1.0 + 0.5 / 3.0), 0.51,
                0.0);
    check_close("may die, h", ((double)c->may_die_s - now) / 3600.0, 42.0 / (1.0 + 0.5 / 3.0), 0.51,
                0.0);
    assert_true(c->open_s > y.on.scene->now_s + 48 * OW_HOUR_S);
    /* open_s ends the first half hour so; 24 hours on end set the clock back */
    assert_int_equal(c->reset_s, c->open_s + OW_DAY_S - STAGE_STEP_S);
    check_close("the clock is set back", c->clock_days, 0.0, 0.0, 0.0);
    yard_close(&y);
}

/* ---- marks of the air, hours of a trial, members ---------------------------------------------- */

/* Half hours at those temperatures, the first of them from now; each holds from row to row. */
static void look_at(yard *y, const double *air_c, int n)
{
    ow_forcing_clear(&y->ahead);
    for (int i = 0; i <= 2 * n; i++) { /* two rows a temperature: means by hand */
        ow_weather_at at = {.utc_s = y->on.scene->now_s + i * STAGE_STEP_S,
                            .weather = stage_dull(air_c[i / 2 < n ? i / 2 : n - 1], 2.0)};
        assert_int_equal(ow_forcing_add(&y->ahead, &at, 1), OW_OK);
    }
    yard_look(y);
}

/* Hard frost is -3 C (common practice, no source), from when the first half hour of it begins; the
 * coldest air is dated at the end of its first half hour. */
static void hard_frost_and_the_coldest_are_dated(void **state)
{
    (void)state;
    static const struct {
        double air_c[4];
        int hard, coldest; /* half hours from now; -1: never */
    } cases[] = {
        {{0.0, -2.99, -2.99, 1.0}, -1, 3},
        {{0.0, -3.0, -3.0, 1.0}, 2, 3},
        {{-3.0, -5.0, -3.0, -5.0}, 0, 3},
        {{4.0, 3.0, 2.0, 1.0}, -1, 7},
    };
    yard y = yard_open(ONE_PLAIN, 3.0);
    ow_utc_s now = y.on.scene->now_s;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        look_at(&y, cases[i].air_c, 4);
        const ow_outlook *o = y.outlook;
        assert_int_equal(o->steps, 8);
        if (cases[i].hard < 0) {
            assert_true(o->hard_frost_s == OW_NEVER);
        } else {
            assert_int_equal((o->hard_frost_s - now) / STAGE_STEP_S, cases[i].hard);
        }
        assert_int_equal((o->lowest_air_s - now) / STAGE_STEP_S, cases[i].coldest);
        check_close("coldest air", o->lowest_air_c, cases[i].air_c[cases[i].coldest / 2], 1e-9,
                    0.0);
    }
    yard_close(&y);
}

/* A track is full after a week: of a longer look it keeps the first one. */
static void the_track_is_of_the_first_week(void **state)
{
    (void)state;
    yard y = yard_open(ONE_PLAIN, 3.0);
    turn turns[] = {{0, 3}, {168, 3}, {169, -4}, {180, -4}};
    yard_forecast(&y, turns, 4);
    y.foresight_h = 180.0;
    yard_look(&y);
    const ow_track *t = &y.outlook->track[0];
    assert_true(t->from_s == y.on.scene->now_s);
    assert_int_equal(t->n, OW_TRACK_POINTS);
    for (int i = 0; i < t->n; i++) {
        check_close("leaves, C", t->point[i].part_c[OW_FOLIAGE], 3.0, 1e-6, 0.0);
    }
    check_close("coldest of all", y.outlook->course[0].lowest_c[OW_FOLIAGE], -4.0, 1e-9, 0.0);
    yard_close(&y);
}

/* A look of another length finds room, and is as if it were the first. */
static void looks_may_grow_and_shrink(void **state)
{
    (void)state;
    static const double hours[] = {24.0, 72.0, 12.0, 84.0, 0.5};
    yard y = mixed();
    for (size_t i = 0; i < sizeof hours / sizeof hours[0]; i++) {
        yard fresh = y;
        y.foresight_h = fresh.foresight_h = hours[i];
        assert_int_equal(ow_outlook_new(y.on.scene, &fresh.outlook), OW_OK);
        yard_look(&fresh);
        yard_look(&y);
        assert_int_equal(y.outlook->steps, (int)(2.0 * hours[i]));
        size_t spots = (size_t)(y.outlook->steps * y.on.garden->place_count);
        for (size_t k = 0; k < spots; k++) {
            assert_true(y.outlook->spot[k].sky.air_c == fresh.outlook->spot[k].sky.air_c);
        }
        assert_memory_equal(y.outlook->course, fresh.outlook->course,
                            PLANTS * sizeof *y.outlook->course);
        for (int p = 0; p < PLANTS; p++) {
            assert_int_equal(y.outlook->track[p].n, fresh.outlook->track[p].n);
        }
        assert_true(y.outlook->lowest_air_s == fresh.outlook->lowest_air_s);
        assert_true(y.outlook->hard_frost_s == fresh.outlook->hard_frost_s);
        ow_outlook_free(fresh.outlook);
    }
    yard_close(&y);
}

/* An act counts from the step that its hour lies in; one of the past from now on. */
static void a_trial_counts_from_its_step(void **state)
{
    (void)state;
    enum { AT_13, AT_13_29, AT_13_30, NOW_ON, YESTERDAY, AT_END };
    static const int64_t at_s[] = {13 * OW_HOUR_S, 13 * OW_HOUR_S + 1799, 13 * OW_HOUR_S + 1800,
                                   0,              -OW_DAY_S,             60 * OW_HOUR_S};
    enum { TRIALS = sizeof at_s / sizeof at_s[0] };
    yard y = mixed();
    ow_trial trial[TRIALS + 1];
    ow_course answer[TRIALS + 1];
    for (int i = 0; i < TRIALS; i++) {
        trial[i] = (ow_trial){.place = 3, .at_s = y.on.scene->now_s + at_s[i]};
    }
    trial[TRIALS] = (ow_trial){.place = -1, .at_s = y.on.scene->now_s};
    y.foresight_h = 60.0;
    yard_look(&y);
    yard_ask(&y, LEMON, trial, TRIALS + 1, answer);
#define SAME(a, b) (memcmp(&answer[a], &answer[b], sizeof answer[0]) == 0)
    assert_true(SAME(AT_13, AT_13_29));
    assert_false(SAME(AT_13, AT_13_30));
    assert_true(SAME(NOW_ON, YESTERDAY));
    assert_false(SAME(NOW_ON, AT_13));
    assert_true(SAME(AT_END, TRIALS));
#undef SAME
    yard_close(&y);
}

/* Asked of a member, doing nothing is that member's own course, whatever the members differ in. */
static void doing_nothing_among_members_is_the_member(void **state)
{
    (void)state;
    static const ow_spread spreads[] = {{.weather = true, .materials = true}, {.weather = true}};
    yard y = mixed();
    look_in_portions(&y, INT_MAX);
    for (size_t k = 0; k < sizeof spreads / sizeof spreads[0]; k++) {
        ow_ensemble *e;
        assert_int_equal(ow_ensemble_new(y.on.scene, &e), OW_OK);
        assert_int_equal(ow_ensemble_begin(e, y.on.scene, &y.ahead, 30.0, spreads[k]), OW_OK);
        assert_true(ow_ensemble_some(e, &y.ahead, INT_MAX));
        y.outlook->ensemble = e;
        for (int i = 0; i < 3 * PLANTS; i++) {
            int plant = i / 3, member = i % 3;
            ow_question q = {.plant = plant, .among = true, .member = member, .n = 2};
            q.trial[0] = q.trial[1] = (ow_trial){.place = -1, .at_s = y.on.scene->now_s};
            q.trial[1].place = 3;
            assert_int_equal(ow_question_begin(&q, y.outlook, y.on.scene), OW_OK);
            assert_int_equal(ow_question_step_s(&q, y.outlook), 3600);
            assert_false(ow_question_some(&q, y.outlook, 29));
            assert_true(ow_question_some(&q, y.outlook, 1));
            const ow_course *own = &e->course[plant * OW_MEMBERS + member];
            assert_memory_equal(&q.answer[0], own, sizeof *own);
            assert_true(q.answer[1].lowest_air_c == 8.0); /* the cellar, in every member */
        }
        ow_question q = {.plant = LEMON};
        assert_int_equal(ow_question_step_s(&q, y.outlook), STAGE_STEP_S);
        y.outlook->ensemble = NULL;
        ow_ensemble_free(e);
    }
    yard_close(&y);
}

/* ---- a house kept warmer, and beds that shut --------------------------------------------------- */

#define OPEN "{'id':'deck','kind':'open sky'}"
#define GLASS "{'id':'glass','kind':'glasshouse','floor_m2':6,'glazing_m2':18}"
#define HEATED HEATED_AMONG(OPEN "," GLASS)
#define HEATED_AMONG(places)                                                                       \
    "'places':[" places "],"                                                                       \
    "'outputs':[{'id':'fan-heater','kind':'heater','place':'glass','topic':'p','on':'on',"         \
    "'off':'off','watts':3000,'keep_air_above_c':2,'cautions_read':true,"                          \
    "'off_by_itself_s':600}],"                                                                     \
    "'plants':[{'id':'lean'," YARD_LEAVES ",'place':'glass'," YARD_POT "},"                        \
    "{'id':'tuber','limits':{'storage organ':{'damaged_c':-2}},'place':'deck','bed':{}}]"

/* The heat of a day with the house kept there. */
static double heat_j(double set_c)
{
    yard y = yard_open(HEATED, 2.0);
    yard_steady(&y, -5.0, 24.0);
    y.on.scene->set_c[1] = set_c;
    yard_live(&y, 24.0);
    double j = y.on.scene->heater_j[0];
    yard_close(&y);
    return j;
}

/* What it takes to keep a house warmer is the difference of two days, but for the floor and the
 * pots, which are not warmed beside: less than a fifth. */
static void a_warmer_house_has_its_heat(void **state)
{
    (void)state;
    for (int house = 0; house < 2; house++) { /* the first place, the second */
        yard y = yard_open(house == 0 ? HEATED_AMONG(GLASS "," OPEN) : HEATED, 2.0);
        yard_steady(&y, -5.0, 24.0);
        double first_j = NAN;
        for (int again = 0; again < 2; again++) {
            yard_look(&y);
            first_j = again ? first_j : y.outlook->warm_j[house];
            assert_true(y.outlook->warm_j[house] == first_j); /* from now, not from the last look */
            double warm_c = y.outlook->warm_c[house];
            assert_true(isnan(y.outlook->warm_c[1 - house]) && warm_c > 2.0);
            assert_true(y.outlook->warm_j[1 - house] == 0.0);
            check_close("heat, J", y.outlook->warm_j[house], heat_j(warm_c) - heat_j(2.0), 0.0,
                        0.2);
        }
        yard_close(&y);
    }
}

/* From its hour on, in its lane, and not in the others. */
static void a_warmer_house_is_felt_in_its_lane(void **state)
{
    (void)state;
    enum { UNDER_GLASS, HOURS = 24 };
    yard y = yard_open(HEATED, 2.0);
    yard_steady(&y, -5.0, HOURS);
    yard_look(&y);
    ow_utc_s now = y.on.scene->now_s;
    const ow_trial trial[] = {{.place = -1, .at_s = now},
                              {.place = -1, .warm = true, .at_s = now},
                              {.place = 0, .warm = true, .at_s = now},
                              {.place = 0, .at_s = now},
                              {.place = -1, .warm = true, .at_s = now + HOURS * OW_HOUR_S - 1}};
    ow_course answer[5];
    yard_ask(&y, UNDER_GLASS, trial, 5, answer);
    assert_memory_equal(&answer[0], &y.outlook->course[UNDER_GLASS], sizeof answer[0]);
    check_close("air of the house", answer[0].lowest_air_c, 2.0, 0.1, 0.0);
    check_close("kept warmer", answer[1].lowest_air_c, y.outlook->warm_c[1], 0.1, 0.0);
    check_close("out of doors", answer[2].lowest_air_c, -5.0, 1e-9, 0.0);
    assert_memory_equal(&answer[2], &answer[3], sizeof answer[2]);
    check_close("only at the end", answer[4].lowest_air_c, answer[0].lowest_air_c, 1e-9, 0.0);
    turn turns[] = {{0, 9}, {10, 9}, {14, -5}, {HOURS, -5}};
    yard_forecast(&y, turns, 4);
    yard_look(&y);
    for (int by_h = 9; by_h <= 19; by_h += 10) { /* asked alone, before the cold comes and after */
        ow_trial warm = {.place = -1, .warm = true, .at_s = now + by_h * OW_HOUR_S};
        yard_ask(&y, UNDER_GLASS, &warm, 1, answer);
        check_close("from its hour on", answer[0].lowest_air_c,
                    by_h == 9 ? y.outlook->warm_c[1] : 2.0, 0.1, 0.0);
    }
    yard_close(&y);
}

/* The step that ends with ten centimetres frozen, as the bed then goes; a pot has none. */
static void a_bed_that_shuts_is_dated(void **state)
{
    (void)state;
    yard y = yard_open(HEATED, 2.0);
    yard_steady(&y, -9.0, 96.0);
    y.foresight_h = 96.0;
    yard_look(&y);
    ow_utc_s told_s = y.outlook->bed_shut_s[1];
    assert_true(y.outlook->bed_shut_s[0] == OW_NEVER && told_s != OW_NEVER);
    assert_true(told_s > y.on.scene->now_s);
    ow_utc_s begun_s = y.on.scene->now_s;
    while (!(ow_cast_bed_c(y.on.scene->cast, 1, 0.10) < 0.0)) {
        begun_s = y.on.scene->now_s;
        yard_live(&y, 0.5);
    }
    assert_int_equal(told_s, begun_s);
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_look_in_portions_is_the_same),
        cmocka_unit_test(a_question_in_portions_is_the_same),
        cmocka_unit_test(a_lane_beside_others_is_as_alone),
        cmocka_unit_test(doing_nothing_is_the_outlook),
        cmocka_unit_test(the_living_garden_is_left_alone),
        cmocka_unit_test(what_is_foretold_comes),
        cmocka_unit_test(it_looks_no_further_than_it_may),
        cmocka_unit_test(a_course_by_hand),
        cmocka_unit_test(what_was_passed_is_watched_anew),
        cmocka_unit_test(frost_and_thaw_are_dated),
        cmocka_unit_test(hard_frost_and_the_coldest_are_dated),
        cmocka_unit_test(the_track_is_of_the_first_week),
        cmocka_unit_test(looks_may_grow_and_shrink),
        cmocka_unit_test(a_trial_counts_from_its_step),
        cmocka_unit_test(doing_nothing_among_members_is_the_member),
        cmocka_unit_test(a_warmer_house_has_its_heat),
        cmocka_unit_test(a_warmer_house_is_felt_in_its_lane),
        cmocka_unit_test(a_bed_that_shuts_is_dated),
    };
    return cmocka_run_group_tests_name("outlook", tests, NULL, NULL);
}
