/* SPDX-License-Identifier: MIT */
/* What the night ahead asks of outputs, live: set-back, a house that cannot be held, cloths. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

#include "check.h"
#include "hub/host.h"
#include "hub/live.h"

#define OUTPUTS(list) ",\"outputs\":[" list "]"
#define SET_BACK                                                                                   \
    GARDEN_OF(GARDEN_READINGS, PLANT_BOG,                                                          \
              OUTPUTS("{" HEATER_KEYS ",\"set_back_c\":-1,\"cautions_read\":true}") HOUSEHOLD)
/* What its house keeps is too cold for it by a kelvin. */
#define TENDER                                                                                     \
    "{\"id\":\"tender\","                                                                          \
    "\"limits\":{\"foliage\":{\"damaged_c\":4,\"of\":\"air\"}},"                                   \
    "\"place\":\"house\",\"pot\":{\"diameter_mm\":300,"                \
    "\"depth_mm\":280}}"
#define UNDER_GLASS                                                                                \
    GARDEN_OF(GARDEN_READINGS, TENDER "," PLANT_BOG,                                               \
              OUTPUTS("{" HEATER_KEYS ",\"cautions_read\":true}") HOUSEHOLD)
#define CLOTHED GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG, OUTPUTS(DRIVE))
#define NOT_HELD "cannot hold 3.0 C tonight"

static host *begin(const char *garden, double house_c)
{
    host *h = host_start(garden);
    h->sensors = (sensors){4.0, house_c, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 300);
    return h;
}

static int commands(host *h, int seconds, const char *word)
{
    size_t from = h->count;
    host_run(h, seconds);
    return host_heard_from(h, from, HEARD_PUBLISH, "p/set", word);
}

/* Nothing stands in the house: it may fall to -1 C, but not before a forecast has told of a
 * night. */
static void set_back_while_the_plants_allow(void **state)
{
    (void)state;
    host *h = begin(SET_BACK, 1.0);
    check_value(h, "heater/command", "on");
    host_forecast(h, 36, 2.0, 3.0);
    host_run(h, 600);
    check_value(h, "heater/command", "off");
    assert_int_equal(commands(h, 900, "on"), 0);
    h->sensors.house_c = -1.3;
    assert_true(commands(h, 300, "on") > 0);
    h->sensors.house_c = 0.0; /* beyond the band above -1 C */
    assert_true(commands(h, 300, "off") > 0);
    host_end(h);
}

/* Turned up in time for its plants, through all interlocks: on at an air that is warm enough by the
 * garden file. With the door open it is not counted on, and the plant is to be carried. */
static void turned_up_for_what_is_tender(void **state)
{
    (void)state;
    for (int open = 0; open < 2; open++) {
        host *h = begin(UNDER_GLASS, 5.0);
        h->sensors.door = open ? "open" : "shut";
        host_run(h, 120);
        host_forecast(h, 72, 4.0, 1.0);
        size_t from = h->count;
        for (int i = 0; i < 60; i++) { /* its air answers */
            host_run(h, 600);
            h->sensors.house_c = h->plug.on ? 6.3 : 5.0;
        }
        int raised = host_heard_from(h, from, HEARD_EVENT, "house", "heat: turned up to 6.0 C");
        assert_int_equal(raised > 0, !open);
        assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "on") > 0, !open);
        if (open) {
            assert_true(host_heard_from(h, from, HEARD_EVENT, "tender",
                                        "left off: its heater cannot be counted on") > 0);
        } else {
            check_value(h, "tender/state", "hold");
            assert_non_null(strstr(host_value(h, "tender/reason"), "the heater keeps house at 6.0"));
            host_forecast(h, 72, 12.0, 1.0); /* the frost does not come */
            host_run(h, 3600);
            assert_true(host_heard_from(h, from, HEARD_EVENT, "house", "heat: no longer") > 0);
        }
        host_end(h);
    }
}

/* Without a forecast, or a measured day, the garden file is what is kept. */
static void no_set_back_into_the_unknown(void **state)
{
    (void)state;
    host *h = begin(SET_BACK, 1.0);
    host_run(h, 1800);
    check_value(h, "heater/would-switch", "on");
    host_end(h);
}

/* 1000 W cannot hold 3 C at -16: told to the household before dark, once, and gone by day. */
static void told_at_dusk_what_cannot_be_held(void **state)
{
    (void)state;
    host *h = begin(SET_BACK, 4.0);
    host_forecast(h, 48, -8.0, 8.0);
    host_run(h, 1200); /* 12:25 UTC: two hours before dark have not begun */
    assert_int_equal(host_heard(h, HEARD_PUBLISH, ROOT "/household-ada/notice", NOT_HELD), 0);
    host_run(h, 3 * 3600);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, ROOT "/household-ada/notice", NOT_HELD), 1);
    host_run(h, 3600);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, ROOT "/household-ada/notice", NOT_HELD), 1);
    host_end(h);
}

/* ---- when what was found no longer holds ----------------------------------------------------- */

#define BARE(id, place, limits)                                                                    \
    "{\"id\":\"" id "\",\"place\":\"" place "\",\"limits\":{" limits "},"                          \
    "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}"
#define LEAF_LIMIT(limit_c) "\"foliage\":{\"damaged_c\":" #limit_c ",\"of\":\"tissue\"}"
#define NOT_A_LIMIT "\"drought\":{\"suffers_days\":20,\"may_die_days\":40}"
#define IN_THE_HOUSE(limits)                                                                       \
    GARDEN_OF(GARDEN_READINGS, PLANT_BOG "," BARE("a", "house", limits),                           \
              OUTPUTS("{" HEATER_KEYS ",\"set_back_c\":-1,\"cautions_read\":true}"))
#define SECOND_AIR                                                                                 \
    ",{\"id\":\"air-two\",\"measures\":\"air\",\"topic\":\"s/air2\",\"unit\":\"C\"}"
#define TWO_AIRS                                                                                   \
    GARDEN_OF(GARDEN_READINGS SECOND_AIR, PLANT_BOG,                                               \
              OUTPUTS("{" HEATER_KEYS ",\"set_back_c\":-1,\"cautions_read\":true}"))

/* What the heater keeps for now, in thousandths. */
static int kept_mc(const host *h)
{
    return h->engine->live->switches->item[0].heater_spec.keep_mc;
}

static host *begin_set_back(const char *garden)
{
    host *h = begin(garden, 1.0);
    host_forecast(h, 36, 2.0, 3.0);
    host_run(h, 600);
    assert_int_equal(kept_mc(h), -1000);
    return h;
}

/* For so many minutes, with air that never stands still. */
static void pass(host *h, int minutes)
{
    for (int i = 0; i < minutes; i++) {
        h->sensors.roof_c = 4.0 + 0.1 * (i % 3);
        h->sensors.house_c = 1.0 + 0.1 * (i % 3);
        host_run(h, 60);
    }
}

/* While it is looked for anew, hour by hour, what was found goes on. */
static void a_set_back_lasts_while_it_is_looked_for_anew(void **state)
{
    (void)state;
    host *h = begin_set_back(SET_BACK);
    size_t from = h->count;
    for (int i = 0; i < 3 * 3600; i++) {
        host_run(h, 1);
        assert_int_equal(kept_mc(h), -1000);
    }
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "on"), 0);
    host_end(h);
}

/* A forecast is stale after twelve hours, and a day that could come again has not been measured. */
static void a_stale_forecast_ends_the_set_back(void **state)
{
    (void)state;
    host *h = begin_set_back(SET_BACK);
    pass(h, 11 * 60);
    assert_int_equal(kept_mc(h), -1000);
    pass(h, 2 * 60);
    assert_int_equal(kept_mc(h), 3000);
    host_forecast(h, 36, 2.0, 3.0);
    pass(h, 10);
    assert_int_equal(kept_mc(h), -1000);
    host_end(h);
}

/* What was found three hours ago is not asked for any more, however the time went by. */
static void what_was_found_holds_for_three_hours(void **state)
{
    (void)state;
    static const struct {
        uint64_t slept_s;
        int kept_mc;
    } cases[] = {{2 * 3600, -1000}, {3 * 3600, 3000}, {40 * 3600, 3000}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        host *h = begin_set_back(SET_BACK);
        h->now.boot_ms += cases[i].slept_s * 1000;
        h->now.utc_ms += (int64_t)cases[i].slept_s * 1000;
        host_say(h, "s/house", "1.0"); /* or the air of the house is stale as well */
        host_tick(h);
        assert_int_equal(kept_mc(h), cases[i].kept_mc);
        host_end(h);
    }
}

/* Whether it went on or back, told by a tick or by a message; then it is looked for anew. */
static void a_clock_that_jumps_ends_the_set_back(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++) {
        host *h = begin_set_back(SET_BACK);
        h->now.utc_ms += i % 2 ? 120000 : -120000;
        if (i < 2) {
            host_say(h, "s/house", "1.0");
        }
        host_tick(h);
        assert_int_equal(kept_mc(h), 3000);
        pass(h, 10);
        assert_int_equal(kept_mc(h), -1000);
        host_end(h);
    }
}

/* Without a reading of the house that can be used; with two readings outside that part. */
static void doubtful_readings_end_the_set_back(void **state)
{
    (void)state;
    host *h = begin_set_back(SET_BACK);
    h->sensors.house_c = NAN;
    host_run(h, 29 * 60);
    assert_int_equal(kept_mc(h), -1000);
    host_run(h, 2 * 60);
    assert_int_equal(kept_mc(h), 3000);
    host_end(h);
    h = begin_set_back(SET_BACK);
    h->sensors.house2_c = 9.0;
    host_run(h, 61);
    assert_int_equal(kept_mc(h), 3000);
    host_end(h);
    h = begin_set_back(TWO_AIRS);
    for (int i = 0; i < 70; i++) {
        host_say_number(h, "s/air2", 20.0 + 0.1 * (i % 3));
        pass(h, 1);
    }
    assert_int_equal(kept_mc(h), 3000);
    host_end(h);
}

/* Of what nothing is known nothing is risked. */
static void no_set_back_beside_a_plant_without_a_limit(void **state)
{
    (void)state;
    host *h = begin_set_back(IN_THE_HOUSE(LEAF_LIMIT(-12)));
    host_end(h);
    h = begin(IN_THE_HOUSE(NOT_A_LIMIT), 1.0);
    host_forecast(h, 36, 2.0, 3.0);
    for (int i = 0; i < 3 * 60; i++) {
        pass(h, 1);
        assert_int_equal(kept_mc(h), 3000);
    }
    host_end(h);
}

/* ---- cheap hours ----------------------------------------------------------------------------- */

#define PRICED(of_heater)                                                                          \
    GARDEN_OF(GARDEN_READINGS, PLANT_BOG,                                                          \
              OUTPUTS("{" HEATER_KEYS of_heater ",\"cautions_read\":true}")                        \
              ",\"tariff\":{\"per_kwh\":0.3,\"prices\":{\"topic\":\"w/p\",\"list\":\"/h\","              \
              "\"time\":\"/t\",\"price\":\"/p\"}}")

/* Prices of a day from 12 UTC on: cheap until 15, then dear until 20, then cheap. */
static void say_prices(host *h, double cheap, double dear)
{
    char text[2000];
    size_t used = (size_t)snprintf(text, sizeof text, "{\"h\":[");
    for (int i = 0; i < 24; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%s{\"t\":%lld,\"p\":%.3f}",
                                 i > 0 ? "," : "", (long long)(NOON_MS / 1000 + i * 3600LL),
                                 i >= 3 && i < 8 ? dear : cheap);
    }
    snprintf(text + used, sizeof text - used, "]}");
    host_say(h, "w/p", text);
}

/* Of the hours from 13 to 21 UTC those in which more is kept, as bits. */
static unsigned hours_of_more(const char *garden, double mean_c, double cheap, double dear)
{
    host *h = begin(garden, 2.0);
    unsigned more = 0;
    host_forecast(h, 36, mean_c, 3.0);
    say_prices(h, cheap, dear);
    for (int m = 0; m < 9 * 60; m++) {
        h->sensors.roof_c = mean_c + 0.1 * (m % 3);
        h->sensors.house_c = 2.0 + 0.1 * (m % 3);
        host_run(h, 60);
        int hour = (int)(h->now.utc_ms / 3600000 % 24);
        assert_true(kept_mc(h) == 3000 || kept_mc(h) == 6000);
        more |= kept_mc(h) == 6000 ? 1u << (hour - 12) : 0;
    }
    host_end(h);
    return more;
}

static void heats_in_the_cheap_hour_before_the_dear_ones(void **state)
{
    (void)state;
    assert_int_equal(hours_of_more(PRICED(""), -6.0, 0.1, 0.6), 1u << 2); /* from 14 to 15 */
    assert_int_equal(hours_of_more(PRICED(""), -6.0, 0.1, 0.4), 0);       /* not dear enough */
    assert_int_equal(hours_of_more(PRICED(""), 12.0, 0.1, 0.6), 0);       /* no heat is needed */
}

/* Prices that are stale, spoilt or none change nothing, and a set-back goes on. */
static void prices_that_say_nothing(void **state)
{
    (void)state;
    host *h = begin(PRICED(""), 2.0);
    host_forecast(h, 36, -6.0, 3.0);
    host_run(h, (2 * 60 + 30) * 60 - 300); /* half past two */
    host_say(h, "w/p", "{\"h\":[{\"t\":1768917600,\"p\":\"cheap\"}]}");
    host_say(h, "w/p", "what");
    host_run(h, 60);
    assert_int_equal(kept_mc(h), 3000);
    say_prices(h, 0.1, 0.6);
    host_run(h, 60);
    assert_int_equal(kept_mc(h), 6000);
    h->now.utc_ms += 120000; /* after a jump nothing is known ahead, until it is looked for anew */
    host_tick(h);
    assert_int_equal(kept_mc(h), 3000);
    h->sensors.house_c = NAN;
    host_run(h, 45 * 60);
    assert_int_equal(kept_mc(h), 3000);
    host_end(h);
    h = begin(PRICED(",\"set_back_c\":-1"), 2.0);
    host_forecast(h, 36, -6.0, 3.0);
    say_prices(h, 0.1, 0.6);
    host_run(h, (2 * 60 + 30) * 60);
    assert_int_equal(kept_mc(h), -1000);
    host_end(h);
}

/* ---- cloths ---------------------------------------------------------------------------------- */

static double closed_pct(const host *h)
{
    const char *text = host_value(h, "cloth/position");
    return text == NULL ? (double)NAN : strtod(text, NULL);
}

/* The hour of the day, UTC, when the cloth stands there; NAN: not within a day. */
static double hour_when(host *h, double pct)
{
    for (int minutes = 0; minutes < 24 * 60; minutes += 5) {
        if (fabs(closed_pct(h) - pct) < 0.5) {
            return (double)(h->now.utc_ms % 86400000) / 3.6e6;
        }
        host_run(h, 300);
    }
    return (double)NAN;
}

/*
 * The sun is down at about 16:10 UTC and up at 7:05 (47.5 N, 7.6 E, in January): shut while it is
 * still up, open when it gives more than the sky takes, and not while it
 * freezes, whatever was foretold.
 */
static void cloth_is_shut_before_the_sky_takes_and_opens_for_sun(void **state)
{
    (void)state;
    for (int freezes = 0; freezes < 2; freezes++) {
        host *h = host_start(CLOTHED);
        h->sensors = (sensors){3.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, NULL, NULL, false};
        host_run(h, 30);
        host_forecast(h, 48, -1.0, 5.0);
        host_run(h, 1800 - 30);
        assert_true(fabs(closed_pct(h)) < 0.5);
        double shut_h = hour_when(h, 100.0);
        assert_true(shut_h > 14.0 && shut_h < 15.7);
        h->sensors.roof_c = freezes ? -5.0 : 3.0;
        host_run(h, 14 * 3600);
        double open_h = hour_when(h, 0.0);
        assert_true(freezes ? !(open_h < 12.0) : open_h > 7.2 && open_h < 9.5);
        host_end(h);
    }
}

/* ---- each plant's own limit ------------------------------------------------------------------ */

#define LEAVES(id, limit_c) BARE(id, "roof", LEAF_LIMIT(limit_c))
#define NO_LIMIT(id) BARE(id, "roof", NOT_A_LIMIT)
#define UNDER(list) ",\"outputs\":[{" DRIVE_KEYS_OVER(list) ",\"cautions_read\":true}]"
#define CLOTH_OVER(plants, list) GARDEN_OF(GARDEN_READINGS, PLANT_BOG "," plants, UNDER(list))

/* Air that does what a forecast says that comes every six hours; in how many hours it was shut. */
static int hours_shut(host *h, int hours, double mean_c, double swing_k)
{
    int shut = 0;
    for (int i = 0; i < 12 * hours; i++) {
        double hour = (double)(h->now.utc_ms % 86400000) / 3.6e6;
        h->sensors.roof_c = mean_c + swing_k * cos((hour - 14.0) * 0.2617993877991494);
        if (i % 72 == 0) {
            host_forecast(h, 48, mean_c, swing_k);
        }
        host_run(h, 300);
        shut += i % 12 == 11 && fabs(closed_pct(h) - 100.0) < 0.5;
    }
    return shut;
}

static void each_plant_shuts_its_cloth_by_its_own_limit(void **state)
{
    (void)state;
    static const struct {
        const char *garden;
        double mean_c, swing_k;
        int least_h, most_h;
    } cases[] = {
        /* hardy: -6 C is nothing to it, -13 C is near; what stands in a bog is not under it */
        {CLOTH_OVER(LEAVES("a", -20), "\"a\""), -1.0, 5.0, 0, 0},
        {CLOTH_OVER(LEAVES("a", -17), "\"a\""), -8.0, 5.0, 12, 20},
        /* tender: a clear night of 4 C makes leaves that bear 2 C too cold */
        {CLOTH_OVER(LEAVES("a", 2), "\"a\""), 8.0, 4.0, 12, 20},
        {CLOTH_OVER(LEAVES("a", -4), "\"a\""), 8.0, 4.0, 0, 0},
        /* the more tender of two decides */
        {CLOTH_OVER(LEAVES("a", -20) "," LEAVES("b", 2), "\"a\",\"b\""), 8.0, 4.0, 12, 20},
        /* of which nothing is known: 2 C, beside what is known */
        {CLOTH_OVER(LEAVES("a", -20), ""), -1.0, 5.0, 12, 23},
        {CLOTH_OVER(LEAVES("a", -20), ""), 8.0, 4.0, 0, 0},
        {CLOTH_OVER(LEAVES("a", -20) "," NO_LIMIT("b"), "\"a\",\"b\""), -1.0, 5.0, 12, 23},
        {CLOTH_OVER(LEAVES("a", -20) "," NO_LIMIT("b"), "\"a\",\"b\""), 8.0, 4.0, 0, 0},
        {CLOTH_OVER(LEAVES("a", 2) "," NO_LIMIT("b"), "\"a\",\"b\""), 8.0, 4.0, 12, 20},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i += CHECKED_BUILD ? 3 : 1) {
        host *h = host_start(cases[i].garden);
        h->sensors = (sensors){cases[i].mean_c + cases[i].swing_k, 6.0, NAN, 1.0, 0.0, NAN, NULL,
                               NULL, NULL, false};
        (void)hours_shut(h, 1, cases[i].mean_c, cases[i].swing_k);
        size_t from = h->count;
        int shut_h = hours_shut(h, 23, cases[i].mean_c, cases[i].swing_k);
        int closed = host_heard_from(h, from, HEARD_EVENT, "cloth", "switched: close");
        int opened = host_heard_from(h, from, HEARD_EVENT, "cloth", "switched: open");
        if (shut_h < cases[i].least_h || shut_h > cases[i].most_h || closed > 1 || opened > 1) {
            fail_msg("case %zu: shut for %d h of 23, closed %d times, opened %d times", i, shut_h,
                     closed, opened);
        }
        host_end(h);
    }
}

/* What the outlook said of a hardy plant no longer counts: after a jump it is looked for anew
 * before anything moves; without a forecast or a measured day nothing is known, and the cloth is shut. */
static void a_cloth_when_the_outlook_is_not_to_be_trusted(void **state)
{
    (void)state;
    host *h = host_start(CLOTH_OVER(LEAVES("a", -20), "\"a\""));
    h->sensors = (sensors){4.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, NULL, NULL, false};
    assert_int_equal(hours_shut(h, 2, -1.0, 5.0), 0);
    const ow_cloth_wish *cloth = &h->engine->live->cloth[0];
    assert_true(cloth->looked && !cloth->shut);
    h->now.utc_ms += 600000;
    host_tick(h);
    assert_false(cloth->looked);
    size_t from = h->count;
    host_run(h, 1800);
    assert_true(cloth->looked && !cloth->shut);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "d/set", "close"), 0);
    for (int i = 0; i < 13 * 60; i++) {
        h->sensors.roof_c = -4.0 + 0.1 * (i % 3);
        host_run(h, 60);
    }
    assert_true(cloth->shut && fabs(closed_pct(h) - 100.0) < 0.5);
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(set_back_while_the_plants_allow),
        cmocka_unit_test(turned_up_for_what_is_tender),
        cmocka_unit_test(no_set_back_into_the_unknown),
        cmocka_unit_test(told_at_dusk_what_cannot_be_held),
        cmocka_unit_test(a_set_back_lasts_while_it_is_looked_for_anew),
        cmocka_unit_test(a_stale_forecast_ends_the_set_back),
        cmocka_unit_test(what_was_found_holds_for_three_hours),
        cmocka_unit_test(a_clock_that_jumps_ends_the_set_back),
        cmocka_unit_test(doubtful_readings_end_the_set_back),
        cmocka_unit_test(no_set_back_beside_a_plant_without_a_limit),
        cmocka_unit_test(heats_in_the_cheap_hour_before_the_dear_ones),
        cmocka_unit_test(prices_that_say_nothing),
        cmocka_unit_test(cloth_is_shut_before_the_sky_takes_and_opens_for_sun),
        cmocka_unit_test(each_plant_shuts_its_cloth_by_its_own_limit),
        cmocka_unit_test(a_cloth_when_the_outlook_is_not_to_be_trusted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
