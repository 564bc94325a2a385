/* SPDX-License-Identifier: MIT */
/* Weather beyond what is known: the last day's course about a mean that returns to the normal. */
#ifndef OVERWINTER_GARDEN_RELAX_H
#define OVERWINTER_GARDEN_RELAX_H

#include "garden/forcing.h"

/*
 * Appends hourly rows after the n > 0 rows given, no further than until_s and no more than `room`
 * in all. Where the rows cover less than a day, the measured hours before them are taken too. Rain
 * is not known. Returns the number of rows in all.
 */
size_t ow_relax_on(const ow_site *site, const ow_forcing *measured, ow_weather_at *rows, size_t n,
                   size_t room, ow_utc_s until_s);

#endif
