/* SPDX-License-Identifier: MIT */
/* The table of columns that a weather file may have. */
#ifndef OVERWINTER_HOSTS_WEATHER_COLUMNS_H
#define OVERWINTER_HOSTS_WEATHER_COLUMNS_H

#include <stddef.h>

enum { OW_COLUMN_TIME, OW_COLUMN_AIR, OW_COLUMN_COUNT = 11 };

typedef struct ow_weather_column {
    const char *name;
    size_t offset;    /* of the double in ow_weather_row; of no use for the time */
    double low, high; /* that a reading may have */
    const char *unit;
} ow_weather_column;

extern const ow_weather_column ow_weather_columns[OW_COLUMN_COUNT];

/*
 * What a column seems to hold instead of its unit, judged by the least and the greatest of its
 * values: one sentence without a full stop, or NULL when nothing is odd.
 */
const char *ow_weather_unit_doubt(const ow_weather_column *column, double least, double greatest);

#endif
