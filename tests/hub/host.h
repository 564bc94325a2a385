/* SPDX-License-Identifier: MIT */
/*
 * A host made for the tests: it records what the module says, keeps what a broker would keep,
 * moves its own clocks, and plays sensors and a plug. Include it after <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_HUB_HOST_H
#define OVERWINTER_TESTS_HUB_HOST_H

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "overwinter.h"

const ow_module *overwinter_module(void);

#define NOON_MS ((int64_t)1768910400000) /* 2026-01-20T12:00:00Z */
#define BOOT_MS ((uint64_t)1000000)
#define ROOT "homie/5/roof"

typedef enum heard_kind { HEARD_PUBLISH, HEARD_SUBSCRIBE, HEARD_EVENT, HEARD_LOG } heard_kind;

/* One thing that the module said. */
typedef struct heard {
    heard_kind kind;
    char *topic; /* an event's subject; empty for a log line */
    char *text;  /* zero-terminated copy; an event's "event: detail" */
    size_t size;
    bool retain;
    int64_t utc_ms;
    uint64_t boot_ms;
} heard;

typedef struct kept {
    char *topic, *text;
    size_t size;
} kept;

/* What the sensors say once a minute; NAN or NULL: nothing. */
typedef struct sensors {
    double roof_c, house_c, house2_c, wind_ms, rain_mm, probe_c;
    const char *door, *closed_end, *open_end;
    bool stored; /* as the broker's stored messages */
} sensors;

/* The plug of the heater under topic "p/". */
typedef struct plug {
    bool silent; /* reports nothing */
    const char *always; /* reports this whatever it was told */
    bool on;
    double watts;  /* drawn when on; NAN: not measured */
    double leak_w; /* drawn when off */
} plug;

typedef struct host {
    heard *heard;
    size_t count, room;
    kept *kept;
    size_t kept_count;
    long take; /* publishes and subscriptions taken before all are refused; -1: no end */
    bool up;
    int said_while_down, reports;
    char report[4000];
    ow_host door;
    const ow_module *module;
    ow_engine *engine;
    ow_now now;
    sensors sensors;
    plug plug;
    uint64_t step_ms; /* between ticks */
} host;

/* ---- what the module calls ------------------------------------------------------------------- */

static inline char *host_copy(const void *bytes, size_t size)
{
    char *copy = malloc(size + 1);
    assert_non_null(copy);
    if (size > 0) {
        memcpy(copy, bytes, size);
    }
    copy[size] = '\0';
    return copy;
}

static inline void host_record(host *h, heard_kind kind, const char *topic, const void *text,
                               size_t size, bool retain)
{
    if (h->count == h->room) {
        h->room = 2 * h->room + 64;
        h->heard = realloc(h->heard, h->room * sizeof *h->heard);
        assert_non_null(h->heard);
    }
    h->heard[h->count++] = (heard){kind,   host_copy(topic, strlen(topic)), host_copy(text, size),
                                   size,   retain,                          h->now.utc_ms,
                                   h->now.boot_ms};
}

static inline kept *host_kept(const host *h, const char *topic)
{
    for (size_t i = 0; i < h->kept_count; i++) {
        if (strcmp(h->kept[i].topic, topic) == 0) {
            return &h->kept[i];
        }
    }
    return NULL;
}

static inline void host_keep(host *h, const char *topic, const void *bytes, size_t size)
{
    kept *k = host_kept(h, topic);
    if (k == NULL) {
        h->kept = realloc(h->kept, (h->kept_count + 1) * sizeof *h->kept);
        assert_non_null(h->kept);
        k = &h->kept[h->kept_count++];
        *k = (kept){.topic = host_copy(topic, strlen(topic))};
    }
    free(k->text);
    *k = (kept){k->topic, size > 0 ? host_copy(bytes, size) : NULL, size};
}

static inline bool host_takes(host *h)
{
    h->said_while_down += !h->up;
    if (h->take == 0) {
        return false;
    }
    h->take -= h->take > 0;
    return true;
}

static inline bool host_publish(void *self, const char *topic, const void *bytes, size_t size,
                                bool retain)
{
    host *h = self;
    if (!host_takes(h)) {
        return false;
    }
    host_record(h, HEARD_PUBLISH, topic, bytes, size, retain);
    if (retain) {
        host_keep(h, topic, bytes, size);
    }
    if (strcmp(topic, "p/set") == 0) {
        h->plug.on = size >= 2 && memcmp(bytes, "on", 2) == 0;
    }
    return true;
}

static inline bool host_subscribe(void *self, const char *topic)
{
    host *h = self;
    if (!host_takes(h)) {
        return false;
    }
    host_record(h, HEARD_SUBSCRIBE, topic, "", 0, false);
    return true;
}

static inline void host_event(void *self, int64_t utc_s, const char *subject, const char *event,
                              const char *detail)
{
    char text[1500];
    (void)utc_s;
    snprintf(text, sizeof text, "%s: %s", event, detail);
    host_record(self, HEARD_EVENT, subject, text, strlen(text), false);
}

static inline void host_log(void *self, ow_level level, const char *line)
{
    (void)level;
    host_record(self, HEARD_LOG, "", line, strlen(line), false);
}

static inline int host_offset(void *self, int64_t utc_s)
{
    (void)self;
    (void)utc_s;
    return 3600;
}

static inline void host_report(void *self, const char *line)
{
    host *h = self;
    size_t used = strlen(h->report);
    h->reports++;
    snprintf(h->report + used, sizeof h->report - used, "%s\n", line);
}

/* ---- life ------------------------------------------------------------------------------------ */

static inline void host_forget(host *h)
{
    for (size_t i = 0; i < h->count; i++) {
        free(h->heard[i].topic);
        free(h->heard[i].text);
    }
    h->count = 0;
}

/* Opens a garden; the clocks stand at noon of a day in January. */
static inline host *host_open(const char *garden)
{
    host *h = calloc(1, sizeof *h);
    assert_non_null(h);
    h->take = -1;
    h->step_ms = 1000;
    h->now = (ow_now){BOOT_MS, NOON_MS};
    h->sensors = (sensors){NAN, NAN, NAN, NAN, NAN, NAN, NULL, NULL, NULL, false};
    h->plug.watts = NAN;
    h->door = (ow_host){.self = h,
                        .utc_offset_s = host_offset,
                        .event = host_event,
                        .publish = host_publish,
                        .subscribe = host_subscribe,
                        .log = host_log,
                        .can_switch_off = true};
    h->module = overwinter_module();
    ow_report report = {.line = host_report, .self = h};
    ow_status status = h->module->open(&h->door, "garden.json", garden, strlen(garden), NULL,
                                       &report, &h->engine);
    if (status != OW_OK) {
        fail_msg("the garden is refused: %s", h->report);
    }
    return h;
}

static inline void host_live(host *h, const void *state, size_t size)
{
    ow_report report = {.line = host_report, .self = h};
    assert_int_equal(h->module->go_live(h->engine, h->now, state, size, &report), OW_OK);
}

static inline void host_link(host *h, bool up)
{
    h->up = up;
    assert_int_equal(h->module->connected(h->engine, h->now, up), OW_OK);
}

/* Open, live and connected. */
static inline host *host_start(const char *garden)
{
    host *h = host_open(garden);
    host_live(h, NULL, 0);
    host_link(h, true);
    return h;
}

static inline void host_end(host *h)
{
    assert_int_equal(h->said_while_down, 0);
    h->module->close(h->engine);
    host_forget(h);
    for (size_t i = 0; i < h->kept_count; i++) {
        free(h->kept[i].topic);
        free(h->kept[i].text);
    }
    free(h->kept);
    free(h->heard);
    free(h);
}

/* ---- saying things to it --------------------------------------------------------------------- */

/* The bytes end where their block ends, so that a read past them is seen. */
static inline void host_say_bytes(host *h, const char *topic, const void *bytes, size_t size,
                                  bool retained)
{
    char *exact = size > 0 ? malloc(size) : NULL;
    if (size > 0) {
        assert_non_null(exact);
        memcpy(exact, bytes, size);
    }
    ow_message m = {topic, exact, size, retained, NULL};
    assert_int_equal(h->module->message(h->engine, h->now, &m), OW_OK);
    free(exact);
}

static inline void host_say(host *h, const char *topic, const char *text)
{
    host_say_bytes(h, topic, text, strlen(text), false);
}

static inline void host_say_number(host *h, const char *topic, double value)
{
    char text[40];
    snprintf(text, sizeof text, "%.3f", value);
    if (!isnan(value)) {
        host_say_bytes(h, topic, text, strlen(text), h->sensors.stored);
    }
}

static inline void host_say_word(host *h, const char *topic, const char *word)
{
    if (word != NULL) {
        host_say_bytes(h, topic, word, strlen(word), h->sensors.stored);
    }
}

/* All sensors and the plug's meter say what they see. */
static inline void host_sense(host *h)
{
    const sensors *s = &h->sensors;
    host_say_number(h, "s/air", s->roof_c);
    host_say_number(h, "s/house", s->house_c);
    host_say_number(h, "s/house2", s->house2_c);
    host_say_number(h, "s/wind", s->wind_ms);
    host_say_number(h, "s/rain", s->rain_mm);
    host_say_number(h, "s/probe", s->probe_c);
    host_say_word(h, "s/door", s->door);
    host_say_word(h, "s/closed", s->closed_end);
    host_say_word(h, "s/open", s->open_end);
}

static inline void host_plug(host *h)
{
    const plug *p = &h->plug;
    if (!p->silent) {
        const char *word = p->always != NULL ? p->always : p->on ? "on" : "off";
        host_say_bytes(h, "p/state", word, strlen(word), h->sensors.stored);
    }
    host_say_number(h, "p/watts", isnan(p->watts) ? NAN : p->on ? p->watts : p->leak_w);
}

static inline void host_tick(host *h)
{
    h->now.boot_ms += h->step_ms;
    h->now.utc_ms += (int64_t)h->step_ms;
    assert_int_equal(h->module->tick(h->engine, h->now), OW_OK);
}

/* Time passes: ticks; sensors every minute, the plug every five seconds, while connected. */
static inline void host_run(host *h, int seconds)
{
    uint64_t until_ms = h->now.boot_ms + (uint64_t)seconds * 1000;
    while (h->now.boot_ms < until_ms) {
        uint64_t since_ms = h->now.boot_ms - BOOT_MS;
        if (h->up && since_ms % 60000 == 0) {
            host_sense(h);
        }
        if (h->up && since_ms % 5000 == 0) {
            host_plug(h);
        }
        host_tick(h);
    }
}

/* Ticks at once, without time passing, until nothing is waiting; gives how many. */
static inline int host_settle(host *h)
{
    int ticks = 0;
    while (h->module->busy(h->engine)) {
        assert_int_equal(h->module->tick(h->engine, h->now), OW_OK);
        assert_true(++ticks < 1000000);
    }
    return ticks;
}

/* ---- looking at what it said ----------------------------------------------------------------- */

/* What a broker keeps below the garden's own topic; NULL: nothing. */
static inline const char *host_value(const host *h, const char *below)
{
    char topic[300];
    snprintf(topic, sizeof topic, ROOT "/%s", below);
    const kept *k = host_kept(h, topic);
    return k != NULL ? k->text : NULL;
}

static inline void check_value(const host *h, const char *below, const char *want)
{
    const char *got = host_value(h, below);
    if (got == NULL || strcmp(got, want) != 0) {
        fail_msg("%s is \"%s\", want \"%s\"", below, got ? got : "(nothing)", want);
    }
}

/* How many of a kind contain a text, from an index on; topic NULL: any. */
static inline int host_heard_from(const host *h, size_t from, heard_kind kind, const char *topic,
                                  const char *part)
{
    int n = 0;
    for (size_t i = from; i < h->count; i++) {
        const heard *one = &h->heard[i];
        n += one->kind == kind && (topic == NULL || strcmp(one->topic, topic) == 0) &&
             strstr(one->text, part) != NULL;
    }
    return n;
}

static inline int host_heard(const host *h, heard_kind kind, const char *topic, const char *part)
{
    return host_heard_from(h, 0, kind, topic, part);
}

static inline const heard *host_last(const host *h, heard_kind kind, const char *topic)
{
    for (size_t i = h->count; i > 0; i--) {
        if (h->heard[i - 1].kind == kind && strcmp(h->heard[i - 1].topic, topic) == 0) {
            return &h->heard[i - 1];
        }
    }
    return NULL;
}

/* Index of the first publish on a topic, with that text where given; count: none. */
static inline size_t host_first(const host *h, const char *topic, const char *text)
{
    size_t i = 0;
    while (i < h->count && (h->heard[i].kind != HEARD_PUBLISH ||
                            strcmp(h->heard[i].topic, topic) != 0 ||
                            (text != NULL && strcmp(h->heard[i].text, text) != 0))) {
        i++;
    }
    return i;
}

static inline bool host_blocked(const host *h, const char *output, const char *text)
{
    char below[100];
    snprintf(below, sizeof below, "%s/blocked-by", output);
    const char *list = host_value(h, below);
    return list != NULL && strstr(list, text) != NULL;
}

/* ---- gardens --------------------------------------------------------------------------------- */

#define GARDEN_SITE                                                                                \
    "\"garden\":\"roof\",\"site\":{\"latitude_deg\":47.5,\"longitude_deg\":7.6,"                   \
    "\"elevation_m\":260,\"time_zone\":\"Europe/Zurich\"},"                                        \
    "\"broker\":{\"host\":\"127.0.0.1\",\"port\":1883},"
#define GARDEN_READINGS                                                                            \
    "{\"id\":\"air\",\"measures\":\"air\",\"topic\":\"s/air\",\"unit\":\"C\"},"                    \
    "{\"id\":\"wind\",\"measures\":\"wind\",\"topic\":\"s/wind\",\"unit\":\"m/s\"},"               \
    "{\"id\":\"rain\",\"measures\":\"rain\",\"topic\":\"s/rain\",\"unit\":\"mm\"},"                \
    "{\"id\":\"house-air\",\"measures\":\"air\",\"place\":\"house\",\"topic\":\"s/house\","        \
    "\"unit\":\"C\"},"                                                                             \
    "{\"id\":\"house-air-two\",\"measures\":\"air\",\"place\":\"house\",\"topic\":\"s/house2\","   \
    "\"unit\":\"C\"},"                                                                             \
    "{\"id\":\"probe\",\"measures\":\"root ball\",\"plant\":\"bog\",\"topic\":\"s/probe\","        \
    "\"unit\":\"C\"},"                                                                             \
    "{\"id\":\"door\",\"measures\":\"contact\",\"topic\":\"s/door\",\"open\":\"open\","            \
    "\"shut\":\"shut\"}"
#define GARDEN_FORECAST                                                                            \
    "\"forecast\":{\"topic\":\"w/f\",\"list\":\"/h\",\"time\":\"/t\",\"air\":\"/a\","              \
    "\"unit\":\"C\"},"
#define GARDEN_PLACES                                                                              \
    "\"places\":[{\"id\":\"roof\",\"kind\":\"open sky\"},"                                         \
    "{\"id\":\"house\",\"kind\":\"glasshouse\",\"floor_m2\":6,\"glazing_m2\":20,"                  \
    "\"room_for\":1}],"                                                                            \
    "\"covers\":[{\"id\":\"fleece\",\"kind\":\"thick fleece\",\"count\":1}],"
#define PLANT_LEMON                                                                                \
    "{\"id\":\"lemon\",\"taxon\":\"Citrus limon\",\"place\":\"roof\",\"covers\":[\"fleece\"],"     \
    "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}"
#define PLANT_BOG                                                                                  \
    "{\"id\":\"bog\",\"taxon\":\"Sarracenia flava\",\"place\":\"roof\","                           \
    "\"pot\":{\"diameter_mm\":120,\"depth_mm\":100,\"medium\":\"bog mix\",\"moisture\":\"wet\"}}"
#define PLANT_FERN                                                                                 \
    "{\"id\":\"fern\",\"taxon\":\"Dicksonia antarctica\",\"place\":\"roof\","                      \
    "\"trunk\":{\"diameter_mm\":220,\"height_mm\":900,\"growing_point_mm\":40},"                   \
    "\"bed\":{\"medium\":\"loam\",\"moisture\":\"moist\"}}"
#define HEATER_KEYS                                                                                \
    "\"id\":\"heater\",\"kind\":\"heater\",\"place\":\"house\",\"watts\":1000,"                    \
    "\"keep_air_above_c\":3,\"topic\":\"p/set\",\"on\":\"on {seconds}\",\"off\":\"off\","          \
    "\"lease_s\":60,\"off_by_itself_s\":120,"                                                      \
    "\"reported\":{\"topic\":\"p/state\",\"on\":\"on\",\"off\":\"off\"},"                          \
    "\"blocked_while_open\":[\"door\"],\"too_warm_c\":20,\"longest_run_min\":180,"                 \
    "\"least_rest_min\":5,\"shortest_on_min\":1,\"shortest_off_min\":1"
#define HEATER "{" HEATER_KEYS ",\"cautions_read\":true}"
#define DRIVE_KEYS_OVER(plants)                                                                    \
    "\"id\":\"cloth\",\"kind\":\"cloth drive\",\"place\":\"roof\",\"covers\":[" plants "],"            \
    "\"topic\":\"d/set\",\"close\":\"close {seconds}\",\"open\":\"open {seconds}\","               \
    "\"stop\":\"stop\",\"lease_s\":20,\"off_by_itself_s\":60,\"travel_s\":45,\"dead_s\":2,"        \
    "\"wind_max_ms\":9,\"starts_per_h\":6"
#define DRIVE_KEYS DRIVE_KEYS_OVER("\"lemon\"")
#define DRIVE "{" DRIVE_KEYS ",\"cautions_read\":true}"
#define HOUSEHOLD                                                                                  \
    ",\"household\":[{\"id\":\"ada\",\"hears\":[\"urgent\",\"jobs\"]},"                            \
    "{\"id\":\"bo\",\"hears\":[\"urgent\"]}]"
#define GARDEN_OF(readings, plants, rest)                                                          \
    "{" GARDEN_SITE "\"readings\":[" readings "]," GARDEN_FORECAST GARDEN_PLACES "\"plants\":["    \
    plants "]" rest "}"

/* Everything at once. */
#define WHOLE_GARDEN                                                                               \
    GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG "," PLANT_FERN,                           \
              ",\"outputs\":[" HEATER "," DRIVE "]" HOUSEHOLD)

/* A forecast of so many hours from a time on, the air falling and rising as a day does. */
static inline void host_forecast(host *h, int hours, double mean_c, double swing_k)
{
    size_t room = 64 * (size_t)hours + 32, used = 0;
    char *text = malloc(room);
    assert_non_null(text);
    used += (size_t)snprintf(text, room, "{\"h\":[");
    for (int i = 0; i < hours; i++) {
        int64_t at_s = h->now.utc_ms / 1000 / 3600 * 3600 + (int64_t)(i + 1) * 3600;
        double hour = (double)(at_s % 86400) / 3600.0;
        double air_c = mean_c + swing_k * cos((hour - 14.0) * 0.2617993877991494);
        used += (size_t)snprintf(text + used, room - used, "%s{\"t\":%lld,\"a\":%.2f}",
                                 i > 0 ? "," : "", (long long)at_s, air_c);
    }
    snprintf(text + used, room - used, "]}");
    host_say(h, "w/f", text);
    free(text);
}

#endif
