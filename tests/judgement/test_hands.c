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

/* ---- edges ----------------------------------------------------------------------------------- */

/* Slots of ten minutes: of the last, begun one, too; none of a time that is past, and no more than
 * were looked at. */
static void minutes_end_where_the_look_does(void **state)
{
    (void)state;
    static const struct {
        double hours, by_h, minutes;
    } cases[] = {
        {0.0, 24.0, 0.0},           {1.0, 24.0, 60.0},  {1.0 + 1.0 / 3600.0, 24.0, 70.0},
        {-1.0, 24.0, 0.0},          {24.0, 0.0, 0.0},   {24.0, -1.0, 0.0},
        {24.0, 599.0 / 3600.0, 0.0}, {24.0, 0.5, 30.0}, {24.0, 23.9999, 1430.0},
        {400.0, 400.0, 11.0 * 24.0 * 60.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_hands h = look(PEOPLE("{'id':'ada'}"), 0, cases[i].hours);
        check_close("minutes", ow_hands_minutes(&h, at(cases[i].by_h), 1, false), cases[i].minutes,
                    1e-9, 0.0);
    }
}

/* Local time is UTC and a half hour and an hour; midnight is at 22:30 UTC. */
static void spans_hold_their_first_minute_and_not_their_last(void **state)
{
    (void)state;
    static const struct {
        const char *people;
        double from_h, by_h, last_h; /* by torch */
    } cases[] = {
        /* Quiet until 07:00: the slot that begins then is awake, the one before is not. */
        {PEOPLE("{'id':'ada','quiet':'22:00-07:00'}"), 0.0, 5.5 + 1.0 / 6.0, 5.5 + 1.0 / 6.0},
        {PEOPLE("{'id':'ada','quiet':'19:00-20:00'}"), 17.0 + 1.0 / 6.0, 18.5, 17.5},
        {PEOPLE("{'id':'ada','quiet':'19:00-20:00'}"), 17.0 + 1.0 / 6.0, 18.7, 18.5 + 1.0 / 6.0},
        /* Hands that are named are free in quiet hours too. */
        {PEOPLE("{'id':'ada','hands':'20:00-23:00','quiet':'22:00-07:00'}"), 18.0, 29.0, 21.5},
        /* Only the very first slot. */
        {PEOPLE("{'id':'ada','hands':'01:30-01:40'}"), 0.0, 20.0, 1.0 / 6.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_hands h = look(cases[i].people, cases[i].from_h, 48);
        ow_utc_s last = ow_hands_last_s(&h, at(cases[i].by_h), 1, true);
        check_close("last, hours", (double)(last - STAGE_MIDWINTER) / 3600.0, cases[i].last_h, 1e-9,
                    0.0);
    }
    ow_hands h = look(PEOPLE("{'id':'ada','hands':'20:00-22:00'}"), 0, 48);
    assert_true(ow_hands_last_s(&h, at(0), 1, true) == at(0)); /* now: it is past */
    assert_true(ow_hands_last_s(&h, at(-3), 1, true) == at(-3));
}

/* By torch and asleep or not: the last slot of all. */
static ow_utc_s last_of_any(const ow_hands *h, ow_utc_s by_s)
{
    ow_hands dark = *h;
    for (int i = 0; i < dark.slots; i++) {
        dark.light[i] = false;
        dark.awake[i] = 0;
    }
    return ow_hands_last_s(&dark, by_s, 1, true);
}

/* The reference goes through the day minute by minute. */
static void last_and_first_are_those_of_a_search_by_hand(void **state)
{
    (void)state;
    static const int from_min[] = {0, 300, 420, 1020, 1380}, until_min[] = {60, 421, 1000, 1439};
    for (size_t f = 0; f < sizeof from_min / sizeof from_min[0]; f++) {
        for (size_t u = 0; u < sizeof until_min / sizeof until_min[0]; u++) {
            char people[160], text[YARD_TEXT];
            int from = from_min[f], until = until_min[u];
            snprintf(people, sizeof people, "{'id':'ada','hands':'%02d:%02d-%02d:%02d'}", from / 60,
                     from % 60, until / 60, until % 60);
            snprintf(text, sizeof text, PEOPLE("%s"), people);
            ow_hands h = look(text, 6.0, 30.0);
            ow_utc_s first = OW_NEVER, last = INT64_MIN, by = at(30.0);
            double minutes = 0.0;
            for (ow_utc_s t = at(6.0); t < at(36.0); t += OW_HANDS_SLOT_S) {
                int minute = (int)((t + 5400) % OW_DAY_S / 60);
                bool is = from < until ? minute >= from && minute < until
                                       : minute >= from || minute < until;
                first = is && first == OW_NEVER ? t : first;
                last = is && t + OW_HANDS_SLOT_S <= by ? t + OW_HANDS_SLOT_S : last;
                minutes += is ? 10.0 : 0.0;
            }
            assert_true(ow_hands_first_s(&h, 1, true) == first);
            check_close("all", ow_hands_minutes(&h, at(36.0), 1, false), minutes, 0.0, 0.0);
            ow_utc_s by_torch = last_of_any(&h, by);
            assert_true(by_torch == last);
        }
    }
}

static void the_first_time_that_will_do(void **state)
{
    (void)state;
    ow_hands night = look(PEOPLE("{'id':'ada','hands':'20:00-22:00'}"), 0, 48);
    assert_true(ow_hands_first_s(&night, 1, true) == at(18.5));
    assert_true(ow_hands_first_s(&night, 1, false) == OW_NEVER);
    ow_hands day = look(PEOPLE("{'id':'ada','hands':'14:00-16:00'}"), 0, 48);
    assert_true(ow_hands_first_s(&day, 1, false) == at(12.5));
    assert_true(ow_hands_first_s(&day, 2, true) == OW_NEVER);
    ow_hands now = look(PEOPLE("{'id':'ada'}"), 0.25, 48);
    assert_true(ow_hands_first_s(&now, 1, true) == at(0.25));
    ow_hands long_look = look(PEOPLE("{'id':'ada'}"), 0, 12 * 24);
    assert_true(ow_hands_first_s(&long_look, 2, true) == OW_NEVER);
    ow_hands nobody = look("'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bush'," YARD_LEAVES
                           ",'place':'deck'," YARD_POT "}]",
                           3.0, 48);
    assert_true(ow_hands_first_s(&nobody, 2, false) == at(3.0));
}

/* Civil twilight is a sun 6 degrees below the horizon. At 48.8 N on 2024-01-15 it ends at 17:00
 * UTC on the meridian, as the equation of time (-9 min) and a declination of -21.2 degrees have it,
 * worked out by hand: cos H = (sin -6 - sin phi sin d) / (cos phi cos d) is 73.3 degrees. */
static void light_is_civil_twilight(void **state)
{
    (void)state;
    ow_hands h = look(PEOPLE("{'id':'ada'}"), 0, 24);
    ow_utc_s dusk = ow_hands_last_s(&h, at(23), 1, false);
    check_close("dusk, hours UTC", (double)(dusk - STAGE_MIDWINTER) / 3600.0, 12.15 + 73.3 / 15.0,
                0.17, 0.0);
    double light_h = ow_hands_minutes(&h, at(24), 1, true) / 60.0;
    check_close("hours of light", light_h, 2.0 * 73.3 / 15.0, 0.34, 0.0);
}

/* ---- who ------------------------------------------------------------------------------------- */

static void who_could_do_it_is_named(void **state)
{
    (void)state;
    static const struct {
        ow_utc_s at_s;
        int people;
        double kg;
        const char *who;
    } cases[] = {
        {OW_NEVER, 1, NAN, "Ada or bo or Cy"},
        {OW_NEVER, 1, 10.0, "Ada or bo or Cy"},
        {OW_NEVER, 1, 10.1, "Ada or Cy"}, /* a trolley makes 40 of 10 */
        {OW_NEVER, 1, 40.0, "Cy"},
        {OW_NEVER, 1, 40.1, ""},
        {OW_NEVER, 2, 25.0, "Ada and bo and Cy"}, /* together each helps */
        {STAGE_MIDWINTER + 17 * OW_HOUR_S, 1, NAN, "Ada or Cy"},
        {STAGE_MIDWINTER + 19 * OW_HOUR_S, 2, 25.0, "bo and Cy"},
        {STAGE_MIDWINTER + 2 * OW_HOUR_S, 1, NAN, "Cy"},
    };
    ow_garden *g = garden_of(PEOPLE("{'id':'ada','name':'Ada','hands':'18:00-20:00','lifts_kg':15},"
                                    "{'id':'bo','hands':'20:00-22:00','lifts_kg':10},"
                                    "{'id':'cy','name':'Cy','lifts_kg':10,'trolley':true}"));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char who[64] = "left over";
        ow_hands_who(g, yard_local(), cases[i].at_s, cases[i].people, cases[i].kg, who, sizeof who);
        assert_string_equal(who, cases[i].who);
    }
    char little[8];
    ow_hands_who(g, yard_local(), OW_NEVER, 1, NAN, little, sizeof little);
    assert_string_equal(little, "Ada or "); /* no more than there is room for */
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
        cmocka_unit_test(minutes_end_where_the_look_does),
        cmocka_unit_test(spans_hold_their_first_minute_and_not_their_last),
        cmocka_unit_test(last_and_first_are_those_of_a_search_by_hand),
        cmocka_unit_test(the_first_time_that_will_do),
        cmocka_unit_test(light_is_civil_twilight),
        cmocka_unit_test(who_could_do_it_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
