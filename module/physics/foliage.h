/* SPDX-License-Identifier: MIT */
/*
 * Leaves and buds: a steady energy balance of a thin plate without heat capacity. Colder than the
 * air under a clear still sky; dew and rime slow the cooling.
 */
#ifndef OVERWINTER_PHYSICS_FOLIAGE_H
#define OVERWINTER_PHYSICS_FOLIAGE_H

#include "physics/sky.h"

/* A level thin plate, both sides alike. */
typedef struct ow_plate {
    double air_c;
    double above_wm2; /* long-wave falling on the upper side */
    double below_wm2; /* long-wave falling on the lower side */
    double sun_wm2;   /* absorbed short-wave, per area of one side */
    double emissivity;
    double h_w_m2k;      /* convection of each side */
    double vapour_kpa;   /* of the air; NAN = no dew or rime */
    double pressure_kpa; /* counts only with vapour_kpa */
} ow_plate;

/* Temperature of the plate, C: root of its energy balance (safeguarded Newton, 60 rounds at most). */
double ow_plate_c(const ow_plate *plate);

/* The same of up to OW_PLATES_ABREAST plates at once: put each, settle all, then read plate_c at
 * the number that each got. */
enum { OW_PLATES_ABREAST = 32 };
typedef double ow_plate_row[OW_PLATES_ABREAST];
typedef struct ow_plates {
    int n; /* put so far; start with 0 */
    ow_plate_row air_c, falls_on_wm2, emissivity, h_w_m2k, vapour_kpa;
    ow_plate_row per_kpa; /* heat of dew of both sides, W/m2 for each kPa of vapour too much */
    ow_plate_row plate_c;
} ow_plates;
int ow_plates_put(ow_plates *plates, const ow_plate *plate);
void ow_plates_settle(ow_plates *plates);

/* All fields must be set. */
typedef struct ow_leaf {
    double width_m;    /* across the wind: leaf 0.05, needle or bud 0.01 */
    double sky_view;   /* 0..1 of the half-sphere above */
    double wind_share; /* 0..1 of the wind of open ground */
    double sun_share;  /* 0..1 of the beam that reaches it */
    double surround_c; /* temperature of the rest of the view (wall, hedge); NAN = air */
    double under_c;    /* of the ground or snow below; NAN = the same as surround_c */
    double credit_k;   /* warmth a dry cover lends to the air within, K; 0 without */
    double sky_shut;   /* 0..1 of the sky's long-wave shut out by the cover */
    double light_shut; /* 0..1 of the light shut out by the cover */
    double wind_shut;  /* 0..1 of the wind shut out by the cover */
} ow_leaf;

typedef struct ow_leaf_state {
    double leaf_c;        /* the tissue */
    double air_at_leaf_c; /* the air at it: air + credit, for limits that are of the air */
} ow_leaf_state;

#define OW_LEAF_EMISSIVITY 0.95 /* as in the published leaf rows; leaves 0.94-0.98 */
#define OW_LEAF_ABSORBS 0.5     /* short-wave; green leaves 0.45-0.6 (handbook order) */
#define OW_LEAF_WIDTH_M 0.05
#define OW_BUD_WIDTH_M 0.01

/* The leaf under this sky, and the plate that it is there. */
ow_leaf_state ow_leaf_under(const ow_leaf *leaf, const ow_sky *sky);
ow_plate ow_leaf_plate(const ow_leaf *leaf, const ow_sky *sky);

/*
 * Convection of one side, W/m2K: (OW_LEAF_STILL + OW_LEAF_PER_WIND u) sqrt(OW_LEAF_WIDTH_M / width)
 * with u the wind at about 10 m times what reaches the leaf; width held to 2..500 mm. With dew and
 * rime these two numbers give the grass minima of Hamburg (DWD station 01975, 269 nights October
 * to April) from measured long-wave, humidity and wind with bias 0.0 K and RMSE 0.9 K. They are
 * smaller than those of a leaf in a tunnel, as grass stands in sheltered cold air. The square root
 * of the width is that of a laminar plate.
 */
#define OW_LEAF_STILL 1.5
#define OW_LEAF_PER_WIND 1.75
double ow_leaf_convection(double width_m, double wind_ms);

#endif
