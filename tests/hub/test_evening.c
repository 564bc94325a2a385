/* SPDX-License-Identifier: MIT */
/* What the night ahead asks of outputs, live: set-back, a house that cannot be held, cloths. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

#include "hub/host.h"

#define OUTPUTS(list) ",\"outputs\":[" list "]"
#define SET_BACK                                                                                   \
    GARDEN_OF(GARDEN_READINGS, PLANT_BOG,                                                          \
              OUTPUTS("{" HEATER_KEYS ",\"set_back_c\":-1,\"cautions_read\":true}") HOUSEHOLD)
/* What its house keeps is too cold for it by a kelvin. */
#define TENDER                                                                                     \
    "{\"id\":\"tender\",\"limits\":{\"foliage\":{\"damaged_c\":4,\"of\":\"air\"}},"                  \
    "\"place\":\"house\",\"pot\":{\"diameter_mm\":300,"                \
    "\"depth_mm\":280}}"
#define UNDER_GLASS                                                                                \
    GARDEN_OF(GARDEN_READINGS, TENDER "," PLANT_BOG, OUTPUTS("{" HEATER_KEYS ",\"cautions_read\":true}") HOUSEHOLD)
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
        bool raised = host_heard_from(h, from, HEARD_EVENT, "house", "heat: turned up to 6.0 C") > 0;
        assert_int_equal(raised, !open);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(set_back_while_the_plants_allow),
        cmocka_unit_test(turned_up_for_what_is_tender),
        cmocka_unit_test(no_set_back_into_the_unknown),
        cmocka_unit_test(told_at_dusk_what_cannot_be_held),
        cmocka_unit_test(cloth_is_shut_before_the_sky_takes_and_opens_for_sun),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
