/* SPDX-License-Identifier: MIT */
/*
 * The drought clock of the roots: a plant whose root ball is frozen through cannot drink.
 *
 * Ice shares here are relative: the share of water frozen over that at -5 C, at most 1.
 * The clock starts when the least relative ice share anywhere in the root ball reaches 0.8, and
 * pauses when a tenth of the volume or more is under 0.5. Between the two it keeps what it was
 * doing: a running clock runs until a tenth is open, a paused one rests until frozen through
 * again. 24 hours on end with a tenth open set it back to zero.
 */
#ifndef OVERWINTER_PLANTS_DROUGHT_H
#define OVERWINTER_PLANTS_DROUGHT_H

#include <stdbool.h>

#include "plants/tolerance.h"

#define OW_FROZEN_THROUGH_ICE 0.8 /* least relative ice share at which no liquid core is left */
#define OW_OPEN_ICE 0.5           /* volume with less relative ice than this lets water move */
#define OW_OPEN_VOLUME 0.1        /* share of the volume that must be open */
#define OW_DROUGHT_RESET_S 86400.0

typedef struct ow_drought {
    double clock_s;      /* paced seconds: what suffers_days and may_die_days are held against */
    double frozen_s;     /* plain seconds the clock ran */
    double open_s;       /* seconds on end that a tenth has been open */
    bool frozen_through; /* at the last step */
    bool running;        /* the clock ran in the last step */
    bool was_frozen;     /* has been frozen through since the last reset */
} ow_drought;

void ow_drought_start(ow_drought *drought);

/*
 * One step of dt_s: the least relative ice share in the root ball, the share of its volume with a
 * relative ice share under OW_OPEN_ICE, and the pace of the clock (ow_drought_pace).
 */
void ow_drought_step(ow_drought *drought, double least_rel_ice, double open_volume_share,
                     double pace, double dt_s);

/* Days on the clock, paced. */
double ow_drought_clock_days(const ow_drought *drought);

/* Plain days that the clock ran. */
double ow_drought_frozen_days(const ow_drought *drought);

/* Was frozen through, a tenth is open now: water moves again, and the clock has yet to reset. */
bool ow_drought_thawing(const ow_drought *drought);

/* Seconds of staying open until the clock resets; 0 when there is nothing to reset. */
double ow_drought_reset_in_s(const ow_drought *drought);

/*
 * Days of frozen roots left until suffers_days (or may_die_days) at that pace; 0 when passed;
 * INFINITY when the days are NAN or the pace is 0. `days` is the limit asked about.
 */
double ow_drought_days_left(const ow_drought *drought, double days, double pace);

/*
 * The pace of the clock: 0 for leafless or lifted plants, 1 for resting leaves and for evergreen
 * leaves in shade and calm, up to half as fast again in sun (500 W/m2 on the leaves) and as
 * much in wind (6 m/s): 2 in both. Common practice has it that sun and wind hasten it; the
 * numbers are ours. NAN sun or wind adds nothing.
 */
double ow_drought_pace(ow_leaves leaves, bool lifted, double sun_wm2, double wind_ms);

#endif
