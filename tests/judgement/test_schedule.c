/* SPDX-License-Identifier: MIT */
/* Evenings: plants that want the same things, and the jobs that they get. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"

#define FLEECE(n) "'covers':[{'id':'fleece','kind':'thick fleece','count':" n ",'on':'all'}],"
#define PLACES "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR "],"
#define DECK_ONLY "'places':[" YARD_PLAIN_DECK "],"
#define BUSH(id, more) "{'id':'" id "'," YARD_LEAVES ",'place':'deck'," YARD_POT more "}"
#define WITH_FLEECE ",'covers':['fleece']"
#define ADA(hours) ",'household':[{'id':'ada','hands':'" hours "','lifts_kg':30}]"

enum { DECK, CELLAR };

static int asked(const yard *y)
{
    int n = 0;
    for (int i = 0; i < y->on.garden->plant_count; i++) {
        n += y->verdict[i].asks;
    }
    return n;
}

/* ---- what there is one of ----------------------------------------------------------------------
 */

static void three_plants_share_one_fleece(void **state)
{
    (void)state;
    yard y = yard_open(
        FLEECE("1") DECK_ONLY "'plants':[" BUSH("one", WITH_FLEECE) "," BUSH(
            "two", WITH_FLEECE ",'value':'irreplaceable'") "," BUSH("three", WITH_FLEECE
                                                                    ",'value':'treasured'") "]",
        3.0);
    char text[OW_REASON_TEXT];
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_int_equal(asked(&y), 1);
    check_state(&y.verdict[1], OW_STATE_COVER_SOON);
    assert_true(y.verdict[1].asks && y.verdict[1].pick.saves > 0.0);
    for (int i = 0; i < 3; i += 2) {
        check_state(&y.verdict[i], OW_STATE_CARRY_IN);
        assert_int_equal(y.verdict[i].pick.bar, OW_BAR_STOCK);
        check_says(yard_reason(&y, i, text), "it goes to two");
        check_wording(text);
    }
    assert_true(y.schedule->plan.exact);
    yard_close(&y);
}

static void room_for_one_goes_to_who_is_worth_more(void **state)
{
    (void)state;
    yard y = yard_open(
        PLACES "'plants':[" BUSH("one", "") "," BUSH("two", ",'value':'treasured'") "]", 3.0);
    char text[OW_REASON_TEXT];
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_true(!y.verdict[0].asks && y.verdict[1].asks);
    assert_int_equal(y.verdict[1].act.place, CELLAR);
    assert_int_equal(y.verdict[0].pick.bar, OW_BAR_ROOM);
    check_says(yard_reason(&y, 0, text), "No room is left in cellar: it goes to two");
    yard_close(&y);
}

/* The plan gives the last room to the one that no cover can help. */
static void what_can_be_covered_leaves_the_room(void **state)
{
    (void)state;
    yard y = yard_open(
        FLEECE("1") PLACES "'plants':[" BUSH("one", WITH_FLEECE) "," BUSH("two", "") "]", 3.0);
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_int_equal(y.verdict[0].act.covers, 1);
    assert_int_equal(y.verdict[1].act.place, CELLAR);
    yard_close(&y);
}

/* Wobbling forecasts of two plants that are alike: the one that had the fleece keeps it. */
static void equal_choices_do_not_flip(void **state)
{
    (void)state;
    yard y = yard_open(FLEECE("1") DECK_ONLY
                       "'plants':[" BUSH("one", WITH_FLEECE) "," BUSH("two", WITH_FLEECE) "]",
                       3.0);
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_true(y.verdict[0].asks && !y.verdict[1].asks);
    yard_forget(&y, 0);
    y.schedule->survey[0].ways = 0; /* the first was out of the question for once */
    y.schedule->survey[0].threat.any = false;
    y.schedule->survey[0].leave = (ow_loss){0.0, 0.0};
    yard_plan(&y);
    ow_schedule_settle(y.schedule, 1, &y.verdict[1], y.on.scene->now_s);
    assert_true(y.verdict[1].asks);
    for (int hour = 0; hour < 5; hour++) {
        yard_cold_night(&y, hour % 2 ? -6.4 : -6.6);
        yard_judge_all(&y);
        assert_true(!y.verdict[0].asks && y.verdict[1].asks);
        yard_live(&y, 1.0);
    }
    yard_close(&y);
}

/* ---- hands
 * --------------------------------------------------------------------------------------- */

/* A pot of some 50 kg: nobody lifts it, so it gets the best there is in place. */
#define TUB(more)                                                                                  \
    "{'id':'tub'," YARD_LEAVES ",'place':'deck','pot':{'diameter_mm':420,'depth_mm':380}" more "}"

static void a_heavy_pot_gets_the_best_in_place(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        bool carried;
        int people;
    } cases[] = {
        {FLEECE("1") PLACES "'plants':[" TUB(WITH_FLEECE) "],'household':[{'id':'ada'}]", false, 1},
        {FLEECE("1") PLACES "'plants':[" TUB(
             WITH_FLEECE) "],'household':[{'id':'ada','lifts_kg':30},{'id':'bo','lifts_kg':30}]",
         true, 2},
        {FLEECE("1") PLACES
         "'plants':[" TUB(WITH_FLEECE) "],'household':[{'id':'ada','trolley':true}]",
         true, 1},
        {FLEECE("1") PLACES "'plants':[" TUB(WITH_FLEECE) "]", true, 1},
    };
    char text[OW_REASON_TEXT];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = yard_open(cases[i].garden, 3.0);
        yard_cold_night(&y, -9.5); /* harmed even under the fleece, killed without */
        yard_judge_all(&y);
        const ow_verdict *v = &y.verdict[0];
        assert_true(v->asks);
        assert_int_equal(v->pick.people, cases[i].people);
        if (cases[i].carried) {
            assert_int_equal(v->act.place, CELLAR);
            check_between("kg", v->pick.kg, 30.0, 60.0);
            check_close("minutes of all", v->pick.minutes, 10.0 * cases[i].people, 0.0, 0.0);
        } else {
            check_state(v, OW_STATE_COVER_SOON);
            assert_true(v->act.covers == 1 && v->act.place < 0 && !v->prevents);
            assert_int_equal(v->pick.bar, OW_BAR_HEAVY);
            check_says(yard_reason(&y, 0, text), "too heavy");
        }
        yard_close(&y);
    }
}

/* 17:00 to 21:30 local; what has to be done before the morning is done by the hands' end. */
static void late_at_night(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    static const struct {
        double from_h; /* UTC; local is an hour and a half more */
        bool can;
    } cases[] = {{18.5, true}, {20.5, false}};
    for (int i = 0; i < 2; i++) {
        yard y = yard_open_at(FLEECE("1") DECK_ONLY
                              "'plants':[" BUSH("one", WITH_FLEECE) "]" ADA("17:00-21:30"),
                              STAGE_MIDWINTER + (ow_utc_s)(cases[i].from_h * 3600), 0.0);
        turn turns[] = {{0, 0}, {8, -6.5}, {10, -6.5}, {16, 3}, {30, 3}};
        yard_forecast(&y, turns, 5);
        yard_judge_all(&y);
        const ow_verdict *v = &y.verdict[0];
        check_state(v, OW_STATE_COVER_SOON);
        assert_int_equal(v->asks, cases[i].can);
        if (cases[i].can) {
            assert_true(v->pick.do_by_s == STAGE_MIDWINTER + 20 * OW_HOUR_S);
            assert_true(v->pick.do_by_s < v->act_by_s);
        } else {
            assert_int_equal(v->pick.bar, OW_BAR_NO_HANDS);
            check_says(yard_reason(&y, 0, text), "No hands are free before it is too late.");
        }
        yard_close(&y);
    }
}

/* Ten minutes of hands: the one worth more is covered, the other says why not. */
static void few_minutes_go_to_who_is_worth_more(void **state)
{
    (void)state;
    yard y =
        yard_open_at(FLEECE("9") DECK_ONLY
                     "'plants':[" BUSH("one", WITH_FLEECE) "," BUSH("two", WITH_FLEECE) "," BUSH(
                         "three", WITH_FLEECE ",'value':'treasured'") "]" ADA("21:00-21:10"),
                     STAGE_MIDWINTER + 18 * OW_HOUR_S, 0.0);
    turn turns[] = {{0, 0}, {8, -6.5}, {10, -6.5}, {16, 3}, {30, 3}};
    yard_forecast(&y, turns, 5);
    yard_judge_all(&y);
    assert_int_equal(asked(&y), 2);
    assert_true(y.verdict[2].asks);
    int left = y.verdict[0].asks ? 1 : 0;
    assert_int_equal(y.verdict[left].pick.bar, OW_BAR_HANDS);
    check_state(&y.verdict[left], OW_STATE_COVER_SOON);
    yard_close(&y);
}

/* ---- kinds of acts
 * ------------------------------------------------------------------------------- */

/* Neither the house nor the fleece alone saves the leaves: the two together do. */
static void a_move_with_a_cover(void **state)
{
    (void)state;
    yard y = yard_open(
        FLEECE("1") "'places':[" YARD_PLAIN_DECK ",{'id':'house','kind':'glasshouse',"
                    "'floor_m2':8,'glazing_m2':26,'air_changes_per_h':2}],"
                    "'plants':[{'id':'one','limits':{'foliage':{'damaged_c':-4.5,'of':'tissue'}},"
                    "'place':'deck'," YARD_POT WITH_FLEECE "}]",
        3.0);
    yard_cold_night(&y, -7.0);
    const ow_verdict *v = yard_judge(&y, 0);
    ow_trial alone[2] = {{.place = 1, .at_s = y.on.scene->now_s},
                         {.place = -1, .covers = 1, .at_s = y.on.scene->now_s}};
    ow_course answer[2];
    char text[OW_ACTION_TEXT];
    yard_ask(&y, 0, alone, 2, answer);
    assert_true(ow_threat_of(&answer[0], &yard_actor(&y, 0)->condition).any);
    assert_true(ow_threat_of(&answer[1], &yard_actor(&y, 0)->condition).any);
    assert_true(v->asks && v->prevents && v->act.place == 1 && v->act.covers == 1);
    ow_action_text(v, y.on.garden, text);
    assert_string_equal(text, "carry to house and cover with fleece");
    yard_close(&y);
}

/* Where only the growing point is in danger, only that is wrapped. */
static void the_growing_point_alone(void **state)
{
    (void)state;
    yard y = yard_open("'covers':[{'id':'straw','kind':'straw','on':'all'}],"
                       "'places':[{'id':'deck','kind':'open sky'}],"
                       "'plants':[{'id':'fern','limits':{'growing point':{'damaged_c':-1}},"
                       "'place':'deck','covers':['straw'],'bed':{},"
                       "'trunk':{'diameter_mm':120,'height_mm':900,'growing_point_mm':20}}]",
                       3.0);
    char text[OW_ACTION_TEXT];
    yard_cold_night(&y, -9.0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_true(v->asks && v->prevents && v->act.point);
    ow_action_text(v, y.on.garden, text);
    assert_string_equal(text, "wrap the growing point with straw");
    yard_obey(&y, 0);
    assert_int_equal(yard_actor(&y, 0)->dress.cover[0].on, OW_ZONE_GROWING_POINT);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_close(&y);
}

/* ---- frozen roots
 * -------------------------------------------------------------------------------- */

#define BOX(id)                                                                                    \
    "{'id':'" id "','place':'deck','start_c':-6," YARD_SMALL_POT                                   \
    ",'limits':{'drought':{'suffers_days':2,'may_die_days':9}}}"

/* One room, two frozen pots: the second has its turn when the first has thawed. */
static void frozen_pots_take_turns(void **state)
{
    (void)state;
    yard y = yard_open(PLACES "'plants':[" BOX("one") "," BOX("two") "]", -6.0);
    char text[OW_REASON_TEXT];
    yard_steady(&y, -6.0, 100);
    yard_live(&y, 1.0);
    yard_steady(&y, -6.0, 100);
    yard_judge_all(&y);
    int first = y.verdict[0].asks ? 0 : 1, second = 1 - first;
    const ow_verdict *in = &y.verdict[first], *waits = &y.verdict[second];
    check_state(in, OW_STATE_THAW_NEEDED);
    check_state(waits, OW_STATE_THAW_NEEDED);
    assert_true(in->asks && !waits->asks);
    assert_int_equal(waits->pick.turn_after, first);
    assert_true(waits->pick.turn_s != OW_NEVER && waits->pick.turn_s > y.on.scene->now_s);
    check_says(yard_reason(&y, second, text), "Its turn there comes by");
    /* How long it takes: half the ice gone, then all of it, then over the drought. */
    assert_true(in->half_s > y.on.scene->now_s && in->half_s < in->gone_s);
    assert_true(in->gone_s < waits->pick.turn_s);
    check_says(yard_reason(&y, first, text), "half its ice is gone by");
    check_says(text, "No heater");
    check_wording(text);
    yard_close(&y);
}

/* A cool room is preferred to a warm one that is only a little quicker; of a warm one it is said.
 */
static void heat_that_is_too_quick(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    yard y = yard_open("'places':[" YARD_PLAIN_DECK ",{'id':'cool','kind':'indoors','air_c':9},"
                       "{'id':'warm','kind':'indoors','air_c':14}],'plants':[" BOX("one") "]",
                       -6.0);
    yard_steady(&y, -6.0, 84);
    yard_live(&y, 1.0);
    yard_steady(&y, -6.0, 84);
    assert_int_equal(yard_judge(&y, 0)->act.place, 1);
    assert_false(y.verdict[0].hasty);
    yard_close(&y);
    y = yard_open("'places':[" YARD_PLAIN_DECK ",{'id':'warm','kind':'indoors','air_c':18}],"
                  "'plants':[" BOX("one") "]",
                  -6.0);
    yard_steady(&y, -6.0, 84);
    yard_live(&y, 1.0);
    yard_steady(&y, -6.0, 84);
    assert_true(yard_judge(&y, 0)->hasty);
    check_says(yard_reason(&y, 0, text), "rather warm");
    yard_close(&y);
}

static void what_is_frozen_down_stays(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    yard y = yard_open(
        "'places':[{'id':'deck','kind':'open sky','film_w_m2k':12,'ground_c':-3}," YARD_CELLAR
        "],'plants':[{'id':'one','place':'deck','start_c':-6,"
        "'pot':{'diameter_mm':110,'depth_mm':100,'stands_on':'soil'},"
        "'limits':{'drought':{'suffers_days':2,'may_die_days':9}}}]",
        -6.0);
    yard_steady(&y, -6.0, 84);
    yard_live(&y, 1.0);
    yard_steady(&y, -6.0, 84);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_THAW_NEEDED);
    assert_false(v->asks);
    check_says(yard_reason(&y, 0, text), "frozen to the ground");
    yard_close(&y);
}

/* Roots that are open today and will be shut for too long are a threat before they freeze. */
static void the_drought_of_days_to_come(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    yard y = yard_open(PLACES "'plants':[{'id':'one','place':'deck'," YARD_SMALL_POT
                              ",'limits':{'drought':{'suffers_days':1,'may_die_days':9}}}]",
                       3.0);
    turn turns[] = {{0, 3}, {6, 3}, {12, -8}, {72, -8}};
    yard_forecast(&y, turns, 4);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_IN);
    assert_true(v->threat.dry && v->asks && v->act.place == CELLAR);
    check_says(yard_reason(&y, 0, text), "no water will move");
    check_wording(text);
    ow_trial at = v->act;
    ow_course answer;
    at.at_s = v->act_by_s;
    yard_ask(&y, 0, &at, 1, &answer);
    assert_true(answer.suffers_s == OW_NEVER);
    at.at_s += STAGE_STEP_S;
    yard_ask(&y, 0, &at, 1, &answer);
    assert_true(answer.suffers_s != OW_NEVER);
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(three_plants_share_one_fleece),
        cmocka_unit_test(room_for_one_goes_to_who_is_worth_more),
        cmocka_unit_test(what_can_be_covered_leaves_the_room),
        cmocka_unit_test(equal_choices_do_not_flip),
        cmocka_unit_test(a_heavy_pot_gets_the_best_in_place),
        cmocka_unit_test(late_at_night),
        cmocka_unit_test(few_minutes_go_to_who_is_worth_more),
        cmocka_unit_test(a_move_with_a_cover),
        cmocka_unit_test(the_growing_point_alone),
        cmocka_unit_test(frozen_pots_take_turns),
        cmocka_unit_test(heat_that_is_too_quick),
        cmocka_unit_test(what_is_frozen_down_stays),
        cmocka_unit_test(the_drought_of_days_to_come),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
