/* SPDX-License-Identifier: MIT */
/*
 * What may be measured: its unit inside, and what a believable number of it looks like. One table
 * for payloads, sensors, stations and forecasts.
 */
#ifndef OVERWINTER_GARDEN_QUANTITY_H
#define OVERWINTER_GARDEN_QUANTITY_H

#include "garden/garden.h"

typedef struct ow_quantity {
    const char *what;   /* in messages: "an air temperature" */
    ow_unit unit;       /* inside, that of the column of ow_weather */
    double low, high;   /* outside it no sensor can be right */
    double least, most; /* a believed value is clipped to it (a hygrometer that says 100.4 %) */
    double jump;        /* a change beyond jump + per_min x minutes wants a second witness */
    double per_min;
    double stuck_h; /* the same to the last digit for longer is odd; INFINITY: it may well be */
    double apart;   /* two fresh sensors of it in one place that differ by more contradict */
} ow_quantity;

/* Constant, lasts for ever. */
const ow_quantity *ow_quantity_of(ow_measures measures);

#endif
