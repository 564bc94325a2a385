/* SPDX-License-Identifier: MIT */
#include "sim/sensors.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "physics/calendar.h"

static const double STANDS_AT = 0.999; /* of its way: an end contact closes */
enum { KEY_ROOM = 64, FORECAST_EVERY_S = 3600, FORECAST_HOURS = 120 };

/* ---- values ---------------------------------------------------------------------------------- */

/* From the world's own unit to the sensor's: value * factor + offset. */
static const struct {
    ow_unit unit;
    double factor, offset;
} units[] = {
    {OW_UNIT_C, 1.0, 0.0},           {OW_UNIT_F, 1.8, 32.0},
    {OW_UNIT_K, 1.0, 273.15},        {OW_UNIT_PERCENT, 1.0, 0.0},
    {OW_UNIT_SHARE, 0.01, 0.0},      {OW_UNIT_OKTA, 0.08, 0.0},
    {OW_UNIT_M_S, 1.0, 0.0},         {OW_UNIT_KM_H, 3.6, 0.0},
    {OW_UNIT_MPH, 1 / 0.44704, 0.0}, {OW_UNIT_KNOT, 3.6 / 1.852, 0.0},
    {OW_UNIT_W_M2, 1.0, 0.0},        {OW_UNIT_MM, 1.0, 0.0},
    {OW_UNIT_INCH, 1 / 25.4, 0.0},   {OW_UNIT_W, 1.0, 0.0},
    {OW_UNIT_KW, 0.001, 0.0},
};

static double in_unit(double value, ow_unit unit)
{
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (units[i].unit == unit) {
            return value * units[i].factor + units[i].offset;
        }
    }
    return value;
}

/* Snow is centimetres in the world, and a length in four units at the sensor. */
static double snow_in_unit(double cm, ow_unit unit)
{
    return unit == OW_UNIT_CM ? cm : unit == OW_UNIT_M ? cm / 100.0 : in_unit(cm * 10.0, unit);
}

static double power_of(const sim_sensors *s, int reading)
{
    double watts = 0.0;
    for (int i = 0; i < s->devices->count; i++) {
        const sim_device *d = &s->devices->item[i];
        watts += d->output->power.at == reading ? sim_device_watts(d) : 0.0;
    }
    return watts;
}

static double measured(const sim_sensors *s, int reading)
{
    const ow_reading *r = &s->garden->readings[reading];
    const ow_weather_row *w = &s->world->weather;
    /* No sensor stands still to the last digit. */
    double tremble = 0.01 * (double)((s->times * 7u + (unsigned)reading * 3u) % 5u) - 0.02;
    switch (r->measures) {
    case OW_MEASURES_AIR:
        return in_unit((r->place.at < 0 ? w->air_c : s->world->air_c[r->place.at]) + tremble,
                       r->unit);
    case OW_MEASURES_HUMIDITY:
        return in_unit(w->rh_pct, r->unit);
    case OW_MEASURES_WIND:
        return in_unit(fmax(0.0, w->wind_ms + tremble), r->unit);
    case OW_MEASURES_CLOUD:
        return in_unit(w->cloud_pct, r->unit);
    case OW_MEASURES_SOLAR:
        return w->solar_wm2;
    case OW_MEASURES_RAIN:
        return in_unit(w->rain_mm * s->every_s / 3600.0, r->unit);
    case OW_MEASURES_SNOW:
        return snow_in_unit(w->snow_cm, r->unit);
    case OW_MEASURES_GROUND:
        return isnan(w->ground_c) ? NAN : in_unit(w->ground_c + tremble, r->unit);
    case OW_MEASURES_POWER:
        return in_unit(power_of(s, reading), r->unit);
    case OW_MEASURES_ROOT_BALL:
    case OW_MEASURES_TRUNK:
    case OW_MEASURES_CONTACT:
        break;
    }
    return NAN;
}

static bool is_open(const sim_sensors *s, int reading, int64_t now_s)
{
    const char *id = s->garden->readings[reading].id;
    for (int i = 0; i < s->devices->count;
         i++) { /* an end contact is shut when the cloth is there */
        const sim_device *d = &s->devices->item[i];
        if (d->output->kind == OW_OUTPUT_CLOTH_DRIVE && d->output->closed_end.at == reading) {
            return sim_device_closed(d) < STANDS_AT;
        }
        if (d->output->kind == OW_OUTPUT_CLOTH_DRIVE && d->output->open_end.at == reading) {
            return sim_device_closed(d) > 1.0 - STANDS_AT;
        }
    }
    bool open = false;
    for (int i = 0; i < s->openings; i++) {
        open |= strcmp(s->opening[i].reading, id) == 0 && now_s >= s->opening[i].from_s &&
                now_s < s->opening[i].until_s;
    }
    return open;
}

/* NULL: it sends nothing. */
static cJSON *value_of(const sim_sensors *s, int reading, int64_t now_s)
{
    const ow_reading *r = &s->garden->readings[reading];
    char number[32];
    for (int i = 0; i < s->silents; i++) {
        if (strcmp(s->silent[i], r->id) == 0) {
            return NULL;
        }
    }
    if (r->measures == OW_MEASURES_CONTACT) {
        return cJSON_CreateString(is_open(s, reading, now_s) ? r->open : r->shut);
    }
    double value = measured(s, reading);
    snprintf(number, sizeof number, "%.3f", value);
    return isnan(value) ? NULL : cJSON_CreateRaw(number);
}

/* ---- payloads -------------------------------------------------------------------------------- */

/* Puts an item where a JSON pointer of object keys says, and makes the objects on the way. */
static void put_at(cJSON *root, const char *pointer, cJSON *item)
{
    char key[KEY_ROOM];
    while (pointer[0] == '/') {
        size_t length = strcspn(pointer + 1, "/");
        snprintf(key, sizeof key, "%.*s", (int)length, pointer + 1);
        pointer += 1 + length;
        cJSON *next = cJSON_GetObjectItemCaseSensitive(root, key);
        if (pointer[0] == '\0') {
            cJSON_AddItemToObject(root, key, item);
            return;
        }
        root = next != NULL ? next : cJSON_AddObjectToObject(root, key);
    }
    cJSON_Delete(item);
}

static void send_json(const char *topic, cJSON *json, bool retain, ow_client *client)
{
    char *text = cJSON_PrintUnformatted(json);
    if (text != NULL) {
        (void)ow_client_publish(client, topic, text, strlen(text), retain, 0);
    }
    cJSON_free(text);
    cJSON_Delete(json);
}

static void send_plain(const char *topic, cJSON *value, ow_client *client)
{
    const char *text = value->valuestring;
    (void)ow_client_publish(client, topic, text, strlen(text), false, 0);
    cJSON_Delete(value);
}

/* All readings of one topic go in one message. */
static void send_topic(const sim_sensors *s, int of, int64_t now_s, ow_client *client)
{
    const ow_garden *g = s->garden;
    const char *topic = g->readings[of].topic;
    cJSON *root = NULL;
    for (int i = 0; i < g->reading_count; i++) {
        const ow_reading *r = &g->readings[i];
        cJSON *value = strcmp(r->topic, topic) == 0 ? value_of(s, i, now_s) : NULL;
        if (value == NULL) {
            continue;
        }
        if (r->pointer == NULL || r->pointer[0] == '\0') {
            send_plain(topic, value, client);
            continue;
        }
        root = root != NULL ? root : cJSON_CreateObject();
        put_at(root, r->pointer, value);
    }
    if (root != NULL) {
        send_json(topic, root, false, client);
    }
}

static bool begins_topic(const ow_garden *g, int reading)
{
    for (int i = 0; i < reading; i++) {
        if (strcmp(g->readings[i].topic, g->readings[reading].topic) == 0) {
            return false;
        }
    }
    return true;
}

/* ---- the forecast ---------------------------------------------------------------------------- */

static void put_number(cJSON *hour, const char *pointer, double value, ow_unit unit)
{
    if (pointer != NULL && !isnan(value)) {
        char number[32];
        snprintf(number, sizeof number, "%.2f", in_unit(value, unit));
        put_at(hour, pointer, cJSON_CreateRaw(number));
    }
}

static cJSON *hour_of(const ow_forecast_source *f, const ow_weather_row *row)
{
    char time[OW_TIME_TEXT];
    cJSON *hour = cJSON_CreateObject();
    put_at(hour, f->time, cJSON_CreateString(ow_time_format(row->utc_s, time)));
    put_number(hour, f->air, row->air_c, f->unit);
    put_number(hour, f->wind, row->wind_ms, f->wind_unit);
    put_number(hour, f->humidity, row->rh_pct, OW_UNIT_PERCENT);
    put_number(hour, f->cloud, row->cloud_pct, f->cloud_unit);
    put_number(hour, f->rain, row->rain_mm, f->rain_unit);
    return hour;
}

/* The hours ahead as they will be: a perfect forecast. Past the end of the weather its last row
 * stands still. The broker keeps it for who comes later. */
static void send_forecast(const sim_sensors *s, int64_t now_s, ow_client *client)
{
    const ow_forecast_source *f = &s->garden->forecast;
    cJSON *list = cJSON_CreateArray(), *root = list;
    for (int i = 1; i <= FORECAST_HOURS; i++) {
        int64_t at_s = now_s - now_s % OW_HOUR_S + (int64_t)i * OW_HOUR_S;
        ow_weather_row row = sim_world_weather(s->world, at_s);
        row.utc_s = at_s;
        cJSON_AddItemToArray(list, hour_of(f, &row));
    }
    if (f->list != NULL && f->list[0] != '\0') {
        root = cJSON_CreateObject();
        put_at(root, f->list, list);
    }
    send_json(f->topic, root, true, client);
}

/* ---- time ------------------------------------------------------------------------------------ */

bool sim_sensors_begin(sim_sensors *s, const ow_garden *garden, const sim_world *world,
                       const sim_devices *devices)
{
    s->garden = garden;
    s->world = world;
    s->devices = devices;
    s->open = calloc((size_t)garden->reading_count + 1, sizeof *s->open);
    return s->open != NULL;
}

void sim_sensors_end(sim_sensors *s)
{
    free(s->open);
}

static bool is_news(sim_sensors *s, int reading, int64_t now_s)
{
    bool open =
        s->garden->readings[reading].measures == OW_MEASURES_CONTACT && is_open(s, reading, now_s);
    bool news = open != s->open[reading];
    s->open[reading] = open;
    return news;
}

void sim_sensors_move(sim_sensors *s, int64_t now_s, ow_client *client)
{
    if (!ow_client_up(client)) {
        return;
    }
    if (s->garden->forecast.given && now_s >= s->forecast_due_s) {
        s->forecast_due_s = now_s - now_s % FORECAST_EVERY_S + FORECAST_EVERY_S;
        send_forecast(s, now_s, client);
    }
    bool due = now_s >= s->due_s;
    s->due_s = due ? now_s + s->every_s : s->due_s;
    s->times += due;
    for (int i = 0; i < s->garden->reading_count; i++) {
        if (is_news(s, i, now_s) || (due && begins_topic(s->garden, i))) {
            send_topic(s, i, now_s, client);
        }
    }
}
