/* SPDX-License-Identifier: MIT */
/*
 * What the runs of an ensemble take for what nobody knows. Each unknown is a standard normal
 * deviate. The first run takes none (0: the tables, the forecast as it is); the others share the
 * quantiles of the distribution out among them in a shuffled order, one each (Latin hypercube
 * sampling, McKay, Beckman and Conover 1979), so that few runs stand well for many. Seeds are
 * fixed: the same garden draws the same.
 */
#ifndef OVERWINTER_JUDGEMENT_DRAWS_H
#define OVERWINTER_JUDGEMENT_DRAWS_H

#include <stdint.h>

#include "garden/cast.h"

/* Two blocks of the solver. */
enum { OW_MEMBERS = 2 * OW_LANES };

/* The normal deviate below which that share lies, 0 < share < 1; within 1e-5 for 0.01..0.99. */
double ow_normal_deviate(double share);

/* One unknown for all members; mean 0, mean square 1 over the drawn ones. */
void ow_draw_unknown(uint64_t seed, double normal[OW_MEMBERS]);

/* All unknowns of one plant, known by its id. */
void ow_draw_plant(const char *id, double normal[OW_MEMBERS][OW_UNKNOWNS]);

/* The glazing of one glasshouse, known by its id. */
void ow_draw_glazing(const char *place_id, double normal[OW_MEMBERS]);

/*
 * An error that wanders: begins as one unknown and, at every step, forgets itself by the factor
 * `keeps` and takes on fresh error, so that its variance stays 1 (first-order autoregression). Step
 * 0 begins it.
 */
void ow_draw_wander(uint64_t seed, int step, double keeps, double normal[OW_MEMBERS]);

/*
 * The same, smooth: its pace wanders as above and it follows its pace, both by `keeps`, so that it
 * correlates by (1 + x) exp(-x) over x times -1 / ln(keeps) steps (second-order autoregression of
 * one double root). Variance 1.
 */
typedef struct ow_drift {
    double at[OW_MEMBERS], pace[OW_MEMBERS];
} ow_drift;
void ow_draw_drift(uint64_t seed, int step, double keeps, ow_drift *drift);

#endif
