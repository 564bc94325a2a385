/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"

#define COVERS                                                                                     \
    "'covers':[{'id':'fleece','kind':'fleece','on':'all'},"                                        \
    "{'id':'thick','kind':'thick fleece','on':'all'}],"
#define DECK_ONLY "'places':[" YARD_PLAIN_DECK "],"
#define DECK_AND_CELLAR "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR "],"
#define BUSH(more) "{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT more "}"
#define BOTH ",'covers':['fleece','thick']"

enum { FLEECE, THICK };
enum { DECK, CELLAR };

/* ---- which state, which act ------------------------------------------------------------------ */

static void nothing_ahead_is_hold(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -4.8);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_HOLD);
    assert_false(v->asks || v->late || v->threat.any);
    assert_true(v->also == 0 && v->act_by_s == OW_NEVER);
    yard_close(&y);
}

/* The credits of a fleece (1 K) and a thick fleece (2 K) stand in docs/materials.md. */
static void the_least_cover_that_prevents_is_asked(void **state)
{
    (void)state;
    static const struct {
        double coldest_c;
        int cover;
        double eased_c;
    } cases[] = {{-5.7, FLEECE, -4.7}, {-6.7, THICK, -4.7}};
    for (int i = 0; i < 2; i++) {
        yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
        yard_cold_night(&y, cases[i].coldest_c);
        const ow_verdict *v = yard_judge(&y, 0);
        check_state(v, OW_STATE_COVER_SOON);
        assert_true(v->asks && v->prevents && v->act.covers == 1 && !v->late);
        assert_int_equal(v->act.cover[0], cases[i].cover);
        assert_int_equal(v->threat.part, OW_FOLIAGE);
        check_close("with nothing done", v->threat.lowest_c, cases[i].coldest_c, 1e-9, 0.0);
        check_close("under the cover", v->eased_c, cases[i].eased_c, 1e-9, 0.0);
        yard_close(&y);
    }
}

static void no_cover_prevents_is_carry_in(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -7.5);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_IN);
    assert_true(v->asks && v->prevents);
    assert_int_equal(v->act.place, CELLAR);
    assert_int_equal(v->act.covers, 0);
    yard_close(&y);
}

static void a_place_without_room_is_not_asked(void **state)
{
    (void)state;
    yard y = yard_open(DECK_AND_CELLAR "'plants':[" BUSH("") ",{'id':'lodger'," YARD_LEAVES
                                       ",'place':'cellar'," YARD_POT "}]",
                       3.0);
    yard_cold_night(&y, -7.5);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_IN);
    assert_false(v->asks || v->prevents);
    yard_actor(&y, 1)->place = DECK;
    yard_forget(&y, 0);
    v = yard_judge(&y, 0);
    assert_true(v->asks && v->prevents);
    yard_close(&y);
}

/* The place may fill between two judgements, though nothing else has changed. */
static void a_place_that_filled_is_asked_no_more(void **state)
{
    (void)state;
    yard y = yard_open(DECK_AND_CELLAR "'plants':[" BUSH("") ",{'id':'rival'," YARD_LEAVES
                                       ",'place':'deck'," YARD_POT "}]",
                       3.0);
    yard_cold_night(&y, -7.5);
    assert_true(yard_judge(&y, 0)->asks);
    yard_actor(&y, 1)->place = CELLAR;
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_IN);
    assert_false(v->asks);
    yard_close(&y);
}

static void a_cover_worn_elsewhere_is_not_asked(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR
                       "'plants':[" BUSH(",'covers':['fleece']") ",{'id':'other'," YARD_LEAVES
                       ",'place':'deck'," YARD_POT ",'wearing':['fleece']}]",
                       3.0);
    yard_cold_night(&y, -5.7);
    check_state(yard_judge(&y, 0), OW_STATE_CARRY_IN);
    yard_actor(&y, 1)->dress.n = 0;
    yard_forget(&y, 0);
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    yard_close(&y);
}

/* -9.5 C kills leaves that stand -8, under a fleece too; the thick one leaves them harmed only. */
static void the_best_there_is_when_nothing_prevents(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_ONLY "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -9.5);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_IN);
    assert_true(v->asks && !v->prevents && v->threat.kills);
    assert_int_equal(v->act.cover[0], THICK);
    check_close("harmed, not killed", v->eased_c, -7.5, 1e-9, 0.0);
    yard_close(&y);
}

static void what_is_rooted_is_covered(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[{'id':'shrub'," YARD_LEAVES
                                              ",'place':'deck','bed':{}" BOTH "}]",
                       3.0);
    yard_cold_night(&y, -9.5);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_true(v->asks && !v->prevents);
    assert_int_equal(v->act.cover[0], THICK);
    yard_close(&y);
}

/* A cover that the wind took is no cover, and can be laid again without another in stock. */
static void a_cover_blown_off_is_laid_again(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_ONLY "'plants':[" BUSH(
                           ",'covers':['fleece'],'wearing':['fleece']") "]",
                       3.0);
    yard_cold_night(&y, -5.7);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_actor(&y, 0)->dress.cover[0].state.blown_off = true;
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_true(v->prevents && v->act.covers == 1 && v->act.cover[0] == FLEECE);
    yard_obey(&y, 0);
    assert_int_equal(yard_actor(&y, 0)->dress.n, 1);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_close(&y);
}

/* Twelve hours of rain: a fleece laid before them is wet when the frost comes, after them not. */
static void a_cover_is_laid_after_the_rain(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_ONLY "'plants':[" BUSH(",'covers':['fleece']") "]", 3.0);
    yard_cold_night(&y, -5.7);
    for (size_t i = 1; i <= 24; i++) {
        y.ahead.row[i].weather.rain_mm = 1.0;
    }
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_true(v->prevents);
    ow_trial act[2] = {v->act, v->act};
    ow_course answer[2];
    act[0].at_s = y.on.scene->now_s;
    act[1].at_s = v->act_by_s;
    yard_ask(&y, 0, act, 2, answer);
    assert_true(ow_threat_of(&answer[0], &yard_actor(&y, 0)->condition).any);
    assert_false(ow_threat_of(&answer[1], &yard_actor(&y, 0)->condition).any);
    yard_close(&y);
}

static void covered_and_safe_is_hold(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -5.7);
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    yard_obey(&y, 0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_HOLD);
    assert_false(v->asks);
    yard_close(&y);
}

static void without_foresight_nothing_is_foreseen(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -20.0);
    y.foresight_h = 0.0;
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_HOLD);
    assert_false(v->asks || v->threat.any);
    yard_close(&y);
}

/* ---- the latest useful time --------------------------------------------------------------- */

/* Starts the act that is asked at every step up to the harm: act_by is the last that prevents. */
static void check_act_by(yard *y, const ow_verdict *v)
{
    enum { MOST = 160 };
    static ow_trial trial[MOST];
    static ow_course answer[MOST];
    int n = (int)((v->threat.at_s - y->on.scene->now_s) / STAGE_STEP_S) + 1, latest = -1;
    assert_in_range(n, 2, MOST);
    for (int i = 0; i < n; i++) {
        trial[i] = v->act;
        trial[i].at_s = y->on.scene->now_s + i * STAGE_STEP_S;
    }
    yard_ask(y, 0, trial, n, answer);
    for (int i = 0; i < n && latest == i - 1; i++) {
        latest += !ow_threat_of(&answer[i], &yard_actor(y, 0)->condition).any;
    }
    assert_in_range(latest, 1, n - 2); /* neither at once nor at the very harm: a real search */
    assert_int_equal(v->act_by_s, trial[latest].at_s);
    assert_true(ow_threat_of(&answer[latest + 1], &yard_actor(y, 0)->condition).any);
}

#define TUB "'pot':{'diameter_mm':200,'depth_mm':180}"
#define ROOTS(c) "'limits':{'roots':{'damaged_c':" c "}}"

static void act_by_is_the_latest_useful_time(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        double coldest_c, less_wm2;
        ow_state want;
    } cases[] = {
        {COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", -5.7, 0, OW_STATE_COVER_SOON},
        {COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", -7.5, 0, OW_STATE_CARRY_IN},
        {"'places':[{'id':'deck','kind':'open sky'}],"
         "'covers':[{'id':'straw','kind':'straw','on':'all'},"
         "{'id':'film','kind':'bubble film','on':'all'}],"
         "'plants':[{'id':'tub','place':'deck'," TUB ",'covers':['film','straw']," ROOTS("-1") "}]",
         -11.0, 60.0, OW_STATE_COVER_SOON},
        {"'places':[{'id':'deck','kind':'open sky'}," YARD_CELLAR
         "],'plants':[{'id':'tub','place':'deck'," YARD_SMALL_POT "," ROOTS("-3") "}]",
         -11.0, 60.0, OW_STATE_CARRY_IN},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = yard_open(cases[i].garden, 3.0);
        turn turns[] = {{0, 3}, {12, 3}, {20, cases[i].coldest_c}, {52, cases[i].coldest_c},
                        {60, 3}, {84, 3}};
        yard_forecast_under(&y, turns, 6, cases[i].less_wm2);
        const ow_verdict *v = yard_judge(&y, 0);
        check_state(v, cases[i].want);
        assert_true(v->prevents);
        check_act_by(&y, v);
        yard_close(&y);
    }
}

/* Judged hour after hour, a plant that nobody covers is late once it was too late, and says it. */
static void nobody_acts_and_it_is_late(void **state)
{
    (void)state;
    yard y = yard_open("'places':[{'id':'deck','kind':'open sky'}],"
                       "'covers':[{'id':'straw','kind':'straw','on':'all'}],"
                       "'plants':[{'id':'tub','place':'deck'," TUB
                       ",'covers':['straw'],'limits':{'roots':{'damaged_c':-1,'killed_c':-4}}}]",
                       3.0);
    turn turns[] = {{0, 3}, {12, 3}, {20, -11}, {52, -11}, {60, 3}, {120, 3}};
    yard_forecast_under(&y, turns, 6, 60.0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    ow_utc_s act_by = v->act_by_s, harm = v->threat.at_s;
    int late = 0;
    char text[OW_REASON_TEXT];
    for (; y.on.scene->now_s < harm; yard_live(&y, 0.5)) {
        v = yard_judge(&y, 0);
        if (y.on.scene->now_s <= act_by) {
            assert_false(v->late);
            assert_int_equal(v->act_by_s, act_by);
            assert_true(v->prevents);
        } else {
            late++;
            assert_true(v->late);
            assert_int_equal(v->act_by_s, act_by);
            assert_false(v->prevents);
            check_says(yard_reason(&y, 0, text), "It is late.");
            check_wording(text);
        }
    }
    assert_in_range(late, 2, 40);
    yard_close(&y);
}

/* ---- hysteresis ---------------------------------------------------------------------------- */

static void a_threat_close_by_is_left_after_two_hours(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -5.2);
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    yard_cold_night(&y, -4.8); /* a fifth of a kelvin beyond the threshold */
    for (int half_hour = 0; half_hour < 4; half_hour++) {
        check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
        yard_live(&y, 0.5);
    }
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_close(&y);
}

static void a_threat_half_a_kelvin_off_is_left_at_once(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -5.2);
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    yard_cold_night(&y, -4.4);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_close(&y);
}

static void a_forecast_that_wavers_does_not_flicker(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    for (int hour = 0; hour < 10; hour++) {
        yard_cold_night(&y, hour % 2 ? -4.8 : -5.2);
        check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
        yard_live(&y, 1.0);
    }
    yard_close(&y);
}

/* ---- mildness ------------------------------------------------------------------------------ */

static void a_cover_comes_off_when_it_stays_mild(void **state)
{
    (void)state;
    static const struct {
        double air_c, hours;
        ow_state want;
    } cases[] = {{5.0, 24, OW_STATE_UNCOVER},
                 {5.0, 23, OW_STATE_HOLD},
                 {2.0, 72, OW_STATE_UNCOVER},
                 {1.9, 72, OW_STATE_HOLD}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = yard_open(COVERS DECK_AND_CELLAR
                           "'plants':[" BUSH(BOTH ",'wearing':['fleece']") "]",
                           3.0);
        yard_steady(&y, cases[i].air_c, cases[i].hours);
        const ow_verdict *v = yard_judge(&y, 0);
        check_state(v, cases[i].want);
        if (cases[i].want == OW_STATE_UNCOVER) {
            assert_true(v->asks && v->act.bare && v->act_by_s == OW_NEVER);
        }
        yard_close(&y);
    }
}

static void a_plant_goes_back_when_it_stays_mild(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_actor(&y, 0)->place = CELLAR;
    yard_steady(&y, 1.0, 72);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_steady(&y, 4.0, 72);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_OUT);
    assert_true(v->asks && v->act.place == DECK);
    yard_obey(&y, 0);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_close(&y);
}

/* ---- readings ------------------------------------------------------------------------------ */

static void six_hours_without_air_are_no_reading(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) ",{'id':'lodger'," YARD_LEAVES
                                              ",'place':'cellar'," YARD_POT "}]",
                       3.0);
    yard_cold_night(&y, -5.7);
    yard_live(&y, 0.5);
    y.air_gap_s = 6 * OW_HOUR_S;
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    y.air_gap_s = 6 * OW_HOUR_S + 1;
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_NO_READING);
    assert_int_equal(v->also, 1u << OW_STATE_COVER_SOON);
    check_state(yard_judge(&y, 1), OW_STATE_HOLD);
    yard_live(&y, 1.0);
    y.air_gap_s = OW_HOUR_S;
    check_state(yard_judge(&y, 0), OW_STATE_NO_READING);
    yard_live(&y, 2.0);
    check_state(yard_judge(&y, 0), OW_STATE_COVER_SOON);
    yard_close(&y);
}

/* ---- frozen roots -------------------------------------------------------------------------- */

#define FROZEN(suffers)                                                                            \
    DECK_AND_CELLAR "'plants':[{'id':'box','place':'deck','start_c':-6," YARD_SMALL_POT            \
                    ",'limits':{'drought':{'suffers_days':" suffers ",'may_die_days':9}}}]"

static void frozen_roots_ask_for_a_thaw_in_time(void **state)
{
    (void)state;
    yard y = yard_open(FROZEN("2"), -6.0);
    yard_steady(&y, -6.0, 84);
    yard_live(&y, 1.0);
    yard_steady(&y, -6.0, 84);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_THAW_NEEDED);
    assert_true(v->asks && v->act.place == CELLAR);
    assert_true(v->act_by_s > y.on.scene->now_s);
    assert_true(v->act_by_s < y.outlook->course[0].suffers_s);
    ow_trial then = v->act;
    ow_course answer;
    then.at_s = v->act_by_s;
    yard_ask(&y, 0, &then, 1, &answer);
    assert_true(answer.open_s != OW_NEVER);
    assert_true(answer.suffers_s == OW_NEVER); /* at act_by it is early enough */
    then.at_s = y.outlook->course[0].suffers_s;
    yard_ask(&y, 0, &then, 1, &answer);
    assert_true(answer.suffers_s != OW_NEVER); /* at the last moment it is not */
    yard_close(&y);
}

/* A room where water moves an hour or two sooner is no reason to ask for another one. */
static void the_place_to_thaw_in_does_not_change_for_little(void **state)
{
    (void)state;
    yard y = yard_open("'places':[" YARD_PLAIN_DECK ",{'id':'cool','kind':'indoors','air_c':8},"
                       "{'id':'mild','kind':'indoors','air_c':10,'room_for':1}],"
                       "'plants':[{'id':'box','place':'deck','start_c':-6," YARD_SMALL_POT
                       ",'limits':{'drought':{'suffers_days':2,'may_die_days':9}}},"
                       "{'id':'lodger'," YARD_LEAVES ",'place':'mild'," YARD_POT "}]",
                       -6.0);
    yard_steady(&y, -6.0, 84);
    yard_live(&y, 1.0);
    assert_int_equal(yard_judge(&y, 0)->act.place, 1);
    yard_actor(&y, 1)->place = 1;
    assert_int_equal(yard_judge(&y, 0)->act.place, 1);
    yard_forget(&y, 0);
    assert_int_equal(yard_judge(&y, 0)->act.place, 2); /* asked afresh it is the warmer one */
    yard_close(&y);
}

static void a_thaw_that_comes_by_itself_needs_nobody(void **state)
{
    (void)state;
    yard y = yard_open(FROZEN("2"), -6.0);
    turn turns[] = {{0, -6}, {12, -6}, {16, 6}, {72, 6}};
    yard_forecast(&y, turns, 4);
    yard_live(&y, 1.0);
    yard_forecast(&y, turns, 4);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_HOLD);
    assert_true(v->thaw_s > y.on.scene->now_s && v->thaw_s != OW_NEVER);
    for (ow_utc_s thaw = v->thaw_s; y.on.scene->now_s < thaw; v = yard_judge(&y, 0)) {
        check_state(v, OW_STATE_HOLD);
        yard_live(&y, 0.5);
    }
    check_state(v, OW_STATE_THAWING);
    ow_utc_s over = y.outlook->course[0].reset_s;
    assert_true(over != OW_NEVER);
    yard_live(&y, (double)(over - y.on.scene->now_s) / OW_HOUR_S);
    (void)yard_judge(&y, 0);
    yard_live(&y, 2.0);
    check_state(yard_judge(&y, 0), OW_STATE_HOLD);
    yard_close(&y);
}

/* What has suffered already needs the thaw now, foresight or none. */
static void roots_frozen_too_long_need_a_thaw_now(void **state)
{
    (void)state;
    yard y = yard_open(FROZEN("0.5"), -6.0);
    yard_steady(&y, -6.0, 96);
    yard_live(&y, 14.0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_THAW_NEEDED);
    assert_true(v->asks && v->late);
    yard_forget(&y, 0);
    y.foresight_h = 0.0;
    v = yard_judge(&y, 0);
    check_state(v, OW_STATE_THAW_NEEDED);
    assert_false(v->asks);
    yard_close(&y);
}

/* In dishes of bog mix at a steady -6 C. */
#define FROST_OF(taxon, more)                                                                      \
    "'places':[{'id':'deck','kind':'open sky','film_w_m2k':8,'ground_c':-4}],"                     \
    "'plants':[{'id':'one','taxon':'" taxon "','place':'deck','start_c':-3," more                  \
    "'pot':{'diameter_mm':120,'depth_mm':110,'medium':'bog mix','moisture':'wet',"                 \
    "'stands_on':'raised'}}]"

/* Frozen through 5 to 6 days a bog plant suffers, at about 14 it may die (common practice, no
 * source): a look of 72 hours says so beforehand. */
static void a_bog_plant_suffers_in_its_first_week(void **state)
{
    (void)state;
    yard y = yard_open(FROST_OF("Sarracenia flava", ""), -6.0);
    const ow_tolerance *stands = &y.on.garden->plants[0].tolerance;
    check_between("suffers, days", stands->suffers_days, 5.0, 6.0);
    check_close("may die, days", stands->may_die_days, 14.0, 1.0, 0.0);
    double warned = NAN, suffered = NAN, may_die = NAN;
    yard_steady(&y, -6.0, 24 * 20);
    for (double day = 0.0; day < 16.0; day += 0.25) {
        const ow_verdict *v = yard_judge(&y, 0);
        double clock = ow_drought_clock_days(&yard_actor(&y, 0)->condition.drought);
        warned = isnan(warned) && v->state == OW_STATE_THAW_NEEDED ? day : warned;
        suffered = isnan(suffered) && clock >= stands->suffers_days ? day : suffered;
        may_die = isnan(may_die) && clock >= stands->may_die_days ? day : may_die;
        yard_live(&y, 6.0);
    }
    check_between("days until it suffers", suffered, 5.0, 6.5);
    check_between("days until it may die", may_die, 13.0, 15.0);
    check_between("warned three days before", suffered - warned, 2.5, 3.25);
    yard_close(&y);
}

/* A tough evergreen stands frozen roots for weeks (common practice, no source). Its roots are made
 * to stand the cold itself here. */
static void a_tough_evergreen_stands_weeks(void **state)
{
    (void)state;
    yard y = yard_open(FROST_OF("Buxus sempervirens", "'limits':{'roots':{'damaged_c':-30}},"),
                       -6.0);
    yard_steady(&y, -6.0, 24 * 24);
    for (double day = 0.0; day < 14.0; day += 1.0) {
        check_state(yard_judge(&y, 0), OW_STATE_HOLD);
        yard_live(&y, 24.0);
    }
    check_close("frozen days", ow_drought_frozen_days(&yard_actor(&y, 0)->condition.drought), 14.0,
                0.5, 0.0);
    yard_live(&y, 72.0);
    check_state(yard_judge(&y, 0), OW_STATE_THAW_NEEDED); /* but not for ever */
    yard_close(&y);
}

/* ---- after the harm ------------------------------------------------------------------------ */

static void a_harmed_plant_is_left_in_peace(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH) "]", 3.0);
    yard_cold_night(&y, -6.5);
    yard_live(&y, 40.0);
    turn mild[] = {{0, 3}, {72, 3}};
    yard_forecast(&y, mild, 2);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_WAIT_AND_SEE);
    assert_false(v->asks);
    /* The next night would harm no more than was harmed; one that kills is news. */
    yard_cold_night(&y, -7.5);
    check_state(yard_judge(&y, 0), OW_STATE_WAIT_AND_SEE);
    yard_cold_night(&y, -9.0);
    v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_int_equal(v->also, 1u << OW_STATE_WAIT_AND_SEE);
    assert_true(v->threat.kills && v->prevents);
    yard_close(&y);
}

/* One who waits and sees may lose its covers all the same. */
static void a_harmed_plant_may_be_uncovered(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR "'plants':[" BUSH(BOTH ",'wearing':['fleece']") "]",
                       3.0);
    yard_cold_night(&y, -7.5);
    yard_live(&y, 44.0);
    yard_steady(&y, 4.0, 72);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_WAIT_AND_SEE);
    assert_int_equal(v->also, 1u << OW_STATE_UNCOVER);
    assert_true(v->asks && v->act.bare);
    yard_close(&y);
}

static void also_lists_the_others(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_AND_CELLAR
                       "'plants':[{'id':'box','place':'deck','start_c':-6," YARD_SMALL_POT
                       ",'covers':['thick'],'limits':{'foliage':{'damaged_c':-4,'killed_c':-7,"
                       "'of':'tissue'},'drought':{'suffers_days':2,'may_die_days':9}}}]",
                       -6.0);
    turn turns[] = {{0, -6}, {40, -6}, {48, -8}, {84, -8}};
    yard_forecast(&y, turns, 4);
    yard_live(&y, 2.0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_THAW_NEEDED);
    assert_int_equal(v->also, 1u << OW_STATE_WAIT_AND_SEE | 1u << OW_STATE_COVER_SOON);
    yard_close(&y);
}

/* ---- limits -------------------------------------------------------------------------------- */

/* Under a clear sky a leaf is colder than the air; an air minimum does not count that again. */
static void a_limit_of_air_does_not_count_the_sky_twice(void **state)
{
    (void)state;
    static const char *const of[] = {"tissue", "air"};
    for (int of_air = 0; of_air < 2; of_air++) {
        char garden[1024];
        snprintf(garden, sizeof garden,
                 "'places':[{'id':'deck','kind':'open sky'}],'plants':[{'id':'a','place':'deck',"
                 "'limits':{'foliage':{'damaged_c':-5,'of':'%s'}}," YARD_POT "}]",
                 of[of_air]);
        yard y = yard_open(garden, 3.0);
        turn turns[] = {{0, 3}, {12, 3}, {30, -4.5}, {32, -4.5}, {44, 3}, {84, 3}};
        yard_forecast_under(&y, turns, 6, 100.0);
        const ow_verdict *v = yard_judge(&y, 0);
        double lowest = y.outlook->course[0].lowest_c[OW_FOLIAGE];
        if (of_air) {
            check_state(v, OW_STATE_HOLD);
            check_close("held against the limit: the air", lowest, -4.5, 1e-9, 0.0);
        } else {
            check_state(v, OW_STATE_CARRY_IN);
            check_between("held against the limit: the leaf", lowest, -10.0, -5.5);
        }
        yard_close(&y);
    }
}

/* Without a taxon a plant is up to 2 K softer before it has hardened; mid-October gives half. */
static void autumn_frost_harms_sooner(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    yard winter = yard_open(DECK_ONLY "'plants':[" BUSH("") "]", 3.0);
    yard autumn = yard_open_at(DECK_ONLY "'plants':[" BUSH("") "]", YARD_OCTOBER, 3.0);
    yard_cold_night(&winter, -4.5);
    yard_cold_night(&autumn, -4.5);
    check_state(yard_judge(&winter, 0), OW_STATE_HOLD);
    const ow_verdict *v = yard_judge(&autumn, 0);
    check_state(v, OW_STATE_CARRY_IN);
    check_between("softer, K", v->threat.limit_c + 5.0, 0.8, 1.2);
    check_says(yard_reason(&autumn, 0, text), "not yet hardened: 1.0 K warmer than in midwinter");
    yard_close(&winter);
    yard_close(&autumn);
}

static void a_strange_species_borrows_from_its_genus(void **state)
{
    (void)state;
    yard y = yard_open(DECK_AND_CELLAR "'plants':[{'id':'one','taxon':'Citrus novissima',"
                                       "'place':'deck'," YARD_POT "}]",
                       3.0);
    assert_true(y.on.garden->plants[0].by_genus);
    yard_cold_night(&y, -6.0);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_CARRY_IN);
    check_between("the tenderest of its genus", v->threat.limit_c, -3.0, -0.5);
    yard_close(&y);
}

static void buds_are_judged_too(void **state)
{
    (void)state;
    yard y = yard_open(COVERS DECK_ONLY "'plants':[{'id':'one','place':'deck'," YARD_POT BOTH
                                        ",'limits':{'foliage':{'damaged_c':-12},"
                                        "'buds':{'damaged_c':-4,'of':'tissue'}}}]",
                       3.0);
    yard_cold_night(&y, -4.7);
    const ow_verdict *v = yard_judge(&y, 0);
    check_state(v, OW_STATE_COVER_SOON);
    assert_int_equal(v->threat.part, OW_BUDS);
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_ahead_is_hold),
        cmocka_unit_test(the_least_cover_that_prevents_is_asked),
        cmocka_unit_test(no_cover_prevents_is_carry_in),
        cmocka_unit_test(a_place_without_room_is_not_asked),
        cmocka_unit_test(a_place_that_filled_is_asked_no_more),
        cmocka_unit_test(a_cover_worn_elsewhere_is_not_asked),
        cmocka_unit_test(the_best_there_is_when_nothing_prevents),
        cmocka_unit_test(what_is_rooted_is_covered),
        cmocka_unit_test(a_cover_blown_off_is_laid_again),
        cmocka_unit_test(a_cover_is_laid_after_the_rain),
        cmocka_unit_test(covered_and_safe_is_hold),
        cmocka_unit_test(without_foresight_nothing_is_foreseen),
        cmocka_unit_test(act_by_is_the_latest_useful_time),
        cmocka_unit_test(nobody_acts_and_it_is_late),
        cmocka_unit_test(a_threat_close_by_is_left_after_two_hours),
        cmocka_unit_test(a_threat_half_a_kelvin_off_is_left_at_once),
        cmocka_unit_test(a_forecast_that_wavers_does_not_flicker),
        cmocka_unit_test(a_cover_comes_off_when_it_stays_mild),
        cmocka_unit_test(a_plant_goes_back_when_it_stays_mild),
        cmocka_unit_test(six_hours_without_air_are_no_reading),
        cmocka_unit_test(frozen_roots_ask_for_a_thaw_in_time),
        cmocka_unit_test(the_place_to_thaw_in_does_not_change_for_little),
        cmocka_unit_test(a_thaw_that_comes_by_itself_needs_nobody),
        cmocka_unit_test(roots_frozen_too_long_need_a_thaw_now),
        cmocka_unit_test(a_bog_plant_suffers_in_its_first_week),
        cmocka_unit_test(a_tough_evergreen_stands_weeks),
        cmocka_unit_test(a_harmed_plant_is_left_in_peace),
        cmocka_unit_test(a_harmed_plant_may_be_uncovered),
        cmocka_unit_test(also_lists_the_others),
        cmocka_unit_test(a_limit_of_air_does_not_count_the_sky_twice),
        cmocka_unit_test(autumn_frost_harms_sooner),
        cmocka_unit_test(a_strange_species_borrows_from_its_genus),
        cmocka_unit_test(buds_are_judged_too),
    };
    return cmocka_run_group_tests_name("verdict", tests, NULL, NULL);
}
