/* SPDX-License-Identifier: MIT */
/*
 * A garden on a stage for the tests of its model: read from a text, put under invented weather,
 * stepped by half hours. Include it after <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_GARDEN_STAGE_H
#define OVERWINTER_TESTS_GARDEN_STAGE_H

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "garden/scene.h"
#include "physics/sky.h"

#define STAGE_STEP_S 1800
#define STAGE_MIDWINTER ((ow_utc_s)1705276800) /* 2024-01-15T00:00:00Z, a Monday */

/* The words that every garden here begins and ends with; Paris or thereabouts. */
#define STAGE_SITE                                                                                 \
    "{\"garden\":\"stage\",\"site\":{\"latitude_deg\":48.8,\"longitude_deg\":0,"                   \
    "\"elevation_m\":60},"
#define STAGE_LIMITS                                                                               \
    "\"limits\":{\"foliage\":{\"damaged_c\":-5,\"killed_c\":-8},"                                  \
    "\"growing point\":{\"damaged_c\":-5,\"killed_c\":-8},"                                        \
    "\"storage organ\":{\"damaged_c\":-1,\"killed_c\":-3}}"

static inline void stage_say(void *self, const char *text)
{
    (void)self;
    print_error("%s\n", text);
}

static inline ow_garden *stage_garden(const char *text)
{
    ow_report report = {stage_say, NULL, 0};
    ow_garden *garden = NULL;
    assert_int_equal(ow_garden_read("stage.json", text, strlen(text), &report, &garden), OW_OK);
    return garden;
}

static inline ow_weather stage_unknown(void)
{
    return (ow_weather){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
}

/* Air and wind, no rain, sun or snow, and a sky as warm as the air. */
static inline ow_weather stage_dull(double air_c, double wind_ms)
{
    ow_weather w = stage_unknown();
    w.air_c = air_c;
    w.rh_pct = 80.0;
    w.wind_ms = wind_ms;
    w.solar_wm2 = w.rain_mm = w.snow_cm = 0.0;
    w.longwave_wm2 = ow_black_body_wm2(air_c);
    return w;
}

/* The same under a clear sky at night: some 100 W/m2 less from above. */
static inline ow_weather stage_clear_night(double air_c, double wind_ms)
{
    ow_weather w = stage_dull(air_c, wind_ms);
    w.longwave_wm2 -= 100.0;
    return w;
}

typedef struct stage {
    ow_garden *garden;
    ow_scene *scene;
} stage;

static inline stage stage_open(const char *text, double air_c)
{
    stage s = {.garden = stage_garden(text)};
    assert_int_equal(ow_scene_new(s.garden, STAGE_MIDWINTER, STAGE_STEP_S, air_c, &s.scene), OW_OK);
    return s;
}

static inline void stage_close(stage *s)
{
    ow_scene_free(s->scene);
    ow_garden_free(s->garden);
}

static inline void stage_run(stage *s, const ow_weather *weather, double hours)
{
    for (int i = 0; i < (int)(hours * 3600.0 / STAGE_STEP_S); i++) {
        ow_scene_step(s->scene, weather);
    }
}

static inline const ow_actor *stage_actor(const stage *s, int plant)
{
    return &s->scene->cast->actor[plant];
}

static inline double stage_ice(const stage *s, int plant)
{
    return stage_actor(s, plant)->sense.root.ice_share;
}

static inline double stage_mean_c(const stage *s, int plant)
{
    return stage_actor(s, plant)->sense.root.mean_c;
}

#endif
