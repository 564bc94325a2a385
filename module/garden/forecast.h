/* SPDX-License-Identifier: MIT */
/*
 * The weather ahead: from a topic by pointers or, without one that is fresh, the last measured day
 * over again.
 *
 * A forecast is taken whole or not at all: a message without a usable hour ahead, or one that ends
 * within a day and sooner than the fresh one held, changes nothing. Said again it grows no younger.
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
    double received_s; /* boot clock: its age counts from here */
    bool stored;       /* it was a stored message: when it was issued is not known */
    int dropped_rows, dropped_numbers; /* of the message held, see forecast_message.h */
    ow_complaints complaints;
} ow_forecast;

typedef enum ow_ahead {
    OW_AHEAD_NONE,      /* neither a forecast nor a measured day */
    OW_AHEAD_PERSISTED, /* the last measured day over again */
    OW_AHEAD_FORECAST
} ow_ahead;

void ow_forecast_init(ow_forecast *forecast, const ow_forecast_source *source);
void ow_forecast_free(ow_forecast *forecast);

/* One message on the forecast's topic. Anything but OW_CAUSE_NONE changed nothing. */
ow_cause ow_forecast_take(ow_forecast *forecast, const void *bytes, size_t size, bool stored,
                          ow_instant now, ow_report *report);

/* Age in s; INFINITY: none held. */
double ow_forecast_age_s(const ow_forecast *forecast, double boot_s);

/* Measured, stored, stale (also when its last hour has passed) or missing. */
ow_quality ow_forecast_quality(const ow_forecast *forecast, ow_instant now);

/*
 * What is known of the next `hours`: rows later than now, at most `room` of them, *n gets their
 * number. A persisted day takes one row an hour.
 */
ow_ahead ow_forecast_ahead(const ow_forecast *forecast, const ow_forcing *measured, ow_instant now,
                           int hours, ow_weather_at *rows, size_t room, size_t *n);

/* "the forecast", "the last day over again (no fresh forecast)", "nothing". */
const char *ow_ahead_name(ow_ahead ahead);

#endif
