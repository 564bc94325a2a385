/* SPDX-License-Identifier: MIT */
/*
 * Is the heater large enough? Each glasshouse's heat loss held against one cold night: the coldest
 * of a weather record, or a stated design temperature.
 *
 * Steady: U A of the panes and the air that leaks, times the difference of temperature (the usual
 * greenhouse heat-loss rule). What floor, pots and a warm wall give back is left out, which is on
 * the safe side; a clear still sky draws more from single glass than U tells, which is not. Real
 * houses scatter by some 20 %.
 */
#ifndef OVERWINTER_JUDGEMENT_SIZING_H
#define OVERWINTER_JUDGEMENT_SIZING_H

#include "garden/forcing.h"
#include "garden/garden.h"

enum { OW_NIGHT_HOURS = 24, OW_DESIGN_YEARS = 10 };

typedef struct ow_design_night {
    int hours;                      /* dark hours, 1..OW_NIGHT_HOURS; 0: no night is known */
    double air_c[OW_NIGHT_HOURS];   /* mean of each hour */
    double coldest_c;
    bool recorded;                  /* else stated */
    ow_utc_s coldest_s;             /* when recorded */
} ow_design_night;

/* The longest night of the year at the site, at one temperature all through. */
void ow_design_night_stated(const ow_site *site, double design_c, ow_design_night *night);

/* The dark hours round the coldest hour of a record's last OW_DESIGN_YEARS years. An empty record:
 * hours is 0. */
void ow_design_night_recorded(const ow_site *site, const ow_forcing *record,
                              ow_design_night *night);

typedef struct ow_house_size {
    double loss_w_k;   /* panes and leaks */
    int heaters;
    double watts;      /* of all heaters in it */
    double keep_c;     /* the highest keep_air_above_c; NAN without a heater */
    double holds_to_c; /* outside temperature down to which keep_c is held; NAN without a heater */
    /* Against a night; NAN without one. */
    double needed_w;   /* to hold keep_c in its coldest hour */
    double falls_to_c; /* lowest air inside with what watts there are */
    double kwh;        /* used in that night with what watts there are */
} ow_house_size;

/* `place` is a glasshouse of the garden. */
void ow_house_size_of(const ow_garden *garden, int place, const ow_design_night *night,
                      ow_house_size *size);

/* Says all this of every glasshouse; nothing in a garden without one. `record` may be NULL. */
void ow_advise_sizes(const ow_garden *garden, const ow_forcing *record, ow_report *report);

#endif
