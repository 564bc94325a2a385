/* SPDX-License-Identifier: MIT */
/*
 * The weather ahead as a topic tells it, by pointers.
 *
 * A forecast is taken whole or not at all: a message without a usable hour ahead changes nothing.
 * Said again it grows no younger. Where one ends sooner than the fresh one held, the older one's
 * hours beyond its end are held on as its tail, as long as they are fresh themselves.
 */
#ifndef OVERWINTER_GARDEN_FORECAST_H
#define OVERWINTER_GARDEN_FORECAST_H

#include "garden/complaint.h"
#include "garden/forcing.h"
#include "garden/forecast_message.h"
#include "garden/garden.h"
#include "garden/sensor.h"

typedef struct ow_forecast {
    const ow_forecast_source *source; /* the garden's; outlives it */
    ow_weather_at *row;               /* rising times; NULL: none held */
    size_t rows;
    size_t own;        /* rows of the last message; those after it are the tail */
    double received_s; /* boot clock: its age counts from here */
    bool stored;       /* it was a stored message: when it was issued is not known */
    double tail_received_s;
    bool tail_stored;
    int dropped_rows, dropped_numbers; /* of the message held, see forecast_message.h */
    ow_complaints complaints;
} ow_forecast;

void ow_forecast_init(ow_forecast *forecast, const ow_forecast_source *source);
void ow_forecast_free(ow_forecast *forecast);

/* One message on the forecast's topic. Anything but OW_CAUSE_NONE changed nothing. */
ow_cause ow_forecast_take(ow_forecast *forecast, const void *bytes, size_t size, bool stored,
                          ow_instant now, ow_report *report);

/* Age of the last message in s; INFINITY: none held. */
double ow_forecast_age_s(const ow_forecast *forecast, double boot_s);

/* Measured, stored, stale (also when its last hour has passed) or missing; of the tail where only
 * that lies ahead. */
ow_quality ow_forecast_quality(const ow_forecast *forecast, ow_instant now);

/* Where the last message ends; INT64_MIN: none held. */
ow_utc_s ow_forecast_own_end_s(const ow_forecast *forecast);

/*
 * The hours of a fresh forecast later than now, up to until_s, at most `room`; returns how many, 0
 * when it is stale or missing. Between hours further apart than OW_BRIDGE_S, up to twelve, hourly
 * rows are drawn in; a longer hole stays one.
 */
size_t ow_forecast_rows(const ow_forecast *forecast, ow_instant now, ow_utc_s until_s,
                        ow_weather_at *rows, size_t room);

#endif
