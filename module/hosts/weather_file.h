/* SPDX-License-Identifier: MIT */
/*
 * Recorded weather: a CSV text of one header line and rows in the order of time, with the columns
 * time, air_c, rh_pct, wind_ms, cloud_pct, solar_wm2, longwave_wm2, rain_mm, snow_cm, ground_c
 * and surface_c in any order. time and air_c must be there; an empty field was not measured.
 */
#ifndef OVERWINTER_HOSTS_WEATHER_FILE_H
#define OVERWINTER_HOSTS_WEATHER_FILE_H

#include <stddef.h>

#include "overwinter.h"

/* The most that a weather file may hold: a decade of readings every ten minutes. */
#define OW_WEATHER_FILE_MOST ((size_t)64 * 1024 * 1024)

/* Faults told one by one; the rest is counted. */
#define OW_WEATHER_FAULTS_TOLD 20

typedef struct ow_weather_file {
    ow_weather_row *row;
    size_t count;
} ow_weather_file;

/*
 * Reads rows from a text; `name` stands before each message. All faults are told in one go with
 * line and column, and then the status is OW_BAD_INPUT; a column that seems to be in another unit
 * is told as advice. On OW_OK the rows are the caller's, to be freed with ow_weather_file_free.
 */
OW_CHECK ow_status ow_weather_file_read(const char *name, const char *text, size_t size,
                                        ow_report *report, ow_weather_file *weather);

/* The same from a file; OW_IO when it cannot be read, and so told. */
OW_CHECK ow_status ow_weather_file_open(const char *path, ow_report *report,
                                        ow_weather_file *weather);

void ow_weather_file_free(ow_weather_file *weather);

#endif
