/* SPDX-License-Identifier: MIT */
/* What is held goes where it saves more; water and heat are tried beside covers and places. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/guide.h"
#include "judgement/stage.h"

#define FLEECE "'covers':[{'id':'fleece','kind':'thick fleece','count':1,'on':'all'}],"
#define PLACES "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR "],"
#define DECK_ONLY "'places':[" YARD_PLAIN_DECK "],"
#define BUSH(id, more) "{'id':'" id "'," YARD_LEAVES ",'place':'deck'," YARD_POT more "}"
#define HARDY(id, more)                                                                            \
    "{'id':'" id                                                                                   \
    "','limits':{'foliage':{'damaged_c':-9,'of':'tissue'}},'place':'deck'," YARD_POT more "}"
#define WITH_FLEECE ",'covers':['fleece']"
#define IN_FLEECE ",'covers':['fleece'],'wearing':['fleece']"

enum { DECK, CELLAR };
enum { HOLDER, TAKER };

static const char *action_of(const yard *y, int plant, char text[OW_ACTION_TEXT])
{
    ow_action_text(&y->verdict[plant], y->on.garden, text);
    return text;
}

/* ---- covers ---------------------------------------------------------------------------------- */

/* Out there without it, ten times as much is lost. */
static void a_cover_goes_where_it_saves_more(void **state)
{
    (void)state;
    yard y = yard_open(FLEECE DECK_ONLY "'plants':[" BUSH("one", IN_FLEECE) "," BUSH(
                           "two", WITH_FLEECE ",'value':'irreplaceable'") "]",
                       3.0);
    char text[OW_REASON_TEXT], act[OW_ACTION_TEXT];
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    const ow_verdict *gives = &y.verdict[HOLDER], *takes = &y.verdict[TAKER];
    check_state(gives, OW_STATE_HOLD);
    check_state(takes, OW_STATE_COVER_SOON);
    assert_true(gives->asks && gives->act.sheds && gives->act.shed == 0);
    assert_string_equal(action_of(&y, HOLDER, act), "take fleece off, for two");
    assert_string_equal(action_of(&y, TAKER, act), "cover with fleece, taken from one");
    check_says(yard_reason(&y, HOLDER, text), "Its fleece saves more on two.");
    check_says(text, "It may be harmed for that");
    check_wording(text);
    assert_true(gives->pick.do_by_s <= takes->pick.do_by_s);
    assert_true(gives->act_by_s == takes->act_by_s);
    yard_obey(&y, HOLDER);
    yard_obey(&y, TAKER);
    assert_true(yard_actor(&y, HOLDER)->dress.n == 0 && yard_actor(&y, TAKER)->dress.n == 1);
    for (int hour = 0; hour < 3; hour++) { /* and it stays there */
        yard_judge_all(&y);
        check_state(&y.verdict[TAKER], OW_STATE_HOLD);
        assert_false(y.verdict[TAKER].asks);
        check_state(&y.verdict[HOLDER], OW_STATE_CARRY_IN);
        assert_false(y.verdict[HOLDER].asks);
        yard_live(&y, 1.0);
    }
    yard_close(&y);
}

static void between_equals_it_stays(void **state)
{
    (void)state;
    yard y = yard_open(
        FLEECE DECK_ONLY "'plants':[" BUSH("one", IN_FLEECE) "," BUSH("two", WITH_FLEECE) "]", 3.0);
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_false(y.verdict[HOLDER].asks || y.verdict[TAKER].asks);
    assert_int_equal(y.verdict[TAKER].pick.bar, OW_BAR_STOCK);
    yard_close(&y);
}

/* Who does not need it gives it to anyone; where nobody is short it is not asked. */
static void a_cover_that_is_not_needed(void **state)
{
    (void)state;
    static const char *const stock[] = {"1", "2"};
    for (int i = 0; i < 2; i++) {
        char garden[YARD_TEXT], text[OW_REASON_TEXT];
        snprintf(garden, sizeof garden,
                 "'covers':[{'id':'fleece','kind':'thick fleece','count':%s,'on':'all'}]," DECK_ONLY
                 "'plants':[" HARDY("one", IN_FLEECE) "," BUSH("two", WITH_FLEECE) "]",
                 stock[i]);
        yard y = yard_open(garden, 3.0);
        yard_cold_night(&y, -6.5);
        yard_judge_all(&y);
        assert_true(y.verdict[TAKER].asks && y.verdict[TAKER].act.covers == 1);
        assert_int_equal(y.verdict[HOLDER].asks, i == 0);
        assert_int_equal(y.verdict[TAKER].pick.from, i == 0 ? HOLDER : -1);
        if (i == 0) {
            check_says(yard_reason(&y, HOLDER, text), "K to spare without.");
            check_wording(text);
        }
        yard_close(&y);
    }
}

/* ---- rooms ----------------------------------------------------------------------------------- */

static void a_guest_makes_room(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT], act[OW_ACTION_TEXT];
    yard y = yard_open(PLACES "'plants':[" HARDY("one", "") "," BUSH("two", "") "]", 3.0);
    yard_actor(&y, HOLDER)->place = CELLAR;
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    const ow_verdict *leaves = &y.verdict[HOLDER], *comes = &y.verdict[TAKER];
    check_state(comes, OW_STATE_CARRY_IN);
    assert_true(leaves->asks && leaves->act.home && leaves->act.place == DECK);
    assert_true(comes->asks && comes->act.place == CELLAR);
    assert_string_equal(action_of(&y, HOLDER, act), "carry back to deck, to make room for two");
    assert_string_equal(action_of(&y, TAKER, act), "carry to cellar in place of one");
    check_says(yard_reason(&y, HOLDER, text), "Its room saves more for two.");
    assert_true(leaves->pick.do_by_s <= comes->pick.do_by_s);
    yard_obey(&y, HOLDER);
    yard_obey(&y, TAKER);
    yard_judge_all(&y);
    assert_false(y.verdict[HOLDER].asks || y.verdict[TAKER].asks);
    yard_close(&y);
}

/* A guest that would be harmed outside stays, and so does one whose home the room is. */
static void who_lives_there_or_needs_it_stays(void **state)
{
    (void)state;
    yard y = yard_open(PLACES "'plants':[" BUSH("one", "") "," BUSH("two", "") "]", 3.0);
    yard_actor(&y, HOLDER)->place = CELLAR;
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_false(y.verdict[HOLDER].asks || y.verdict[TAKER].asks);
    assert_int_equal(y.verdict[TAKER].pick.bar, OW_BAR_ROOM);
    yard_close(&y);
    y = yard_open(PLACES "'plants':[{'id':'one','limits':{'foliage':{'damaged_c':-9}},"
                         "'place':'cellar'," YARD_POT "}," BUSH("two", "") "]",
                  3.0);
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_false(y.verdict[HOLDER].asks || y.verdict[TAKER].asks);
    yard_close(&y);
}

/* ---- water ----------------------------------------------------------------------------------- */

#define THIRSTY(taxon, moisture)                                                                   \
    DECK_ONLY "'plants':[{'id':'one','taxon':'" taxon "','place':'deck',"                          \
              "'limits':{'roots':{'damaged_c':-2.5}},'pot':{'diameter_mm':300,'depth_mm':280,"     \
              "'stands_on':'raised','moisture':'" moisture "'}}]"

/* Short frost: the heat of freezing carries a moist ball through it, a dry one is harmed. */
static void water_now(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        bool waters;
    } cases[] = {{THIRSTY("Camellia japonica", "dry"), true},
                 {THIRSTY("Camellia japonica", "moist"), false},
                 {THIRSTY("Agave americana", "dry"), false},
                 {THIRSTY("Sarracenia flava", "dry"), false}};
    char text[OW_REASON_TEXT], act[OW_ACTION_TEXT];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = yard_open(cases[i].garden, 3.0);
        turn turns[] = {{0, 3}, {8, 3}, {14, -5}, {22, -5}, {28, 3}, {60, 3}};
        yard_forecast(&y, turns, 6);
        yard_judge_all(&y);
        assert_int_equal(y.verdict[0].asks && y.verdict[0].act.wet, cases[i].waters);
        if (cases[i].waters) {
            check_state(&y.verdict[0], OW_STATE_COVER_SOON);
            assert_string_equal(action_of(&y, 0, act), "water it through while it is thawed");
            check_says(yard_reason(&y, 0, text), "With water: ");
            check_wording(text);
            ow_trial dry = {.place = -1}, wet = {.place = -1, .wet = true};
            ow_course answer[2];
            yard_ask(&y, 0, (ow_trial[]){dry, wet}, 2, answer);
            assert_true(answer[1].lowest_c[OW_ROOTS] > answer[0].lowest_c[OW_ROOTS] + 0.5);
            yard_obey(&y, 0);
            assert_true(yard_actor(&y, 0)->watered);
            yard_judge_all(&y);
            check_state(&y.verdict[0], OW_STATE_HOLD);
        }
        yard_close(&y);
    }
}

/* A member's draw of the medium holds for the moist one too, and water is poured once. */
static void watered_as_varied(void **state)
{
    (void)state;
    yard y = yard_open(THIRSTY("Camellia japonica", "dry"), 3.0);
    ow_cast *cast = y.on.scene->cast;
    double normal[OW_UNKNOWNS] = {[OW_UNKNOWN_WATER] = 1.0, [OW_UNKNOWN_CONDUCTS] = -1.0};
    double before_c = ow_cast_axis_c(cast, 0, 0.1);
    ow_variant variant;
    assert_int_equal(ow_variant_of(&y.on.garden->plants[0], normal, &variant), OW_OK);
    assert_true(ow_actor_is_dry(y.on.garden, &cast->actor[0]));
    ow_cast_vary(cast, 0, &variant);
    ow_cast_water(cast, 0);
    ow_law once = *ow_cast_law(cast, 0, false);
    assert_false(ow_actor_is_dry(y.on.garden, &cast->actor[0]));
    check_close("temperature", ow_cast_axis_c(cast, 0, 0.1), before_c, 1e-4, 0.0);
    ow_cast_vary(cast, 0, &variant); /* the other way round */
    assert_memory_equal(ow_cast_law(cast, 0, false), &once, sizeof once);
    ow_cast_water(cast, 0);
    assert_memory_equal(ow_cast_law(cast, 0, false), &once, sizeof once);
    yard_close(&y);
}

/* ---- heat ------------------------------------------------------------------------------------ */

#define HOUSE                                                                                      \
    "{'id':'house','kind':'glasshouse','floor_m2':6,'glazing_m2':18,'air_changes_per_h':0.5}"
#define HEATER(more)                                                                               \
    "'outputs':[{'id':'heater','kind':'heater','place':'house','topic':'p','on':'on','off':'off'," \
    "'watts':3000,'keep_air_above_c':3" more "}],"
#define TENDER(id, place, value)                                                                   \
    "{'id':'" id "','limits':{'foliage':{'damaged_c':4,'of':'air'}},'place':'" place "',"          \
    "'value':'" value "'," YARD_POT "}"

/* What is kept is too cold for it; three kelvins more are allowed and save it. */
static void the_heater_is_turned_up(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    yard y = yard_open("'places':[" HOUSE "]," HEATER("") "'plants':[" TENDER(
                           "one", "house", "treasured") "," TENDER("two", "house", "treasured") "]",
                       6.0);
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    check_close("the most", ow_guide_most_c(y.on.garden, 0), 6.0, 1e-12, 0.0);
    for (int i = 0; i < 2; i++) {
        const ow_verdict *v = &y.verdict[i];
        assert_true(v->threat.any && v->act.warm && !v->asks && v->prevents);
        check_state(v, OW_STATE_HOLD);
        assert_true(v->eased_c > 4.0 && v->threat.lowest_c < 4.0);
        check_says(yard_reason(&y, i, text), "the heater keeps house at 6.0 C for it from");
        check_wording(text);
        char eased[32];
        snprintf(eased, sizeof eased, ", so %.1f C.", v->eased_c);
        check_says(text, eased);
        y.verdict[i].eased_c = NAN; /* not known */
        assert_null(strstr(yard_reason(&y, i, text), ", so"));
        check_wording(text);
    }
    assert_true(y.schedule->plan.knobs == 1u && y.schedule->plan.exact);
    assert_true(y.schedule->warm_from_s[0] > y.on.scene->now_s);
    assert_true(y.schedule->warm_from_s[0] <= y.verdict[0].threat.at_s);
    y.schedule->may_warm[0] = false; /* an interlock holds it */
    yard_judge_all(&y);
    assert_true(y.schedule->warm_from_s[0] == OW_NEVER);
    check_state(&y.verdict[0], OW_STATE_CARRY_IN);
    assert_int_equal(y.verdict[0].pick.bar, OW_BAR_HEATER);
    check_says(yard_reason(&y, 0, text), "the heater cannot be counted on");
    yard_close(&y);
}

/* Never beyond what the file allows: 1.5 K below too warm, and not at all where that is no more. */
static void no_warmer_than_allowed(void **state)
{
    (void)state;
    yard y = yard_open("'places':[" HOUSE "]," HEATER(",'too_warm_c':6.5") "'plants':[" TENDER(
                           "one", "house", "treasured") "]",
                       6.0);
    check_close("the most", ow_guide_most_c(y.on.garden, 0), 5.0, 1e-12, 0.0);
    yard_close(&y);
    y = yard_open("'places':[" HOUSE "]," HEATER(",'too_warm_c':4.5") "'plants':[" TENDER(
                      "one", "house", "treasured") "]",
                  6.0);
    assert_true(isnan(ow_guide_most_c(y.on.garden, 0)));
    yard_cold_night(&y, -6.5);
    yard_judge_all(&y);
    assert_true(y.verdict[0].threat.any && !y.verdict[0].act.warm);
    yard_close(&y);
}

/* The house alone is too cold for what is brought in. */
static void heat_for_what_is_brought_in(void **state)
{
    (void)state;
    char act[OW_ACTION_TEXT];
    yard y = yard_open("'places':[" YARD_PLAIN_DECK "," HOUSE
                       "]," HEATER("") "'plants':[" TENDER("one", "deck", "treasured") "]",
                       6.0);
    turn turns[] = {{0, 6}, {12, 6}, {30, -3}, {32, -3}, {44, 6}, {84, 6}};
    yard_forecast(&y, turns, 6);
    yard_judge_all(&y);
    const ow_verdict *v = &y.verdict[0];
    check_state(v, OW_STATE_CARRY_IN);
    assert_true(v->asks && v->prevents && v->act.place == 1 && v->act.warm);
    assert_string_equal(action_of(&y, 0, act), "carry to house, kept at 6.0 C");
    assert_true(y.schedule->warm_from_s[1] == v->act_by_s);
    yard_close(&y);
}

/* The members' air under the raised heater is as much warmer as that of the expected hours. */
static void members_are_warmed_too(void **state)
{
    (void)state;
    yard y = yard_open("'places':[" HOUSE
                       "]," HEATER("") "'plants':[" TENDER("one", "house", "treasured") "]",
                       6.0);
    ow_ensemble *e;
    yard_cold_night(&y, -6.5);
    yard_look(&y);
    assert_int_equal(ow_ensemble_new(y.on.scene, &e), OW_OK);
    ow_spread spread = {.weather = true, .materials = true};
    assert_int_equal(ow_ensemble_begin(e, y.on.scene, &y.ahead, 72.0, spread), OW_OK);
    assert_true(ow_ensemble_some(e, &y.ahead, INT_MAX));
    y.outlook->ensemble = e;
    int colder = 0;
    for (int m = 0; m < OW_MEMBERS; m++) {
        ow_spot spot;
        ow_ensemble_spots(e, m, 31, &spot); /* in the coldest hour */
        ow_spot warm = ow_ensemble_warm_spot(e, m, 31, 0);
        assert_true(warm.sky.air_c <= 6.0 + 1e-6 && warm.sky.air_c >= spot.sky.air_c);
        colder += spot.sky.air_c < 3.5 && warm.sky.air_c > 5.5;
    }
    assert_true(colder > OW_MEMBERS / 2);
    yard_survey(&y, 0);
    yard_plan(&y);
    ow_schedule_settle(y.schedule, 0, &y.verdict[0], y.on.scene->now_s);
    assert_true(y.verdict[0].act.warm && y.verdict[0].prevents && y.verdict[0].runs == OW_MEMBERS);
    ow_ensemble_free(e);
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cover_goes_where_it_saves_more),
        cmocka_unit_test(between_equals_it_stays),
        cmocka_unit_test(a_cover_that_is_not_needed),
        cmocka_unit_test(a_guest_makes_room),
        cmocka_unit_test(who_lives_there_or_needs_it_stays),
        cmocka_unit_test(water_now),
        cmocka_unit_test(watered_as_varied),
        cmocka_unit_test(the_heater_is_turned_up),
        cmocka_unit_test(no_warmer_than_allowed),
        cmocka_unit_test(heat_for_what_is_brought_in),
        cmocka_unit_test(members_are_warmed_too),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
