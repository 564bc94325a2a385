/* SPDX-License-Identifier: MIT */
#include "garden/station.h"

#include "garden/quantity.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct ow_station {
    const ow_garden *garden;
    int count;
    ow_sensor *sensor; /* one a reading */
    double *rain_mm;   /* one a reading: told since the last row */
    double *scratch;   /* one a reading: for medians */
};

ow_status ow_station_new(const ow_garden *garden, ow_station **out)
{
    ow_station *station = calloc(1, sizeof *station);
    size_t n = garden->reading_count > 0 ? (size_t)garden->reading_count : 1;
    if (station == NULL) {
        return OW_NO_MEMORY;
    }
    station->garden = garden;
    station->count = garden->reading_count;
    station->sensor = calloc(n, sizeof *station->sensor);
    station->rain_mm = calloc(n, sizeof *station->rain_mm);
    station->scratch = calloc(n, sizeof *station->scratch);
    if (station->sensor == NULL || station->rain_mm == NULL || station->scratch == NULL) {
        ow_station_free(station);
        return OW_NO_MEMORY;
    }
    for (int i = 0; i < station->count; i++) {
        ow_sensor_init(&station->sensor[i], &garden->readings[i]);
    }
    *out = station;
    return OW_OK;
}

void ow_station_free(ow_station *station)
{
    if (station != NULL) {
        free(station->sensor);
        free(station->rain_mm);
        free(station->scratch);
        free(station);
    }
}

int ow_station_take(ow_station *station, const char *topic, const void *bytes, size_t size,
                    bool stored, ow_instant now, ow_report *report)
{
    int believed = -1;
    for (int i = 0; i < station->count; i++) {
        ow_sensor *sensor = &station->sensor[i];
        if (strcmp(sensor->reading->topic, topic) != 0) {
            continue;
        }
        unsigned long before = sensor->taken;
        believed = believed < 0 ? 0 : believed;
        (void)ow_sensor_take(sensor, bytes, size, stored, now, report);
        if (sensor->taken == before) {
            continue;
        }
        believed++;
        if (!stored) { /* a stored sum may have been counted before */
            station->rain_mm[i] += sensor->value;
        }
    }
    return believed;
}

void ow_station_doubt(ow_station *station)
{
    for (int i = 0; i < station->count; i++) {
        ow_sensor_doubt(&station->sensor[i]);
    }
}

const ow_sensor *ow_station_sensor(const ow_station *station, int reading)
{
    return &station->sensor[reading];
}

ow_observed ow_station_reading(const ow_station *station, int reading, double boot_s)
{
    return ow_sensor_look(&station->sensor[reading], boot_s);
}

/* ---- several together ------------------------------------------------------------------------ */

static bool stands_at(const ow_station *station, const ow_reading *reading, int at)
{
    if (reading->measures == OW_MEASURES_ROOT_BALL || reading->measures == OW_MEASURES_TRUNK) {
        return reading->plant.at == at;
    }
    if (at != OW_AT_SITE) {
        return reading->place.at == at;
    }
    return reading->place.at < 0 ||
           station->garden->places[reading->place.at].kind == OW_PLACE_OPEN_SKY;
}

static int by_value(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

static double median(double *value, int n)
{
    qsort(value, (size_t)n, sizeof *value, by_value);
    return n % 2 == 1 ? value[n / 2] : 0.5 * (value[n / 2 - 1] + value[n / 2]);
}

/* Is one better to show than the other, when neither is fresh? */
static bool better(const ow_observed *one, const ow_observed *other)
{
    if (one->quality != other->quality) {
        return one->quality == OW_QUALITY_STORED || other->quality == OW_QUALITY_MISSING;
    }
    return one->age_s < other->age_s;
}

static void add_fresh(ow_observed *all, const ow_observed *one, double *value)
{
    if (all->fresh == 0) {
        *all = (ow_observed){.quality = OW_QUALITY_MEASURED,
                             .age_s = one->age_s,
                             .lowest = one->value,
                             .highest = one->value};
    }
    value[all->fresh++] = one->value;
    all->age_s = fmin(all->age_s, one->age_s);
    all->lowest = fmin(all->lowest, one->value);
    all->highest = fmax(all->highest, one->value);
    all->stuck = all->stuck || one->stuck;
}

ow_observed ow_station_measured(const ow_station *station, ow_measures measures, int at,
                                double boot_s)
{
    ow_observed all = {.value = NAN, .age_s = INFINITY, .lowest = NAN, .highest = NAN};
    for (int i = 0; i < station->count; i++) {
        const ow_reading *reading = station->sensor[i].reading;
        if (reading->measures != measures || !stands_at(station, reading, at)) {
            continue;
        }
        ow_observed one = ow_sensor_look(&station->sensor[i], boot_s);
        if (one.quality == OW_QUALITY_MEASURED) {
            add_fresh(&all, &one, station->scratch);
        } else if (all.fresh == 0 && better(&one, &all)) {
            all = one;
        }
    }
    if (all.fresh > 0) {
        all.value = median(station->scratch, all.fresh);
        all.contradictory = all.highest - all.lowest > ow_quantity_of(measures)->apart;
        all.may_arm = !all.contradictory;
    }
    return all;
}

/* ---- the row --------------------------------------------------------------------------------- */

/* The median of what the fresh gauges told since the last row; begins a new sum. */
static double take_rain(ow_station *station, double boot_s)
{
    int fresh = 0;
    for (int i = 0; i < station->count; i++) {
        const ow_sensor *sensor = &station->sensor[i];
        if (sensor->reading->measures == OW_MEASURES_RAIN &&
            stands_at(station, sensor->reading, OW_AT_SITE) &&
            ow_sensor_look(sensor, boot_s).quality == OW_QUALITY_MEASURED) {
            station->scratch[fresh++] = station->rain_mm[i];
        }
        station->rain_mm[i] = 0.0;
    }
    return fresh > 0 ? median(station->scratch, fresh) : NAN;
}

static double fresh_number(const ow_station *station, ow_measures measures, double boot_s,
                           bool *contradictory)
{
    ow_observed seen = ow_station_measured(station, measures, OW_AT_SITE, boot_s);
    *contradictory = *contradictory || seen.contradictory;
    return seen.quality == OW_QUALITY_MEASURED ? seen.value : NAN;
}

bool ow_station_row(ow_station *station, ow_instant now, ow_weather_at *row, bool *contradictory)
{
    ow_weather *w = &row->weather;
    double boot_s = now.boot_s;
    *contradictory = false;
    row->utc_s = now.utc_s;
    row->air_sd_k = 0.0;
    *w = (ow_weather){.longwave_wm2 = NAN, .surface_c = NAN};
    w->air_c = fresh_number(station, OW_MEASURES_AIR, boot_s, contradictory);
    if (isnan(w->air_c)) {
        return false;
    }
    w->rh_pct = fresh_number(station, OW_MEASURES_HUMIDITY, boot_s, contradictory);
    w->wind_ms = fresh_number(station, OW_MEASURES_WIND, boot_s, contradictory);
    w->cloud_pct = fresh_number(station, OW_MEASURES_CLOUD, boot_s, contradictory);
    w->solar_wm2 = fresh_number(station, OW_MEASURES_SOLAR, boot_s, contradictory);
    w->snow_cm = fresh_number(station, OW_MEASURES_SNOW, boot_s, contradictory);
    w->ground_c = fresh_number(station, OW_MEASURES_GROUND, boot_s, contradictory);
    w->rain_mm = take_rain(station, boot_s);
    return true;
}
