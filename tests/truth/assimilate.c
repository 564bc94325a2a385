/* SPDX-License-Identifier: MIT */
/*
 * A day ahead from a model that a probe has pulled:
 *
 *   assimilate GARDEN.json WEATHER.csv MEASURED.csv SOIL_COLUMN DEPTH_M FROM >MODELLED.csv
 *
 * One scene lives through the weather and is pulled, each step, by the station's own probe as
 * module/garden/probe.h does; each third hour from FROM on a copy of it runs 24 hours on without the probe, and
 * the temperature that the copy ends with is the forecast for its last three hours, 22 to 24 hours
 * ahead. The weather of that day is the measured one: what is tried is the body, not a forecast of
 * weather. Plants: the first of the garden, in a bed.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/forcing.h"
#include "garden/garden.h"
#include "garden/probe.h"
#include "garden/scene.h"

enum { STEP_S = 1800, AHEAD_H = 24, EVERY_H = 3, MOST = 20000, FIELDS = 40 };

static char *text_of(const char *path, size_t *size)
{
    FILE *f = fopen(path, "rb");
    char *text = malloc(1 << 23);
    if (f == NULL || text == NULL) {
        fprintf(stderr, "assimilate: %s cannot be read\n", path);
        exit(1);
    }
    *size = fread(text, 1, (1 << 23) - 1, f);
    text[*size] = '\0';
    fclose(f);
    return text;
}

/* One line cut at its commas; *at moves past it. */
static int next_row(char **at, char *field[FIELDS])
{
    int n = 0;
    char *line = *at, *end = strchr(line, '\n');
    if (*line == '\0') {
        return 0;
    }
    *at = end != NULL ? end + 1 : line + strlen(line);
    if (end != NULL) {
        *end = '\0';
    }
    line[strcspn(line, "\r")] = '\0';
    for (char *p = line; p != NULL && n < FIELDS; n++) {
        field[n] = p;
        p = strchr(p, ',');
        if (p != NULL) {
            *p++ = '\0';
        }
    }
    return n;
}

static double number(const char *text)
{
    char *end;
    double x = strtod(text, &end);
    return end == text ? NAN : x;
}

static int place_of(char *field[FIELDS], int n, const char *name)
{
    for (int i = 0; i < n; i++) {
        if (strcmp(field[i], name) == 0) {
            return i;
        }
    }
    return -1;
}

static ow_utc_s utc_of(const char *text)
{
    ow_utc_s utc;
    if (ow_time_parse(text, &utc) != OW_OK) {
        fprintf(stderr, "assimilate: %s is not a time\n", text);
        exit(1);
    }
    return utc;
}

static void read_weather(char *text, ow_forcing *forcing)
{
    static const char *const name[OW_WEATHER_FIELDS] = {
        "air_c",        "rh_pct",  "wind_ms", "cloud_pct", "solar_wm2",
        "longwave_wm2", "rain_mm", "snow_cm", "ground_c",  "surface_c"};
    char *field[FIELDS];
    int column[OW_WEATHER_FIELDS], n = next_row(&text, field), time_at = place_of(field, n, "time");
    for (int k = 0; k < OW_WEATHER_FIELDS; k++) {
        column[k] = place_of(field, n, name[k]);
    }
    while ((n = next_row(&text, field)) > 0) {
        ow_weather_at row = {.utc_s = utc_of(field[time_at])};
        double value[OW_WEATHER_FIELDS];
        for (int k = 0; k < OW_WEATHER_FIELDS; k++) {
            value[k] = column[k] >= 0 && column[k] < n ? number(field[column[k]]) : NAN;
        }
        memcpy(&row.weather, value, sizeof value);
        if (ow_forcing_add(forcing, &row, 1) != OW_OK) {
            exit(1);
        }
    }
}

static void say(void *self, const char *text)
{
    (void)self;
    fprintf(stderr, "%s\n", text);
}

static void step(ow_scene *scene, const ow_forcing *forcing)
{
    ow_weather mean;
    ow_forcing_mean(forcing, scene->now_s, scene->now_s + STEP_S, &mean);
    ow_scene_step(scene, &mean);
}

static void pull(ow_scene *scene, double measured_c, double depth_m)
{
    const ow_law *law = ow_cast_law(scene->cast, 0, false);
    double model_c = ow_cast_bed_c(scene->cast, 0, depth_m);
    ow_cast_warm(scene->cast, 0, false, ow_probe_heat_j_m3(law, model_c, measured_c, STEP_S));
}

static double soil[MOST];

int main(int argc, char **argv)
{
    size_t size;
    ow_report report = {say, NULL, 0};
    ow_garden *garden = NULL;
    ow_forcing forcing = {0};
    ow_scene *now = NULL, *ahead = NULL;
    char *field[FIELDS], *at;
    if (argc != 7) {
        fprintf(stderr, "usage: assimilate GARDEN WEATHER MEASURED SOIL_COLUMN DEPTH_M FROM\n");
        return 2;
    }
    char *garden_text = text_of(argv[1], &size);
    if (ow_garden_read(argv[1], garden_text, size, &report, &garden) != OW_OK) {
        return 1;
    }
    char *weather_text = text_of(argv[2], &size);
    read_weather(weather_text, &forcing);
    char *measured_text = at = text_of(argv[3], &size);
    int n = next_row(&at, field), soil_at = place_of(field, n, argv[4]);
    double depth_m = atof(argv[5]), air_c = forcing.row[0].weather.air_c;
    ow_utc_s from_s = utc_of(argv[6]), begin_s = forcing.row[0].utc_s;
    for (int i = 0; i < MOST; i++) {
        soil[i] = NAN;
    }
    while ((n = next_row(&at, field)) > 0) {
        long hour = (long)((utc_of(field[0]) - begin_s) / OW_HOUR_S);
        if (hour >= 0 && hour < MOST && soil_at >= 0 && soil_at < n) {
            soil[hour] = number(field[soil_at]);
        }
    }
    if (ow_scene_new(garden, begin_s, STEP_S, air_c, &now) != OW_OK ||
        ow_scene_new(garden, begin_s, STEP_S, air_c, &ahead) != OW_OK) {
        return 1;
    }
    long hours = (long)((forcing.row[forcing.rows - 1].utc_s - begin_s) / OW_HOUR_S);
    printf("time,t\n");
    for (long hour = 0; hour + AHEAD_H < hours && hour + AHEAD_H < MOST; hour += EVERY_H) {
        int steps = now->now_s >= from_s ? 2 * AHEAD_H : 0;
        ow_scene_copy(ahead, now);
        for (int k = 1; k <= steps; k++) {
            step(ahead, &forcing);
            if (k % 2 == 0 && k / 2 > AHEAD_H - EVERY_H) {
                char when[OW_TIME_TEXT];
                ow_time_format(ahead->now_s, when);
                printf("%s,%.3f\n", when, ow_cast_bed_c(ahead->cast, 0, depth_m));
            }
        }
        for (int k = 0; k < 2 * EVERY_H; k++) {
            step(now, &forcing);
            pull(now, soil[hour + (k + 1) / 2], depth_m);
        }
    }
    ow_scene_free(now);
    ow_scene_free(ahead);
    ow_garden_free(garden);
    ow_forcing_free(&forcing);
    free(garden_text);
    free(weather_text);
    free(measured_text);
    return 0;
}
