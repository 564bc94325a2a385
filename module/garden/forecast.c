/* SPDX-License-Identifier: MIT */
#include "garden/forecast.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Holes up to this are drawn across. */
static const ow_utc_s HOLE_S = 12 * OW_HOUR_S;

void ow_forecast_init(ow_forecast *forecast, const ow_forecast_source *source)
{
    *forecast = (ow_forecast){.source = source};
}

void ow_forecast_free(ow_forecast *forecast)
{
    free(forecast->row);
    forecast->row = NULL;
    forecast->rows = forecast->own = 0;
}

/* ---- taking it ------------------------------------------------------------------------------- */

/* The first of the rows that lie ahead of `now`. */
static size_t first_ahead(const ow_weather_at *row, size_t rows, ow_utc_s now_s)
{
    size_t i = 0;
    while (i < rows && row[i].utc_s <= now_s) {
        i++;
    }
    return i;
}

/* Do rows say the same as others of the message, from some time on? */
static bool says_same(const ow_weather_at *held, size_t n, const ow_forecast_message *m,
                      ow_utc_s after_s)
{
    size_t first = first_ahead(held, n, after_s), told = first_ahead(m->row, m->rows, after_s);
    return n - first == m->rows - told && n > first &&
           memcmp(held + first, m->row + told, (n - first) * sizeof *held) == 0;
}

/* Does it say, of the hours ahead, what is held already, as the last message or as its tail? */
static bool said_again(const ow_forecast *f, const ow_forecast_message *m, ow_utc_s now_s)
{
    ow_utc_s own_s = ow_forecast_own_end_s(f);
    return says_same(f->row, f->own, m, now_s) ||
           (f->rows > f->own &&
            says_same(f->row + f->own, f->rows - f->own, m, own_s > now_s ? own_s : now_s));
}

static double stale_s(const ow_forecast *f)
{
    return f->source->stale_after_h * OW_HOUR_S;
}

ow_utc_s ow_forecast_own_end_s(const ow_forecast *f)
{
    return f->own > 0 ? f->row[f->own - 1].utc_s : INT64_MIN;
}

/* May it take the place of the one held? */
static ow_cause weigh(const ow_forecast *f, const ow_forecast_message *m, bool stored,
                      ow_instant now, char why[OW_WHY_TEXT])
{
    double oldest_s = fmax(stale_s(f), OW_DAY_S); /* many lists begin with the day */
    double begun_s = (double)(now.utc_s - m->earliest_s);
    if (stored && begun_s > oldest_s) {
        return ow_forecast_refuse(f->source, why, OW_CAUSE_TIME,
                                  "was stored and begins %.0f hours ago; a stored one may begin"
                                  " %.0f hours ago; wait for the next",
                                  begun_s / OW_HOUR_S, oldest_s / OW_HOUR_S);
    }
    return OW_CAUSE_NONE;
}

static bool is_young(const ow_forecast *f, double received_s, double boot_s)
{
    return fmax(boot_s - received_s, 0.0) <= stale_s(f);
}

/* The rows of what is held that go beyond a message's end, all of one age: the last message's where
 * it does, else the tail's. */
static size_t beyond(const ow_forecast *f, ow_utc_s end_s, double boot_s, size_t *first)
{
    bool own = f->own > 0 && ow_forecast_own_end_s(f) > end_s;
    size_t from = own ? 0 : f->own, until = own ? f->own : f->rows;
    *first = from + first_ahead(f->row + from, until - from, end_s);
    return is_young(f, own ? f->received_s : f->tail_received_s, boot_s) ? until - *first : 0;
}

/* Puts what is held beyond a message's end behind its rows. Without memory for it it is left. */
static void keep_tail(ow_forecast *f, ow_forecast_message *m, ow_instant now)
{
    size_t first = 0, n = beyond(f, m->row[m->rows - 1].utc_s, now.boot_s, &first);
    ow_weather_at *row = n > 0 ? realloc(m->row, (m->rows + n) * sizeof *row) : NULL;
    bool of_tail = first >= f->own;
    f->own = m->rows;
    if (row == NULL) {
        return;
    }
    memcpy(row + m->rows, f->row + first, n * sizeof *row);
    m->row = row;
    m->rows += n;
    f->tail_received_s = of_tail ? f->tail_received_s : f->received_s;
    f->tail_stored = of_tail ? f->tail_stored : f->stored;
}

/* Holds the message's rows, or frees them: said again it keeps its age, since a bridge may repeat
 * what its source said long ago. */
static void hold(ow_forecast *f, ow_forecast_message *m, bool stored, ow_instant now)
{
    if (said_again(f, m, now.utc_s)) {
        free(m->row);
        return;
    }
    keep_tail(f, m, now);
    free(f->row);
    f->row = m->row;
    f->rows = m->rows;
    f->received_s = now.boot_s;
    f->stored = stored;
    f->dropped_rows = m->dropped_rows;
    f->dropped_numbers = m->dropped_numbers;
}

static ow_cause take(ow_forecast *f, const void *bytes, size_t size, bool stored, ow_instant now,
                     char why[OW_WHY_TEXT])
{
    ow_forecast_message m;
    ow_cause cause = ow_forecast_read(f->source, bytes, size, now.utc_s, &m, why);
    if (cause != OW_CAUSE_NONE) {
        return cause;
    }
    cause = weigh(f, &m, stored, now, why);
    if (cause == OW_CAUSE_NONE) {
        hold(f, &m, stored, now);
    } else {
        free(m.row);
    }
    return cause;
}

ow_cause ow_forecast_take(ow_forecast *f, const void *bytes, size_t size, bool stored,
                          ow_instant now, ow_report *report)
{
    char why[OW_WHY_TEXT];
    ow_cause cause = take(f, bytes, size, stored, now, why);
    if (cause == OW_CAUSE_NONE) {
        ow_complaints_end(&f->complaints, f->source->topic, "the forecast", now.boot_s, report);
    } else {
        ow_complain(&f->complaints, cause, why, now.boot_s, report);
    }
    return cause;
}

/* ---- asking it ------------------------------------------------------------------------------- */

double ow_forecast_age_s(const ow_forecast *f, double boot_s)
{
    return f->rows == 0 ? INFINITY : fmax(boot_s - f->received_s, 0.0);
}

/* The rows that may be gone by: [first, until), of the last message and of its tail. */
typedef struct stretch {
    size_t first, until;
} stretch;

static stretch fresh(const ow_forecast *f, ow_instant now)
{
    bool own = is_young(f, f->received_s, now.boot_s) && ow_forecast_own_end_s(f) > now.utc_s;
    bool tail = f->rows > f->own && is_young(f, f->tail_received_s, now.boot_s) &&
                f->row[f->rows - 1].utc_s > now.utc_s;
    return (stretch){own ? 0 : f->own, tail ? f->rows : f->own};
}

ow_quality ow_forecast_quality(const ow_forecast *f, ow_instant now)
{
    if (f->rows == 0) {
        return OW_QUALITY_MISSING;
    }
    stretch s = fresh(f, now);
    if (s.first == s.until) {
        return OW_QUALITY_STALE;
    }
    bool stored = s.first < f->own ? f->stored : f->tail_stored;
    return stored ? OW_QUALITY_STORED : OW_QUALITY_MEASURED;
}

/* A row between two, all columns on straight lines, the rain of the later one spread evenly. */
static ow_weather_at drawn(const ow_weather_at *from, const ow_weather_at *to, ow_utc_s utc_s)
{
    ow_weather_at row = {.utc_s = utc_s};
    double share = (double)(utc_s - from->utc_s) / (double)(to->utc_s - from->utc_s);
    const double *a = (const double *)&from->weather, *b = (const double *)&to->weather;
    double *between = (double *)&row.weather;
    for (int c = 0; c < OW_WEATHER_FIELDS; c++) {
        between[c] = a[c] + share * (b[c] - a[c]);
    }
    row.weather.rain_mm = to->weather.rain_mm;
    row.air_sd_k = from->air_sd_k + share * (to->air_sd_k - from->air_sd_k);
    return row;
}

/* Appends the row `to`; across a hole behind the row `from`, which may lie in the past, hourly. */
static size_t add_row(const ow_weather_at *from, const ow_weather_at *to, ow_utc_s now_s,
                      ow_weather_at *rows, size_t n, size_t room)
{
    ow_utc_s hole_s = from == NULL ? 0 : to->utc_s - from->utc_s;
    bool fill = hole_s > OW_BRIDGE_S && hole_s <= HOLE_S;
    double pieces = fill ? ceil((double)hole_s / OW_HOUR_S) : 1.0;
    for (ow_utc_s t = fill ? from->utc_s + OW_HOUR_S : to->utc_s; t < to->utc_s; t += OW_HOUR_S) {
        if (t > now_s && n < room) {
            rows[n] = drawn(from, to, t);
            rows[n++].weather.rain_mm /= pieces;
        }
    }
    if (n < room) {
        rows[n] = *to;
        rows[n++].weather.rain_mm /= pieces;
    }
    return n;
}

size_t ow_forecast_rows(const ow_forecast *f, ow_instant now, ow_utc_s until_s,
                        ow_weather_at *rows, size_t room)
{
    ow_quality quality = ow_forecast_quality(f, now);
    size_t n = 0;
    if (quality != OW_QUALITY_MEASURED && quality != OW_QUALITY_STORED) {
        return 0;
    }
    stretch s = fresh(f, now);
    size_t first = s.first + first_ahead(f->row + s.first, s.until - s.first, now.utc_s);
    for (size_t i = first; i < s.until && (i == 0 || f->row[i - 1].utc_s < until_s); i++) {
        n = add_row(i > 0 ? &f->row[i - 1] : NULL, &f->row[i], now.utc_s, rows, n, room);
    }
    while (n > 0 && rows[n - 1].utc_s > until_s) { /* only drawn towards */
        n--;
    }
    return n;
}
