/* SPDX-License-Identifier: MIT */
/* The garden's model through a probe's record, sixteen variants of a plant at once: what they make
 * of the probe, what that costs, and which way it falls. For fit.c and fit_search.c. */
#ifndef OVERWINTER_JUDGEMENT_FIT_MODEL_H
#define OVERWINTER_JUDGEMENT_FIT_MODEL_H

#include "garden/variants.h"
#include "judgement/fit.h"
#include "judgement/least_squares.h"

/* The unknowns behind the parts that are told: the start, K, and the probe's error, K. */
enum { OW_FIT_START = OW_FIT_PARTS, OW_FIT_PROBE_OFF, OW_FIT_SLOPED = OW_FIT_PROBE_OFF };

/* Variants of one run: a candidate, two for each slope, then shorter steps to it. */
enum { OW_FIT_WITH_SLOPES = 1 + 2 * OW_FIT_SLOPED, OW_FIT_SHORTER = 3, OW_FIT_LOOKS = OW_LANES };
extern const double ow_fit_shorten[OW_FIT_SHORTER];

typedef struct ow_fit_work {
    const ow_fit_task *task;
    ow_record_hours hours;
    ow_variants variants;
    ow_weather *weather; /* one a step from begin_s on */
    long steps;
    ow_utc_s begin_s;
    double begin_c;
    double *weight;  /* hour by hour, 0..1 */
    double *model_c; /* hour by hour, variant after variant, of the last run */
    ow_sought unknown[OW_SOUGHT];
    double low[OW_SOUGHT], high[OW_SOUGHT];
    double at[OW_SOUGHT]; /* where the search stands: logarithms over the tables, and kelvins */
    ow_noise noise;
    double water;   /* of the tables; NAN: measured, not to be found */
    size_t settled; /* the first hour that is fitted */
} ow_fit_work;

/* Lives n variants through the record, into model_c. */
OW_CHECK ow_status ow_fit_live(ow_fit_work *work, double theta[][OW_SOUGHT], int n);

/* What the probe reads above a variant of the last run, its own error taken off, K. */
double ow_fit_residual(const ow_fit_work *work, int variant, size_t hour, double probe_off_k);

/* Sets the weights of the hours. */
void ow_fit_weigh(ow_fit_work *work);

/* Twice the negative logarithm of how likely a variant of the last run is, up to a constant. */
double ow_fit_cost(const ow_fit_work *work, int variant, const double *theta);

/* Runs a candidate with its slopes and, when it is not `from` itself, shorter steps towards it. */
OW_CHECK ow_status ow_fit_try(ow_fit_work *work, const double *from, const double *to);

/* Of the whole step and the shorter ones that were tried the share of it that costs least; 0: none
 * costs less than `before`. */
double ow_fit_best(const ow_fit_work *work, const double *from, const double *to, double before);

/* The slopes of the candidate that was tried last. */
void ow_fit_gather(const ow_fit_work *work, const double *theta, ow_normal *normal);

#endif
