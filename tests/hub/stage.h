/* SPDX-License-Identifier: MIT */
/*
 * A garden behind the module's door, for the tests of the engine: opened on a text with single
 * quotes, fed invented weather, with all that it told and showed kept as one text, numbers to the
 * last bit. Include it after <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_HUB_STAGE_H
#define OVERWINTER_TESTS_HUB_STAGE_H

#include <stdlib.h>

#include "judgement/stage.h"
#include "overwinter.h"

/* The door is the shared object's only symbol, so no header of the core shows it. */
const ow_module *overwinter_module(void);

#define HOUR(h) (STAGE_MIDWINTER + (int64_t)((h)*3600.0))

typedef struct diary {
    char *text;
    size_t used, room;
    int events;
} diary;

static inline void diary_write(diary *d, const char *format, ...) OW_PRINTF(2, 3);

static inline void diary_write(diary *d, const char *format, ...)
{
    va_list args;
    if (d->room < d->used + 2048) {
        d->room = 2 * (d->used + 2048);
        d->text = realloc(d->text, d->room);
        assert_non_null(d->text);
    }
    va_start(args, format);
    d->used += (size_t)vsnprintf(d->text + d->used, 2048, format, args);
    va_end(args);
}

/* "HOURS|subject|event|detail", a line each. */
static inline void diary_event(void *self, int64_t utc_s, const char *subject, const char *event,
                               const char *detail)
{
    diary *d = self;
    d->events++;
    diary_write(d, "%.1f|%s|%s|%s\n", (double)(utc_s - STAGE_MIDWINTER) / 3600.0, subject, event,
                detail);
}

static inline int diary_says(const diary *d, const char *words)
{
    int n = 0;
    for (const char *at = d->text; at != NULL && (at = strstr(at, words)) != NULL; at++) {
        n++;
    }
    return n;
}

typedef struct house {
    const ow_module *door;
    ow_engine *engine;
    diary *log;
} house;

static inline house house_open(const char *quoted, ow_settings settings)
{
    char text[YARD_TEXT];
    house h = {.door = overwinter_module(), .log = calloc(1, sizeof *h.log)};
    assert_non_null(h.log);
    ow_host host = {.self = h.log, .utc_offset_s = yard_offset_s, .event = diary_event};
    ow_report report = {stage_say, NULL, 0};
    yard_text(quoted, text);
    assert_int_equal(h.door->open(&host, "stage.json", text, strlen(text), &settings, &report,
                                  &h.engine),
                     OW_OK);
    return h;
}

static inline void house_close(house *h)
{
    h->door->close(h->engine);
    free(h->log->text);
    free(h->log);
}

static inline ow_weather_row row_of(double hour, ow_weather w)
{
    return (ow_weather_row){HOUR(hour),     w.air_c,        w.rh_pct,  w.wind_ms, w.cloud_pct,
                            w.solar_wm2,    w.longwave_wm2, w.rain_mm, w.snow_cm, w.ground_c,
                            w.surface_c};
}

static inline void house_weather(house *h, const ow_weather_row *rows, size_t n)
{
    assert_int_equal(h->door->weather(h->engine, rows, n), OW_OK);
}

static inline void house_advance(house *h, double hour)
{
    assert_int_equal(h->door->advance(h->engine, HOUR(hour)), OW_OK);
}

static inline ow_plant_view house_plant(const house *h, int index)
{
    ow_plant_view view;
    h->door->plant(h->engine, index, &view);
    return view;
}

static inline void note_part(diary *d, const ow_part_view *p)
{
    diary_write(d, " [%s %a %a %lld %a %a %d %d]", p->name ? p->name : "-", p->now_c, p->lowest_c,
                isnan(p->lowest_c) ? 0LL : (long long)p->lowest_s, p->damaged_c, p->killed_c,
                p->passed_damaged, p->passed_killed);
}

/* All that a plant's view shows, numbers in hexadecimal. */
static inline void note_plant(const house *h, int index, diary *d)
{
    ow_plant_view v = house_plant(h, index);
    ow_sky_view sky;
    double bed[OW_BED_DEPTHS];
    h->door->sky(h->engine, index, &sky);
    bool in_bed = h->door->bed(h->engine, index, bed);
    diary_write(d, "%s %s %s|%s|%s|%s|%s %lld %d", v.id, v.place, v.state, v.also, v.reason,
                v.action, v.wearing, (long long)v.act_by_s, v.late);
    diary_write(d, " %a %a %a %a %a %a %a %a", v.root_mean_c, v.root_coldest_c, v.root_warmest_c,
                v.root_centre_c, v.ice_share, v.least_ice_share, v.frozen_days, v.frozen_through_h);
    diary_write(d, " %a %a %a %a %a %d %a %a %a %a %a", v.foliage_c, v.buds_c, v.growing_point_c,
                v.storage_c, v.air_c, v.nearest_part, v.nearest_k, v.ice_half_s,
                v.ice_nine_tenths_s, v.thaw_half_s, v.thaw_gone_s);
    for (int p = 0; p < OW_VIEW_PARTS; p++) {
        note_part(d, &v.part[p]);
        diary_write(d, " %a %a", sky.coldest_clear_c[p], sky.coldest_shut_c[p]);
    }
    for (int i = 0; in_bed && i < OW_BED_DEPTHS; i++) {
        diary_write(d, " %a", bed[i]);
    }
    diary_write(d, " %a\n", sky.assumed_share);
}

static inline void note_all(const house *h, diary *d)
{
    for (int i = 0; i < h->door->plant_count(h->engine); i++) {
        note_plant(h, i, d);
    }
    for (int i = 0; i < h->door->heater_count(h->engine); i++) {
        ow_heater_view v;
        h->door->heater(h->engine, i, &v);
        diary_write(d, "%s %a %a\n", v.id, v.kwh, v.watts_now);
    }
}

static inline void check_same_text(const diary *a, const diary *b)
{
    size_t n = a->used < b->used ? a->used : b->used;
    for (size_t i = 0; i < n; i++) {
        if (a->text[i] != b->text[i]) {
            size_t from = i > 60 ? i - 60 : 0;
            fail_msg("texts part at byte %zu:\n%.120s\n%.120s", i, a->text + from, b->text + from);
        }
    }
    assert_int_equal(a->used, b->used);
}

/* A winter of no place: nights and days, cold from the first noon on, mild from the third day.
 * Chance is a small generator of our own, so that every machine draws the same. */
static inline ow_weather invented(double hour, uint32_t seed)
{
    static const double PI = 3.14159265358979;
    uint32_t draw = (seed + (uint32_t)(hour * 8.0)) * 2654435761u;
    draw ^= draw >> 15;
    double chance = (double)(draw % 1000u) / 1000.0;
    ow_weather w = stage_unknown();
    double slow = hour < 12 ? 2.0 : hour < 48 ? -6.0 : 9.0;
    w.air_c = slow - 4.0 * cos(2.0 * PI * (hour - 14.0) / 24.0 + PI) + 2.0 * (chance - 0.5);
    w.rh_pct = 60.0 + 35.0 * chance;
    w.wind_ms = 5.0 * chance;
    w.rain_mm = hour > 48 && chance > 0.8 ? 1.0 : 0.0;
    w.snow_cm = hour > 24 && hour < 50 ? 4.0 : 0.0;
    return w;
}

/* Hours from..until of it, hour by hour; the number of rows. */
static inline size_t invented_rows(ow_weather_row *rows, int from, int until, uint32_t seed)
{
    for (int i = from; i <= until; i++) {
        rows[i - from] = row_of(i, invented(i, seed));
    }
    return (size_t)(until - from + 1);
}

#endif
