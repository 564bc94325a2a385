/* SPDX-License-Identifier: MIT */
/*
 * Guided heat against a plain thermostat, over measured winters:
 *
 *   score_heat EVERY_H WINTER WEATHER.csv LATITUDE LONGITUDE ELEVATION
 *
 * A house of single glass, 6 m2 of floor and 18 m2 of glazing, 3000 W, keeps 5 C and may be set back
 * to -5 C; in it stands one plant of a few kinds. Guided anew every EVERY_H hours under a forecast
 * that is the record, or the record 3 K too warm. Against it stands the constant set point that holds
 * the plant's lowest margin just as well. Prints tab-separated: "heat", winter, plant, forecast,
 * the lowest margin (K), kWh guided, that set point (C), its kWh, kWh at 5 C.
 * Then "store": kWh that 3 K more for an hour before takes, kWh that it saves in the six hours after.
 */
#include "rows.h"

#include <limits.h>

#include "judgement/guide.h"

enum { STEP_S = 1800 };
static const double KEEP_C = 5.0, LOWEST_C = -5.0, TOO_WARM_K = 3.0;

static const struct {
    const char *name, *keys;
} plants[] = {
    {"leaves that bear -1 C", "\"limits\":{\"foliage\":{\"damaged_c\":-1,\"of\":\"tissue\"}},"
                              "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180}"},
    {"roots that bear -1 C, 11 cm", "\"limits\":{\"roots\":{\"damaged_c\":-1}},"
                                    "\"pot\":{\"diameter_mm\":110,\"depth_mm\":100}"},
    {"roots that bear -1 C, 42 cm", "\"limits\":{\"roots\":{\"damaged_c\":-1}},"
                                    "\"pot\":{\"diameter_mm\":420,\"depth_mm\":400}"},
    {"roots that bear -3 C, 20 cm", "\"limits\":{\"roots\":{\"damaged_c\":-3}},"
                                    "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180}"},
};

static void say(void *self, const char *text)
{
    (void)self;
    fprintf(stderr, "%s\n", text);
}

static ow_garden *garden_of(char **where, const char *plant)
{
    char text[2000];
    int used = snprintf(
        text, sizeof text,
        "{\"garden\":\"trial\",\"site\":{\"latitude_deg\":%s,\"longitude_deg\":%s,"
        "\"elevation_m\":%s},\"places\":[{\"id\":\"house\",\"kind\":\"glasshouse\",\"floor_m2\":6,"
        "\"glazing_m2\":18}],\"outputs\":[{\"id\":\"heater\",\"kind\":\"heater\",\"place\":\"house\","
        "\"watts\":3000,\"keep_air_above_c\":%g,\"set_back_c\":%g,\"topic\":\"h\",\"on\":\"on\","
        "\"off\":\"off\",\"cautions_read\":true,\"off_by_itself_s\":600}],"
        "\"plants\":[{\"id\":\"p\",\"place\":\"house\",%s}]}",
        where[0], where[1], where[2], KEEP_C, LOWEST_C, plant);
    ow_report report = {say, NULL, 0};
    ow_garden *garden;
    if (ow_garden_read("trial", text, (size_t)used, &report, &garden) != OW_OK) {
        exit(1);
    }
    return garden;
}

typedef struct winter {
    const ow_garden *garden;
    const ow_forcing *record, *foretold;
    int every_h;
} winter;

typedef struct result {
    double margin_k, kwh;
} result;

/* All at what is kept: a plant that came in frozen would be the lowest of the winter. */
static ow_scene *scene_at_start(const winter *w)
{
    ow_scene *scene;
    if (ow_scene_new(w->garden, w->record->row[0].utc_s, STEP_S, KEEP_C, &scene) != OW_OK) {
        exit(1);
    }
    return scene;
}

/* The winter with a constant set point; guided where there is a guide. */
static result through(const winter *w, ow_guide *guide, double set_c)
{
    ow_scene *s = scene_at_start(w);
    ow_course course;
    ow_utc_s end_s = w->record->row[w->record->rows - 1].utc_s;
    ow_course_start(&course, &s->cast->actor[0]);
    s->set_c[0] = set_c;
    for (int step = 0; s->now_s + STEP_S <= end_s; step++) {
        ow_weather weather;
        if (guide != NULL && step % (w->every_h * 3600 / STEP_S) == 0) {
            ow_guide_begin(guide, s, w->foretold);
            (void)ow_guide_some(guide, w->foretold, INT_MAX);
            ow_guide_heaters(guide, false, s);
        }
        (void)ow_forcing_mean(w->record, s->now_s, s->now_s + STEP_S, &weather);
        ow_scene_step(s, &weather);
        ow_course_step(&course, &s->cast->actor[0], &w->garden->plants[0].tolerance, s->now_s);
    }
    ow_course_end(&course, &s->cast->actor[0]);
    result r = {ow_course_margin_k(&course), s->heater_j[0] / 3.6e6};
    ow_scene_free(s);
    return r;
}

static void compare(const winter *w, const char *name, const char *plant, const char *forecast)
{
    ow_scene *start = scene_at_start(w);
    ow_guide *guide;
    if (ow_guide_new(start, &guide) != OW_OK) {
        exit(1);
    }
    result guided = through(w, guide, KEEP_C), kept = through(w, NULL, KEEP_C), plain = kept;
    double low_c = LOWEST_C - 2.0, set_c = KEEP_C; /* low_c is worse for the plant, or not needed */
    for (int i = 0; i < 8; i++) {
        double try_c = 0.5 * (low_c + set_c);
        result tried = through(w, NULL, try_c);
        bool holds = tried.margin_k >= guided.margin_k;
        plain = holds ? tried : plain;
        set_c = holds ? try_c : set_c;
        low_c = holds ? low_c : try_c;
    }
    printf("heat\t%s\t%s\t%s\t%.2f\t%.1f\t%.2f\t%.1f\t%.1f\n", name, plant, forecast,
           guided.margin_k, guided.kwh, set_c, plain.kwh, kept.kwh);
    ow_guide_free(guide);
    ow_scene_free(start);
}

static ow_forcing warmer(const ow_forcing *record)
{
    ow_forcing made = {0};
    for (size_t i = 0; i < record->rows; i++) {
        ow_weather_at row = record->row[i];
        row.weather.air_c += TOO_WARM_K;
        if (ow_forcing_add(&made, &row, 1) != OW_OK) {
            exit(1);
        }
    }
    return made;
}

/* Heat for cheap hours: an hour of 3 K more, and what of it is saved when the hour is over. */
static void store(const winter *w)
{
    double kwh[2][2];
    for (int more = 0; more < 2; more++) {
        ow_scene *s = scene_at_start(w);
        ow_weather frost = w->record->row[0].weather;
        frost = (ow_weather){.air_c = -2.0, .rh_pct = 90.0, .wind_ms = 2.0, .cloud_pct = 50.0,
                             .solar_wm2 = 0.0, .longwave_wm2 = 250.0, .rain_mm = 0.0,
                             .snow_cm = 0.0, .ground_c = NAN, .surface_c = NAN};
        for (int step = 0; step < 96 + 14; step++) {
            double before_j = s->heater_j[0];
            bool hour = step >= 96 && step < 98;
            s->set_c[0] = KEEP_C + (more && hour ? OW_GUIDE_EARLY_K : 0.0);
            ow_scene_step(s, &frost);
            int after = step >= 98;
            kwh[more][after] = (step == 96 || step == 98 ? 0.0 : kwh[more][after]) +
                               (s->heater_j[0] - before_j) / 3.6e6;
        }
        ow_scene_free(s);
    }
    printf("store\t%.3f\t%.3f\n", kwh[1][0] - kwh[0][0], kwh[0][1] - kwh[1][1]);
}

int main(int argc, char **argv)
{
    if (argc != 7) {
        stop("usage: score_heat EVERY_H WINTER WEATHER.csv LATITUDE LONGITUDE ELEVATION", argv[0]);
    }
    ow_forcing record = read_rows(argv[3]), warm = warmer(&record);
    for (size_t p = 0; p < sizeof plants / sizeof plants[0]; p++) {
        ow_garden *garden = garden_of(&argv[4], plants[p].keys);
        winter w = {garden, &record, &record, atoi(argv[1])};
        compare(&w, argv[2], plants[p].name, "right");
        w.foretold = &warm;
        compare(&w, argv[2], plants[p].name, "3 K too warm");
        if (p == 0) {
            store(&w);
        }
        ow_garden_free(garden);
    }
    ow_forcing_free(&record);
    ow_forcing_free(&warm);
    return 0;
}
