/* SPDX-License-Identifier: MIT */
/* A garden minded live without a broker, for the benchmarks of the module. */
#ifndef OVERWINTER_TESTS_BENCH_LIVE_H
#define OVERWINTER_TESTS_BENCH_LIVE_H

#include <stdint.h>
#include <string.h>

#include "bench/crowd.h"
#include "overwinter.h"

const ow_module *overwinter_module(void);

typedef struct live {
    const ow_module *module;
    ow_engine *engine;
    ow_now now;
    bool on; /* what "p/set" was told last */
    struct timespec off_at;
} live;

static inline int live_offset_s(void *self, int64_t utc_s)
{
    (void)self;
    (void)utc_s;
    return 0;
}

static inline void live_event(void *self, int64_t utc_s, const char *a, const char *b,
                              const char *c)
{
    (void)self;
    (void)utc_s;
    (void)a;
    (void)b;
    (void)c;
}

static inline void live_log(void *self, ow_level level, const char *line)
{
    (void)self;
    (void)level;
    (void)line;
}

static inline bool live_take(void *self, const char *topic, const void *payload, size_t size,
                             bool retain)
{
    live *l = self;
    (void)retain;
    if (strcmp(topic, "p/set") == 0) {
        bool on = size > 3 && memcmp(payload, "on ", 3) == 0;
        if (l->on && !on) {
            clock_gettime(CLOCK_MONOTONIC, &l->off_at);
        }
        l->on = on;
    }
    return true;
}

static inline bool live_ask(void *self, const char *topic)
{
    (void)self;
    (void)topic;
    return true;
}

/* Connected, on a January noon. */
static inline void live_begin(live *l, const char *garden, size_t size)
{
    *l = (live){.module = overwinter_module(), .now = {1000000, 1768910400000}};
    const ow_host host = {l, live_offset_s, live_event, live_take, live_ask, live_log, true, 0};
    must(l->module->open(&host, "bench", garden, size, NULL, NULL, &l->engine));
    must(l->module->go_live(l->engine, l->now, NULL, 0, NULL));
    must(l->module->connected(l->engine, l->now, true));
}

static inline void live_say(live *l, const char *topic, const char *payload)
{
    ow_message m = {topic, payload, strlen(payload), false, NULL};
    must(l->module->message(l->engine, l->now, &m));
}

static inline void live_pass(live *l, uint64_t ms)
{
    l->now.boot_ms += ms;
    l->now.utc_ms += (int64_t)ms;
}

static inline void live_tick(live *l, uint64_t after_ms)
{
    live_pass(l, after_ms);
    must(l->module->tick(l->engine, l->now));
}

static inline int live_by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* Sorts n times and tells of them. */
static inline void live_tell(const char *what, double *took, int n, const char *unit)
{
    qsort(took, (size_t)n, sizeof *took, live_by_size);
    printf("%s: median %.2f %s  99 in 100 under %.2f %s  longest %.2f %s\n", what, took[n / 2],
           unit, took[n * 99 / 100], unit, took[n - 1], unit);
}

#endif
