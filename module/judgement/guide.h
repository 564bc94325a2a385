/* SPDX-License-Identifier: MIT */
/*
 * The guide of the heaters: the air that each heated glasshouse is to keep for now, found by running
 * the garden ahead through a day and a night under a few constant set points, all houses in one run.
 *
 *   set-back     the lowest air from set_back_c up to keep_air_above_c at which every plant in the
 *                house stays OW_GUIDE_MARGIN_K above its limits, were it OW_GUIDE_COLDER_K colder
 *                out of doors than foretold.
 *   early start  where the watts cannot hold keep_air_above_c within OW_GUIDE_EARLY_S and a plant
 *                comes near its limit, up to OW_GUIDE_EARLY_K more, if that lifts the plant.
 *   cheap hours  while the hours to come are so dear that the heat pays which a house keeps, up to
 *                OW_GUIDE_EARLY_K more; only in a house that is to be heated in them anyway and
 *                that is not set back. It warms only, so no plant is the colder for it.
 *   falls to     the lowest air with keep_air_above_c kept as far as the watts go.
 *
 * A house with a plant of which no limit is known is not set back.
 */
#ifndef OVERWINTER_JUDGEMENT_GUIDE_H
#define OVERWINTER_JUDGEMENT_GUIDE_H

#include "garden/forcing.h"
#include "garden/scene.h"
#include "judgement/course.h"

/* All ours: a plant's margin above its limits, and how much colder than foretold; how much warmer and how early a house is warmed
 * beforehand, and what that must lift the plant by; what counts as not held; hours looked ahead. */
#define OW_GUIDE_MARGIN_K 1.0
#define OW_GUIDE_COLDER_K 2.0
#define OW_GUIDE_EARLY_K 3.0
#define OW_GUIDE_EARLY_S (4 * OW_HOUR_S)
#define OW_GUIDE_LIFT_K 0.2
#define OW_GUIDE_SHORT_K 0.5
#define OW_GUIDE_HOURS 24.0

/*
 * Of the heat that 3 K more for an hour take, a quarter is spared in the three hours after and
 * little later: measured with this model in a single-glazed house
 * (tests/judgement/test_cheap_hours.c). So it pays, with something to spare, where the least price of the dear hours, from OW_GUIDE_CHEAP_S
 * ahead on for OW_GUIDE_DEAR_S, is this many times the price now: for an hour before they begin.
 */
#define OW_GUIDE_DEAR_TIMES 4.5
#define OW_GUIDE_CHEAP_S OW_HOUR_S
#define OW_GUIDE_DEAR_S (3 * OW_HOUR_S)

typedef enum ow_guide_try {
    OW_TRY_NOTHING, /* its set point is found */
    OW_TRY_KEEP,
    OW_TRY_LOW,
    OW_TRY_BETWEEN,
    OW_TRY_EARLY
} ow_guide_try;

/* One glasshouse with heaters. */
typedef struct ow_guided {
    bool heated;
    double keep_c, low_c, high_c; /* what is kept, the least and the most that may be asked for */
    double set_c;                 /* what is asked for now, until the next is found */
    bool heats;                   /* it will have to in the dear hours ahead, as found last */
    double falls_to_c;            /* lowest air while keep_c is kept; NAN: not looked */
    ow_utc_s falls_s, short_s;    /* when, and when it first falls short; OW_NEVER: it is held */
    ow_guide_try trying;          /* next */
    double try_c;
    double good_c, bad_c;         /* the best so far; too low for a plant */
    bool heated_soon;             /* the look under way has seen it heat in those hours */
    double margin_k;              /* of its plants in the run under way; INFINITY: it has none */
    double keep_margin_k;         /* the same while keep_c is kept */
    bool raised;                  /* the plan asks for all that may be asked for */
} ow_guided;

typedef struct ow_guide {
    const ow_garden *garden;
    ow_guided *house;    /* one a place */
    int houses;          /* heated ones */
    bool cheap;          /* heat pays now, see ow_guide_pays: for who knows prices to say */
    ow_scene *ahead;     /* NULL without them */
    ow_course *course;   /* one a plant */
    const ow_scene *now; /* while it looks */
    int run, step, steps;
    ow_guide_try trying; /* in the run under way */
    ow_utc_s start_s;
} ow_guide;

/* For gardens like the scene's. OW_NO_MEMORY. */
OW_CHECK ow_status ow_guide_new(const ow_scene *scene, ow_guide **guide);
void ow_guide_free(ow_guide *guide);

/*
 * Looks ahead from the scene as it is, which must stay so until _some says that it is done; the
 * forecast starts at or before its now. Without a heated house, or with less than twelve hours
 * of forecast, there is nothing to look at and every house keeps keep_c.
 */
void ow_guide_begin(ow_guide *guide, const ow_scene *now, const ow_forcing *forecast);
/* At most `steps` more steps of the garden; true when the set points are found. */
bool ow_guide_some(ow_guide *guide, const ow_forcing *forecast, int steps);

/* Is an hour at this price so cheap that heat pays before hours of that price and more? False where
 * either is NAN. */
bool ow_guide_pays(double price_now, double price_later);

/*
 * The warmest that the heaters of a place may be asked to keep, from the garden file:
 * OW_GUIDE_EARLY_K above what they keep, with their bands below too warm. NAN: no heated
 * glasshouse, or nothing above what is kept.
 */
double ow_guide_most_c(const ow_garden *garden, int place);

/* From now on a house is to keep ow_guide_most_c, whatever is found, or what was found again. */
void ow_guide_raise(ow_guide *guide, int place, bool raised);

/* What a house is to keep: as found, or as raised; NAN where none is heated. */
double ow_guide_kept_c(const ow_guide *guide, int place);

/* Lets a scene's heaters keep what was found, or, `raised`, what is kept now; NULL: what the garden
 * file says. What is looked ahead for is not raised: it is what would be without that. */
void ow_guide_heaters(const ow_guide *guide, bool raised, ow_scene *scene);

/*
 * What one heater is to keep: as far from its own keep_air_above_c as its house is from the
 * house's. NAN: what the garden file says, where it is no heater of a glasshouse.
 */
double ow_guide_set_c(const ow_guide *guide, const ow_output *heater);

#endif
