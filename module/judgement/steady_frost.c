/* SPDX-License-Identifier: MIT */
#include "judgement/steady_frost.h"

#include <math.h>

#include "garden/cast.h"

/* Midwinter of either half of the earth: the ground's start and foot follow the date. */
static const ow_utc_s FROST_NORTH_S = 1737072000; /* 2025-01-17T00:00:00Z */
static const ow_utc_s FROST_SOUTH_S = 1752710400; /* 2025-07-17T00:00:00Z */

int ow_frost_dresses(const ow_plant *plant)
{
    int covers = plant->covers.count;
    return 1 + (covers < OW_FROST_DRESSES - 1 ? covers : OW_FROST_DRESSES - 1);
}

ow_utc_s ow_frost_from_s(const ow_garden *g)
{
    return g->site.latitude_deg < 0.0 ? FROST_SOUTH_S : FROST_NORTH_S;
}

ow_spot ow_frost_spot(const ow_garden *g, const ow_place *home, double wind_ms, double cloud_pct)
{
    ow_weather weather = {.air_c = OW_FROST_C,
                          .rh_pct = 85.0,
                          .wind_ms = wind_ms,
                          .cloud_pct = cloud_pct,
                          .solar_wm2 = 0.0,
                          .longwave_wm2 = NAN,
                          .snow_cm = NAN,
                          .rain_mm = NAN,
                          .ground_c = NAN,
                          .surface_c = NAN};
    ow_outdoors out = {.weather = weather, .wall_c = OW_FROST_C, .ground_c = 1.0};
    ow_place open = *home;
    ow_spot spot;
    if (home->kind == OW_PLACE_GLASSHOUSE || home->kind == OW_PLACE_INDOORS) {
        open.kind = OW_PLACE_OPEN_SKY;
    }
    out.sky = ow_sky_of(&weather, &g->site, ow_frost_from_s(g), NAN);
    ow_spot_outdoors(&open, &out, &spot);
    return spot;
}

static void note_harm(const ow_actor *a, double h, ow_frost_course *course)
{
    for (int part = 0; part < OW_PARTS && isnan(course->harm_h); part++) {
        if (a->condition.watch[part].damaged) {
            course->harm_h = h;
            course->part = (ow_part)part;
        }
    }
}

static void watch(const ow_actor *a, double h, ow_frost_course *course)
{
    if (isnan(course->half_h) && a->sense.root.ice_share >= 0.5) {
        course->half_h = h;
    }
    if (isnan(course->through_h) && a->condition.drought.frozen_through) {
        course->through_h = h;
    }
    note_harm(a, h, course);
}

/* One actor a dress, side by side in the one spot. */
static ow_status dress_all(const ow_garden *g, const ow_plant *p, int dresses, ow_cast *cast)
{
    ow_status status = OW_OK;
    for (int i = 0; status == OW_OK && i < dresses; i++) {
        cast->actor[i].place = 0;
        cast->actor[i].dress.n = 0;
        if (i > 0) {
            status = ow_dress_add(&cast->actor[i].dress, g, p->covers.item[i - 1].at);
        }
    }
    return status;
}

ow_status ow_steady_frost(const ow_garden *garden, int plant,
                          ow_frost_course course[OW_FROST_DRESSES])
{
    int same[OW_FROST_DRESSES];
    double start[OW_FROST_DRESSES];
    const ow_plant *p = &garden->plants[plant];
    int dresses = ow_frost_dresses(p);
    ow_cast *cast = NULL;
    ow_spot spot = ow_frost_spot(garden, &garden->places[p->place.at], OW_FROST_WIND_MS,
                                 OW_FROST_CLOUD_PCT);
    for (int i = 0; i < dresses; i++) {
        same[i] = plant;
        start[i] = OW_FROST_START_C;
        course[i] = (ow_frost_course){NAN, NAN, NAN, OW_PARTS};
    }
    ow_status status = ow_cast_new(garden, same, dresses, start, ow_frost_from_s(garden), &cast);
    if (status == OW_OK) {
        status = dress_all(garden, p, dresses, cast);
    }
    int steps = OW_FROST_DAYS * OW_DAY_S / OW_FROST_STEP_S;
    for (int k = 0; status == OW_OK && k < steps; k++) {
        ow_utc_s at_s = ow_frost_from_s(garden) + (ow_utc_s)k * OW_FROST_STEP_S;
        ow_cast_step(cast, &spot, at_s, OW_FROST_STEP_S);
        for (int i = 0; i < dresses; i++) {
            watch(&cast->actor[i], (k + 1) * OW_FROST_STEP_S / 3600.0, &course[i]);
        }
    }
    ow_cast_free(cast);
    return status;
}
