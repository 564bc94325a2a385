/* SPDX-License-Identifier: MIT */
/* What a live garden learns of its air: the forecast's habit and spread, what a clear night brings,
 * and how places with readings of their own differ from the open site. */
#ifndef OVERWINTER_HUB_LEARN_H
#define OVERWINTER_HUB_LEARN_H

#include "garden/hindsight.h"
#include "garden/night_minimum.h"
#include "hub/engine.h"

typedef struct ow_learned {
    ow_hindsight hindsight;
    ow_nights nights;
    ow_bias *place; /* one a place: its air less that of the open site */
    double told_k;  /* the greatest habit as last logged */
} ow_learned;

OW_CHECK ow_status ow_learned_init(ow_learned *learned, const ow_garden *garden);
void ow_learned_free(ow_learned *learned);

/* Notes the forecast that was just taken, unless it is an old one said again or a stored one. */
void ow_learn_forecast(ow_engine *engine);

/* Before a step of the model: the air of places that have fresh readings of their own. */
void ow_learn_own_air(ow_engine *engine);

/* After a step of the model: learns from what was measured. */
void ow_learn_step(ow_engine *engine);

/* Writes or reads it; places are known by id, so that an edited garden keeps what still fits. */
void ow_learned_pack(ow_learned *learned, const ow_garden *garden, ow_pack *pack);

#endif
