/* SPDX-License-Identifier: MIT */
/*
 * Whether what is read may be believed: the air of a heated place against the weather and what
 * glass and heat can make of it, and the garden's own readings against each other and the forecast.
 * The margins are wide, for a model and a thermometer may each be some kelvins off; what lies beyond
 * them is a fault of some kind (common practice, no source).
 */
#ifndef OVERWINTER_HUB_BELIEF_H
#define OVERWINTER_HUB_BELIEF_H

#include "garden/scene.h"
#include "garden/station.h"
#include "hub/engine.h"
#include "outputs/inputs.h"

/* The air under glass is at most this much colder than the colder of the air outside and what the
 * model makes of the house without heat; and this much warmer than the house with all its heat. */
#define OW_BELIEF_COLDER_K 6.0
#define OW_BELIEF_WARMER_K 15.0

/* A heater shows when the air rose by so much since it came on, or keeps so much of the rise that
 * its watts give in the model. Below so small a rise nothing can be told. */
#define OW_BELIEF_ROSE_K 0.5
#define OW_BELIEF_RISE_SHARE 0.25
#define OW_BELIEF_RISE_LEAST_K 2.0

/* The air out of doors and the forecast for now: parted above the first, together below the other. */
#define OW_BELIEF_FORECAST_K 10.0
#define OW_BELIEF_FORECAST_AGAIN_K 8.0

/* Does a reading of the air at a place fit? Unknown but under glass with fresh air outside. */
ow_accord ow_belief_air(const ow_scene *scene, int place, double air_c, const ow_observed *outside);

/* Has a heater that is on made its air warmer? */
ow_accord ow_belief_warmth(const ow_scene *scene, const ow_output *heater, double came_on_c,
                           double warmest_c, double air_c);

/* ---- the garden's own readings --------------------------------------------------------------- */

typedef enum ow_doubt_kind { OW_DOUBT_READINGS, OW_DOUBT_STUCK, OW_DOUBT_FORECAST, OW_DOUBTS } ow_doubt_kind;

/* A doubt is told when it was seen for its time on end, and for half an hour after it is gone. */
typedef struct ow_doubt {
    bool told, seen;
    uint64_t since_ms; /* boot clock: when it was first seen, or last */
} ow_doubt;

/* Looks at the readings with each new row: alerts and urgent notices begin and end here. */
void ow_belief_mind(ow_engine *engine, bool readings_part, double air_c);

#endif
