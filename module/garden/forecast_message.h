/* SPDX-License-Identifier: MIT */
/* One message with a forecast: what hours are in it. */
#ifndef OVERWINTER_GARDEN_FORECAST_MESSAGE_H
#define OVERWINTER_GARDEN_FORECAST_MESSAGE_H

#include "garden/forcing.h"
#include "garden/garden.h"
#include "garden/payload.h"

#define OW_FORECAST_SIZE_MAX (256u * 1024u)
#define OW_FORECAST_ROWS 1000
#define OW_FORECAST_DAYS 17 /* hours further ahead are dropped */

/* Hours with a time and an air temperature, from OW_BRIDGE_S ago on. */
typedef struct ow_forecast_message {
    ow_weather_at *row;  /* rising times; of two hours alike the later in the message holds */
    size_t rows;         /* at least one lies ahead */
    ow_utc_s earliest_s; /* of all hours in it, also those left out as past */
    int dropped_rows;    /* no time, no air temperature, too far ahead, too many */
    int dropped_numbers; /* single numbers that are none or out of range: NAN in their row */
} ow_forecast_message;

/*
 * Reads a message as `source` says. OW_CAUSE_NONE: message->row is the caller's, to be freed.
 * Anything else: `why` says in one sentence what is wrong.
 */
ow_cause ow_forecast_read(const ow_forecast_source *source, const void *bytes, size_t size,
                          ow_utc_s now_s, ow_forecast_message *message, char why[OW_WHY_TEXT]);

/* A refusal's sentence, with the topic before it. Returns `cause`. */
ow_cause ow_forecast_refuse(const ow_forecast_source *source, char why[OW_WHY_TEXT], ow_cause cause,
                            const char *format, ...) OW_PRINTF(4, 5);

#endif
