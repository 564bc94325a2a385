/* SPDX-License-Identifier: MIT */
/*
 * From a reading to a command, within the module: a door opens while a heater is on, and the time
 * is told until "off" is handed to the host, tick included. The host ticks once a second and the
 * broker adds its own millisecond or so; both are outside of this number.
 */
#define _POSIX_C_SOURCE 200809L

#include "bench/live.h"

enum { ROUNDS = 400, LEAST_OFF_S = 200 };

static const char garden[] =
    "{\"garden\":\"bench\",\"site\":{\"latitude_deg\":47,\"longitude_deg\":8},"
    "\"readings\":[{\"id\":\"air\",\"measures\":\"air\",\"topic\":\"s/air\"},"
    "{\"id\":\"in\",\"measures\":\"air\",\"place\":\"house\",\"topic\":\"s/in\"},"
    "{\"id\":\"door\",\"measures\":\"contact\",\"topic\":\"s/"
    "door\",\"open\":\"open\",\"shut\":\"shut\"}],"
    "\"places\":[{\"id\":\"house\",\"kind\":\"glasshouse\",\"floor_m2\":6,\"glazing_m2\":20}],"
    "\"plants\":[{\"id\":\"lemon\",\"taxon\":\"Citrus limon\",\"place\":\"house\","
    "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}],"
    "\"outputs\":[{\"id\":\"heater\",\"kind\":\"heater\",\"place\":\"house\",\"watts\":1000,"
    "\"keep_air_above_c\":5,\"topic\":\"p/set\",\"on\":\"on {seconds}\",\"off\":\"off\","
    "\"lease_s\":60,\"off_by_itself_s\":120,\"blocked_while_open\":[\"door\"],\"too_warm_c\":20,"
    "\"longest_run_min\":1440,\"least_rest_min\":1,\"shortest_on_min\":1,\"shortest_off_min\":1,"
    "\"cautions_read\":true}]}";

/* Cold and shut until the heater is on. */
static void warm_up(live *b)
{
    char air[16];
    for (int s = 0; s < 1200 && !b->on; s++) {
        if (s % 20 == 0) {
            snprintf(air, sizeof air, "%.1f", 1.0 + 0.1 * (s % 3));
            live_say(b, "s/air", air);
            live_say(b, "s/in", air);
            live_say(b, "s/door", "shut");
        }
        live_tick(b, 1000);
    }
}

static double since_us(const struct timespec *from, const struct timespec *to)
{
    return 1e6 * (double)(to->tv_sec - from->tv_sec) + 1e-3 * (double)(to->tv_nsec - from->tv_nsec);
}

int main(void)
{
    static double took_us[ROUNDS];
    live b;
    live_begin(&b, garden, sizeof garden - 1);
    int n = 0;
    for (int round = 0; round < ROUNDS; round++) {
        struct timespec began;
        warm_up(&b);
        if (!b.on) {
            break;
        }
        clock_gettime(CLOCK_MONOTONIC, &began);
        live_say(&b, "s/door", "open");
        live_tick(&b, 1000);
        if (b.on) {
            break;
        }
        took_us[n++] = since_us(&began, &b.off_at);
        for (int s = 0; s < LEAST_OFF_S; s++) {
            live_tick(&b, 1000);
        }
    }
    b.module->close(b.engine);
    if (n < ROUNDS) {
        fprintf(stderr, "the heater did not switch in round %d\n", n);
        return 1;
    }
    printf("reading to command, door opened to \"off\", %d rounds\n", n);
    live_tell("  it takes", took_us, n, "us");
    return 0;
}
