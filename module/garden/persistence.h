/* SPDX-License-Identifier: MIT */
/* The simplest forecast there is: tomorrow as the last day was. */
#ifndef OVERWINTER_GARDEN_PERSISTENCE_H
#define OVERWINTER_GARDEN_PERSISTENCE_H

#include "garden/forcing.h"

/*
 * The next `hours` from the measured last 24 (keep 27 hours of rows): hourly rows from an hour
 * after `now_s` on, into rows[hours]. OW_NOT_FOUND (rows untouched): air was not measured over the
 * last 24 hours without a gap longer than OW_BRIDGE_S.
 */
OW_CHECK ow_status ow_persist(const ow_forcing *measured, ow_utc_s now_s, int hours,
                              ow_weather_at *rows);

#endif
