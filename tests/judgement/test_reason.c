/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdlib.h>

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

/* ---- sentence by sentence -------------------------------------------------------------------- */

enum { DECK, CELLAR };
enum { FLEECE, FILM };
enum { BUSH, TREE };

#define TWO                                                                                        \
    COVERS PLACES "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT                \
                  ",'covers':['fleece','film']},{'id':'tree','name':'the tree'," YARD_LEAVES       \
                  ",'place':'deck'," YARD_POT "}]"

/* Nothing ahead, as known from a look of a day. */
static yard told_yard(void)
{
    yard y = yard_open(TWO, 3.0);
    yard_steady(&y, 3.0, 24.0);
    yard_look(&y);
    return y;
}

static void check_told(yard *y, const char *want)
{
    char text[OW_REASON_TEXT];
    assert_string_equal(yard_reason(y, BUSH, text), want);
}

/* Every month and weekday of 2024, on its fifteenth at noon UTC. */
static void months_and_weekdays_have_their_names(void **state)
{
    (void)state;
    static const struct {
        int day;
        const char *text;
    } cases[] = {{0, "Mon 15 Jan"},   {31, "Thu 15 Feb"},  {60, "Fri 15 Mar"},
                 {91, "Mon 15 Apr"},  {121, "Wed 15 May"}, {152, "Sat 15 Jun"},
                 {182, "Mon 15 Jul"}, {213, "Thu 15 Aug"}, {244, "Sun 15 Sep"},
                 {274, "Tue 15 Oct"}, {305, "Fri 15 Nov"}, {335, "Sun 15 Dec"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[OW_WHEN_TEXT], want[OW_WHEN_TEXT];
        ow_utc_s noon = STAGE_MIDWINTER + cases[i].day * OW_DAY_S + 12 * OW_HOUR_S;
        snprintf(want, sizeof want, "%s 13:30", cases[i].text);
        assert_string_equal(ow_when(yard_local(), noon, text), want);
    }
}

static void tenths_are_rounded_to_the_nearest(void **state)
{
    (void)state;
    static const double cases[][2] = {{1.24, 1.2},  {1.26, 1.3},   {-1.24, -1.2}, {-1.26, -1.3},
                                      {0.04, 0.0},  {0.06, 0.1},   {-0.06, -0.1}, {-10.0, -10.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        check_close("tenth", ow_tenth_c(cases[i][0]), cases[i][1], 1e-12, 0.0);
    }
    assert_false(signbit(ow_tenth_c(-0.04)));
}

static void each_act_has_its_words(void **state)
{
    (void)state;
    static const struct {
        ow_trial act;
        ow_state state;
        const char *text;
    } cases[] = {
        {{.place = -1, .bare = true}, OW_STATE_UNCOVER, "take the covers off"},
        {{.place = -1, .covers = 1, .cover = {FILM}}, OW_STATE_COVER_SOON, "cover with film"},
        {{.place = -1, .covers = 1, .cover = {FLEECE}, .point = true}, OW_STATE_COVER_SOON,
         "wrap the growing point with old fleece"},
        {{.place = -1, .covers = 2, .cover = {FLEECE, FILM}}, OW_STATE_COVER_SOON,
         "cover with old fleece and film"},
        {{.place = DECK}, OW_STATE_CARRY_IN, "carry to deck"},
        {{.place = CELLAR}, OW_STATE_THAW_NEEDED, "carry to the cellar to thaw slowly"},
        {{.place = DECK, .home = true}, OW_STATE_CARRY_OUT, "carry back to deck"},
        {{.place = DECK, .covers = 1, .cover = {FILM}}, OW_STATE_CARRY_IN,
         "carry to deck and cover with film"},
        {{.place = CELLAR, .covers = 1, .cover = {FILM}, .point = true}, OW_STATE_CARRY_IN,
         "carry to the cellar and wrap the growing point with film"},
    };
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[OW_ACTION_TEXT];
        y.verdict[BUSH] = (ow_verdict){
            .state = cases[i].state, .act = cases[i].act, .asks = true, .pick = ow_pick_none()};
        assert_string_equal(action(&y, text), cases[i].text);
        y.verdict[BUSH].asks = false;
        assert_string_equal(action(&y, text), "");
    }
    yard_close(&y);
}

/* Whose it is, and for whom. */
static void what_is_shared_has_its_words(void **state)
{
    (void)state;
    static const struct {
        ow_trial act;
        int give, to, from, from_cover;
        const char *text;
    } cases[] = {
        {{.place = -1, .sheds = true, .shed = FILM}, 0, BUSH, -1, -1, "take film off, for bush"},
        {{.place = -1, .sheds = true, .shed = FILM}, 0, -1, -1, -1, "take film off"},
        {{.place = DECK, .home = true}, 0, BUSH, -1, -1,
         "carry back to deck, to make room for bush"},
        {{.place = DECK, .home = true, .covers = 1, .cover = {FILM}}, 0, BUSH, -1, -1,
         "carry back to deck, to make room for bush and cover with film"},
        {{.place = -1, .covers = 1, .cover = {FILM}}, -1, -1, BUSH, FILM,
         "cover with film, taken from bush"},
        {{.place = -1, .covers = 1, .cover = {FILM}, .point = true}, -1, -1, BUSH, FILM,
         "wrap the growing point with film, taken from bush"},
        {{.place = CELLAR}, -1, -1, BUSH, -1, "carry to the cellar in place of bush"},
        {{.place = CELLAR, .covers = 1, .cover = {FLEECE}}, -1, -1, BUSH, FLEECE,
         "carry to the cellar and cover with old fleece, taken from bush"},
        {{.place = -1, .wet = true}, -1, -1, -1, -1, "water it through while it is thawed"},
    };
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[OW_ACTION_TEXT];
        ow_pick pick = ow_pick_none();
        pick.give = cases[i].give;
        pick.way = cases[i].give < 0 ? 0 : -1;
        pick.to = cases[i].to;
        pick.from = cases[i].from;
        pick.from_cover = cases[i].from_cover;
        y.verdict[BUSH] = (ow_verdict){
            .state = OW_STATE_CARRY_IN, .act = cases[i].act, .asks = true, .pick = pick};
        assert_string_equal(action(&y, text), cases[i].text);
    }
    yard_close(&y);
}

/* A night of -5.46 C that leaves stand to -5 C, and nothing that helps. */
static ow_verdict threat_of(const yard *y, ow_part part)
{
    ow_verdict v;
    ow_verdict_start(&v);
    v.state = OW_STATE_CARRY_IN;
    v.threat = (ow_threat){.any = true,
                           .part = part,
                           .at_s = y->on.scene->now_s + 20 * OW_HOUR_S,
                           .lowest_c = -5.46,
                           .lowest_s = y->on.scene->now_s + 6 * OW_HOUR_S,
                           .limit_c = -5.0};
    return v;
}

#define NO_HELP " No cover and no place in this garden prevents it."

/* Why it gives what it holds, and what that leaves it. */
static void a_give_has_its_words(void **state)
{
    (void)state;
    static const struct {
        int to;
        bool sheds, harms;
        double spare_k;
        const char *text;
    } cases[] = {
        {BUSH, true, true, 2.54,
         " Its film saves more on bush. It may be harmed for that, which weighs less."},
        {BUSH, true, false, 2.54, " Its film saves more on bush. It has 2.5 K to spare without."},
        {BUSH, false, false, INFINITY, " Its room saves more for bush."},
        {-1, true, false, 2.54, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        yard y = told_yard();
        ow_survey *s = &y.schedule->survey[BUSH];
        s->gives = 1;
        s->give[0] = (ow_give){.act = {.place = -1, .sheds = cases[i].sheds, .shed = FILM},
                               .harms = cases[i].harms,
                               .spare_k = cases[i].spare_k};
        ow_verdict_start(&y.verdict[BUSH]);
        y.verdict[BUSH].pick.give = 0;
        y.verdict[BUSH].pick.to = cases[i].to;
        snprintf(want, sizeof want, "%s%s",
                 "Nothing to do: the coldest ahead is foliage at 3.0 C by Mon 15 Jan 02:00, 8.0 K"
                 " to spare.",
                 cases[i].text);
        check_told(&y, want);
        yard_close(&y);
    }
}

/* Heat that eases a threat where it stands asks for nobody; who gives what it holds is told why it
 * has nothing better itself. */
static void heat_and_gives_answer_a_threat(void **state)
{
    (void)state;
    for (int give = 0; give < 2; give++) {
        yard y = told_yard();
        ow_verdict v = threat_of(&y, OW_FOLIAGE);
        v.act = (ow_trial){.place = -1, .warm = !give};
        v.eased_c = -5.2;
        v.pick.way = give ? -1 : 0;
        v.pick.give = give ? 0 : -1;
        v.pick.bar = give ? OW_BAR_HEATER : OW_BAR_NONE;
        y.verdict[BUSH] = v;
        check_told(&y, give ? "The leaves will fall to -5.5 C by Mon 15 Jan 07:30; they are harmed"
                              " from -5.0 C. More heat would help, but the heater cannot be counted"
                              " on."
                            : "The leaves will fall to -5.5 C by Mon 15 Jan 07:30; they are harmed"
                              " from -5.0 C. Nothing at hand prevents all of it; more heat does"
                              " most: -5.2 C.");
        yard_close(&y);
    }
}

static void a_threat_says_how_sure_it_is(void **state)
{
    (void)state;
    static const struct {
        int runs, passed;
        bool late;
        const char *begins, *ends;
    } cases[] = {
        {0, 0, false, "The leaves will fall", NO_HELP},
        {1, 0, false, "The leaves will fall", NO_HELP},
        {1, 1, true, "It is late. The leaves will fall", NO_HELP},
        {2, 0, false, "The leaves may fall", NO_HELP},
        {2, 1, false, "The leaves may fall", " A limit is passed in 1 of 2 runs ahead." NO_HELP},
        {32, 31, true, "It is late. The leaves may fall",
         " A limit is passed in 31 of 32 runs ahead." NO_HELP},
        {32, 32, false, "The leaves will fall",
         " A limit is passed in 32 of 32 runs ahead." NO_HELP},
    };
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        y.verdict[BUSH] = threat_of(&y, OW_FOLIAGE);
        y.verdict[BUSH].runs = cases[i].runs;
        y.verdict[BUSH].passed = cases[i].passed;
        y.verdict[BUSH].late = cases[i].late;
        snprintf(want, sizeof want,
                 "%s to -5.5 C by Mon 15 Jan 07:30; they are harmed from -5.0 C.%s",
                 cases[i].begins, cases[i].ends);
        check_told(&y, want);
    }
    yard_close(&y);
}

static void a_threat_names_each_part(void **state)
{
    (void)state;
    static const char *const words[OW_PARTS][2] = {
        [OW_FOLIAGE] = {"The leaves", "they are"},
        [OW_BUDS] = {"The buds", "they are"},
        [OW_ROOTS] = {"The roots", "they are"},
        [OW_GROWING_POINT] = {"The growing point", "it is"},
        [OW_STORAGE_ORGAN] = {"The storage organ", "it is"},
    };
    yard y = told_yard();
    for (int p = 0; p < OW_PARTS; p++) {
        char want[OW_REASON_TEXT];
        ow_limit *limit = &y.on.garden->plants[BUSH].tolerance.limit[p];
        *limit = ow_limit_own(-5.0, -8.0, p == OW_ROOTS);
        limit->grade = p == OW_BUDS ? 'C' : 'B';
        y.verdict[BUSH] = threat_of(&y, (ow_part)p);
        snprintf(want, sizeof want,
                 "%s will fall to -5.5 C by Mon 15 Jan 07:30; %s harmed from -5.0 C%s%s." NO_HELP,
                 words[p][0], words[p][1], p == OW_ROOTS ? " in the air" : "",
                 p == OW_BUDS ? " (growers' word)" : "");
        check_told(&y, want);
    }
    yard_close(&y);
}

/* Softer by a tenth of a kelvin is told, by less it is not, nor when it has hardened. */
static void a_soft_limit_says_why(void **state)
{
    (void)state;
    static const struct {
        double limit_c, hardened;
        const char *why;
    } cases[] = {
        {-4.0, 0.5, ", not yet hardened: 1.0 K warmer than in midwinter"},
        {-4.9, 0.95, ", not yet hardened: 0.1 K warmer than in midwinter"},
        {-4.96, 0.98, ""},
        {-4.0, 1.0, ""},
    };
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        y.verdict[BUSH] = threat_of(&y, OW_FOLIAGE);
        y.verdict[BUSH].threat.limit_c = cases[i].limit_c;
        yard_actor(&y, BUSH)->condition.hardening =
            (ow_hardening){.hardened = cases[i].hardened, .spring = false};
        snprintf(want, sizeof want,
                 "The leaves will fall to -5.5 C by Mon 15 Jan 07:30; they are harmed from %.1f C"
                 "%s." NO_HELP,
                 cases[i].limit_c, cases[i].why);
        check_told(&y, want);
    }
    yard_close(&y);
}

/* What is short, who has it, and whose turn it is; without an act, and after one. */
static void what_is_short_is_named(void **state)
{
    (void)state;
    static const struct {
        ow_bar bar;
        int item, who;
        const char *text;
    } cases[] = {
        {OW_BAR_NONE, -1, -1, NO_HELP},
        {OW_BAR_BETTER, -1, -1, NO_HELP},
        {OW_BAR_STOCK, FLEECE, -1, " No old fleece is left."},
        {OW_BAR_STOCK, FILM, TREE, " No film is left: it goes to the tree."},
        {OW_BAR_STOCK, FILM, BUSH, " No film is left: it goes to bush."},
        {OW_BAR_ROOM, CELLAR, -1, " No room is left in the cellar."},
        {OW_BAR_ROOM, DECK, TREE, " No room is left in deck: it goes to the tree."},
        {OW_BAR_ROOM, CELLAR, BUSH, " No room is left in the cellar: it goes to bush."},
        {OW_BAR_HANDS, -1, -1, " The hands there are until then are needed elsewhere."},
        {OW_BAR_HEAVY, -1, -1, " It is too heavy for anyone to carry."},
        {OW_BAR_FROZEN_DOWN, -1, -1, " It is frozen to the ground: force nothing."},
        {OW_BAR_NO_HANDS, -1, -1, " No hands are free before it is too late."},
        {OW_BAR_LATE, -1, -1, ""},
    };
    static const char threat[] =
        "The leaves will fall to -5.5 C by Mon 15 Jan 07:30; they are harmed from -5.0 C.";
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        ow_verdict *v = &y.verdict[BUSH];
        *v = threat_of(&y, OW_FOLIAGE);
        v->pick.bar = cases[i].bar;
        v->pick.item = cases[i].item;
        v->pick.who = cases[i].who;
        snprintf(want, sizeof want, "%s%s", threat, cases[i].text);
        check_told(&y, want);
        v->pick.turn_s = y.on.scene->now_s;
        v->pick.turn_after = TREE;
        snprintf(want, sizeof want, "%s%s Its turn there comes by Mon 15 Jan 01:30, after the tree.",
                 threat, cases[i].text);
        check_told(&y, want);
        *v = threat_of(&y, OW_FOLIAGE);
        v->asks = v->prevents = true;
        v->act = (ow_trial){.place = -1, .covers = 1, .cover = {FLEECE}};
        v->eased_c = -4.46;
        v->pick.bar = cases[i].bar;
        v->pick.item = cases[i].item;
        v->pick.who = cases[i].who;
        snprintf(want, sizeof want, "%s With old fleece: -4.5 C.%s", threat,
                 cases[i].bar > OW_BAR_BETTER ? cases[i].text : "");
        check_told(&y, want);
    }
    yard_close(&y);
}

static void what_helps_is_named(void **state)
{
    (void)state;
    static const struct {
        ow_trial act;
        bool prevents, dry;
        const char *text;
    } cases[] = {
        {{.place = DECK}, true, false, " With deck: -4.5 C."},
        {{.place = CELLAR, .covers = 1, .cover = {FILM}}, true, false,
         " With the cellar and film: -4.5 C."},
        {{.place = -1, .covers = 2, .cover = {FILM, FLEECE}}, false, false,
         " Nothing at hand prevents all of it; film and old fleece does most: -4.5 C."},
        {{.place = CELLAR}, true, true, " With the cellar it does not come to that."},
    };
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        ow_verdict *v = &y.verdict[BUSH];
        *v = threat_of(&y, OW_FOLIAGE);
        v->asks = true;
        v->act = cases[i].act;
        v->prevents = cases[i].prevents;
        v->eased_c = -4.46;
        v->threat.dry = cases[i].dry;
        snprintf(want, sizeof want, "%s%s",
                 cases[i].dry
                     ? "The root ball will freeze through by then and no water will move; it "
                       "suffers from Mon 15 Jan 21:30 (21 days)."
                     : "The leaves will fall to -5.5 C by Mon 15 Jan 07:30; they are harmed from "
                       "-5.0 C.",
                 cases[i].text);
        check_told(&y, want);
    }
    y.outlook->course[BUSH].frozen_s = y.on.scene->now_s + OW_HOUR_S;
    check_told(&y, "The root ball will freeze through by Mon 15 Jan 02:30 and no water will move; "
                   "it suffers from Mon 15 Jan 21:30 (21 days). With the cellar it does not come "
                   "to that.");
    yard_close(&y);
}

/* ---- roots that are frozen ------------------------------------------------------------------- */

static yard frozen_yard(double days)
{
    yard y = told_yard();
    ow_drought *d = &yard_actor(&y, BUSH)->condition.drought;
    d->frozen_s = days * (double)OW_DAY_S;
    d->was_frozen = d->frozen_through = d->running = true;
    y.verdict[BUSH].state = OW_STATE_THAW_NEEDED;
    return y;
}

#define FROZEN_2 "The root ball has been frozen through for 2.0 days and no water moves; "

/* While it suffers already, or is not seen to, the days are told; else the hour. */
static void frozen_roots_say_what_is_left(void **state)
{
    (void)state;
    static const struct {
        ow_utc_s suffers_s, open_s; /* after now */
        const char *text;
    } cases[] = {
        {OW_NEVER, OW_NEVER, "it suffers after 21 days and may die after 42."},
        {0, OW_NEVER, "it suffers after 21 days and may die after 42."},
        {1800, OW_NEVER, "it suffers after 21 days and may die after 42."},
        {3600, OW_NEVER, "it suffers from Mon 15 Jan 02:30 (21 days) and will not thaw before."},
        {3600, 3600, "it suffers from Mon 15 Jan 02:30 (21 days) and will not thaw before."},
        {3600, 1800, "it suffers from Mon 15 Jan 02:30 (21 days) and thaws too briefly before."},
    };
    yard y = frozen_yard(2.0);
    ow_course *c = &y.outlook->course[BUSH];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        ow_utc_s now = y.on.scene->now_s;
        c->suffers_s = cases[i].suffers_s == OW_NEVER ? OW_NEVER : now + cases[i].suffers_s;
        c->open_s = cases[i].open_s == OW_NEVER ? OW_NEVER : now + cases[i].open_s;
        snprintf(want, sizeof want, FROZEN_2 "%s", cases[i].text);
        check_told(&y, want);
    }
    yard_close(&y);
}

static void a_thaw_says_how_long_and_how(void **state)
{
    (void)state;
    static const struct {
        bool asks, hasty;
        ow_utc_s half_s, gone_s;
        const char *text;
    } cases[] = {
        {false, false, 3600, 7200, ""},
        {true, false, OW_NEVER, OW_NEVER, " No heater and no sun on it meanwhile."},
        {true, true, OW_NEVER, 7200,
         " That room is rather warm: keep it shaded there, far from any heater."},
        {true, false, 3600, OW_NEVER,
         " So done now, half its ice is gone by Mon 15 Jan 02:30. No heater and no sun on it "
         "meanwhile."},
        {true, false, 3600, 7200,
         " So done now, half its ice is gone by Mon 15 Jan 02:30 and all of it by Mon 15 Jan "
         "03:30. No heater and no sun on it meanwhile."},
    };
    yard y = frozen_yard(2.0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        ow_verdict *v = &y.verdict[BUSH];
        ow_utc_s now = y.on.scene->now_s;
        v->asks = cases[i].asks;
        v->hasty = cases[i].hasty;
        v->half_s = cases[i].half_s == OW_NEVER ? OW_NEVER : now + cases[i].half_s;
        v->gone_s = cases[i].gone_s == OW_NEVER ? OW_NEVER : now + cases[i].gone_s;
        snprintf(want, sizeof want,
                 FROZEN_2 "it suffers after 21 days and may die after 42.%s", cases[i].text);
        check_told(&y, want);
    }
    y.verdict[BUSH].asks = false;
    y.verdict[BUSH].pick.bar = OW_BAR_HEAVY;
    check_told(&y, FROZEN_2 "it suffers after 21 days and may die after 42. It is too heavy for "
                            "anyone to carry.");
    yard_close(&y);
}

static void a_thaw_under_way_says_what_comes(void **state)
{
    (void)state;
    static const char open[] = "The root ball was frozen through for 2.0 days; water moves again in "
                               "25 % of it, 50 % of its water is still ice.";
    yard y = frozen_yard(2.0);
    ow_course *c = &y.outlook->course[BUSH];
    char want[OW_REASON_TEXT];
    y.verdict[BUSH].state = OW_STATE_THAWING;
    yard_actor(&y, BUSH)->sense.root.open_share = 0.25;
    yard_actor(&y, BUSH)->sense.root.ice_share = 0.5;
    c->reset_s = OW_NEVER;
    check_told(&y, open);
    c->suffers_s = y.on.scene->now_s;
    snprintf(want, sizeof want, "%s It will freeze again and suffers from Mon 15 Jan 01:30.", open);
    check_told(&y, want);
    c->reset_s = y.on.scene->now_s + OW_HOUR_S;
    snprintf(want, sizeof want, "%s Over it by Mon 15 Jan 02:30.", open);
    check_told(&y, want);
    yard_close(&y);
}

/* ---- nothing to do --------------------------------------------------------------------------- */

static void frozen_but_well_is_said(void **state)
{
    (void)state;
    static const struct {
        bool through, running;
        int steps;
        ow_utc_s open_s;
        const char *text;
    } cases[] = {
        {true, false, 48, OW_NEVER,
         "The root ball has been frozen through for 2.0 days, which it stands."},
        {false, true, 48, OW_NEVER,
         "The root ball has been frozen through for 2.0 days, which it stands."},
        {true, true, 48, 3600,
         "The root ball has been frozen through for 2.0 days, which it stands; it begins to thaw "
         "by itself by Mon 15 Jan 02:30."},
        {true, true, 1, 3600,
         "The root ball has been frozen through for 2.0 days, which it stands; it begins to thaw "
         "by itself by Mon 15 Jan 02:30."},
        {true, true, 0, 3600,
         "The root ball has been frozen through for 2.0 days, which it stands."},
        {false, false, 0, 3600,
         "Nothing is known of the hours ahead, so no warning can be given."},
    };
    yard y = frozen_yard(2.0);
    y.verdict[BUSH].state = OW_STATE_HOLD;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_drought *d = &yard_actor(&y, BUSH)->condition.drought;
        d->frozen_through = cases[i].through;
        d->running = cases[i].running;
        y.outlook->steps = cases[i].steps;
        y.outlook->course[BUSH].open_s =
            cases[i].open_s == OW_NEVER ? OW_NEVER : y.on.scene->now_s + cases[i].open_s;
        check_told(&y, cases[i].text);
    }
    yard_close(&y);
}

/* The part nearest its limit, above it, at it and below it; the first of two that are as near. */
static void hold_says_how_near_it_comes(void **state)
{
    (void)state;
    static const struct {
        double foliage_k, roots_k; /* above their limits */
        int worn;
        const char *text;
    } cases[] = {
        {NAN, NAN, 0, "Nothing to do."},
        {3.0, NAN, 0,
         "Nothing to do: the coldest ahead is foliage at -2.0 C by Mon 15 Jan 02:30, 3.0 K to "
         "spare."},
        {3.0, 1.0, 0,
         "Nothing to do: the coldest ahead is roots at -4.0 C by Mon 15 Jan 03:30, 1.0 K to "
         "spare."},
        {1.0, 1.0, 0,
         "Nothing to do: the coldest ahead is foliage at -4.0 C by Mon 15 Jan 02:30, 1.0 K to "
         "spare."},
        {1.0, 3.0, 1,
         "Covered and safe: the coldest ahead is foliage at -4.0 C by Mon 15 Jan 02:30, 1.0 K to "
         "spare."},
        {0.0, 1.0, 0,
         "Nothing to do: the coldest ahead is foliage at -5.0 C by Mon 15 Jan 02:30, 0.0 K to "
         "spare."},
        {0.5, -0.5, 0,
         "Nothing more to do: roots will touch -5.5 C by Mon 15 Jan 03:30, not for long enough to "
         "harm."},
    };
    yard y = told_yard();
    y.outlook->steps = 1; /* is enough */
    ow_course *c = &y.outlook->course[BUSH];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (int p = 0; p < OW_PARTS; p++) {
            double above_k = p == OW_FOLIAGE ? cases[i].foliage_k
                             : p == OW_ROOTS ? cases[i].roots_k
                                             : (double)NAN;
            c->limit_c[p] = isnan(above_k) ? (double)NAN : -5.0;
            c->lowest_c[p] = -5.0 + above_k;
            c->lowest_s[p] = y.on.scene->now_s + (p == OW_FOLIAGE ? 1 : 2) * OW_HOUR_S;
        }
        yard_actor(&y, BUSH)->dress.n = (size_t)cases[i].worn;
        check_told(&y, cases[i].text);
    }
    y.verdict[BUSH].runs = 32;
    y.verdict[BUSH].passed = 1;
    says(&y, "not for long enough to harm. A limit is passed in 1 of 32 runs ahead.", "");
    yard_close(&y);
}

/* Colder than -3 C (ours), and only leaves that stay on. */
static void leaves_droop_below_three(void **state)
{
    (void)state;
    static const struct {
        double leaf_c;
        ow_leaves leaves;
        bool told;
    } cases[] = {{-3.0, OW_LEAVES_EVERGREEN, false},
                 {-3.01, OW_LEAVES_EVERGREEN, true},
                 {-9.0, OW_LEAVES_NONE, false},
                 {-9.0, OW_LEAVES_RESTING, false}};
    yard y = told_yard();
    for (int frozen = 0; frozen < 2; frozen++) {
        yard_actor(&y, BUSH)->condition.drought.frozen_through = frozen;
        for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
            char text[OW_REASON_TEXT];
            y.on.garden->plants[BUSH].tolerance.leaves = cases[i].leaves;
            yard_actor(&y, BUSH)->sense.part_c[OW_FOLIAGE] = cases[i].leaf_c;
            yard_reason(&y, BUSH, text);
            assert_int_equal(strstr(text, " Leaves that hang in frost") != NULL, cases[i].told);
        }
    }
    yard_close(&y);
}

/* ---- after harm, and in mild weather --------------------------------------------------------- */

static void it_says_when_to_look_and_when_to_tell(void **state)
{
    (void)state;
    yard y = told_yard();
    ow_harm_watch *w = &yard_actor(&y, BUSH)->condition.watch[OW_FOLIAGE];
    y.verdict[BUSH].state = OW_STATE_WAIT_AND_SEE;
    check_told(&y, "");
    *w = (ow_harm_watch){.damaged = true, .lowest_c = -6.04, .lowest_at = STAGE_MIDWINTER};
    static const char fell[] = "The leaves fell to -6.0 C on Mon 15 Jan 01:30, past the limit of "
                               "harm. ";
    for (int s = -1; s <= 1; s++) {
        char want[OW_REASON_TEXT];
        y.on.scene->now_s = STAGE_MIDWINTER + 28 * OW_DAY_S + s; /* four weeks */
        snprintf(want, sizeof want, "%s%s", fell,
                 s < 0 ? "Leave the plant alone, cut and throw out nothing, and look again on "
                         "12 Feb 2024."
                       : "What lived can show since 12 Feb 2024: look, and say whether it is alive, "
                         "regrowing or dead.");
        check_told(&y, want);
    }
    yard_close(&y);
}

/* Days under covers are common practice, no source (judgement/chores.c). */
static void covers_say_what_they_cost(void **state)
{
    (void)state;
    static const struct {
        ow_cover_kind kind;
        const char *text;
    } cases[] = {{OW_COVER_FLEECE, ""},
                 {OW_COVER_THICK_FLEECE, " Left on, it lacks light: 21 mild days are borne."},
                 {OW_COVER_BUBBLE_FILM,
                  " Left on, damp air below them makes it rot: 5 mild days are borne."}};
    yard y = told_yard();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want[OW_REASON_TEXT];
        ow_dress *dress = &yard_actor(&y, BUSH)->dress;
        dress->n = 1;
        dress->cover[0] = (ow_worn_cover){.kind = cases[i].kind, .on = OW_ZONES_ALL};
        y.verdict[BUSH].state = OW_STATE_UNCOVER;
        snprintf(want, sizeof want,
                 "Not colder than 3.0 C until Tue 16 Jan 01:30: covers now only cost light and "
                 "air.%s",
                 cases[i].text);
        check_told(&y, want);
        y.verdict[BUSH].state = OW_STATE_CARRY_OUT;
        check_told(&y, "Not colder than 3.0 C until Tue 16 Jan 01:30: it can go back to its place.");
    }
    yard_close(&y);
}

/* Every cover that was blown off is named, and no other. */
static void each_cover_blown_off_is_named(void **state)
{
    (void)state;
    static const char *const words[] = {" The wind may have taken old fleece: look.",
                                        " The wind may have taken film: look."};
    yard y = told_yard();
    ow_dress *dress = &yard_actor(&y, BUSH)->dress;
    y.verdict[BUSH].state = OW_STATE_NO_READING;
    for (unsigned blown = 0; blown < 4; blown++) {
        for (size_t worn = 0; worn <= 2; worn++) {
            char want[OW_REASON_TEXT];
            snprintf(want, sizeof want,
                     "The air has gone unmeasured for over six hours: nothing here can be vouched "
                     "for.%s%s",
                     worn > 0 && (blown & 1u) ? words[0] : "",
                     worn > 1 && (blown & 2u) ? words[1] : "");
            for (int i = 0; i < 2; i++) {
                dress->item[i] = i;
                dress->cover[i].state.blown_off = (blown & 1u << i) != 0;
            }
            dress->n = worn;
            check_told(&y, want);
        }
    }
    yard_close(&y);
}

/* Names may be two hundred letters long; what does not fit is cut, and nothing is written past it. */
static void long_names_are_cut(void **state)
{
    (void)state;
    yard y = told_yard();
    char *action_text = malloc(OW_ACTION_TEXT), *text = malloc(OW_REASON_TEXT);
    static char longest[201];
    memset(longest, 'x', 200);
    const ow_garden g = *y.on.garden;
    const char *film = g.covers[FILM].name, *tree = g.plants[TREE].name;
    g.covers[FILM].name = g.plants[TREE].name = longest;
    ow_verdict *v = &y.verdict[BUSH];
    *v = threat_of(&y, OW_FOLIAGE);
    v->asks = true;
    v->act = (ow_trial){.place = CELLAR, .covers = 2, .cover = {FLEECE, FILM}};
    v->pick.bar = OW_BAR_STOCK;
    v->pick.item = FILM;
    v->pick.turn_s = y.on.scene->now_s;
    v->pick.turn_after = TREE;
    ow_action_text(v, y.on.garden, action_text);
    assert_int_equal(strlen(action_text), OW_ACTION_TEXT - 1);
    yard_reason(&y, BUSH, text);
    assert_int_equal(strlen(text), OW_REASON_TEXT - 1);
    g.covers[FILM].name = film;
    g.plants[TREE].name = tree;
    free(action_text);
    free(text);
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
        cmocka_unit_test(months_and_weekdays_have_their_names),
        cmocka_unit_test(tenths_are_rounded_to_the_nearest),
        cmocka_unit_test(each_act_has_its_words),
        cmocka_unit_test(what_is_shared_has_its_words),
        cmocka_unit_test(a_give_has_its_words),
        cmocka_unit_test(heat_and_gives_answer_a_threat),
        cmocka_unit_test(a_threat_says_how_sure_it_is),
        cmocka_unit_test(a_threat_names_each_part),
        cmocka_unit_test(a_soft_limit_says_why),
        cmocka_unit_test(what_is_short_is_named),
        cmocka_unit_test(what_helps_is_named),
        cmocka_unit_test(frozen_roots_say_what_is_left),
        cmocka_unit_test(a_thaw_says_how_long_and_how),
        cmocka_unit_test(a_thaw_under_way_says_what_comes),
        cmocka_unit_test(frozen_but_well_is_said),
        cmocka_unit_test(hold_says_how_near_it_comes),
        cmocka_unit_test(leaves_droop_below_three),
        cmocka_unit_test(it_says_when_to_look_and_when_to_tell),
        cmocka_unit_test(covers_say_what_they_cost),
        cmocka_unit_test(each_cover_blown_off_is_named),
        cmocka_unit_test(long_names_are_cut),
    };
    return cmocka_run_group_tests_name("reason", tests, NULL, NULL);
}
