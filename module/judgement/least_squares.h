/* SPDX-License-Identifier: MIT */
/*
 * Least squares with a prior and noise that remembers (AR(1)), for a handful of unknowns. Rows come
 * in order of time, evenly apart; row k is the residual and what each unknown would change of it.
 * Estimated unknowns are solved for; considered ones stay at the prior's middle and only widen
 * the others' uncertainty by what they may hide (Schmidt 1966, consider states).
 */
#ifndef OVERWINTER_JUDGEMENT_LEAST_SQUARES_H
#define OVERWINTER_JUDGEMENT_LEAST_SQUARES_H

#include <stdbool.h>

#include "status.h"

enum { OW_SOUGHT = 5 };

/* Noise of an hourly residual: remembers `memory` (0..1) of the hour before and adds a new part. */
typedef struct ow_noise {
    double memory, new_k;
} ow_noise;

typedef struct ow_sought {
    double prior_sd; /* about zero */
    bool estimated;  /* else considered */
} ow_sought;

/* What the rows so far say: weighted products. Zero it to begin. */
typedef struct ow_normal {
    double jj[OW_SOUGHT][OW_SOUGHT], jr[OW_SOUGHT];
    double cost; /* sum of weighted squares */
    double before[OW_SOUGHT + 1];
    long rows;
} ow_normal;

/* Adds a row. */
void ow_normal_add(ow_normal *normal, const ow_noise *noise, double residual,
                   const double slope[OW_SOUGHT]);

/*
 * The step from `at` to the most likely unknowns, 0 for considered ones. OW_BAD_INPUT when a prior
 * is not above zero or a number is none.
 */
OW_CHECK ow_status ow_normal_step(const ow_normal *normal, const ow_sought unknown[OW_SOUGHT],
                                  const double at[OW_SOUGHT], double step[OW_SOUGHT]);

/* Covariance of the estimated unknowns, with what the considered ones may hide; else zeros. */
OW_CHECK ow_status ow_normal_covariance(const ow_normal *normal,
                                        const ow_sought unknown[OW_SOUGHT],
                                        double covariance[OW_SOUGHT][OW_SOUGHT]);

/*
 * The noise of n residuals in order. A short row shows less memory than there is and, with m
 * unknowns fitted, less noise: both are put right to first order (Marriott & Pope 1954), and a
 * probe's own 0.1 K is always taken to be there.
 */
ow_noise ow_noise_of(const double *residual, long n, int unknowns);

#endif
