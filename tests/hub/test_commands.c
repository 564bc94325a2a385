/* SPDX-License-Identifier: MIT */
/* What people and the hub may say: good payloads act and are reflected, bad ones change nothing. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>

#include "hub/engine.h"
#include "garden/json_text.h"
#include "hub/host.h"

/* A garden at 4 C and judged, all readings fresh. */
static host *begin(void)
{
    host *h = host_start(WHOLE_GARDEN);
    h->sensors = (sensors){4.0, 6.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 120);
    return h;
}

/* All that the broker keeps, as one text, but for what moves by itself. */
static char *snapshot_of(const host *h)
{
    size_t used = 0, room = 200000;
    char *all = malloc(room);
    assert_non_null(all);
    all[0] = '\0';
    for (size_t i = 0; i < h->kept_count; i++) {
        used += (size_t)snprintf(all + used, room - used, "%s=%s\n", h->kept[i].topic,
                                 h->kept[i].text ? h->kept[i].text : "");
    }
    return all;
}

/* Refused: one line for the log that names topic, value and what is allowed; nothing else. */
static void check_refused(host *h, const char *below, const void *bytes, size_t size,
                          bool retained, const char *shown, const char *allowed)
{
    char topic[200];
    snprintf(topic, sizeof topic, ROOT "/%s/set", below);
    char *before = snapshot_of(h);
    uint64_t worth = h->module->save_worth(h->engine);
    size_t from = h->count;
    host_say_bytes(h, topic, bytes, size, retained);
    (void)host_settle(h);
    char *after = snapshot_of(h);
    assert_string_equal(after, before);
    free(before);
    free(after);
    assert_true(h->module->save_worth(h->engine) == worth);
    assert_int_equal(host_heard_from(h, from, HEARD_EVENT, NULL, ""), 0);
    assert_int_equal(host_heard_from(h, from, HEARD_LOG, NULL, ""), 1);
    const heard *line = host_last(h, HEARD_LOG, "");
    if (strstr(line->text, topic) == NULL || strstr(line->text, shown) == NULL ||
        strstr(line->text, allowed) == NULL || strchr(line->text, '\n') != NULL) {
        fail_msg("%s: the log says \"%s\", wanted are \"%s\" and \"%s\"", topic, line->text, shown,
                 allowed);
    }
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/$log/warn", topic), 1);
}

static void refuse_text(host *h, const char *below, const char *text, const char *allowed)
{
    check_refused(h, below, text, strlen(text), false, text[0] ? "refused" : "\"\"", allowed);
}

static const char *const settable[] = {"lemon/place", "lemon/wearing", "lemon/done",
                                       "lemon/seen",  "heater/release", "cloth/release",
                                       "garden/stop", "household-ada/noticed"};
enum { SETTABLE = sizeof settable / sizeof settable[0] };

static void bad_bytes_are_refused_everywhere(void **state)
{
    (void)state;
    host *h = begin();
    char *longer = malloc(5000);
    assert_non_null(longer);
    memset(longer, 'x', 5000);
    for (int i = 0; i < SETTABLE; i++) {
        check_refused(h, settable[i], "", 0, false, "\"\"", "");
        check_refused(h, settable[i], "\0", 1, false, "\"\"", "");
        check_refused(h, settable[i], longer, 5000, false, "5000 bytes", "4096");
        check_refused(h, settable[i], "ho\0use", 6, false, "6 bytes", "text");
        check_refused(h, settable[i], "\0\0", 2, false, "2 bytes", "text");
        check_refused(h, settable[i], "ad\xc3", 3, false, "3 bytes", "UTF-8");
        check_refused(h, settable[i], "\xed\xa0\x80", 3, false, "3 bytes", "UTF-8");
        check_refused(h, settable[i], "[\"fleece\"]", 10, true, "retained", "unretained");
        check_refused(h, settable[i], "true", 4, true, "retained", "unretained");
        check_refused(h, settable[i], "ada", 3, true, "retained", "unretained");
    }
    free(longer);
    /* a foreign text cannot write lines of its own into the log */
    refuse_text(h, "lemon/place", "house\nall is well", "roof, house");
    refuse_text(h, "lemon/seen", "\x1b[2J", "alive");
    host_end(h);
}

static void bad_words_are_refused(void **state)
{
    (void)state;
    host *h = begin();
    refuse_text(h, "lemon/place", "cellar", "roof, house");
    refuse_text(h, "lemon/place", "House", "roof, house");
    refuse_text(h, "lemon/place", " house", "roof, house");
    refuse_text(h, "lemon/place", "house ", "roof, house");
    refuse_text(h, "lemon/place", "\"house\"", "roof, house");
    refuse_text(h, "fern/place", "house", "bed");
    refuse_text(h, "lemon/wearing", "fleece", "JSON list");
    refuse_text(h, "lemon/wearing", "{}", "JSON list");
    refuse_text(h, "lemon/wearing", "\"fleece\"", "JSON list");
    refuse_text(h, "lemon/wearing", "[\"fleece\"", "JSON list");
    refuse_text(h, "lemon/wearing", "[\"fleece\"] x", "JSON list");
    refuse_text(h, "lemon/wearing", "[\"felt\"]", "garden file");
    refuse_text(h, "lemon/wearing", "[1]", "garden file");
    refuse_text(h, "lemon/wearing", "[null]", "garden file");
    refuse_text(h, "lemon/wearing", "[[\"fleece\"]]", "garden file");
    refuse_text(h, "lemon/wearing", "[\"fleece\",\"fleece\"]", "twice");
    refuse_text(h, "lemon/done", "cover", "\"job\" and \"who\"");
    refuse_text(h, "lemon/done", "{\"job\":\"cover\"}", "\"job\" and \"who\"");
    refuse_text(h, "lemon/done", "{\"job\":1,\"who\":\"ada\"}", "\"job\" and \"who\"");
    refuse_text(h, "lemon/done", "{\"job\":\"cover\",\"who\":\"\"}", "\"job\" and \"who\"");
    refuse_text(h, "lemon/done", "[\"cover\",\"ada\"]", "\"job\" and \"who\"");
    refuse_text(h, "lemon/seen", "Alive", "alive, regrowing or dead");
    refuse_text(h, "lemon/seen", "gone", "alive, regrowing or dead");
    refuse_text(h, "garden/stop", "false", "true");
    refuse_text(h, "garden/stop", "1", "true");
    refuse_text(h, "household-ada/noticed", "nothing", "no such notice");
    host_end(h);
}

static void nothing_heard_yet_refuses_kindly(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    refuse_text(h, "lemon/place", "house", "no reading has come in");
    refuse_text(h, "lemon/wearing", "[]", "no reading has come in");
    host_end(h);
}

static void other_topics_are_no_commands(void **state)
{
    (void)state;
    host *h = begin();
    char *before = snapshot_of(h);
    host_say(h, ROOT "/lemon/state/set", "hold");
    host_say(h, ROOT "/lemon/place", "house");
    host_say(h, ROOT "/garden/beat/set", "1");
    host_say(h, ROOT "/cloth/position/set", "100");
    host_say(h, "homie/5/other/lemon/place/set", "house");
    host_say_bytes(h, "s/air", NULL, 0, false); /* an emptied topic is not a reading either */
    host_say_bytes(h, "p/state", NULL, 0, false);
    host_say_bytes(h, "w/f", NULL, 0, false);
    char *after = snapshot_of(h);
    assert_string_equal(before, after);
    free(before);
    free(after);
    host_end(h);
}

/* Who says it stands in the event; what is so already is shown again, for who waits for an answer. */
static void who_says_it_is_told(void **state)
{
    (void)state;
    host *h = begin();
    const ow_message m = {.topic = ROOT "/lemon/place/set", .payload = "house", .size = 5,
                          .who = "ada"};
    for (int i = 0; i < 2; i++) {
        size_t from = h->count;
        assert_int_equal(h->module->message(h->engine, h->now, &m), OW_OK);
        assert_int_equal(host_heard_from(h, from, HEARD_EVENT, "lemon", "moved: house, by ada"), 1);
        assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/lemon/place", "house"), 1);
    }
    /* a longer name is cut, between two characters */
    static const char who[] =
        "-------10--------20--------30--------40--------50--------60--\xc3\xa9\xc3\xa9\xc3\xa9";
    ow_message longer = m;
    longer.who = who;
    assert_int_equal(h->module->message(h->engine, h->now, &longer), OW_OK);
    const char *told = h->heard[h->count - 1].text;
    for (size_t i = h->count; i-- > 0 && strstr(told, "moved") == NULL;) {
        told = h->heard[i].text;
    }
    assert_non_null(strstr(told, "60--\xc3\xa9"));
    assert_int_equal(ow_utf8_size(told, strlen(told)), strlen(told));
    host_end(h);
}

static void place_is_taken_and_told(void **state)
{
    (void)state;
    host *h = begin();
    uint64_t worth = h->module->save_worth(h->engine);
    host_say(h, ROOT "/lemon/place/set", "house");
    check_value(h, "lemon/place", "house");
    assert_true(h->module->save_worth(h->engine) != worth);
    assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", "moved: house"), 1);
    (void)host_settle(h);
    /* room_for is 1 */
    refuse_text(h, "bog/place", "house", "no room");
    host_say(h, ROOT "/lemon/place/set", "house"); /* where it is: no crowd */
    check_value(h, "lemon/place", "house");
    host_say(h, ROOT "/lemon/place/set", "roof");
    host_say(h, ROOT "/bog/place/set", "house");
    check_value(h, "lemon/place", "roof");
    check_value(h, "bog/place", "house");
    host_say(h, ROOT "/fern/place/set", "roof"); /* a bed stays where it is */
    check_value(h, "fern/place", "roof");
    host_end(h);
}

static void wearing_is_taken_within_the_stock(void **state)
{
    (void)state;
    host *h = begin();
    host_say(h, ROOT "/lemon/wearing/set", "[\"fleece\"]");
    check_value(h, "lemon/wearing", "[\"fleece\"]");
    assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", "wearing"), 1);
    (void)host_settle(h);
    refuse_text(h, "bog/wearing", "[\"fleece\"]", "in use"); /* there is one */
    host_say(h, ROOT "/lemon/wearing/set", " [ \"fleece\" ] ");
    check_value(h, "lemon/wearing", "[\"fleece\"]");
    host_say(h, ROOT "/lemon/wearing/set", "[]");
    check_value(h, "lemon/wearing", "[]");
    host_say(h, ROOT "/bog/wearing/set", "[\"fleece\"]");
    check_value(h, "bog/wearing", "[\"fleece\"]");
    host_end(h);
}

/* What was seen of a limit that had been passed is told with the limit, and asked no more. */
static void an_answer_is_told_with_its_limit(void **state)
{
    (void)state;
    host *h = begin();
    ow_harm_watch *w = &h->engine->scene->cast->actor[0].condition.watch[OW_ROOTS];
    w->damaged = true;
    w->lowest_c = -7.5;
    host_say(h, ROOT "/lemon/seen/set", "regrowing");
    assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", "regrowing; roots -7.5 C (limits "), 1);
    assert_false(w->damaged);
    host_say(h, ROOT "/lemon/seen/set", "dead");
    assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", "dead; "), 0);
    host_end(h);
}

/* Hose and taps are drained once in a season, and that outlasts a night. */
static void the_garden_is_drained_once(void **state)
{
    (void)state;
    host *h = begin();
    host_forecast(h, 72, -8.0, 4.0);
    host_run(h, 60);
    assert_non_null(strstr(host_value(h, "garden/jobs"), "\"drain\""));
    assert_int_equal(host_heard(h, HEARD_EVENT, "garden", "opens with the first"), 1);
    host_say(h, ROOT "/garden/done/set", "{\"job\":\"cover\",\"who\":\"ada\"}");
    assert_non_null(strstr(host_value(h, "garden/jobs"), "\"drain\""));
    host_say(h, ROOT "/garden/done/set", "{\"job\":\"drain\",\"who\":\"ada\"}");
    assert_null(strstr(host_value(h, "garden/jobs"), "\"drain\""));
    host_run(h, 4000);
    assert_null(strstr(host_value(h, "garden/jobs"), "\"drain\""));
    host_end(h);
}

/* A lemon that wintered under glass, on a mild day of April: day by day, each once, and it is kept. */
static void a_guest_is_hardened_off(void **state)
{
    (void)state;
    host *h = host_open(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG, ""));
    h->now.utc_ms += (int64_t)91 * 86400000 - 6 * 3600000; /* 21 April, six in the morning */
    host_live(h, NULL, 0);
    host_link(h, true);
    h->sensors.roof_c = 14.0;
    host_run(h, 60);
    host_say(h, ROOT "/lemon/place/set", "house");
    host_forecast(h, 72, 14.0, 4.0);
    host_run(h, 300);
    assert_null(strstr(host_value(h, "garden/jobs"), "\"harden\"")); /* it has just come in */
    h->engine->judged[0].harden.in_since_s -= 60 * 86400;
    host_run(h, 3700);
    assert_non_null(strstr(host_value(h, "garden/jobs"), "\"harden\""));
    check_value(h, "lemon/state", "hold");
    assert_non_null(strstr(host_value(h, "lemon/reason"), "in at night; 0 of 10 days done."));
    host_say(h, ROOT "/lemon/done/set", "{\"job\":\"harden\",\"who\":\"ada\"}");
    host_run(h, 300);
    assert_non_null(strstr(host_value(h, "lemon/reason"), "in at night; 1 of 10 days done."));
    int64_t today = h->engine->judged[0].harden.last_day;
    assert_int_equal(h->engine->judged[0].harden.asked_day, today + 1);
    host_run(h, 24 * 3600);
    host_forecast(h, 72, 14.0, 4.0);
    host_run(h, 3700);
    assert_int_equal(h->engine->judged[0].harden.asked_day, today + 1);
    void *bytes;
    size_t size;
    assert_int_equal(h->module->save(h->engine, &bytes, &size), OW_OK);
    host *anew = host_open(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG, ""));
    anew->now = h->now;
    host_live(anew, bytes, size);
    assert_memory_equal(&anew->engine->judged[0].harden, &h->engine->judged[0].harden,
                        sizeof h->engine->judged[0].harden);
    h->engine->judged[0].harden.days = 10;
    host_run(h, 3700);
    check_value(h, "lemon/state", "carry out");
    assert_null(strstr(host_value(h, "garden/jobs"), "\"harden\""));
    free(bytes);
    host_end(anew);
    host_end(h);
}

/* Where nothing else is to be done it is the one job, on the tile as well, until it is done. */
static void the_tile_asks_to_drain(void **state)
{
    (void)state;
    host *h = host_start(GARDEN_OF(GARDEN_READINGS, PLANT_BOG, ""));
    h->sensors.roof_c = 4.0;
    host_run(h, 60);
    host_forecast(h, 72, 0.0, 4.0);
    host_run(h, 120);
    check_value(h, "garden/next-job", "garden: drain hose, tap and butt before they freeze");
    assert_non_null(strstr(host_value(h, "garden/tile"), "garden: drain hose, tap and butt"));
    host_say(h, ROOT "/garden/done/set", "{\"job\":\"drain\",\"who\":\"ada\"}");
    host_run(h, 10);
    assert_null(strstr(host_value(h, "garden/tile"), "drain"));
    host_end(h);
}

/* A plant's state on the hub never becomes a milder one just because somebody said something. */
static void state_stays_until_judged_anew(void **state)
{
    (void)state;
    host *h = begin();
    host_forecast(h, 72, -8.0, 4.0);
    host_run(h, 60);
    char was[40];
    snprintf(was, sizeof was, "%s", host_value(h, "lemon/state"));
    assert_string_not_equal(was, "hold");
    size_t from = h->count;
    host_say(h, ROOT "/lemon/seen/set", "alive");
    check_value(h, "lemon/seen", "alive");
    (void)host_settle(h);
    host_run(h, 20);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/lemon/state", "hold"), 0);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/garden/state", "hold"), 0);
    check_value(h, "lemon/state", was);
    host_end(h);
}

static void seen_is_taken(void **state)
{
    (void)state;
    static const char *const words[] = {"alive", "regrowing", "dead"};
    host *h = begin();
    for (int i = 0; i < 3; i++) {
        host_say(h, ROOT "/lemon/seen/set", words[i]);
        check_value(h, "lemon/seen", words[i]);
        assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", words[i]), 1);
    }
    assert_null(host_value(h, "bog/seen"));
    host_end(h);
}

static void job_done(void **state)
{
    (void)state;
    host *h = begin();
    refuse_text(h, "fern/done", "{\"job\":\"cover\",\"who\":\"ada\"}", "no job is asked for");
    host_forecast(h, 72, -1.0, 2.5);
    host_run(h, 120);
    cJSON *jobs = cJSON_Parse(host_value(h, "garden/jobs"));
    const cJSON *job, *lemon = NULL;
    cJSON_ArrayForEach(job, jobs)
    {
        const char *plant = cJSON_GetObjectItem(job, "plant")->valuestring;
        lemon = strcmp(plant, "lemon") == 0 ? job : lemon;
    }
    assert_non_null(lemon);
    const char *kind = cJSON_GetObjectItem(lemon, "job")->valuestring;
    char payload[100];
    refuse_text(h, "lemon/done", "{\"job\":\"thaw\",\"who\":\"ada\"}", kind);
    refuse_text(h, "lemon/done", "{\"job\":\"cover\",\"who\":\"ada\"} x", "\"job\" and \"who\"");
    snprintf(payload, sizeof payload, "{\"job\":\"%s\",\"who\":\"ada\"}", kind);
    size_t from = h->count;
    host_say(h, ROOT "/lemon/done/set", payload);
    check_value(h, "lemon/done", payload);
    assert_int_equal(host_heard_from(h, from, HEARD_EVENT, "lemon", "done"), 1);
    bool covered = strcmp(kind, "cover") == 0;
    check_value(h, "lemon/wearing", covered ? "[\"fleece\"]" : "[]");
    check_value(h, "lemon/place", covered ? "roof" : "house");
    cJSON_Delete(jobs);
    host_end(h);
}

/* One fleece, two plants that want it: one is told to wear it, and only that one is believed. */
static void job_done_with_what_is_not_there(void **state)
{
    (void)state;
    host *h = host_start("{" GARDEN_SITE
                         "\"readings\":[{\"id\":\"air\",\"measures\":\"air\",\"topic\":"
                         "\"s/air\",\"unit\":\"C\"}]," GARDEN_FORECAST
                         "\"places\":[{\"id\":\"roof\",\"kind\":\"open sky\"},{\"id\":\"house\","
                         "\"kind\":\"glasshouse\",\"floor_m2\":6,\"glazing_m2\":20,"
                         "\"room_for\":0}],\"covers\":[{\"id\":\"fleece\",\"kind\":"
                         "\"thick fleece\",\"count\":1}],\"plants\":[" PLANT_LEMON
                         ",{\"id\":\"lime\",\"taxon\":\"Citrus limon\",\"place\":\"roof\","
                         "\"covers\":[\"fleece\"],\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}"
                         "]}");
    h->sensors.roof_c = 4.0;
    host_run(h, 60);
    host_forecast(h, 48, -1.0, 2.5);
    host_run(h, 60);
    const char *jobs = host_value(h, "garden/jobs");
    bool lemon = strstr(jobs, "\"lemon\",\"job\":\"cover\"") != NULL;
    bool lime = strstr(jobs, "\"lime\",\"job\":\"cover\"") != NULL;
    assert_true(lemon != lime);
    assert_non_null(strstr(host_value(h, lemon ? "lime/reason" : "lemon/reason"),
                           lemon ? "it goes to lemon" : "it goes to lime"));
    host_say(h, lemon ? ROOT "/lemon/done/set" : ROOT "/lime/done/set",
             "{\"job\":\"cover\",\"who\":\"ada\"}");
    check_value(h, lemon ? "lemon/wearing" : "lime/wearing", "[\"fleece\"]");
    size_t from = h->count;
    host_say(h, lemon ? ROOT "/lime/done/set" : ROOT "/lemon/done/set",
             "{\"job\":\"cover\",\"who\":\"ada\"}");
    check_value(h, lemon ? "lime/wearing" : "lemon/wearing", "[]");
    assert_int_equal(host_heard_from(h, from, HEARD_LOG, NULL, "refused"), 1);
    host_end(h);
}

static void stop_latches_all_and_sends_off(void **state)
{
    (void)state;
    host *h = begin();
    h->sensors.house_c = 1.0;
    host_run(h, 600);
    check_value(h, "heater/command", "on");
    size_t from = h->count;
    uint64_t worth = h->module->save_worth(h->engine);
    host_say(h, ROOT "/garden/stop/set", "true");
    check_value(h, "garden/stop", "true");
    assert_true(h->module->save_worth(h->engine) != worth);
    /* off goes out at once, not at the next tick, and once */
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 1);
    assert_int_equal(host_heard(h, HEARD_EVENT, "heater", "switched: on"), 1);
    assert_int_equal(host_heard_from(h, from, HEARD_EVENT, "heater", "switched: off"), 1);
    assert_int_equal(host_heard_from(h, from, HEARD_EVENT, "heater", "latched"), 1);
    host_run(h, 1);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "off"), 1);
    assert_false(host_last(h, HEARD_PUBLISH, "p/set")->retain);
    host_run(h, 30);
    assert_true(host_blocked(h, "heater", "stopped it by hand"));
    assert_true(host_blocked(h, "cloth", "stopped it by hand"));
    assert_non_null(host_value(h, "$alert/heater"));
    assert_non_null(host_value(h, "$alert/cloth"));
    host_run(h, 3600); /* it stays so */
    check_value(h, "heater/command", "off");
    assert_true(host_blocked(h, "heater", "stopped it by hand"));
    from = h->count;
    host_say(h, ROOT "/heater/release/set", "ada");
    check_value(h, "heater/release", "ada");
    check_value(h, "garden/stop", "true"); /* one by one */
    host_run(h, 120);
    assert_false(host_blocked(h, "heater", "stopped it by hand"));
    assert_true(host_blocked(h, "cloth", "stopped it by hand"));
    assert_null(host_value(h, "$alert/heater"));
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, "p/set", "on 60") > 0);
    host_say(h, ROOT "/cloth/release/set", "ada");
    check_value(h, "garden/stop", "false");
    host_end(h);
}

static void stop_is_refused_where_there_is_nothing_to_stop(void **state)
{
    (void)state;
    host *h = host_start(GARDEN_OF(GARDEN_READINGS, PLANT_BOG, ""));
    check_value(h, "garden/stop", "false");
    refuse_text(h, "garden/stop", "true", "names no outputs");
    check_value(h, "garden/stop", "false");
    host_end(h);
}

static void release_is_refused_while_the_cause_lasts(void **state)
{
    (void)state;
    host *h = begin();
    h->sensors.house_c = 1.0;
    host_run(h, 600);
    check_value(h, "heater/command", "on");
    h->sensors.house_c = 8.0; /* warm: it is sent off, but the plug goes on saying on */
    h->plug.always = "on";
    host_run(h, 600);
    assert_true(host_blocked(h, "heater", "sent off but says that it is on"));
    size_t from = h->count;
    host_say(h, ROOT "/heater/release/set", "ada");
    assert_int_equal(host_heard_from(h, from, HEARD_LOG, NULL, "says that it is on"), 1);
    assert_null(host_value(h, "heater/release"));
    host_run(h, 60);
    assert_true(host_blocked(h, "heater", "sent off but says that it is on"));
    h->plug.always = NULL;
    h->plug.on = false;
    host_run(h, 30);
    assert_true(host_blocked(h, "heater", "sent off but says that it is on")); /* latched */
    host_say(h, ROOT "/heater/release/set", "ada");
    check_value(h, "heater/release", "ada");
    host_run(h, 120);
    assert_false(host_blocked(h, "heater", "sent off but says that it is on"));
    host_end(h);
}

static void noticed_is_taken_from_who_was_told(void **state)
{
    (void)state;
    host *h = begin();
    host_forecast(h, 72, -10.0, 4.0);
    host_run(h, 120);
    const char *notice = host_value(h, "household-bo/notice");
    assert_non_null(notice);
    cJSON *o = cJSON_Parse(notice);
    char id[120];
    snprintf(id, sizeof id, "%s", cJSON_GetObjectItem(o, "id")->valuestring);
    assert_string_equal(cJSON_GetObjectItem(o, "urgency")->valuestring, "urgent");
    cJSON_Delete(o);
    host_say(h, ROOT "/household-bo/noticed/set", id);
    check_value(h, "household-bo/noticed", id);
    assert_int_equal(host_heard(h, HEARD_EVENT, "household-bo", "noticed"), 1);
    host_run(h, 5);
    o = cJSON_Parse(host_value(h, "household-bo/notice"));
    if (o != NULL && strcmp(cJSON_GetObjectItem(o, "id")->valuestring, id) == 0) {
        assert_string_equal(cJSON_GetObjectItem(o, "noticed_by")->valuestring, "bo");
    }
    cJSON_Delete(o);
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bad_bytes_are_refused_everywhere),
        cmocka_unit_test(bad_words_are_refused),
        cmocka_unit_test(nothing_heard_yet_refuses_kindly),
        cmocka_unit_test(other_topics_are_no_commands),
        cmocka_unit_test(who_says_it_is_told),
        cmocka_unit_test(place_is_taken_and_told),
        cmocka_unit_test(wearing_is_taken_within_the_stock),
        cmocka_unit_test(state_stays_until_judged_anew),
        cmocka_unit_test(seen_is_taken),
        cmocka_unit_test(the_garden_is_drained_once),
        cmocka_unit_test(a_guest_is_hardened_off),
        cmocka_unit_test(the_tile_asks_to_drain),
        cmocka_unit_test(an_answer_is_told_with_its_limit),
        cmocka_unit_test(job_done),
        cmocka_unit_test(job_done_with_what_is_not_there),
        cmocka_unit_test(stop_latches_all_and_sends_off),
        cmocka_unit_test(stop_is_refused_where_there_is_nothing_to_stop),
        cmocka_unit_test(release_is_refused_while_the_cause_lasts),
        cmocka_unit_test(noticed_is_taken_from_who_was_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
