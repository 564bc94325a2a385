/* SPDX-License-Identifier: MIT */
/*
 * What an output does and who is told when the world contradicts itself: each by the messages that
 * show it, with the alert, the urgent notice and the safe state that follow, and without chatter.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "hub/belief.h"
#include "hub/host.h"

#define POWER_READING                                                                              \
    ",{\"id\":\"watts\",\"measures\":\"power\",\"topic\":\"p/watts\",\"unit\":\"W\"}"
#define SECOND_WIND                                                                                \
    ",{\"id\":\"wind-two\",\"measures\":\"wind\",\"topic\":\"s/wind2\",\"unit\":\"m/s\"}"
#define OUTPUTS(list) ",\"outputs\":[" list "]" HOUSEHOLD
#define HEATED GARDEN_OF(GARDEN_READINGS, PLANT_BOG, OUTPUTS(HEATER))
#define METERED                                                                                    \
    GARDEN_OF(GARDEN_READINGS POWER_READING, PLANT_BOG,                                            \
              OUTPUTS("{" HEATER_KEYS ",\"power\":\"watts\",\"cautions_read\":true}"))
#define CLOTHED                                                                                    \
    GARDEN_OF(GARDEN_READINGS SECOND_WIND, PLANT_LEMON "," PLANT_BOG, OUTPUTS(DRIVE))

/* A frosty night outside, the house cold, the heater on. */
static host *begin_heating(const char *garden)
{
    host *h = host_start(garden);
    h->sensors = (sensors){-4.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    h->plug.watts = 980.0;
    host_run(h, 300);
    check_value(h, "heater/command", "on");
    check_value(h, "heater/blocked-by", "[]");
    return h;
}

static int commands(const host *h, size_t from, const char *topic, const char *word)
{
    return host_heard_from(h, from, HEARD_PUBLISH, topic, word);
}

/* The alert of that id says so, and the household was told once, urgently. */
static void check_alarm(const host *h, size_t from, const char *id, const char *part)
{
    char below[100];
    snprintf(below, sizeof below, "$alert/%s", id);
    const char *text = host_value(h, below);
    if (text == NULL || strstr(text, part) == NULL) {
        fail_msg("%s is \"%s\", want \"%s\"", below, text != NULL ? text : "(nothing)", part);
    }
    int told = 0;
    for (size_t i = from; i < h->count; i++) {
        const heard *one = &h->heard[i];
        told += one->kind == HEARD_PUBLISH && strcmp(one->topic, ROOT "/household-bo/notice") == 0 &&
                strstr(one->text, part) != NULL && strstr(one->text, "\"urgent\"") != NULL &&
                strstr(one->text, "\"news\":true") != NULL;
    }
    assert_int_equal(told, 1);
}

static void check_no_alarm(const host *h, const char *id)
{
    char below[100];
    snprintf(below, sizeof below, "$alert/%s", id);
    assert_null(host_value(h, below));
}

/* How often an alert came or went since `from`. */
static int changes(const host *h, size_t from, const char *id)
{
    char topic[200];
    int n = 0;
    snprintf(topic, sizeof topic, ROOT "/$alert/%s", id);
    for (size_t i = from; i < h->count; i++) {
        n += h->heard[i].kind == HEARD_PUBLISH && strcmp(h->heard[i].topic, topic) == 0;
    }
    return n;
}

/* ---- the heater ------------------------------------------------------------------------------ */

/* The plug reports off, whatever it is sent, all night: one alarm, one notice, a trial now and
 * then. */
static void stuck_off(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    h->plug.always = "off";
    host_run(h, 60);
    check_value(h, "heater/command", "off");
    check_alarm(h, from, "heater", "it was sent on but says that it is off");
    host_run(h, 8 * 3600);
    assert_int_equal(changes(h, from, "heater"), 1);
    check_alarm(h, from, "heater", "says that it is off");
    assert_in_range(commands(h, from, "p/set", "on 60"), 60, 8 * 60 * 2);
    h->plug.always = NULL;
    h->sensors.house_c = 1.6;
    host_run(h, 2 * 3600);
    check_value(h, "heater/command", "on");
    check_no_alarm(h, "heater");
    assert_int_equal(changes(h, from, "heater"), 2);
    host_end(h);
}

static void element_failed(void **state)
{
    (void)state;
    host *h = begin_heating(METERED);
    size_t from = h->count;
    h->plug.watts = 3.0;
    host_run(h, 180);
    check_value(h, "heater/command", "off");
    check_alarm(h, from, "heater", "draws little power");
    host_run(h, 4 * 3600);
    assert_int_equal(changes(h, from, "heater"), 1);
    host_end(h);
}

static void stuck_on(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    h->plug.always = "on";
    h->sensors.house_c = 5.0;
    host_run(h, 200);
    check_alarm(h, from, "heater", "it was sent off but says that it is on");
    assert_true(commands(h, from, "p/set", "off") > 5); /* again and again */
    host_end(h);
}

/* On for forty minutes and the air goes on falling with the night: the heat goes elsewhere. */
static void no_warmth(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    h->sensors.house_c = -6.0; /* as the glass would be without it, under this sky */
    host_run(h, 36 * 60);
    check_value(h, "heater/command", "on");
    host_run(h, 5 * 60);
    check_value(h, "heater/command", "off");
    assert_true(host_blocked(h, "heater", "its air is no warmer"));
    check_alarm(h, from, "heater", "its air is no warmer");
    host_run(h, 6 * 3600); /* tried again every half hour or so; one alarm all the time */
    assert_int_equal(changes(h, from, "heater"), 1);
    check_alarm(h, from, "heater", "its air is no warmer");
    h->sensors.house_c = 2.0; /* it warms */
    host_run(h, 3 * 3600);
    check_value(h, "heater/command", "on");
    check_no_alarm(h, "heater");
    host_end(h);
}

/* A heater that works in a night too hard for it is no fault: the air fell, but less. */
static void a_heater_that_cannot_hold_the_night_is_believed(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    for (int hour = 0; hour < 3; hour++) {
        h->sensors.roof_c -= 2.0;
        h->sensors.house_c -= 0.2;
        host_run(h, 3300);
        assert_false(host_blocked(h, "heater", "no warmer"));
    }
    assert_int_equal(changes(h, from, "heater"), 0);
    host_end(h);
}

/* The thermometer of the house reads far below the frost outside: no glass is so cold. */
static void air_astray(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    host_run(h, 1800); /* until the model has stepped */
    size_t from = h->count;
    h->sensors.house_c = -19.0;
    host_run(h, 180);
    check_value(h, "heater/command", "off");
    assert_true(host_blocked(h, "heater", "far from what the weather can make of it"));
    check_no_alarm(h, "heater");
    host_run(h, 600);
    check_alarm(h, from, "heater", "far from what the weather can make of it");
    h->sensors.house_c = 40.0; /* in January, in frost, overcast */
    host_run(h, 600);
    assert_true(host_blocked(h, "heater", "far from what the weather can make of it"));
    h->sensors.house_c = 1.6;
    host_run(h, 900);
    check_value(h, "heater/command", "on");
    check_no_alarm(h, "heater");
    host_end(h);
}

/* An open door is told after ten minutes on end while heat is needed, and not in a mild hour. */
static void open_door(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    h->sensors.house_c = 2.0;
    h->sensors.door = "open";
    host_run(h, 540);
    check_value(h, "heater/command", "off");
    check_no_alarm(h, "heater");
    host_run(h, 180);
    check_alarm(h, from, "heater", "door or window that must be shut is open. What to do: shut it.");
    h->sensors.door = "shut";
    host_run(h, 120);
    check_no_alarm(h, "heater");
    for (int i = 0; i < 20; i++) { /* people go in and out */
        h->sensors.door = i % 2 == 0 ? "open" : "shut";
        host_run(h, 300);
    }
    assert_int_equal(changes(h, from, "heater"), 2);
    h->sensors.house_c = 8.0;
    h->sensors.door = "open";
    host_run(h, 3600);
    check_no_alarm(h, "heater");
    host_end(h);
}

/* Readings of its air that part, then none at all: told, since frost is outside. */
static void blind_in_frost(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    h->sensors.house2_c = 9.0;
    host_run(h, 800);
    check_value(h, "heater/command", "off");
    check_alarm(h, from, "heater", "two readings of its air contradict each other");
    h->sensors.house2_c = h->sensors.house_c = NAN;
    host_run(h, 3600);
    check_alarm(h, from, "heater", "no fresh reading of the air");
    host_end(h);
}

/* The same in a mild spell, with a mild forecast: nobody needs the heater. */
static void blind_in_mild_weather(void **state)
{
    (void)state;
    host *h = host_start(HEATED);
    h->sensors = (sensors){9.0, NAN, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 60);
    host_forecast(h, 72, 10.0, 3.0);
    host_run(h, 2 * 3600);
    assert_true(host_blocked(h, "heater", "no fresh reading of the air"));
    check_no_alarm(h, "heater");
    host_end(h);
}

/* ---- the cloth ------------------------------------------------------------------------------- */

static host *begin_dusk(void)
{
    host *h = host_start(CLOTHED);
    h->sensors = (sensors){3.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, NULL, NULL, false};
    host_run(h, 30);
    host_forecast(h, 72, -1.0, 4.0);
    host_run(h, 2 * 3600);
    return h;
}

/* Steady for one sensor, while another feels the gusts: the stronger counts. */
static void gusts(void **state)
{
    (void)state;
    host *h = begin_dusk();
    size_t from = h->count;
    h->sensors.wind_ms = 6.0;
    for (int minute = 0; minute < 4 * 60; minute++) {
        host_say_number(h, "s/wind2", minute % 3 == 0 ? 10.0 : 6.0);
        host_run(h, 60);
    }
    assert_int_equal(commands(h, from, "d/set", "close"), 0);
    assert_true(host_blocked(h, "cloth", "wind is too strong"));
    check_alarm(h, from, "cloth", "wind is too strong");
    assert_int_equal(changes(h, from, "cloth"), 1);
    host_end(h);
}

static void winds_part(void **state)
{
    (void)state;
    host *h = begin_dusk();
    size_t from = h->count;
    for (int minute = 0; minute < 3 * 60; minute++) {
        host_say_number(h, "s/wind2", 8.0);
        host_run(h, 60);
    }
    assert_int_equal(commands(h, from, "d/set", "close"), 0);
    assert_true(host_blocked(h, "cloth", "two readings of the wind contradict"));
    check_alarm(h, from, "cloth", "two readings of the wind contradict");
    host_end(h);
}

static void wet_cloth_at_dusk(void **state)
{
    (void)state;
    host *h = begin_dusk();
    size_t from = h->count;
    h->sensors.rain_mm = 0.2;
    host_run(h, 3 * 3600);
    assert_int_equal(commands(h, from, "d/set", "close"), 0);
    check_alarm(h, from, "cloth", "the cloth is wet");
    h->sensors.roof_c = -1.0;
    host_run(h, 2 * 3600);
    check_alarm(h, from, "cloth", "the cloth may be frozen fast");
    host_end(h);
}

/* A gauge that is silent does not say that it is dry. */
static void a_cloth_of_which_nothing_is_known(void **state)
{
    (void)state;
    host *h = host_start(CLOTHED);
    h->sensors = (sensors){3.0, 6.0, NAN, 1.0, NAN, NAN, NULL, NULL, NULL, false};
    host_run(h, 60);
    host_forecast(h, 72, -1.0, 4.0);
    size_t from = h->count;
    host_run(h, 6 * 3600);
    assert_int_equal(commands(h, from, "d/set", "close"), 0);
    check_alarm(h, from, "cloth", "nothing is known of whether the cloth is dry");
    h->sensors.rain_mm = 0.0;
    host_run(h, 300);
    assert_true(commands(h, from, "d/set", "close") > 0);
    host_end(h);
}

/* ---- the garden's own readings --------------------------------------------------------------- */

static void far_from_the_forecast(void **state)
{
    (void)state;
    host *h = host_start(HEATED);
    h->sensors = (sensors){-8.0, 6.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 60);
    host_forecast(h, 72, 6.0, 0.0);
    host_run(h, 3600); /* its first hour is still ahead */
    size_t from = h->count;
    host_run(h, 3000);
    check_no_alarm(h, "forecast-parts");
    host_run(h, 1200);
    check_alarm(h, from, "forecast-parts", "far from the forecast for an hour");
    h->sensors.roof_c = -3.0; /* nine kelvins: not yet together */
    host_run(h, 7200);
    assert_int_equal(changes(h, from, "forecast-parts"), 1);
    h->sensors.roof_c = 1.0;
    host_run(h, 1500);
    assert_int_equal(changes(h, from, "forecast-parts"), 1);
    host_run(h, 900);
    check_no_alarm(h, "forecast-parts");
    host_end(h);
}

static void a_reading_that_stands_still(void **state)
{
    (void)state;
    host *h = host_start(HEATED);
    h->sensors = (sensors){3.0, NAN, NAN, NAN, NAN, NAN, "shut", NULL, NULL, false};
    host_run(h, 5 * 3600);
    check_no_alarm(h, "reading-stuck");
    host_run(h, 2 * 3600);
    check_alarm(h, 0, "reading-stuck", "The reading air has said the same");
    h->sensors.roof_c = 3.1;
    host_run(h, 3600);
    check_no_alarm(h, "reading-stuck");
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stuck_off),
        cmocka_unit_test(element_failed),
        cmocka_unit_test(stuck_on),
        cmocka_unit_test(no_warmth),
        cmocka_unit_test(a_heater_that_cannot_hold_the_night_is_believed),
        cmocka_unit_test(air_astray),
        cmocka_unit_test(open_door),
        cmocka_unit_test(blind_in_frost),
        cmocka_unit_test(blind_in_mild_weather),
        cmocka_unit_test(gusts),
        cmocka_unit_test(winds_part),
        cmocka_unit_test(wet_cloth_at_dusk),
        cmocka_unit_test(a_cloth_of_which_nothing_is_known),
        cmocka_unit_test(far_from_the_forecast),
        cmocka_unit_test(a_reading_that_stands_still),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
