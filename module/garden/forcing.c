/* SPDX-License-Identifier: MIT */
#include "garden/forcing.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

_Static_assert(sizeof(ow_weather) == OW_WEATHER_FIELDS * sizeof(double), "columns are doubles");

enum { AIR, RAIN = 6 }; /* columns by their place in ow_weather */

static double *columns(ow_weather *weather)
{
    return (double *)weather;
}

static double value_of(const ow_forcing *f, size_t row, int column)
{
    return ((const double *)&f->row[row].weather)[column];
}

ow_status ow_forcing_add(ow_forcing *f, const ow_weather_at *rows, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const ow_weather_at *before = i > 0 ? &rows[i - 1] : f->rows ? &f->row[f->rows - 1] : NULL;
        if (before != NULL ? rows[i].utc_s <= before->utc_s : isnan(rows[i].weather.air_c)) {
            return OW_BAD_INPUT;
        }
    }
    if (f->rows + n > f->room) {
        size_t room = 2 * (f->rows + n);
        ow_weather_at *grown = realloc(f->row, room * sizeof *grown);
        if (grown == NULL) {
            return OW_NO_MEMORY;
        }
        f->row = grown;
        f->room = room;
    }
    if (n > 0) {
        memcpy(f->row + f->rows, rows, n * sizeof *rows);
    }
    f->rows += n;
    return OW_OK;
}

/* The last row not later than t; 0 when all are later. */
static size_t row_at(const ow_forcing *f, ow_utc_s t)
{
    size_t low = 0, high = f->rows;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (f->row[middle].utc_s <= t) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

void ow_forcing_forget(ow_forcing *f, ow_utc_s before_s)
{
    if (f->rows == 0) {
        return;
    }
    size_t keep = row_at(f, before_s - OW_BRIDGE_S); /* a bridge needs both banks */
    while (keep > 0 && isnan(f->row[keep].weather.air_c)) {
        keep--;
    }
    memmove(f->row, f->row + keep, (f->rows - keep) * sizeof *f->row);
    f->rows -= keep;
}

double ow_forcing_ahead_s(const ow_forcing *f, ow_utc_s from_s, double hours)
{
    double told_s = f->rows > 0 ? (double)(f->row[f->rows - 1].utc_s - from_s) : 0.0;
    return fmax(fmin(hours * OW_HOUR_S, told_s), 0.0);
}

void ow_forcing_clear(ow_forcing *f)
{
    f->rows = 0;
}

void ow_forcing_free(ow_forcing *f)
{
    free(f->row);
    *f = (ow_forcing){0};
}

/* Nearest rows around t (first row not later, first row later) that know a column; -1: none. */
static void known_around(const ow_forcing *f, int column, ow_utc_s t, ptrdiff_t *before,
                         ptrdiff_t *after)
{
    ptrdiff_t i = (ptrdiff_t)row_at(f, t), n = (ptrdiff_t)f->rows;
    *after = f->row[i].utc_s > t ? i : i + 1;
    *before = *after - 1;
    while (*before >= 0 && isnan(value_of(f, (size_t)*before, column))) {
        (*before)--;
    }
    while (*after < n && isnan(value_of(f, (size_t)*after, column))) {
        (*after)++;
    }
    if (*after == n) {
        *after = -1;
    }
}

static double gap_s(const ow_forcing *f, ptrdiff_t before, ptrdiff_t after, ow_utc_s t)
{
    if (before < 0 && after < 0) {
        return INFINITY;
    }
    ow_utc_s first = f->row[0].utc_s < t ? f->row[0].utc_s : t; /* rows that did not know it */
    ow_utc_s from = before < 0 ? first : f->row[before].utc_s;
    ow_utc_s to = after < 0 ? t : f->row[after].utc_s;
    return (double)(to - from);
}

static double value_at(const ow_forcing *f, int column, ow_utc_s t)
{
    ptrdiff_t before, after;
    known_around(f, column, t, &before, &after);
    if (before >= 0 && f->row[before].utc_s == t) {
        return value_of(f, (size_t)before, column);
    }
    if (column != AIR && gap_s(f, before, after, t) > OW_BRIDGE_S) {
        return NAN;
    }
    if (before < 0 || after < 0) {
        return before < 0 && after < 0 ? NAN : value_of(f, (size_t)(before < 0 ? after : before), column);
    }
    double from = value_of(f, (size_t)before, column), to = value_of(f, (size_t)after, column);
    double share = (double)(t - f->row[before].utc_s) /
                   (double)(f->row[after].utc_s - f->row[before].utc_s);
    return from + share * (to - from);
}

/* Rain falls evenly over the period that its row ends, but over no more than OW_BRIDGE_S: what
 * fell in a long hole fell at some time in it. The first row's period is unknown. */
static double rain_mm_h(const ow_forcing *f, ow_utc_s t)
{
    size_t end = row_at(f, t) + (f->row[row_at(f, t)].utc_s <= t ? 1 : 0);
    if (end == 0 || end >= f->rows) {
        return NAN;
    }
    ow_utc_s period = f->row[end].utc_s - f->row[end - 1].utc_s;
    if (period > OW_BRIDGE_S) {
        period = OW_BRIDGE_S;
    }
    bool fell = f->row[end].utc_s - t <= period;
    return fell ? value_of(f, end, RAIN) / ((double)period / OW_HOUR_S) : 0.0;
}

/* Trapezoids between the step's ends and the rows within. */
static double column_mean(const ow_forcing *f, int column, ow_utc_s from, ow_utc_s to)
{
    double sum = 0.0;
    size_t next = row_at(f, from) + (f->row[row_at(f, from)].utc_s <= from ? 1 : 0);
    for (ow_utc_s start = from; start < to; next++) {
        ow_utc_s end = next < f->rows && f->row[next].utc_s < to ? f->row[next].utc_s : to;
        double mean = column == RAIN
                          ? rain_mm_h(f, start)
                          : 0.5 * (value_at(f, column, start) + value_at(f, column, end));
        sum += mean * (double)(end - start);
        start = end;
    }
    return sum / (double)(to - from);
}

double ow_forcing_mean(const ow_forcing *f, ow_utc_s from, ow_utc_s to, ow_weather *mean)
{
    ptrdiff_t before, after;
    ow_utc_s middle = from + (to - from) / 2;
    for (int c = 0; c < OW_WEATHER_FIELDS; c++) {
        columns(mean)[c] = f->rows ? column_mean(f, c, from, to) : NAN;
    }
    if (f->rows == 0) {
        return INFINITY;
    }
    known_around(f, AIR, middle, &before, &after);
    return gap_s(f, before, after, middle);
}
