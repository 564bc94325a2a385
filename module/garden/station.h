/* SPDX-License-Identifier: MIT */
/*
 * All readings of a garden together: who listens to which topic, what several sensors of one
 * quantity in one place say together (the median of the fresh ones), and the weather as measured.
 */
#ifndef OVERWINTER_GARDEN_STATION_H
#define OVERWINTER_GARDEN_STATION_H

#include "garden/forcing.h"
#include "garden/garden.h"
#include "garden/sensor.h"

/* The open site: readings that name no place, and those at places under the open sky. */
#define OW_AT_SITE (-1)

typedef struct ow_station ow_station;

/* The garden must outlive the station. */
OW_CHECK ow_status ow_station_new(const ow_garden *garden, ow_station **station);
void ow_station_free(ow_station *station);

/* Gives a message to every reading on `topic`. Returns how many believed it; -1: none listens. */
int ow_station_take(ow_station *station, const char *topic, const void *bytes, size_t size,
                    bool stored, ow_instant now, ow_report *report);

/* The wall clock jumped: no reading arms anything before it is heard again. */
void ow_station_doubt(ow_station *station);

/* One reading by its index in the garden: a contact (open 1, shut 0), a power... */
ow_observed ow_station_reading(const ow_station *station, int reading, double boot_s);

/* The sensor behind it, for its counts. */
const ow_sensor *ow_station_sensor(const ow_station *station, int reading);

/*
 * What all readings of one quantity say together. `at`: index of a place, or OW_AT_SITE; for a
 * root ball or trunk the index of the plant. Fresh ones count; without any, the best of the rest
 * is shown: a stored one, then the youngest stale one.
 */
ow_observed ow_station_measured(const ow_station *station, ow_measures measures, int at,
                                double boot_s);

/*
 * The weather of the open site as measured now, for ow_forcing_add: fresh numbers only, the rest
 * NAN. rain_mm is what was told since the row before; a row begins a new sum. False: no fresh air
 * temperature, no row, the sum goes on. *contradictory tells that some column is the median of
 * sensors that disagree.
 */
bool ow_station_row(ow_station *station, ow_instant now, ow_weather_at *row, bool *contradictory);

#endif
