/* SPDX-License-Identifier: MIT */
/* A weather file read for the programs that score the model; they stop at the first fault. */
#ifndef OVERWINTER_TESTS_TRUTH_ROWS_H
#define OVERWINTER_TESTS_TRUTH_ROWS_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/forcing.h"

enum { ROW_TEXT = 2000, ROW_FIELDS = 40 };

static inline void stop(const char *what, const char *which)
{
    fprintf(stderr, "%s: %s\n", which, what);
    exit(1);
}

/* Cuts a line at its commas, empty fields kept. */
static inline int cut_row(char *line, char *field[ROW_FIELDS])
{
    int n = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; at != NULL && n < ROW_FIELDS; n++) {
        field[n] = at;
        at = strchr(at, ',');
        if (at != NULL) {
            *at++ = '\0';
        }
    }
    return n;
}

static inline double number_of(const char *text)
{
    char *end;
    double x = strtod(text, &end);
    return end == text ? NAN : x;
}

static inline int column_named(char *field[ROW_FIELDS], int n, const char *name)
{
    int i = 0;
    while (i < n && strcmp(field[i], name) != 0) {
        i++;
    }
    return i < n ? i : -1;
}

/* Rows by the columns of a weather file. */
static inline ow_forcing read_rows(const char *path)
{
    static const char *const names[OW_WEATHER_FIELDS] = {
        "air_c",        "rh_pct",  "wind_ms", "cloud_pct", "solar_wm2",
        "longwave_wm2", "rain_mm", "snow_cm", "ground_c",  "surface_c"};
    char line[ROW_TEXT], *field[ROW_FIELDS];
    int column[OW_WEATHER_FIELDS];
    ow_forcing forcing = {0};
    FILE *f = fopen(path, "r");
    if (f == NULL || fgets(line, sizeof line, f) == NULL) {
        stop("cannot be read", path);
    }
    int n = cut_row(line, field);
    for (int k = 0; k < OW_WEATHER_FIELDS; k++) {
        column[k] = column_named(field, n, names[k]);
    }
    while (fgets(line, sizeof line, f) != NULL) {
        ow_weather_at row;
        double value[OW_WEATHER_FIELDS];
        n = cut_row(line, field);
        for (int k = 0; k < OW_WEATHER_FIELDS; k++) {
            value[k] = column[k] >= 0 && column[k] < n ? number_of(field[column[k]]) : NAN;
        }
        memcpy(&row.weather, value, sizeof value);
        if (ow_time_parse(field[0], &row.utc_s) != OW_OK ||
            ow_forcing_add(&forcing, &row, 1) != OW_OK) {
            stop("a row out of time", path);
        }
    }
    fclose(f);
    return forcing;
}

/* One column of another file, told at its times. */
typedef struct series {
    size_t n;
    ow_utc_s *utc_s;
    double *value;
} series;

static inline series read_column(const char *path, const char *name)
{
    enum { MOST = 200000 };
    char line[ROW_TEXT], *field[ROW_FIELDS];
    series s = {0, calloc(MOST, sizeof *s.utc_s), calloc(MOST, sizeof *s.value)};
    FILE *f = fopen(path, "r");
    if (s.utc_s == NULL || s.value == NULL || f == NULL || fgets(line, sizeof line, f) == NULL) {
        stop("cannot be read", path);
    }
    int at = column_named(field, cut_row(line, field), name);
    while (s.n < MOST && fgets(line, sizeof line, f) != NULL) {
        int n = cut_row(line, field);
        if (ow_time_parse(field[0], &s.utc_s[s.n]) != OW_OK) {
            stop("a row without a time", path);
        }
        s.value[s.n++] = at >= 0 && at < n ? number_of(field[at]) : NAN;
    }
    fclose(f);
    return s;
}

#endif
