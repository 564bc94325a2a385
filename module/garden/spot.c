/* SPDX-License-Identifier: MIT */
#include "garden/spot.h"

#include <math.h>

#include "physics/covers.h"
#include "physics/humidity.h"

/*
 * Shares by kind of place; our own judgement (common practice, no source). A hedge stands as far
 * off as it is high: it hides (1 - cos 45)/2 of the sky, and half of the wind, as windbreaks that
 * let some through do (order of the trade's figures, from memory).
 */
static const struct {
    double sky_view, wind_share, sun_share, rain_share, snow_share;
} shares[OW_PLACE_KIND_COUNT] = {
    [OW_PLACE_OPEN_SKY] = {1.0, 1.0, 1.0, 1.0, 1.0},
    [OW_PLACE_HEDGE] = {0.85, 0.5, 0.8, 1.0, 1.0},
    [OW_PLACE_UNDER_EAVES] = {0.35, 0.6, 0.5, 0.0, 0.0},
    [OW_PLACE_WALL] = {0.5, 0.5, 1.0, 0.7, 0.7},
    [OW_PLACE_GLASSHOUSE] = {1.0, 0.0, 0.0, 0.0, 0.0},
    [OW_PLACE_INDOORS] = {1.0, 0.0, 0.0, 0.0, 0.0},
};

/* Field by field: a whole one that is copied at once makes the processor wait for its parts. */
static void put_spot(ow_spot *spot, const ow_place *place, const ow_sky *sky, double ground_c)
{
    spot->sky = *sky;
    spot->sky_view = shares[place->kind].sky_view;
    spot->wind_share = shares[place->kind].wind_share;
    spot->sun_share = shares[place->kind].sun_share;
    spot->surround_c = spot->under_c = spot->faces_deg = spot->surface_c = NAN;
    spot->film_w_m2k = place->film_w_m2k;
    spot->ground_fixed = !isnan(place->ground_c);
    spot->ground_c = spot->paved_c = spot->ground_fixed ? place->ground_c : ground_c;
    spot->rain_mm_h = spot->snow_cm = spot->snow_r_m2k_w = spot->snow_age_days = 0.0;
    spot->rain_known = spot->open_air = false;
}

void ow_spot_outdoors(const ow_place *place, const ow_outdoors *out, ow_spot *spot)
{
    put_spot(spot, place, &out->sky, out->ground_c);
    double rain = out->weather.rain_mm, snow = out->weather.snow_cm;
    spot->open_air = true;
    spot->paved_c = spot->ground_fixed ? spot->ground_c : out->paved_c;
    spot->surface_c = out->weather.surface_c;
    spot->rain_known = !isnan(rain);
    spot->rain_mm_h = isnan(rain) ? 0.0 : rain * shares[place->kind].rain_share;
    spot->snow_cm = isnan(snow) ? 0.0 : snow * shares[place->kind].snow_share;
    spot->snow_age_days = out->snow_age_days;
    if (spot->snow_cm > 0.0) {
        spot->snow_r_m2k_w = ow_snow_r_m2k_w(spot->snow_cm / 100.0, out->snow_age_days);
    }
    if (place->kind == OW_PLACE_WALL) {
        spot->surround_c = out->wall_c;
        spot->faces_deg = place->faces_deg;
    }
}

void ow_spot_warm(ow_spot *spot, double by_k)
{
    ow_sky *sky = &spot->sky;
    sky->air_c += by_k;
    double saturated_kpa = ow_saturation_water_kpa(sky->air_c);
    sky->vapour_kpa = fmin(sky->vapour_kpa, saturated_kpa);
    sky->rh_pct = 100.0 * sky->vapour_kpa / saturated_kpa;
    sky->dew_point_c = fmin(sky->dew_point_c, sky->air_c);
}

void ow_spot_indoors(const ow_place *place, double elevation_m, ow_spot *spot)
{
    ow_sky room = ow_sky_within(place->air_c, NAN, ow_pressure_kpa(elevation_m));
    put_spot(spot, place, &room, place->air_c);
}

void ow_spot_under_glass(const ow_place *place, const ow_outdoors *out,
                         const ow_glasshouse_out *air, double floor_c, ow_spot *spot)
{
    ow_sky within = ow_sky_within(air->air_c, out->sky.rh_pct, out->sky.pressure_kpa);
    within.longwave_wm2 = ow_black_body_wm2(air->radiant_c);
    within.sky_c = air->radiant_c;
    within.global_wm2 = air->sun_floor_wm2;
    within.diffuse_wm2 = air->sun_floor_wm2; /* scattered by panes, bars and leaves */
    within.azimuth_deg = out->sky.azimuth_deg;
    put_spot(spot, place, &within, floor_c);
}
