/* SPDX-License-Identifier: MIT */
/*
 * Weather rows turned into means over steps. Between rows every quantity runs linearly in time;
 * rain is the sum of the period that ends at its row. A quantity missing for longer than
 * OW_BRIDGE_S is not measured; air is always bridged, and its gap is told.
 */
#ifndef OVERWINTER_GARDEN_FORCING_H
#define OVERWINTER_GARDEN_FORCING_H

#include <stddef.h>

#include "physics/calendar.h"
#include "physics/weather.h"
#include "status.h"

#define OW_BRIDGE_S (3 * OW_HOUR_S)

typedef struct ow_weather_at {
    ow_utc_s utc_s;
    ow_weather weather; /* rain_mm: the sum since the row before */
    double air_sd_k;    /* how far off the forecast says its air may be; 0: it does not say */
} ow_weather_at;

/* Rows in rising time; grows by ow_forcing_add; owned by whoever calls ow_forcing_free. */
typedef struct ow_forcing {
    ow_weather_at *row;
    size_t rows, room;
} ow_forcing;

/* Appends rows later than the last. OW_BAD_INPUT (nothing added) when time does not rise or an
 * air temperature of the very first row is missing; OW_NO_MEMORY. */
OW_CHECK ow_status ow_forcing_add(ow_forcing *forcing, const ow_weather_at *rows, size_t n);

/* Forgets rows that means from `before_s` on have no use for: all but the last OW_BRIDGE_S before
 * it and, where that one lacks it, back to a row with an air temperature. */
void ow_forcing_forget(ow_forcing *forcing, ow_utc_s before_s);

/* Seconds from from_s that it tells of, `hours` at most; 0 when it ends before. */
double ow_forcing_ahead_s(const ow_forcing *forcing, ow_utc_s from_s, double hours);

/* Empties it, keeping its memory; and gives the memory back. */
void ow_forcing_clear(ow_forcing *forcing);
void ow_forcing_free(ow_forcing *forcing);

/*
 * Mean weather over [from, to); rain_mm becomes mm per hour. Before the first and after the last
 * row the end values hold. Returns the length (s) of the gap between measured air temperatures
 * that the middle of the step lies in; with no row at all it returns INFINITY and all is NAN.
 */
double ow_forcing_mean(const ow_forcing *forcing, ow_utc_s from_s, ow_utc_s to_s,
                       ow_weather *mean);

#endif
