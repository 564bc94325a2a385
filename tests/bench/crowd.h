/* SPDX-License-Identifier: MIT */
/*
 * What the benchmarks share: clocks, and the text of a garden of as many plants as wanted, pots
 * large and small, beds and trunks, out of doors and under glass.
 */
#ifndef OVERWINTER_TESTS_BENCH_CROWD_H
#define OVERWINTER_TESTS_BENCH_CROWD_H

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "status.h"

enum { CROWD_TEXT = 64000 };

static inline void must(ow_status status)
{
    if (status != OW_OK) {
        fprintf(stderr, "%s\n", ow_status_text(status));
        exit(1);
    }
}

/* Processor time of this program, s: what else the machine does is outside of it. */
static inline double spent_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static const char CROWD_HEAD[] =
    "{\"garden\":\"bench\",\"site\":{\"latitude_deg\":47,\"longitude_deg\":8},"
    "\"readings\":[{\"id\":\"air\",\"measures\":\"air\",\"topic\":\"s/air\"}],"
    "\"forecast\":{\"topic\":\"w/f\",\"list\":\"/h\",\"time\":\"/t\",\"air\":\"/a\"},"
    "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"},"
    "{\"id\":\"wall\",\"kind\":\"wall\",\"faces_deg\":180},"
    "{\"id\":\"house\",\"kind\":\"glasshouse\",\"floor_m2\":9,\"glazing_m2\":25,\"room_for\":12},"
    "{\"id\":\"cellar\",\"kind\":\"indoors\",\"air_c\":7,\"room_for\":6}],"
    "\"covers\":[{\"id\":\"cloth\",\"kind\":\"fleece\",\"count\":12},"
    "{\"id\":\"thick\",\"kind\":\"thick fleece\",\"count\":8},"
    "{\"id\":\"film\",\"kind\":\"bubble film\",\"count\":6},"
    "{\"id\":\"straw\",\"kind\":\"straw\",\"count\":4}],"
    "\"plants\":[";

/* Ten homes, over and over. Limits of its own, so that a frost threatens most. */
static const char *const CROWD_HOMES[] = {
    "\"place\":\"deck\",\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}",
    "\"place\":\"wall\",\"pot\":{\"diameter_mm\":420,\"depth_mm\":380,\"wall\":\"terracotta\"}",
    "\"place\":\"deck\",\"pot\":{\"diameter_mm\":110,\"depth_mm\":100}",
    "\"place\":\"deck\",\"pot\":{\"diameter_mm\":350,\"depth_mm\":320,\"stands_on\":\"raised\"}",
    "\"place\":\"wall\",\"bed\":{}",
    "\"place\":\"house\",\"pot\":{\"diameter_mm\":260,\"depth_mm\":240}",
    "\"place\":\"deck\",\"pot\":{\"diameter_mm\":240,\"depth_mm\":220,\"medium\":\"bog mix\","
    "\"moisture\":\"wet\"}",
    "\"place\":\"deck\",\"bed\":{},"
    "\"trunk\":{\"diameter_mm\":220,\"height_mm\":900,\"growing_point_mm\":40}",
    "\"place\":\"wall\",\"pot\":{\"diameter_mm\":380,\"depth_mm\":340,\"stands_on\":\"raised\"}",
    "\"place\":\"deck\",\"pot\":{\"diameter_mm\":320,\"depth_mm\":300,\"wall\":\"wood\"}",
};
enum { CROWD_KINDS = sizeof CROWD_HOMES / sizeof CROWD_HOMES[0] };

/* The garden file of n plants; returns its length. */
static inline size_t crowd_text(int n, char text[CROWD_TEXT])
{
    size_t used = (size_t)snprintf(text, CROWD_TEXT, "%s", CROWD_HEAD);
    for (int i = 0; i < n; i++) {
        used += (size_t)snprintf(text + used, CROWD_TEXT - used,
                                 "%s{\"id\":\"p%d\",%s,\"covers\":[\"cloth\",\"thick\",\"film\","
                                 "\"straw\"],\"limits\":{\"foliage\":{\"damaged_c\":-5,"
                                 "\"killed_c\":-9},\"roots\":{\"damaged_c\":-4}}}",
                                 i > 0 ? "," : "", i, CROWD_HOMES[i % CROWD_KINDS]);
    }
    used += (size_t)snprintf(text + used, CROWD_TEXT - used, "]}");
    if (used >= CROWD_TEXT - 1) {
        fprintf(stderr, "too many plants\n");
        exit(1);
    }
    return used;
}

/* The forecast of the hour: nights colder from day to day. */
static inline double crowd_air_c(double hour)
{
    double at = hour - 24.0 * (int)(hour / 24.0), day = at < 12.0 ? at / 12.0 : 2.0 - at / 12.0;
    return 4.0 - hour / 24.0 - 8.0 * day;
}

#endif
