/* SPDX-License-Identifier: MIT */
/*
 * One reading in time: is its number believable, how old is it, may an output be armed by it?
 *
 * A bad message changes nothing. A change too quick to be true waits for a second like it. A
 * message that the broker had stored (or whose own time is of no use) has an unknown age: it is
 * shown, but arms nothing. No clock is read here: every call is told the time.
 */
#ifndef OVERWINTER_GARDEN_SENSOR_H
#define OVERWINTER_GARDEN_SENSOR_H

#include "garden/complaint.h"
#include "garden/payload.h"
#include "physics/calendar.h"

#include <stdbool.h>

/* A payload's own time may be so much ahead of ours. */
#define OW_AHEAD_S 300.0

/* Now, on both clocks. Ages are counted on the boot clock, which never jumps. */
typedef struct ow_instant {
    double boot_s;
    ow_utc_s utc_s;
} ow_instant;

typedef enum ow_quality {
    OW_QUALITY_MISSING,  /* never heard */
    OW_QUALITY_STALE,    /* heard too long ago */
    OW_QUALITY_STORED,   /* age unknown */
    OW_QUALITY_MEASURED, /* fresh */
    OW_QUALITIES
} ow_quality;

const char *ow_quality_name(ow_quality quality);

typedef struct ow_sensor {
    const ow_reading *reading; /* the garden's; outlives it */
    bool known, age_known;
    double value, taken_s; /* taken_s: boot clock */
    bool doubted;          /* a jump waits for its witness */
    double doubt, doubt_s;
    double same_since_s; /* boot clock, when the value last changed */
    unsigned long same;  /* messages with this value since then */
    unsigned long taken; /* believed messages since the start */
    ow_complaints complaints;
} ow_sensor;

/* What is known of one reading, or of several together (station.h). */
typedef struct ow_observed {
    double value; /* NAN: missing */
    double age_s; /* INFINITY: unknown */
    ow_quality quality;
    bool may_arm;           /* fresh, and nothing is odd about it: an output may act on it */
    bool stuck;             /* the same to the last digit for too long: have a look at it */
    bool contradictory;     /* several fresh ones differ too much: may_arm is false */
    int fresh;              /* how many fresh ones it comes from */
    double lowest, highest; /* of those; the value itself when there is one */
} ow_observed;

void ow_sensor_init(ow_sensor *sensor, const ow_reading *reading);

/* One message. `stored`: the broker had kept it (retained) and gave it on subscribing. */
ow_cause ow_sensor_take(ow_sensor *sensor, const void *bytes, size_t size, bool stored,
                        ow_instant now, ow_report *report);

/* The same after the payload was read; `why` gets the sentence when it is not believed. */
ow_cause ow_sensor_feed(ow_sensor *sensor, const ow_sample *sample, bool stored, ow_instant now,
                        char why[OW_WHY_TEXT]);

/* The wall clock jumped, or the connection was in doubt: the age is unknown until the next. */
void ow_sensor_doubt(ow_sensor *sensor);

ow_observed ow_sensor_look(const ow_sensor *sensor, double boot_s);

#endif
