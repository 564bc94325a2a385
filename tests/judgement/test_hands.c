/* SPDX-License-Identifier: MIT */
/* Free hours, light and weights. Local time is an hour and a half east of Greenwich. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "garden/weight.h"
#include "judgement/hands.h"
#include "judgement/stage.h"

#define PEOPLE(list)                                                                               \
    "'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush'," YARD_LEAVES                           \
    ",'place':'deck'," YARD_POT "}],'household':[" list "]"

static ow_garden *garden_of(const char *quoted)
{
    char text[YARD_TEXT];
    return stage_garden(yard_text(quoted, text));
}

static ow_hands look(const char *quoted, double from_h, double hours)
{
    ow_garden *g = garden_of(quoted);
    ow_hands h;
    ow_utc_s now = STAGE_MIDWINTER + (ow_utc_s)(from_h * OW_HOUR_S);
    ow_hands_look(&h, g, yard_local(), now, now + (ow_utc_s)(hours * OW_HOUR_S));
    ow_garden_free(g);
    return h;
}

static ow_utc_s at(double hour)
{
    return STAGE_MIDWINTER + (ow_utc_s)(hour * OW_HOUR_S);
}

static void nobody_named_is_hands_without_end(void **state)
{
    (void)state;
    ow_hands h = look("'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush'," YARD_LEAVES
                      ",'place':'deck'," YARD_POT "}]",
                      0, 48);
    assert_true(isinf(ow_hands_minutes(&h, at(1), 1, false)));
    assert_int_equal(ow_hands_to_lift(&h, 500.0), 1);
    assert_true(ow_hands_last_s(&h, at(5), 1, true) == at(5));
}

/* 17:00 to 21:30 local is 15:30 to 20:00 UTC. */
static void hands_count_within_their_hours(void **state)
{
    (void)state;
    ow_hands h = look(PEOPLE("{'id':'ada','hands':'17:00-21:30'}"), 0, 48);
    check_close("before", ow_hands_minutes(&h, at(15.5), 1, false), 0.0, 0.0, 0.0);
    check_close("an hour in", ow_hands_minutes(&h, at(16.5), 1, false), 60.0, 0.0, 0.0);
    check_close("an evening", ow_hands_minutes(&h, at(24), 1, false), 270.0, 0.0, 0.0);
    check_close("two", ow_hands_minutes(&h, at(48), 1, false), 540.0, 0.0, 0.0);
    check_close("no pair", ow_hands_minutes(&h, at(48), 2, false), 0.0, 0.0, 0.0);
    assert_true(ow_hands_last_s(&h, at(15), 1, true) == INT64_MIN);
    assert_true(ow_hands_last_s(&h, OW_NEVER, 1, true) == OW_NEVER);
}

/* Without `hands` a member is free at any hour, but its quiet ones are the last resort. */
static void quiet_hours_are_the_last_resort(void **state)
{
    (void)state;
    ow_hands h = look(PEOPLE("{'id':'ada','quiet':'22:00-07:00'}"), 0, 24);
    check_close("day", ow_hands_minutes(&h, at(24), 1, false), 24.0 * 60.0, 0.0, 0.0);
    ow_hands evening = look(PEOPLE("{'id':'ada','quiet':'22:00-07:00'}"), 19.0, 24);
    assert_true(ow_hands_last_s(&evening, at(24), 1, true) == at(20.5));
    ow_hands night = look(PEOPLE("{'id':'ada','quiet':'22:00-07:00'}"), 21.0, 24);
    assert_true(ow_hands_last_s(&night, at(24), 1, true) == at(24));
}

/* What has to be done before 05:00 is done by daylight when there are hands then, else by torch
 * when the hands end; what needs light and has none cannot be done. */
static void daylight_first_then_the_torch(void **state)
{
    (void)state;
    ow_hands day = look(PEOPLE("{'id':'ada','hands':'08:00-22:00'}"), 0, 48);
    ow_utc_s by_day = ow_hands_last_s(&day, at(29), 1, true);
    check_between("dusk, hours UTC", (double)(by_day - STAGE_MIDWINTER) / 3600.0, 14.0, 19.0);
    ow_hands night = look(PEOPLE("{'id':'ada','hands':'20:00-22:00'}"), 0, 48);
    assert_true(ow_hands_last_s(&night, at(29), 1, true) == at(20.5));
    assert_true(ow_hands_last_s(&night, at(29), 1, false) == INT64_MIN);
    check_close("by daylight", ow_hands_minutes(&night, at(48), 1, true), 0.0, 0.0, 0.0);
    /* After dusk the plan is what can still be done tonight. */
    ow_hands late = look(PEOPLE("{'id':'ada','hands':'08:00-22:00'}"), 19.0, 24);
    assert_true(ow_hands_last_s(&late, at(29), 1, true) == at(20.5));
    assert_true(ow_hands_last_s(&late, at(18), 1, true) == at(18)); /* past: at once */
}

static void who_lifts_what(void **state)
{
    (void)state;
    static const struct {
        const char *people;
        double kg;
        int wants;
    } cases[] = {
        {PEOPLE("{'id':'ada','lifts_kg':15}"), 15.0, 1},
        {PEOPLE("{'id':'ada','lifts_kg':15}"), 15.1, 0},
        {PEOPLE("{'id':'ada','lifts_kg':15},{'id':'bo','lifts_kg':10}"), 25.0, 2},
        {PEOPLE("{'id':'ada','lifts_kg':15},{'id':'bo','lifts_kg':10}"), 25.1, 0},
        {PEOPLE("{'id':'ada','lifts_kg':15,'trolley':true}"), 60.0, 1},
        {PEOPLE("{'id':'ada','lifts_kg':15,'trolley':true},{'id':'bo','lifts_kg':20}"), 61.0, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_hands h = look(cases[i].people, 0, 1);
        assert_int_equal(ow_hands_to_lift(&h, cases[i].kg), cases[i].wants);
        assert_int_equal(ow_hands_to_lift(&h, NAN), 1);
    }
}

static void a_pair_wants_both_at_once(void **state)
{
    (void)state;
    ow_hands h =
        look(PEOPLE("{'id':'ada','hands':'17:00-20:00'},{'id':'bo','hands':'19:00-21:00'}"), 0, 24);
    check_close("all", ow_hands_minutes(&h, at(24), 1, false), 300.0, 0.0, 0.0);
    check_close("of pairs", ow_hands_minutes(&h, at(24), 2, false), 120.0, 0.0, 0.0);
    assert_true(ow_hands_last_s(&h, at(24), 2, true) == at(18.5));
}

/* A cylinder of 0.3 m and 0.28 m holds about 19 litres; wetter is heavier. */
static void a_wet_pot_weighs_more(void **state)
{
    (void)state;
    ow_garden *g = garden_of(PEOPLE("{'id':'ada'}"));
    ow_pot pot = g->plants[0].pot;
    double last = 0.0;
    for (int m = OW_MOISTURE_DRY; m <= OW_MOISTURE_STANDING; m++) {
        pot.soil.moisture = (ow_moisture)m;
        assert_true(ow_pot_kg(&pot) > last);
        last = ow_pot_kg(&pot);
    }
    check_between("waterlogged, kg", last, 15.0, 25.0);
    ow_garden_free(g);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nobody_named_is_hands_without_end),
        cmocka_unit_test(hands_count_within_their_hours),
        cmocka_unit_test(quiet_hours_are_the_last_resort),
        cmocka_unit_test(daylight_first_then_the_torch),
        cmocka_unit_test(who_lifts_what),
        cmocka_unit_test(a_pair_wants_both_at_once),
        cmocka_unit_test(a_wet_pot_weighs_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
