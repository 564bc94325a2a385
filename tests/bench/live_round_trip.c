/* SPDX-License-Identifier: MIT */
/*
 * From a reading to a command over a real broker: this plays the thermometers, the doors and the
 * plugs of the garden that bench_live.sh has the program mind. A door opens while its heater is
 * on; told is the time until "off" has come back: to the broker, to the program, and both ways
 * again.
 *
 *   live_round_trip PORT HEATERS ROUNDS
 */
#define _POSIX_C_SOURCE 200809L

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "hosts/client.h"
#include "hosts/clocks.h"

enum { HEATERS_MOST = 32, ROUNDS_MOST = 1000, TOPIC_ROOM = 64, PATIENCE_MS = 60000 };

typedef struct bench {
    ow_client *sensors, *plugs;
    int heaters, told; /* told: how many readings so far */
    bool on[HEATERS_MOST];
    struct timespec off_at[HEATERS_MOST];
    uint64_t next_air_ms;
} bench;

static void must(bool done, const char *what)
{
    if (!done) {
        fprintf(stderr, "live_round_trip: %s\n", what);
        exit(1);
    }
}

static void say(ow_client *client, const char *topic, const char *payload)
{
    must(ow_client_publish(client, topic, payload, strlen(payload), false, 0), "not connected");
}

static void say_of(ow_client *client, int heater, const char *what, const char *payload)
{
    char topic[TOPIC_ROOM];
    snprintf(topic, sizeof topic, "bench/%d/%s", heater, what);
    say(client, topic, payload);
}

static void sensors_up(void *self)
{
    (void)self; /* they only talk */
}

static void plugs_up(void *self)
{
    bench *b = self;
    for (int i = 0; i < b->heaters; i++) {
        char topic[TOPIC_ROOM];
        snprintf(topic, sizeof topic, "bench/%d/set", i);
        must(ow_client_subscribe(b->plugs, topic, false), "cannot subscribe");
        say_of(b->plugs, i, "state", "off");
    }
}

static void down(void *self)
{
    (void)self; /* the next thing that is said fails */
}

static void hear(void *self, const ow_message *m)
{
    bench *b = self;
    int i = atoi(m->topic + strlen("bench/"));
    bool on = m->size > 3 && memcmp(m->payload, "on ", 3) == 0;
    if (b->on[i] && !on) {
        clock_gettime(CLOCK_MONOTONIC, &b->off_at[i]);
    }
    b->on[i] = on;
    say_of(b->plugs, i, "state", on ? "on" : "off");
}

/* Readings that differ a little, so that no sensor counts as stuck. */
static void tell_air(bench *b)
{
    char air[16];
    if (ow_client_up(b->sensors) && ow_real_ms() >= b->next_air_ms) {
        b->next_air_ms = ow_real_ms() + 500;
        snprintf(air, sizeof air, "%.1f", 1.0 + 0.1 * (b->told++ % 3));
        say(b->sensors, "bench/air", air);
        say(b->sensors, "bench/house", air);
    }
}

static void serve(bench *b, int wait_ms)
{
    struct pollfd fds[2];
    ow_client_poll(b->sensors, &fds[0]);
    ow_client_poll(b->plugs, &fds[1]);
    must(poll(fds, 2, wait_ms) >= 0, "interrupted");
    ow_client_serve(b->sensors, ow_real_ms());
    ow_client_serve(b->plugs, ow_real_ms());
    tell_air(b);
}

static void serve_for(bench *b, uint64_t ms)
{
    for (uint64_t until_ms = ow_real_ms() + ms; ow_real_ms() < until_ms;) {
        serve(b, 1);
    }
}

static bool all_on(const bench *b)
{
    bool all = ow_client_up(b->sensors) && ow_client_up(b->plugs);
    for (int i = 0; i < b->heaters; i++) {
        all &= b->on[i];
    }
    return all;
}

/* Doors shut until every heater is on. */
static void warm_up(bench *b)
{
    uint64_t late_ms = ow_real_ms() + PATIENCE_MS;
    while (!all_on(b)) {
        must(ow_real_ms() < late_ms, "the heaters do not come on");
        for (int i = 0; ow_client_up(b->sensors) && i < b->heaters; i++) {
            say_of(b->sensors, i, "door", "shut");
        }
        serve_for(b, 100);
    }
}

static double open_door_ms(bench *b, int heater)
{
    struct timespec began;
    uint64_t late_ms = ow_real_ms() + PATIENCE_MS;
    clock_gettime(CLOCK_MONOTONIC, &began);
    say_of(b->sensors, heater, "door", "open");
    while (b->on[heater]) {
        must(ow_real_ms() < late_ms, "a heater stays on with its door open");
        serve(b, 100);
    }
    const struct timespec *off = &b->off_at[heater];
    return 1e3 * (double)(off->tv_sec - began.tv_sec) +
           1e-6 * (double)(off->tv_nsec - began.tv_nsec);
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    static double took_ms[ROUNDS_MOST * HEATERS_MOST];
    must(argc == 4, "say PORT HEATERS ROUNDS");
    bench b = {.heaters = atoi(argv[2])};
    int rounds = atoi(argv[3]), n = 0;
    must(b.heaters >= 1 && b.heaters <= HEATERS_MOST && rounds >= 1 && rounds <= ROUNDS_MOST,
         "1 to 32 heaters, 1 to 1000 rounds");
    const ow_link link = {.host = "127.0.0.1", .port = atoi(argv[1])};
    ow_client_setup setup = {.link = &link,
                             .id = "bench-sensors",
                             .self = &b,
                             .up = sensors_up,
                             .down = down,
                             .message = hear};
    must(ow_client_new(&setup, NULL, &b.sensors) == OW_OK, "no client");
    setup.id = "bench-plugs";
    setup.up = plugs_up;
    must(ow_client_new(&setup, NULL, &b.plugs) == OW_OK, "no client");
    for (int round = 0; round < rounds; round++) {
        warm_up(&b);
        for (int i = 0; i < b.heaters; i++) {
            /* At all times between two ticks. */
            serve_for(&b, (uint64_t)(3 + (round * 37 + i * 23) % 41));
            took_ms[n++] = open_door_ms(&b, i);
        }
    }
    ow_client_free(b.sensors);
    ow_client_free(b.plugs);
    qsort(took_ms, (size_t)n, sizeof *took_ms, by_size);
    printf("  median %.2f ms  95 in 100 under %.2f ms  longest %.2f ms\n", took_ms[n / 2],
           took_ms[n * 95 / 100], took_ms[n - 1]);
    return 0;
}
