/* SPDX-License-Identifier: MIT */
/*
 * Is a probe's record what it is said to be? Gaps, slips of the unit, swapped files, a probe in the
 * air or fallen out, a stuck one: found and told with the mend, before anything is fitted.
 */
#ifndef OVERWINTER_JUDGEMENT_PROBE_RECORD_H
#define OVERWINTER_JUDGEMENT_PROBE_RECORD_H

#include <stdbool.h>
#include <stddef.h>

#include "garden/forcing.h"
#include "physics/calendar.h"

enum { OW_RECORD_WORDS = 400 };

typedef struct ow_probe_at {
    ow_utc_s utc_s;
    double c;
} ow_probe_at;

/* The part of a record with weather to it, hour by hour. */
typedef struct ow_record_hours {
    ow_utc_s from_s; /* the first, a whole hour */
    size_t n;
    double *probe_c, *air_c;
} ow_record_hours;

#define OW_RECORD_GAP_S (3 * OW_HOUR_S) /* longer ones are not fitted across */
#define OW_RECORD_LEAST_H 60            /* three nights and the days between */
#define OW_RECORD_MOST_H (90 * 24)
#define OW_RECORD_COLD_C 8.0 /* the air must have fallen below it */

/*
 * Lays record and weather out by hours. *hours is the caller's to free. OW_OK with a text in `why`
 * when it cannot be used: no common time, gaps, too short, too warm; OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_record_lay_out(const ow_probe_at *probe, size_t n, const ow_forcing *weather,
                                     ow_record_hours *hours, char why[OW_RECORD_WORDS]);
void ow_record_free(ow_record_hours *hours);

/*
 * Looks for what is no root ball: `model_c` is what the tables make of it, hour by hour. True with
 * a text in `why` when something is found.
 */
bool ow_record_is_odd(const ow_record_hours *hours, const double *model_c,
                      char why[OW_RECORD_WORDS]);

#endif
