/* SPDX-License-Identifier: MIT */
/*
 * The weather an outlook rests on: a fresh forecast with what was learned of its habit; without one
 * a clear night's fall and the last measured day over again; beyond the end of either, weather that
 * relaxes to the season's normal.
 */
#ifndef OVERWINTER_GARDEN_AHEAD_H
#define OVERWINTER_GARDEN_AHEAD_H

#include "garden/forecast.h"
#include "garden/hindsight.h"
#include "garden/night_minimum.h"

typedef enum ow_ahead {
    OW_AHEAD_NONE,      /* neither a forecast nor a measured day */
    OW_AHEAD_PERSISTED, /* the last measured day over again */
    OW_AHEAD_NIGHT,     /* tonight falls as clear nights do, then the same */
    OW_AHEAD_FORECAST
} ow_ahead;

/* What there is to go by; all outlive the call. */
typedef struct ow_known {
    const ow_site *site;
    const ow_forecast *forecast;
    const ow_forcing *measured; /* 27 hours of rows for a day over again */
    const ow_nights *nights;
    const ow_hindsight *hindsight;
} ow_known;

typedef struct ow_view {
    ow_ahead from;
    size_t rows;  /* later than now, rising; up to the hours asked for */
    size_t known; /* rows before the weather relaxes */
} ow_view;

ow_view ow_look_ahead(const ow_known *known, ow_instant now, int hours, ow_weather_at *rows,
                      size_t room);

/* "the forecast", "the last day over again (no fresh forecast)"..., "nothing". */
const char *ow_ahead_name(ow_ahead ahead);

#endif
