/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"

#define COVERS                                                                                     \
    "'covers':[{'id':'fleece','name':'old fleece','kind':'fleece','on':'all'},"                    \
    "{'id':'film','kind':'bubble film','on':'side'}],"
#define PLACES                                                                                     \
    "'places':[" YARD_PLAIN_DECK ",{'id':'cellar','name':'the cellar','kind':'indoors','air_c':8}],"
#define BUSH(more)                                                                                 \
    "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT                              \
    ",'covers':['fleece','film']" more "}]"

static void says(yard *y, const char *want_a, const char *want_b)
{
    char text[OW_REASON_TEXT];
    yard_reason(y, 0, text);
    check_says(text, want_a);
    check_says(text, want_b);
    check_wording(text);
}

static const char *action(const yard *y, char text[OW_ACTION_TEXT])
{
    ow_action_text(&y->verdict[0], y->on.garden, text);
    check_wording(text);
    return text;
}

/* 15 January 2024 was a Monday; an hour and a half is added. */
static void when_is_local(void **state)
{
    (void)state;
    char text[OW_WHEN_TEXT];
    assert_string_equal(ow_when(yard_local(), STAGE_MIDWINTER, text), "Mon 15 Jan 01:30");
    assert_string_equal(ow_when(yard_local(), STAGE_MIDWINTER + 23 * OW_HOUR_S, text),
                        "Tue 16 Jan 00:30");
    /* 1709164800 is 2024-02-29T00:00:00Z */
    assert_string_equal(ow_when(yard_local(), 1709164800 + 22 * OW_HOUR_S, text),
                        "Thu 29 Feb 23:30");
}

/* The first of the coldest half hours ends at 30.5 h: at 8 on Tuesday, 1.5 h east. */
static void a_threat_names_part_temperature_and_time(void **state)
{
    (void)state;
    char text[OW_ACTION_TEXT];
    yard y = yard_open(COVERS PLACES BUSH(""), 3.0);
    yard_cold_night(&y, -5.5);
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    says(&y, "The leaves will fall to -5.5 C by Tue 16 Jan 08:00; they are harmed from -5.0 C.",
         " With old fleece: -4.5 C.");
    assert_string_equal(action(&y, text), "cover with old fleece");
    yard_cold_night(&y, -7.5);
    check_state(yard_judge(&y, 0), OW_STATE_CARRY_IN);
    says(&y, "-7.5 C", " With the cellar: 8.0 C.");
    assert_string_equal(action(&y, text), "carry to the cellar");
    yard_close(&y);
}

static void nothing_helps_and_it_says_so(void **state)
{
    (void)state;
    char text[OW_ACTION_TEXT];
    yard y = yard_open(COVERS "'places':[" YARD_PLAIN_DECK "]," BUSH(""), 3.0);
    yard_cold_night(&y, -12.0);
    check_state(yard_judge(&y, 0), OW_STATE_CARRY_IN);
    says(&y, "-12.0 C", "No cover and no place in this garden prevents it.");
    assert_string_equal(action(&y, text), "");
    yard_cold_night(&y, -8.5);
    ow_verdict_start(&y.verdict[0]);
    check_state(yard_judge(&y, 0), OW_STATE_CARRY_IN);
    says(&y, "-8.5 C", "Nothing at hand prevents all of it; old fleece does most: -7.5 C.");
    assert_string_equal(action(&y, text), "cover with old fleece");
    yard_close(&y);
}

static void a_limit_of_air_says_in_the_air(void **state)
{
    (void)state;
    yard y = yard_open(PLACES "'plants':[{'id':'bush','limits':{'foliage':{'damaged_c':-5,"
                              "'of':'air'}},'place':'deck'," YARD_POT "}]",
                       3.0);
    yard_cold_night(&y, -6.0);
    (void)yard_judge(&y, 0);
    says(&y, "harmed from -5.0 C in the air", "With the cellar");
    yard_close(&y);
}

static void two_covers_are_both_named(void **state)
{
    (void)state;
    char text[OW_ACTION_TEXT];
    yard y = yard_open("'places':[{'id':'deck','kind':'open sky'}],"
                       "'covers':[{'id':'straw','kind':'straw','on':'all','r_m2k_w':0.6},"
                       "{'id':'film','kind':'bubble film','on':'all','r_m2k_w':0.6}],"
                       "'plants':[{'id':'tub','limits':{'roots':{'damaged_c':-2}},'place':'deck',"
                       "'covers':['film','straw'],'pot':{'diameter_mm':110,'depth_mm':100}}]",
                       3.0);
    turn turns[] = {{0, 3}, {12, 3}, {20, -9}, {52, -9}, {60, 3}, {84, 3}};
    yard_forecast_under(&y, turns, 6, 60.0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_int_equal(v->act.covers, 2);
    assert_string_equal(action(&y, text), "cover with film and straw");
    says(&y, "The roots will fall to", "With film and straw: -0.9 C.");
    yard_close(&y);
}

static void hold_names_the_part_nearest_its_limit(void **state)
{
    (void)state;
    char text[OW_ACTION_TEXT];
    yard y = yard_open(COVERS PLACES BUSH(""), 3.0);
    yard_cold_night(&y, -4.5);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    says(&y, "Nothing to do: the coldest ahead is foliage at -4.5 C by Tue 16 Jan 08:00",
         "0.5 K to spare");
    assert_string_equal(action(&y, text), "");
    yard_cold_night(&y, -5.7);
    (void)yard_judge(&y, 0);
    yard_obey(&y, 0);
    (void)yard_judge(&y, 0);
    says(&y, "Covered and safe: the coldest ahead is foliage at -4.7 C", "0.3 K to spare");
    yard_close(&y);
}

/* A touch of the limit that does not last is told as that. */
static void a_touch_is_no_harm(void **state)
{
    (void)state;
    yard y = yard_open(PLACES "'plants':[{'id':'bush','limits':{'foliage':{'damaged_c':-5,"
                              "'of':'tissue','minutes':180}},'place':'deck'," YARD_POT "}]",
                       3.0);
    turn turns[] = {{0, 3}, {12, 3}, {24, -5.4}, {36, 3}, {84, 3}};
    yard_forecast(&y, turns, 5);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    says(&y, "Nothing more to do: foliage will touch -5.2 C", "not for long enough to harm");
    yard_close(&y);
}

/* Temperatures that round to nought show no sign. */
static void nought_has_no_sign(void **state)
{
    (void)state;
    yard y = yard_open(PLACES "'plants':[{'id':'bush','limits':{'foliage':{'damaged_c':1,"
                              "'of':'tissue'}},'place':'deck'," YARD_POT "}]",
                       5.0);
    turn turns[] = {{0, 5}, {12, 5}, {24, -0.02}, {26, -0.02}, {36, 5}, {84, 5}};
    yard_forecast(&y, turns, 6);
    check_state(yard_judge(&y, 0), OW_STATE_CARRY_IN);
    says(&y, "will fall to 0.0 C", "harmed from 1.0 C");
    yard_close(&y);
}

static void wait_and_see_gives_the_day_to_look_again(void **state)
{
    (void)state;
    yard y = yard_open(COVERS PLACES BUSH(""), 3.0);
    yard_cold_night(&y, -6.0);
    yard_live(&y, 44.0);
    turn mild[] = {{0, 3}, {72, 3}};
    yard_forecast(&y, mild, 2);
    check_state(yard_judge(&y, 0), OW_STATE_WAIT_AND_SEE);
    /* leaves show it after four weeks (common practice, no source) */
    says(&y, "The leaves fell to -6.0 C on Tue 16 Jan 08:00, past the limit of harm.",
         "cut and throw out nothing, and look again on 13 Feb 2024.");
    yard_close(&y);
}

static void what_kills_is_called_that(void **state)
{
    (void)state;
    yard y = yard_open(COVERS PLACES BUSH(""), 3.0);
    yard_cold_night(&y, -9.0);
    yard_live(&y, 44.0);
    turn mild[] = {{0, 3}, {72, 3}};
    yard_forecast(&y, mild, 2);
    (void)yard_judge(&y, 0);
    says(&y, "past the limit of what kills", "look again on");
    yard_close(&y);
}

static void mildness_is_dated(void **state)
{
    (void)state;
    char text[OW_ACTION_TEXT];
    yard y = yard_open(COVERS PLACES BUSH(",'wearing':['fleece']"), 5.0);
    yard_steady(&y, 5.0, 60);
    check_state(yard_judge(&y, 0), OW_STATE_UNCOVER);
    says(&y, "Not colder than 5.0 C until Wed 17 Jan 13:30", "covers now only cost light and air");
    assert_string_equal(action(&y, text), "take the covers off");
    yard_obey(&y, 0);
    yard_actor(&y, 0)->place = 1;
    check_state(yard_judge(&y, 0), OW_STATE_CARRY_OUT);
    says(&y, "Not colder than 5.0 C", "it can go back to its place");
    assert_string_equal(action(&y, text), "carry back to deck");
    yard_close(&y);
}

static void a_gap_is_called_one(void **state)
{
    (void)state;
    yard y = yard_open(COVERS PLACES BUSH(""), 3.0);
    yard_cold_night(&y, -4.0);
    yard_live(&y, 0.5);
    y.air_gap_s = 7 * OW_HOUR_S;
    check_state(yard_judge(&y, 0), OW_STATE_NO_READING);
    says(&y, "unmeasured for over six hours", "vouched for");
    yard_close(&y);
}

#define FROZEN                                                                                     \
    PLACES "'plants':[{'id':'box','place':'deck','start_c':-6," YARD_SMALL_POT                     \
           ",'limits':{'drought':{'suffers_days':2,'may_die_days':9}}}]"

static void frozen_roots_say_since_when_and_until(void **state)
{
    (void)state;
    char text[OW_ACTION_TEXT];
    yard y = yard_open(FROZEN, -6.0);
    yard_steady(&y, -6.0, 120);
    yard_live(&y, 12.0);
    check_state(yard_judge(&y, 0), OW_STATE_THAW_NEEDED);
    /* 48 h over a pace of 1 + 0.5 / 3 are 41.1 h: the half hour ends at 41.5, shown as 19:00 */
    says(&y, "The root ball has been frozen through for 0.5 days and no water moves",
         "it suffers from Tue 16 Jan 19:00 (2 days) and will not thaw before.");
    assert_string_equal(action(&y, text), "carry to the cellar to thaw slowly");
    yard_live(&y, 36.0);
    check_state(yard_judge(&y, 0), OW_STATE_THAW_NEEDED);
    says(&y, "for 2.0 days", "it suffers after 2 days and may die after 9.");
    yard_close(&y);
}

/* Noons that open the ball for some hours, never for a day, do not set the clock back. */
static void short_thaws_do_not_count_as_one(void **state)
{
    (void)state;
    yard y = yard_open(FROZEN, -6.0);
    turn turns[] = {{0, -7},  {10, -7}, {12, 5},  {17, 5},  {19, -9}, {34, -9}, {36, 5},
                    {41, 5},  {43, -9}, {58, -9}, {60, 5},  {65, 5},  {67, -9}, {84, -9}};
    yard_forecast(&y, turns, 14);
    yard_live(&y, 1.0);
    check_state(yard_judge(&y, 0), OW_STATE_THAW_NEEDED);
    const ow_course *c = &y.outlook->course[0];
    assert_true(c->open_s < c->suffers_s && c->suffers_s != OW_NEVER);
    says(&y, "it suffers from ", "(2 days) and thaws too briefly before.");
    yard_close(&y);
}

static void a_thaw_says_how_far_it_is(void **state)
{
    (void)state;
    yard y = yard_open(FROZEN, -6.0);
    turn turns[] = {{0, -6}, {10, -6}, {12, 6}, {96, 6}};
    yard_forecast(&y, turns, 4);
    yard_live(&y, 6.0);
    (void)yard_judge(&y, 0);
    says(&y, "frozen through for 0.2 days, which it stands", "begins to thaw by itself by Mon 15");
    while (!ow_drought_thawing(&yard_actor(&y, 0)->condition.drought)) {
        yard_live(&y, 0.5);
    }
    yard_live(&y, 2.0);
    check_state(yard_judge(&y, 0), OW_STATE_THAWING);
    says(&y, "water moves again in", "% of its water is still ice. Over it by Tue 16 Jan");
    yard_close(&y);
}

/* Leaves that hang in frost: said of the evergreen, not of what stands bare. */
static void drooping_is_a_defence(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    static const char *const taxa[] = {"Buxus sempervirens", "Sarracenia flava"};
    for (int i = 0; i < 2; i++) {
        char garden[1024];
        snprintf(garden, sizeof garden,
                 PLACES "'plants':[{'id':'one','taxon':'%s','place':'deck'," YARD_POT
                        ",'limits':{'foliage':{'damaged_c':-20},'roots':{'damaged_c':-20}}}]",
                 taxa[i]);
        yard y = yard_open(garden, 0.0);
        yard_steady(&y, -4.0, 80);
        yard_live(&y, 2.0);
        check_state(yard_judge(&y, 0), OW_STATE_HOLD);
        yard_reason(&y, 0, text);
        assert_int_equal(strstr(text, "Leaves that hang in frost are a defence") != NULL, i == 0);
        yard_close(&y);
    }
}

static void what_the_wind_took_is_asked_after(void **state)
{
    (void)state;
    yard y = yard_open(COVERS PLACES BUSH(",'wearing':['fleece']"), 1.0);
    yard_steady(&y, 1.0, 80);
    (void)yard_judge(&y, 0);
    yard_actor(&y, 0)->dress.cover[0].state.blown_off = true;
    says(&y, "The wind may have taken old fleece: look.", "");
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(when_is_local),
        cmocka_unit_test(a_threat_names_part_temperature_and_time),
        cmocka_unit_test(nothing_helps_and_it_says_so),
        cmocka_unit_test(a_limit_of_air_says_in_the_air),
        cmocka_unit_test(two_covers_are_both_named),
        cmocka_unit_test(hold_names_the_part_nearest_its_limit),
        cmocka_unit_test(a_touch_is_no_harm),
        cmocka_unit_test(nought_has_no_sign),
        cmocka_unit_test(wait_and_see_gives_the_day_to_look_again),
        cmocka_unit_test(what_kills_is_called_that),
        cmocka_unit_test(mildness_is_dated),
        cmocka_unit_test(a_gap_is_called_one),
        cmocka_unit_test(frozen_roots_say_since_when_and_until),
        cmocka_unit_test(short_thaws_do_not_count_as_one),
        cmocka_unit_test(a_thaw_says_how_far_it_is),
        cmocka_unit_test(drooping_is_a_defence),
        cmocka_unit_test(what_the_wind_took_is_asked_after),
    };
    return cmocka_run_group_tests_name("reason", tests, NULL, NULL);
}
