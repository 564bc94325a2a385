/* SPDX-License-Identifier: MIT */
/* What a live garden keeps: a restart goes on where it stopped, and bad bytes do no harm. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "hub/host.h"
#include "hub/live.h"

#define BOG GARDEN_OF(GARDEN_READINGS, PLANT_BOG, "")

typedef struct saved {
    void *bytes;
    size_t size;
} saved;

static saved save(const host *h)
{
    saved s = {NULL, 0};
    assert_int_equal(h->module->save(h->engine, &s.bytes, &s.size), OW_OK);
    assert_true(s.size > 100);
    return s;
}

static host *begin(void)
{
    host *h = host_start(WHOLE_GARDEN);
    h->sensors = (sensors){2.0, 6.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    return h;
}

/* A new program on the kept state, some seconds later; the broker's messages live on. */
static host *restart(const char *garden, const host *old, const void *bytes, size_t size,
                     int64_t later_s)
{
    host *h = host_open(garden);
    h->now = old->now;
    h->now.utc_ms += later_s * 1000;
    h->now.boot_ms = BOOT_MS + (old->now.boot_ms - BOOT_MS + (uint64_t)later_s * 1000) % 60000;
    h->sensors = old->sensors;
    for (size_t i = 0; i < old->kept_count; i++) {
        host_keep(h, old->kept[i].topic, old->kept[i].text ? old->kept[i].text : "",
                  old->kept[i].size);
    }
    host_live(h, bytes, size);
    host_link(h, true);
    return h;
}

/* Saved at a half hour, started anew a minute later: the same temperatures as without. */
static void goes_on_as_if_nothing_had_been(void **state)
{
    (void)state;
    host *through = begin();
    for (int i = 0; i < 16; i++) {
        through->sensors.roof_c = 2.0 - 0.4 * i;
        host_run(through, 1800);
    }
    host_run(through, 120);
    saved s = save(through);
    host *anew = restart(WHOLE_GARDEN, through, s.bytes, s.size, 60);
    assert_int_equal(anew->reports, 0);
    host_run(through, 60);
    for (int i = 0; i < 8; i++) {
        host_run(through, 1800);
        host_run(anew, 1800);
    }
    static const char *const same[] = {"lemon/root-mean", "bog/root-mean", "fern/growing-point",
                                       "bog/ice-share", "lemon/ice-share"};
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        double a = strtod(host_value(through, same[i]), NULL);
        double b = strtod(host_value(anew, same[i]), NULL);
        /* the rows of the half hour of the restart lie a little differently */
        if (!(fabs(a - b) <= 0.05)) {
            fail_msg("%s: %.3f without, %.3f with a restart", same[i], a, b);
        }
    }
    check_value(anew, "lemon/state", host_value(through, "lemon/state"));
    free(s.bytes);
    host_end(anew);
    host_end(through);
}

/* A forecast 6 K too cold for a day: part of it is put to the next, and said, also after a
 * restart. */
static void what_was_learned_is_kept(void **state)
{
    (void)state;
    host *h = host_start(BOG);
    h->step_ms = 60000;
    h->sensors.roof_c = 5.0;
    host_forecast(h, 72, -1.0, 0.0);
    host_run(h, 24 * 3600);
    assert_true(host_heard(h, HEARD_LOG, "", "learned from readings") > 0);
    saved s = save(h);
    host *anew = restart(BOG, h, s.bytes, s.size, 60);
    host_run(h, 60);
    host *both[2] = {h, anew};
    for (int i = 0; i < 2; i++) {
        host_forecast(both[i], 72, -1.0, 3.0);
        host_run(both[i], 3600); /* a look takes its ticks */
    }
    const char *tonight = host_value(anew, "garden/tonight");
    assert_non_null(strstr(tonight, "K above the forecast, as learned here"));
    check_between("put right", strtod(strchr(tonight, '(') + 1, NULL), 0.5, 2.0);
    check_value(h, "garden/tonight", tonight);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

static void what_people_said_is_kept(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 60);
    host_say(h, ROOT "/lemon/wearing/set", "[\"fleece\"]");
    host_say(h, ROOT "/bog/place/set", "house");
    host_say(h, ROOT "/fern/seen/set", "regrowing");
    host_run(h, 60);
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 60);
    check_value(anew, "lemon/wearing", "[\"fleece\"]");
    check_value(anew, "bog/place", "house");
    check_value(anew, "fern/seen", "regrowing");
    host_run(anew, 60);
    check_value(anew, "lemon/wearing", "[\"fleece\"]");
    check_value(anew, "bog/place", "house");
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

/* A dry pot that was watered comes back moist, with its temperatures; and it is asked once. */
static void what_was_watered_is_kept(void **state)
{
    (void)state;
    static const char dry[] = GARDEN_OF(
        GARDEN_READINGS,
        "{\"id\":\"camellia\",\"taxon\":\"Camellia japonica\",\"place\":\"roof\",\"pot\":{"
        "\"diameter_mm\":300,\"depth_mm\":280,\"stands_on\":\"raised\",\"moisture\":\"dry\"}}," PLANT_BOG,
        "");
    host *h = host_start(dry);
    h->sensors.roof_c = 4.0;
    host_run(h, 60);
    host_forecast(h, 72, -14.0, 3.0);
    host_run(h, 600);
    assert_non_null(strstr(host_value(h, "garden/jobs"), "\"water\""));
    host_say(h, ROOT "/camellia/done/set", "{\"job\":\"water\",\"who\":\"ada\"}");
    host_run(h, 4 * 3600);
    assert_null(strstr(host_value(h, "garden/jobs"), "\"water\""));
    assert_true(h->engine->scene->cast->actor[0].watered);
    saved s = save(h);
    host *anew = restart(dry, h, s.bytes, s.size, 60);
    assert_int_equal(anew->reports, 0);
    assert_true(anew->engine->scene->cast->actor[0].watered);
    check_value(anew, "camellia/root-mean", host_value(h, "camellia/root-mean"));
    host_run(anew, 3600);
    assert_null(strstr(host_value(anew, "garden/jobs"), "\"water\""));
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

static void told_already_is_not_told_again(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 60);
    h->sensors.roof_c = -3.0;
    host_run(h, 300);
    h->sensors.roof_c = -9.0;
    for (int i = 0; i < 30; i++) {
        host_run(h, 3600);
    }
    assert_true(host_heard(h, HEARD_EVENT, NULL, "limit passed") > 0);
    assert_true(host_heard(h, HEARD_EVENT, NULL, "frozen through: ") > 0);
    char *was = host_copy(host_value(h, "lemon/state"), strlen(host_value(h, "lemon/state")));
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 60);
    host_run(anew, 2400);
    check_value(anew, "lemon/state", was);
    assert_int_equal(host_heard(anew, HEARD_EVENT, NULL, "state: "), 0);
    assert_int_equal(host_heard(anew, HEARD_EVENT, NULL, "job: "), 0);
    free(was);
    assert_int_equal(host_heard(anew, HEARD_EVENT, NULL, "limit passed"), 0);
    assert_int_equal(host_heard(anew, HEARD_EVENT, NULL, "frozen through: "), 0);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

/* A notice that stands is still on its topic after a restart, and is no news. */
static void notices_stand_and_are_no_news(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 60);
    host_forecast(h, 72, -10.0, 4.0);
    host_run(h, 120);
    char *was = host_copy(host_value(h, "household-bo/notice"),
                          strlen(host_value(h, "household-bo/notice")));
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 60);
    const char *now = host_value(anew, "household-bo/notice"); /* {"id":"...", */
    assert_non_null(now);
    assert_memory_equal(now, was, (size_t)(strchr(was, ',') - was));
    assert_non_null(strstr(now, "\"news\":false"));
    host_run(anew, 2);
    host_forecast(anew, 72, -10.0, 4.0);
    host_run(anew, 600);
    int told = 0;
    for (size_t i = 0; i < anew->count; i++) {
        told += strcmp(anew->heard[i].topic, ROOT "/household-bo/notice") == 0;
    }
    assert_int_equal(told, 1);
    free(was);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

static void latches_survive(void **state)
{
    (void)state;
    host *h = begin();
    h->sensors.house_c = 1.0;
    host_run(h, 300);
    uint64_t worth = h->module->save_worth(h->engine);
    host_say(h, ROOT "/garden/stop/set", "true");
    assert_true(h->module->save_worth(h->engine) != worth); /* the host knows that it must save */
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 60);
    host_run(anew, 600);
    assert_int_equal(host_heard(anew, HEARD_PUBLISH, "p/set", "on"), 0);
    assert_true(host_blocked(anew, "heater", "stopped it by hand"));
    assert_true(host_blocked(anew, "cloth", "stopped it by hand"));
    host_say(anew, ROOT "/heater/release/set", "ada");
    host_run(anew, 200);
    assert_true(host_heard(anew, HEARD_PUBLISH, "p/set", "on 60") > 0);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

/* Said before any sensor has spoken: it counts all the same, and is worth keeping at once. */
static void a_stop_before_the_first_reading_survives(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    check_value(h, "garden/stop", "false");
    host_run(h, 5);
    uint64_t at_once = h->module->save_at_once(h->engine);
    host_say(h, ROOT "/garden/stop/set", "true");
    assert_true(h->module->save_at_once(h->engine) != at_once);
    check_value(h, "garden/stop", "true");
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 60);
    assert_int_equal(anew->reports, 0);
    check_value(anew, "garden/stop", "true");
    anew->sensors = (sensors){2.0, 1.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(anew, 600);
    check_value(anew, "garden/stop", "true");
    check_value(anew, "lemon/state", "hold");
    assert_int_equal(host_heard(anew, HEARD_PUBLISH, "p/set", "on"), 0);
    assert_true(host_blocked(anew, "heater", "stopped it by hand"));
    host_say(anew, ROOT "/heater/release/set", "ada");
    host_say(anew, ROOT "/cloth/release/set", "ada");
    check_value(anew, "garden/stop", "false");
    host_run(anew, 200);
    assert_true(host_heard(anew, HEARD_PUBLISH, "p/set", "on 60") > 0);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

/* A heater that was on when the program died is sent off first. */
static void on_before_is_off_first(void **state)
{
    (void)state;
    host *h = begin();
    h->sensors.house_c = 1.0;
    host_run(h, 300);
    check_value(h, "heater/command", "on");
    double energy = strtod(host_value(h, "heater/energy"), NULL);
    assert_true(energy > 0.0);
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 5);
    host_run(anew, 2);
    size_t first = host_first(anew, "p/set", NULL);
    assert_true(first < anew->count);
    assert_string_equal(anew->heard[first].text, "off");
    assert_true(strtod(host_value(anew, "heater/energy"), NULL) >= energy - 0.001);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

static void nothing_kept_of_bad_bytes(void **state)
{
    (void)state;
    host *h = begin();
    h->sensors.house_c = 1.0;
    host_run(h, 4000);
    saved s = save(h);
    unsigned char *bytes = malloc(s.size);
    assert_non_null(bytes);
    static const struct {
        size_t at, cut;
        unsigned char flip;
        const char *says;
    } cases[] = {{0, 0, 1, "left unread"}, {40, 0, 4, "left unread"}, {0, 10, 0, "left unread"},
                 {0, 1, 0, "left unread"}, {8, 0, 64, "left unread"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        memcpy(bytes, s.bytes, s.size);
        bytes[cases[i].at] ^= cases[i].flip;
        host *anew = restart(WHOLE_GARDEN, h, bytes, s.size - cases[i].cut, 60);
        assert_true(anew->reports > 0);
        assert_non_null(strstr(anew->report, cases[i].says));
        check_value(anew, "lemon/state", "no reading");
        host_run(anew, 600);
        assert_true(strcmp(host_value(anew, "lemon/state"), "no reading") != 0);
        host_end(anew);
    }
    for (size_t at = 0; at < s.size; at += 61) { /* whatever is broken: no harm */
        memcpy(bytes, s.bytes, s.size);
        bytes[at] ^= (unsigned char)(1 + at % 255);
        host *anew = host_open(WHOLE_GARDEN);
        host_live(anew, bytes, s.size);
        assert_true(anew->reports > 0);
        host_end(anew);
    }
    free(bytes);
    free(s.bytes);
    host_end(h);
}

/* One plant less, one more, a cover less: what still fits goes on. */
static void an_edited_garden_keeps_what_fits(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 60);
    host_say(h, ROOT "/bog/place/set", "house");
    host_say(h, ROOT "/bog/seen/set", "dead");
    for (int i = 0; i < 6; i++) {
        host_run(h, 3600);
    }
    saved s = save(h);
    static const char edited[] =
        GARDEN_OF(GARDEN_READINGS,
                  "{\"id\":\"new\",\"taxon\":\"Citrus limon\",\"place\":\"roof\",\"pot\":"
                  "{\"diameter_mm\":300,\"depth_mm\":280}}," PLANT_BOG,
                  ",\"outputs\":[" HEATER "]");
    host *anew = restart(edited, h, s.bytes, s.size, 60);
    check_value(anew, "bog/place", "house");
    check_value(anew, "bog/seen", "dead");
    check_value(anew, "new/place", "roof");
    host_run(anew, 4000);
    assert_non_null(host_value(anew, "new/root-mean"));
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

/* A state kept under a clock that was ahead does not make the model wait for that time. */
static void a_state_of_the_future_goes_on_now(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 4 * 3600);
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, -10 * 86400);
    assert_non_null(strstr(anew->report, "later than the clock"));
    anew->sensors.roof_c = 6.0;
    host_run(anew, 3 * 3600);
    const heard *last = host_last(anew, HEARD_PUBLISH, ROOT "/lemon/root-mean");
    assert_non_null(last);
    assert_true(anew->now.utc_ms - last->utc_ms < 3600 * 1000);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

/* Away for two days without readings: the state of the plants is not vouched for at first. */
static void a_long_absence_is_no_reading_at_first(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 4 * 3600);
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 2 * 86400);
    host_run(anew, 1200);
    check_value(anew, "lemon/state", "no reading");
    assert_false(anew->module->busy(anew->engine));
    host_run(anew, 28 * 3600); /* a day of doubt, and two hours that a milder state must last */
    assert_string_not_equal(host_value(anew, "lemon/state"), "no reading");
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

static void saving_twice_gives_the_same_bytes(void **state)
{
    (void)state;
    host *h = begin();
    host_run(h, 4000);
    saved a = save(h), b = save(h);
    assert_int_equal(a.size, b.size);
    assert_memory_equal(a.bytes, b.bytes, a.size);
    free(a.bytes);
    free(b.bytes);
    host_end(h);
}

/* What a probe taught of a pot outlives the probe and the program. */
static void what_a_probe_taught_is_kept(void **state)
{
    (void)state;
    enum { THE_BOG = 1 };
    host *h = begin();
    for (int i = 0; i < 40; i++) {
        h->sensors.roof_c = 6.0 + 3.0 * cos((i - 3) * 0.2617993877991494);
        h->sensors.probe_c = 6.0 + 1.0 * cos((i - 8) * 0.2617993877991494);
        host_run(h, 3600);
    }
    double factor = ow_lags_factor(h->engine->live->lags, THE_BOG);
    assert_true(factor > 1.1); /* it swings by less than the tables have it */
    h->sensors.probe_c = NAN;
    host_run(h, 2 * 3600);
    assert_true(ow_lags_factor(h->engine->live->lags, THE_BOG) == factor);
    saved s = save(h);
    host *anew = restart(WHOLE_GARDEN, h, s.bytes, s.size, 60);
    assert_true(ow_lags_factor(anew->engine->live->lags, THE_BOG) == factor);
    assert_true(anew->engine->scene->cast->actor[THE_BOG].side_factor == factor);
    free(s.bytes);
    host_end(anew);
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(goes_on_as_if_nothing_had_been),
        cmocka_unit_test(what_was_learned_is_kept),
        cmocka_unit_test(what_people_said_is_kept),
        cmocka_unit_test(what_was_watered_is_kept),
        cmocka_unit_test(told_already_is_not_told_again),
        cmocka_unit_test(notices_stand_and_are_no_news),
        cmocka_unit_test(latches_survive),
        cmocka_unit_test(a_stop_before_the_first_reading_survives),
        cmocka_unit_test(on_before_is_off_first),
        cmocka_unit_test(nothing_kept_of_bad_bytes),
        cmocka_unit_test(an_edited_garden_keeps_what_fits),
        cmocka_unit_test(a_state_of_the_future_goes_on_now),
        cmocka_unit_test(a_long_absence_is_no_reading_at_first),
        cmocka_unit_test(what_a_probe_taught_is_kept),
        cmocka_unit_test(saving_twice_gives_the_same_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
