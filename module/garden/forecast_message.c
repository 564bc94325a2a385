/* SPDX-License-Identifier: MIT */
#include "garden/forecast_message.h"

#include "garden/json_payload.h"
#include "garden/number_text.h"
#include "garden/quantity.h"
#include "garden/units.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

struct hour {
    ow_weather_at at;
    int order; /* in the message */
};

struct message {
    const ow_forecast_source *source;
    ow_utc_s now_s;
    struct hour *hour; /* OW_FORECAST_ROWS of them */
    int hours, listed;
    ow_forecast_message out;
    char *why;
};

ow_cause ow_forecast_refuse(const ow_forecast_source *source, char why[OW_WHY_TEXT], ow_cause cause,
                            const char *format, ...)
{
    va_list args;
    int used = snprintf(why, OW_WHY_TEXT, "%.160s: the forecast ", source->topic);
    va_start(args, format);
    vsnprintf(why + used, OW_WHY_TEXT - (size_t)used, format, args);
    va_end(args);
    return cause;
}

/* A number of an hour in the unit inside; NAN when left out, and when it cannot be. */
static double field(struct message *m, const cJSON *item, const char *pointer, ow_unit unit,
                    ow_measures measures)
{
    const ow_quantity *q = ow_quantity_of(measures);
    const cJSON *value = pointer == NULL ? NULL : ow_json_at(item, pointer);
    double number = NAN;
    if (value == NULL || cJSON_IsNull(value)) {
        return NAN;
    }
    if (ow_json_number(value, &number)) {
        number = ow_unit_convert(number, unit, q->unit);
    }
    if (!(number >= q->low && number <= q->high)) {
        m->out.dropped_numbers++;
        return NAN;
    }
    return fmin(fmax(number, q->least), q->most);
}

static ow_weather read_weather(struct message *m, const cJSON *item)
{
    const ow_forecast_source *s = m->source;
    return (ow_weather){
        .air_c = field(m, item, s->air, s->unit, OW_MEASURES_AIR),
        .rh_pct = field(m, item, s->humidity, OW_UNIT_PERCENT, OW_MEASURES_HUMIDITY),
        .wind_ms = field(m, item, s->wind, s->wind_unit, OW_MEASURES_WIND),
        .cloud_pct = field(m, item, s->cloud, s->cloud_unit, OW_MEASURES_CLOUD),
        .rain_mm = field(m, item, s->rain, s->rain_unit, OW_MEASURES_RAIN),
        .solar_wm2 = NAN,
        .longwave_wm2 = NAN,
        .snow_cm = NAN,
        .ground_c = NAN,
        .surface_c = NAN,
    };
}

/* Of a normal distribution a tenth lies beyond 1.2816 standard deviations on either side. */
static double read_spread(struct message *m, const cJSON *item)
{
    static const double tenth_sds = 1.2816;
    double low = field(m, item, m->source->air_low, m->source->unit, OW_MEASURES_AIR);
    double high = field(m, item, m->source->air_high, m->source->unit, OW_MEASURES_AIR);
    return high > low ? (high - low) / (2.0 * tenth_sds) : 0.0;
}

static void read_hour(struct message *m, const cJSON *item)
{
    ow_weather_at at;
    if (!ow_json_time(ow_json_at(item, m->source->time), &at.utc_s) ||
        at.utc_s > m->now_s + OW_FORECAST_DAYS * OW_DAY_S || m->hours == OW_FORECAST_ROWS) {
        m->out.dropped_rows++;
        return;
    }
    m->out.earliest_s = at.utc_s < m->out.earliest_s ? at.utc_s : m->out.earliest_s;
    if (at.utc_s < m->now_s - OW_BRIDGE_S) {
        return; /* past, of no use any more and no fault */
    }
    at.weather = read_weather(m, item);
    at.air_sd_k = read_spread(m, item);
    if (isnan(at.weather.air_c)) {
        m->out.dropped_rows++;
        return;
    }
    m->hour[m->hours] = (struct hour){.at = at, .order = m->hours};
    m->hours++;
}

static int by_time(const void *left, const void *right)
{
    const struct hour *a = left, *b = right;
    if (a->at.utc_s != b->at.utc_s) {
        return a->at.utc_s > b->at.utc_s ? 1 : -1;
    }
    return a->order - b->order;
}

static void sort_hours(struct message *m)
{
    int kept = 0;
    qsort(m->hour, (size_t)m->hours, sizeof *m->hour, by_time);
    for (int i = 0; i < m->hours; i++) {
        bool again = kept > 0 && m->hour[kept - 1].at.utc_s == m->hour[i].at.utc_s;
        kept -= again ? 1 : 0;
        m->hour[kept++] = m->hour[i];
    }
    m->hours = kept;
}

static ow_cause read_list(struct message *m, const cJSON *root)
{
    const cJSON *list = ow_json_at(root, m->source->list);
    if (!cJSON_IsArray(list)) {
        return ow_forecast_refuse(
            m->source, m->why, OW_CAUSE_NOT_THERE,
            "has %s at \"%.100s\"; a list of hours is wanted there; mend the pointer",
            list == NULL ? "nothing" : "no list", m->source->list);
    }
    for (const cJSON *item = list->child; item != NULL; item = item->next) {
        m->listed++;
        read_hour(m, item);
    }
    sort_hours(m);
    if (m->hours == 0 || m->hour[m->hours - 1].at.utc_s <= m->now_s) {
        return ow_forecast_refuse(
            m->source, m->why, OW_CAUSE_SHORT,
            "lists %d hours, none of them ahead with a time (ISO 8601 or seconds since"
            " 1970) and an air temperature; mend the pointers or the sender",
            m->listed);
    }
    return OW_CAUSE_NONE;
}

static ow_cause read_message(struct message *m, const void *bytes, size_t size)
{
    char what[OW_WHY_TEXT / 2];
    cJSON *root = NULL;
    if (size > OW_FORECAST_SIZE_MAX) {
        return ow_forecast_refuse(m->source, m->why, OW_CAUSE_LONG,
                                  "comes in %zu bytes; at most %u are read; send fewer hours", size,
                                  OW_FORECAST_SIZE_MAX);
    }
    ow_status status = ow_json_payload(bytes, size, what, sizeof what, &root);
    if (status != OW_OK) {
        return status == OW_NO_MEMORY
                   ? ow_forecast_refuse(m->source, m->why, OW_CAUSE_MEMORY,
                                        "could not be read: out of memory")
                   : ow_forecast_refuse(m->source, m->why, OW_CAUSE_JSON,
                                        "is not valid JSON: %s; mend the sender", what);
    }
    ow_cause cause = read_list(m, root);
    cJSON_Delete(root);
    return cause;
}

static ow_cause give(struct message *m, ow_forecast_message *out)
{
    ow_weather_at *row = malloc((size_t)m->hours * sizeof *row);
    if (row == NULL) {
        return ow_forecast_refuse(m->source, m->why, OW_CAUSE_MEMORY,
                                  "could not be kept: out of memory");
    }
    for (int i = 0; i < m->hours; i++) {
        row[i] = m->hour[i].at;
    }
    m->out.row = row;
    m->out.rows = (size_t)m->hours;
    *out = m->out;
    return OW_CAUSE_NONE;
}

ow_cause ow_forecast_read(const ow_forecast_source *source, const void *bytes, size_t size,
                          ow_utc_s now_s, ow_forecast_message *message, char why[OW_WHY_TEXT])
{
    struct message m = {.source = source, .now_s = now_s, .why = why};
    m.out.earliest_s = INT64_MAX;
    m.hour = calloc(OW_FORECAST_ROWS, sizeof *m.hour);
    ow_cause cause = m.hour == NULL ? ow_forecast_refuse(source, why, OW_CAUSE_MEMORY,
                                                         "could not be read: out of memory")
                                    : read_message(&m, bytes, size);
    if (cause == OW_CAUSE_NONE) {
        cause = give(&m, message);
    }
    free(m.hour);
    return cause;
}
