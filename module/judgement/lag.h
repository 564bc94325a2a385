/* SPDX-License-Identifier: MIT */
/*
 * What probes have taught about the sides of pots, kind by kind, and what of it stays when a probe
 * moves on.
 *
 * Beside each pot that has a probe three shadows of it live through the same hours unpulled, one as
 * the garden file has it, one with less and one with more resistance of the side. What the probe
 * reads above the first, against what lies between the other two, is least squares again (see
 * least_squares.h) with two unknowns, the side and a steady error of the probe, drawn to the tables
 * and fading with months. Only dark and thawed hours teach. Pots of one kind (wall, medium, size)
 * share it; it is bounded.
 */
#ifndef OVERWINTER_JUDGEMENT_LAG_H
#define OVERWINTER_JUDGEMENT_LAG_H

#include "garden/pack.h"
#include "garden/scene.h"

#define OW_LAG_MOST 2.0 /* a factor of resistance at most; its inverse at least */

typedef struct ow_lags ow_lags;

/* The garden must outlive it. OW_NO_MEMORY. */
OW_CHECK ow_status ow_lags_new(const ow_garden *garden, ow_lags **lags);
void ow_lags_free(ow_lags *lags);

/*
 * After a step of the scene, before its bodies are pulled: the probe in a plant's root ball reads
 * probe_c, NAN when it does not or is not of this hour. The shadows go on; the hour may teach.
 * Plants in beds are passed over. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_lags_learn(ow_lags *lags, const ow_scene *scene, int plant, double probe_c);

/* By what the side of a plant's pot resists more than the garden file makes of it; 1 for beds. */
double ow_lags_factor(const ow_lags *lags, int plant);

/* Words for the kind of a plant's pot; NULL for a bed. */
const char *ow_lags_kind(const ow_lags *lags, int plant);

/* Writes or reads it, by kind: what another garden file calls otherwise is left. */
void ow_lags_pack(ow_lags *lags, ow_pack *pack);

#endif
