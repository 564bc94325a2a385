/* SPDX-License-Identifier: MIT */
/*
 * What a place offers a plant during one step: its sky, air, wind, ground and what falls on it,
 * whatever the kind of place. Numbers per kind stand in one table in spot.c; where they are our
 * own judgement (common practice, no source) the table says so.
 */
#ifndef OVERWINTER_GARDEN_SPOT_H
#define OVERWINTER_GARDEN_SPOT_H

#include "garden/garden.h"
#include "physics/glasshouse.h"
#include "physics/sky.h"

typedef struct ow_spot {
    ow_sky sky;        /* as seen from here: open, or glass, or a room's walls */
    double sky_view;   /* 0..1 of the half-sphere above */
    double wind_share; /* 0..1 of open ground's wind */
    double sun_share;  /* 0..1 of the beam */
    double surround_c; /* of what fills the rest of the view; NAN: air */
    double under_c;    /* of the ground or snow that leaves see below them; NAN: surround_c */
    double faces_deg;  /* azimuth that a wall behind leaves open; NAN: free */
    double ground_c;   /* of the ground under the pots */
    double paved_c;    /* the same under paving */
    double surface_c;  /* a measured surface temperature of beds here; NAN: none */
    double film_w_m2k; /* all-in surface coefficient when the place fixes one; else NAN */
    double rain_mm_h;  /* that reaches covers here; 0 where it is not known */
    bool rain_known;
    double snow_r_m2k_w, snow_cm; /* of snow lying here; 0: none */
    double snow_age_days;
    bool ground_fixed; /* ground_c is the grower's own number: no ground of ours under it */
    bool open_air;     /* outdoors */
} ow_spot;

/* The weather out of doors in one step, derived once for all places. */
typedef struct ow_outdoors {
    ow_weather weather;
    ow_sky sky;
    double wall_c;   /* of masonry: slow mean of the air, a little warmed by the house */
    double ground_c; /* of the ground under pots out of doors */
    double paved_c;  /* of the ground under paving there */
    double snow_age_days;
} ow_outdoors;

/* A spot out of doors (open sky, hedge, under eaves, wall). */
void ow_spot_outdoors(const ow_place *place, const ow_outdoors *out, ow_spot *spot);

/* Makes a spot's own air so much warmer than the open site's, with as much water in it as before
 * (at most saturated). */
void ow_spot_warm(ow_spot *spot, double by_k);

/* A spot indoors: steady air. */
void ow_spot_indoors(const ow_place *place, double elevation_m, ow_spot *spot);

/* A spot under glass, from the solved air of the house and the floor's temperature. */
void ow_spot_under_glass(const ow_place *place, const ow_outdoors *out,
                         const ow_glasshouse_out *air, double floor_c, ow_spot *spot);

#endif
