/* SPDX-License-Identifier: MIT */
/*
 * Outputs from the readings on the broker to the commands on the broker: a heater and a cloth
 * drive under a fake station, each interlock by the message that trips it.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>

#include "hub/host.h"

#define POWER_READING                                                                              \
    ",{\"id\":\"watts\",\"measures\":\"power\",\"topic\":\"p/watts\",\"unit\":\"W\"}"
#define END_READINGS                                                                               \
    ",{\"id\":\"closed\",\"measures\":\"contact\",\"topic\":\"s/closed\",\"open\":\"away\","       \
    "\"shut\":\"there\"},{\"id\":\"opened\",\"measures\":\"contact\",\"topic\":\"s/open\","        \
    "\"open\":\"away\",\"shut\":\"there\"}"
#define OUTPUTS(list) ",\"outputs\":[" list "]"
#define HEATED GARDEN_OF(GARDEN_READINGS, PLANT_BOG, OUTPUTS(HEATER))
#define METERED                                                                                    \
    GARDEN_OF(GARDEN_READINGS POWER_READING, PLANT_BOG,                                            \
              OUTPUTS("{" HEATER_KEYS ",\"power\":\"watts\",\"cautions_read\":true}"))
#define CLOTHED GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG, OUTPUTS(DRIVE))

/* The house at so many degrees, the door shut, and no reason against heating. */
static host *begin(const char *garden, double house_c)
{
    host *h = host_start(garden);
    h->sensors = (sensors){4.0, house_c, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 300);
    return h;
}

static host *begin_heating(const char *garden)
{
    host *h = begin(garden, 1.0);
    check_value(h, "heater/command", "on");
    check_value(h, "heater/blocked-by", "[]");
    return h;
}

/* The heater goes off within so many seconds, and says why. */
static void check_goes_off(host *h, int within_s, const char *why)
{
    size_t from = h->count;
    host_run(h, within_s);
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off") > 0);
    check_value(h, "heater/command", "off");
    if (!host_blocked(h, "heater", why)) {
        fail_msg("blocked by %s, want \"%s\"", host_value(h, "heater/blocked-by"), why);
    }
}

/* It was off all the time, and comes on again within so many seconds. */
static void check_comes_on(host *h, int within_s)
{
    size_t from = h->count;
    host_run(h, within_s);
    if (host_heard_from(h, from, HEARD_PUBLISH, "p/set", "on 60") == 0) {
        fail_msg("still off; blocked by %s", host_value(h, "heater/blocked-by"));
    }
}

static void check_stays_off(host *h, int seconds)
{
    size_t from = h->count;
    host_run(h, seconds);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "on"), 0);
}

/* ---- the heater ------------------------------------------------------------------------------ */

static void heats_when_cold_and_stops_when_warm(void **state)
{
    (void)state;
    host *h = begin(HEATED, 6.0);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "p/set", "on"), 0);
    check_value(h, "heater/would-switch", "off");
    h->sensors.house_c = 3.2; /* above what is kept */
    check_stays_off(h, 900);
    h->sensors.house_c = 2.9;
    check_comes_on(h, 120);
    check_value(h, "heater/would-switch", "on");
    size_t from = h->count;
    uint64_t last_ms = host_last(h, HEARD_PUBLISH, "p/set")->boot_ms;
    host_run(h, 600);
    int renewals = 0;
    for (size_t i = from; i < h->count; i++) {
        const heard *one = &h->heard[i];
        if (one->kind == HEARD_PUBLISH && strcmp(one->topic, "p/set") == 0) {
            assert_string_equal(one->text, "on 60"); /* {seconds} is the lease */
            assert_false(one->retain);
            assert_in_range(one->boot_ms - last_ms, 19000, 21000); /* a third of 60 s */
            last_ms = one->boot_ms;
            renewals++;
        }
    }
    assert_in_range(renewals, 28, 31);
    h->sensors.house_c = 3.3; /* within the band: stays on */
    from = h->count;
    host_run(h, 300);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 0);
    h->sensors.house_c = 3.6;
    host_run(h, 120);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 1);
    check_value(h, "heater/command", "off");
    host_end(h);
}

/* Some plugs want the span twice, as JSON for one. */
static void every_span_is_filled_in(void **state)
{
    (void)state;
    static const char once[] = "on {seconds}", heated[] = HEATED;
    char garden[sizeof heated + 40];
    const char *at = strstr(heated, once);
    snprintf(garden, sizeof garden, "%.*son {seconds}, {seconds}, then {seconds}%s",
             (int)(at - heated), heated, at + strlen(once));
    host *h = begin_heating(garden);
    assert_true(host_heard(h, HEARD_PUBLISH, "p/set", "on 60, 60, then 60") > 0);
    host_end(h);
}

static void waits_a_minute_after_the_start(void **state)
{
    (void)state;
    host *h = host_start(HEATED);
    h->sensors = (sensors){4.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 3);
    assert_true(host_heard(h, HEARD_PUBLISH, "p/set", "off") > 0); /* off first of all */
    check_stays_off(h, 56);
    assert_true(host_blocked(h, "heater", "has just started"));
    check_comes_on(h, 90);
    host_end(h);
}

static void door(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    h->step_ms = 10; /* at the next tick, whenever that is */
    host_tick(h);
    size_t from = h->count;
    host_say(h, "s/door", "open");
    h->sensors.door = "open";
    host_tick(h);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 1);
    h->step_ms = 980;
    host_tick(h);
    h->step_ms = 1000;
    assert_true(host_blocked(h, "heater", "is open"));
    check_stays_off(h, 600);
    h->sensors.door = "shut";
    check_comes_on(h, 150);
    h->sensors.door = NULL; /* falls silent: after a while nobody knows */
    host_run(h, 3600);
    check_value(h, "heater/command", "off");
    assert_true(host_blocked(h, "heater", "has not said whether it is"));
    host_end(h);
}

static void stale_air(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    h->sensors.house_c = NAN; /* stale after 30 minutes unless the garden file says otherwise */
    size_t from = h->count;
    host_run(h, 1700);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 0);
    check_goes_off(h, 200, "no fresh reading of the air");
    check_stays_off(h, 600);
    h->sensors.house_c = 1.0;
    check_comes_on(h, 200);
    host_end(h);
}

static void contradictory_air(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    h->sensors.house2_c = 9.0;
    check_goes_off(h, 62, "contradict");
    check_stays_off(h, 600);
    h->sensors.house2_c = 1.4;
    /* 9 to 1.4 is no change of air and waits for a second message; then two minutes apart */
    check_comes_on(h, 400);
    host_end(h);
}

static void too_warm(void **state)
{
    (void)state;
    host *h = begin(HEATED, 19.0);
    h->sensors.house_c = 20.5;
    host_run(h, 62);
    assert_true(host_blocked(h, "heater", "too warm"));
    host_end(h);
}

static void stored_readings_never_arm(void **state)
{
    (void)state;
    host *h = host_start(HEATED);
    h->sensors = (sensors){4.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, true};
    check_stays_off(h, 1200);
    assert_true(host_blocked(h, "heater", "no fresh reading of the air"));
    assert_true(host_blocked(h, "heater", "has not said whether it is"));
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "p/set", "on"), 0);
    h->sensors.stored = false;
    check_comes_on(h, 200);
    host_end(h);
}

static void disconnected(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    size_t from = h->count;
    host_link(h, false);
    host_run(h, 30);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, NULL, ""), 0);
    from = h->count;
    host_link(h, true);
    host_run(h, 2);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 1);
    check_comes_on(h, 200);
    host_link(h, false);
    host_run(h, 7200); /* host_end sees to it that nothing was said meanwhile */
    host_link(h, true);
    from = h->count;
    host_run(h, 3);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "on"), 0);
    host_end(h);
}

/* A wall clock that jumps, told by a tick or by a message that comes before it. */
static void clock_jump_by(int64_t jump_ms, bool by_message)
{
    host *h = begin_heating(HEATED);
    host_run(h, 30); /* half a minute before the sensors speak again */
    h->now.utc_ms += jump_ms;
    if (by_message) {
        host_say(h, "s/nobody", "1");
    }
    check_goes_off(h, 2, "the clock jumped");
    assert_int_equal(host_heard(h, HEARD_LOG, NULL, "the clock jumped"), 1);
    check_stays_off(h, 20);
    check_comes_on(h, 200); /* with fresh readings */
    host_end(h);
}

static void clock_jump(void **state)
{
    (void)state;
    clock_jump_by(3600000, false);
    clock_jump_by(3600000, true);
    clock_jump_by(-3600000, false);
    clock_jump_by(-3600000, true);
    host *h = begin_heating(HEATED); /* a clock that is set right a little is none */
    size_t from = h->count;
    h->now.utc_ms += 30000;
    host_run(h, 120);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 0);
    host_end(h);
}

static void held_up(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    host_run(h, 30);
    h->now.boot_ms += 45000;
    h->now.utc_ms += 45000;
    check_goes_off(h, 2, "held up");
    check_comes_on(h, 300);
    host_end(h);
}

static void reported_disagrees(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    h->plug.always = "off"; /* somebody pressed its button, or it is dead */
    check_goes_off(h, 60, "says that it is off");
    h->plug.always = NULL;
    check_comes_on(h, 900);
    h->sensors.house_c = 5.0;
    h->plug.always = "on";
    host_run(h, 180);
    assert_true(host_blocked(h, "heater", "sent off but says that it is on"));
    assert_non_null(host_value(h, "$alert/heater"));
    size_t from = h->count;
    host_run(h, 60); /* off is said again until it is so */
    assert_in_range(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 5, 7);
    host_end(h);
}

static void not_reported(void **state)
{
    (void)state;
    host *h = host_start(HEATED);
    h->sensors = (sensors){4.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    h->plug.silent = true;
    check_stays_off(h, 600);
    assert_true(host_blocked(h, "heater", "has not said whether it is on or off"));
    host_say(h, "p/state", "perhaps");
    check_stays_off(h, 600);
    h->plug.silent = false;
    check_comes_on(h, 120);
    host_end(h);
}

static void power_disagrees(void **state)
{
    (void)state;
    host *h = host_start(METERED);
    h->sensors = (sensors){4.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    h->plug.watts = 980.0;
    host_run(h, 300);
    check_value(h, "heater/command", "on");
    h->plug.watts = 5.0; /* its own thermostat opened */
    check_goes_off(h, 120, "draws little power");
    h->plug.watts = 980.0;
    check_comes_on(h, 900);
    h->plug.watts = 3000.0;
    check_goes_off(h, 120, "far more power");
    h->plug.watts = 980.0;
    host_run(h, 120);
    assert_true(host_blocked(h, "heater", "far more power")); /* until a person has looked */
    host_say(h, ROOT "/heater/release/set", "ada");
    check_comes_on(h, 400);
    h->sensors.house_c = 5.0;
    h->plug.leak_w = 900.0; /* a relay that is welded shut */
    host_run(h, 300);
    assert_true(host_blocked(h, "heater", "sent off but still draws power"));
    h->plug.watts = NAN;
    host_run(h, 3600);
    assert_true(host_blocked(h, "heater", "no fresh reading of the power"));
    host_end(h);
}

static void energy_is_counted(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    h->sensors.house_c = 1.6; /* it warms */
    double before = strtod(host_value(h, "heater/energy"), NULL);
    host_run(h, 3600);
    double after = strtod(host_value(h, "heater/energy"), NULL);
    assert_true(after - before > 0.998 && after - before < 1.002); /* 1000 W for an hour */
    host_end(h);
}

static void runs_no_longer_than_it_may(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    h->sensors.house_c = 1.6; /* it warms */
    host_run(h, 180 * 60 - 320);
    check_value(h, "heater/command", "on");
    int seconds = 0;
    while (host_value(h, "heater/command")[1] == 'n') {
        host_run(h, 1);
        assert_true(++seconds < 320);
    }
    assert_true(host_blocked(h, "heater", "as long as it may"));
    check_stays_off(h, 295);
    check_comes_on(h, 20);
    host_end(h);
}

static void stop_of_the_module_is_off_first(void **state)
{
    (void)state;
    host *h = begin_heating(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG,
                                      OUTPUTS(HEATER "," DRIVE)));
    size_t from = h->count;
    assert_int_equal(h->module->stop(h->engine, h->now), OW_OK);
    assert_string_equal(h->heard[from].topic, "p/set"); /* before anything else is said */
    assert_string_equal(h->heard[from].text, "off");
    assert_false(h->heard[from].retain);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "d/set", "stop"), 1);
    assert_string_equal(h->heard[h->count - 1].text, "disconnected");
    host_end(h);
}

/* ---- what is never commanded ----------------------------------------------------------------- */

static void check_only_rehearsed(host *h, const char *why)
{
    h->sensors = (sensors){4.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 900);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "p/set", ""), 0);
    check_value(h, "heater/would-switch", "on");
    assert_null(host_value(h, "heater/command"));
    assert_true(host_blocked(h, "heater", why));
    h->sensors.house_c = 5.0;
    host_run(h, 300);
    check_value(h, "heater/would-switch", "off");
    host_say(h, ROOT "/garden/stop/set", "true");
    host_run(h, 5);
    host_link(h, false);
    host_link(h, true);
    host_run(h, 5);
    assert_int_equal(h->module->stop(h->engine, h->now), OW_OK);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "p/set", ""), 0);
    host_end(h);
}

static void cautions_not_read(void **state)
{
    (void)state;
    check_only_rehearsed(host_start(GARDEN_OF(GARDEN_READINGS, PLANT_BOG,
                                              OUTPUTS("{" HEATER_KEYS "}"))),
                         "cautions");
}

static void host_that_cannot_promise(void **state)
{
    (void)state;
    host *h = host_open(HEATED);
    h->module->close(h->engine); /* and open anew on a host that cannot switch off */
    h->door.can_switch_off = false;
    ow_report report = {.line = host_report, .self = h};
    assert_int_equal(h->module->open(&h->door, "g", HEATED, strlen(HEATED), NULL, &report,
                                     &h->engine),
                     OW_OK);
    host_live(h, NULL, 0);
    host_link(h, true);
    check_only_rehearsed(h, "cannot promise");
}

/* ---- circuits -------------------------------------------------------------------------------- */

static void circuit_is_not_overrun(void **state)
{
    (void)state;
    static const char garden[] =
        "{" GARDEN_SITE "\"readings\":[" GARDEN_READINGS "]," GARDEN_FORECAST GARDEN_PLACES
        "\"plants\":[" PLANT_BOG "],\"circuits\":[{\"id\":\"ring\",\"max_watts\":1500}],"
        "\"outputs\":["
        "{\"id\":\"one\",\"kind\":\"heater\",\"place\":\"house\",\"watts\":1000,"
        "\"keep_air_above_c\":3,\"topic\":\"one/set\",\"on\":\"on\",\"off\":\"off\","
        "\"lease_s\":60,\"off_by_itself_s\":120,\"shortest_on_min\":1,\"shortest_off_min\":1,"
        "\"longest_run_min\":20,\"circuit\":\"ring\",\"cautions_read\":true},"
        "{\"id\":\"two\",\"kind\":\"heater\",\"place\":\"house\",\"watts\":1000,"
        "\"keep_air_above_c\":3,\"topic\":\"two/set\",\"on\":\"on\",\"off\":\"off\","
        "\"lease_s\":60,\"off_by_itself_s\":120,\"shortest_on_min\":1,\"shortest_off_min\":1,"
        "\"longest_run_min\":20,\"circuit\":\"ring\",\"cautions_read\":true}]}";
    host *h = begin(garden, 1.0);
    host_run(h, 7200);
    bool on[2] = {false, false};
    int turns[2] = {0, 0};
    for (size_t i = 0; i < h->count; i++) {
        const heard *one = &h->heard[i];
        int which = strcmp(one->topic, "one/set") == 0 ? 0 : strcmp(one->topic, "two/set") ? -1 : 1;
        if (one->kind == HEARD_PUBLISH && which >= 0) {
            bool now_on = strcmp(one->text, "on") == 0;
            turns[which] += now_on && !on[which];
            on[which] = now_on;
            assert_false(on[0] && on[1]);
        }
    }
    assert_true(turns[0] > 0 && turns[1] > 0);
    host_end(h);
}

/* ---- the cloth ------------------------------------------------------------------------------- */

static bool only_on_its_way(const host *h, size_t from, const char *other)
{
    return host_heard_from(h, from, HEARD_PUBLISH, "d/set", other) == 0;
}

/* Closed at dusk before a night of frost, still through the night, open in the morning. */
static void cloth_closes_at_dusk_and_opens_in_the_morning(void **state)
{
    (void)state;
    host *h = host_start(CLOTHED);
    h->sensors = (sensors){3.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, NULL, NULL, false};
    host_run(h, 30);
    host_forecast(h, 36, -1.0, 4.0);
    host_run(h, 1800 - 30); /* 12:30 UTC: day, so open it shall be */
    check_value(h, "cloth/position", "0");
    check_value(h, "cloth/position/$target", "0");
    size_t noon = h->count;
    host_run(h, 2 * 3600); /* to 14:30, through four times of judging */
    assert_int_equal(host_heard_from(h, noon, HEARD_PUBLISH, "d/set", ""), 0);
    host_run(h, 3 * 3600); /* 17:30: dark */
    check_value(h, "cloth/position", "100");
    check_value(h, "cloth/position/$target", "100");
    assert_true(only_on_its_way(h, noon, "open"));
    assert_int_equal(host_heard_from(h, noon, HEARD_PUBLISH, "d/set", "stop") > 0, 1);
    size_t night = h->count;
    host_run(h, 12 * 3600); /* 05:30 */
    assert_int_equal(host_heard_from(h, night, HEARD_PUBLISH, "d/set", ""), 0);
    host_run(h, 4 * 3600);
    check_value(h, "cloth/position", "0");
    assert_true(only_on_its_way(h, night, "close"));
    host_end(h);
}

/* Frost tonight counts although the coldest hour foreseen lies further ahead. */
static void cloth_closes_for_the_first_of_two_frosts(void **state)
{
    (void)state;
    host *h = host_start(CLOTHED);
    h->sensors = (sensors){3.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, NULL, NULL, false};
    host_run(h, 30);
    char text[6000];
    int used = sprintf(text, "{\"h\":[");
    for (int i = 1; i <= 72; i++) { /* each night colder than the one before */
        int air_c = i % 24 > 8 && i % 24 < 20 ? -2 - i / 24 : 4;
        used += sprintf(text + used, "%s{\"t\":%lld,\"a\":%d}", i > 1 ? "," : "",
                        (long long)(NOON_MS / 1000 + i * 3600), air_c);
    }
    strcpy(text + used, "]}");
    host_say(h, "w/f", text);
    host_run(h, 6 * 3600);
    check_value(h, "cloth/position", "100");
    host_end(h);
}

/* The target is what was commanded, told before the cloth moves; the value follows. */
static void target_goes_before_the_value(void **state)
{
    (void)state;
    host *h = host_start(CLOTHED);
    h->sensors = (sensors){3.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, NULL, NULL, false};
    host_run(h, 30);
    host_forecast(h, 72, -1.0, 4.0);
    host_run(h, 1770);
    size_t from = h->count;
    host_run(h, 5 * 3600);
    size_t command = h->count, target = h->count, end = h->count;
    for (size_t i = from; i < h->count; i++) {
        const heard *one = &h->heard[i];
        if (strcmp(one->topic, "d/set") == 0 && strcmp(one->text, "close 20") == 0) {
            command = i < command ? i : command;
        }
        if (strcmp(one->topic, ROOT "/cloth/position/$target") == 0) {
            assert_string_equal(one->text, "100");
            assert_true(one->retain);
            target = i < target ? i : target;
        }
        if (strcmp(one->topic, ROOT "/cloth/position") == 0 && strcmp(one->text, "100") == 0) {
            end = i < end ? i : end;
        }
    }
    assert_true(command < h->count && command < target && target < end && end < h->count);
    host_end(h);
}

static void cloth_stays_in_wind_and_wet(void **state)
{
    (void)state;
    host *h = host_start(CLOTHED);
    h->sensors = (sensors){3.0, 6.0, NAN, 12.0, 0.0, NAN, NULL, NULL, NULL, false};
    host_run(h, 30);
    host_forecast(h, 72, -1.0, 4.0);
    host_run(h, 6 * 3600);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "d/set", "close"), 0);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "d/set", "open"), 0);
    assert_true(host_blocked(h, "cloth", "wind is too strong"));
    h->sensors.wind_ms = NAN;
    host_run(h, 3600);
    assert_true(host_blocked(h, "cloth", "no fresh reading of the wind"));
    h->sensors.wind_ms = 1.0;
    h->sensors.rain_mm = 0.2;
    host_run(h, 3600);
    assert_true(host_blocked(h, "cloth", "wet"));
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "d/set", "close"), 0);
    h->sensors.rain_mm = 0.0;
    host_run(h, 2 * 3600);
    assert_true(host_heard(h, HEARD_PUBLISH, "d/set", "close 20") > 0);
    host_end(h);
}

static void cloth_that_does_not_arrive(void **state)
{
    (void)state;
    host *h = host_start(GARDEN_OF(
        GARDEN_READINGS END_READINGS, PLANT_LEMON "," PLANT_BOG,
        OUTPUTS("{" DRIVE_KEYS ",\"closed_end\":\"closed\",\"open_end\":\"opened\","
                "\"cautions_read\":true}")));
    h->sensors = (sensors){3.0, 6.0, NAN, 1.0, 0.0, NAN, NULL, "away", "there", false};
    host_run(h, 30);
    host_forecast(h, 72, -1.0, 4.0);
    host_run(h, 3 * 3600);
    check_value(h, "cloth/position", "0");
    h->sensors.open_end = "away"; /* it sets out at dusk and jams */
    host_run(h, 3 * 3600);
    assert_true(host_blocked(h, "cloth", "did not reach its end"));
    assert_non_null(host_value(h, "$alert/cloth"));
    assert_string_equal(host_last(h, HEARD_PUBLISH, "d/set")->text, "stop");
    h->sensors.closed_end = "there";
    h->sensors.open_end = "there";
    host_run(h, 120);
    assert_true(host_blocked(h, "cloth", "both of its end contacts"));
    host_end(h);
}

/* What was on when the program was killed is told off also by one that is stopped at once. */
static void told_off_by_one_that_is_stopped_at_once(void **state)
{
    (void)state;
    host *h = begin_heating(HEATED);
    void *state_kept;
    size_t size;
    assert_int_equal(h->module->save(h->engine, &state_kept, &size), OW_OK);
    host *anew = host_open(HEATED);
    host_live(anew, state_kept, size);
    host_link(anew, true);
    assert_int_equal(anew->module->stop(anew->engine, anew->now), OW_OK);
    assert_int_equal(host_heard(anew, HEARD_PUBLISH, "p/set", "off"), 1);
    free(state_kept);
    host_end(anew);
    host_end(h);
}

/* ---- the guard's view ------------------------------------------------------------------------ */

static void offs_for_the_guard(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    ow_off off;
    assert_int_equal(h->module->off_count(h->engine), 2);
    h->module->off(h->engine, 0, &off);
    assert_string_equal(off.id, "heater");
    assert_string_equal(off.topic, "p/set");
    assert_string_equal(off.payload, "off");
    assert_string_equal(off.reported_topic, "p/state");
    assert_string_equal(off.reported_off, "off");
    h->module->off(h->engine, 1, &off);
    assert_string_equal(off.payload, "stop");
    assert_null(off.reported_topic);
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heats_when_cold_and_stops_when_warm),
        cmocka_unit_test(every_span_is_filled_in),
        cmocka_unit_test(waits_a_minute_after_the_start),
        cmocka_unit_test(door),
        cmocka_unit_test(stale_air),
        cmocka_unit_test(contradictory_air),
        cmocka_unit_test(too_warm),
        cmocka_unit_test(stored_readings_never_arm),
        cmocka_unit_test(disconnected),
        cmocka_unit_test(clock_jump),
        cmocka_unit_test(held_up),
        cmocka_unit_test(reported_disagrees),
        cmocka_unit_test(not_reported),
        cmocka_unit_test(power_disagrees),
        cmocka_unit_test(energy_is_counted),
        cmocka_unit_test(runs_no_longer_than_it_may),
        cmocka_unit_test(stop_of_the_module_is_off_first),
        cmocka_unit_test(cautions_not_read),
        cmocka_unit_test(host_that_cannot_promise),
        cmocka_unit_test(circuit_is_not_overrun),
        cmocka_unit_test(cloth_closes_at_dusk_and_opens_in_the_morning),
        cmocka_unit_test(cloth_closes_for_the_first_of_two_frosts),
        cmocka_unit_test(target_goes_before_the_value),
        cmocka_unit_test(cloth_stays_in_wind_and_wet),
        cmocka_unit_test(cloth_that_does_not_arrive),
        cmocka_unit_test(told_off_by_one_that_is_stopped_at_once),
        cmocka_unit_test(offs_for_the_guard),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
