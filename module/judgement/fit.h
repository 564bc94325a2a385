/* SPDX-License-Identifier: MIT */
/*
 * What a borrowed probe tells of one pot or bed: how well its side and its top hold heat, and how
 * much water is in it, against the tables.
 *
 * The model that minds the garden is run through the record as it is, sixteen variants of the plant
 * side by side. The most likely unknowns given the record and the tables' own spread are sought by
 * Gauss-Newton steps with shorter ones tried beside them; the noise of the record remembers hours
 * (AR(1)) and is estimated with them. The temperature that the ball began at and the probe's own
 * error are unknown too and are not told. At most three numbers are: wall, cover and film add up,
 * so that only the side as a whole can be known.
 */
#ifndef OVERWINTER_JUDGEMENT_FIT_H
#define OVERWINTER_JUDGEMENT_FIT_H

#include "garden/forcing.h"
#include "garden/garden.h"
#include "judgement/probe_record.h"

/* In the order in which they are asked: where two cannot be told apart the later one is left. */
enum { OW_FIT_SIDE, OW_FIT_TOP, OW_FIT_WATER, OW_FIT_PARTS };

#define OW_FIT_FACTOR_MOST 4.0 /* and a quarter */

/* How far the tables may be off a part, as a spread of natural logarithms: that of OW_SIDE_RANGE,
 * OW_TOP_RANGE or OW_WATER_RANGE. */
double ow_fit_spread(int part);

typedef enum ow_fit_fate {
    OW_FIT_TOLD,
    OW_FIT_NO_SUCH, /* a bed has no side; a medium that was measured has no moisture to find */
    OW_FIT_NO_ICE,  /* only freezing tells how much water there is, and nothing froze once the start
                       had settled */
    OW_FIT_UNTOLD,  /* the record narrows it by too little */
    OW_FIT_TANGLED  /* correlated beyond OW_FIT_TANGLE with an earlier one */
} ow_fit_fate;

#define OW_FIT_TANGLE 0.95

typedef struct ow_fit_part {
    ow_fit_fate fate;
    int tangled_with;        /* OW_FIT_TANGLED: an OW_FIT_ part */
    double tables;           /* what the tables say: 1, or the share of water */
    double value, low, high; /* with the bounds that hold the truth nine times in ten; told only */
} ow_fit_part;

typedef struct ow_fit {
    char refused[OW_RECORD_WORDS]; /* why nothing is told; empty when something is */
    ow_fit_part part[OW_FIT_PARTS];
    double correlation[OW_FIT_PARTS][OW_FIT_PARTS]; /* of those told; else 0 */
    double hours;                                   /* of record used */
    double tables_k, fitted_k; /* root mean square by which the model misses the probe, a steady
                                  error left out */
    double probe_off_k;        /* what the probe seems to read too much */
    double noise_k, memory_h;  /* of the record: its size, and how long it remembers */
    ow_medium medium;          /* with the water told */
} ow_fit;

typedef struct ow_fit_task {
    const ow_garden *garden;
    int plant;
    double depth_m; /* of the probe below the top of the soil, on the axis of a pot */
    const ow_forcing *weather;
    const ow_probe_at *probe; /* in rising time */
    size_t probes;
    int step_s; /* of the model, a whole part of an hour */
} ow_fit_task;

/* Fits a plant to a record. A refusal is OW_OK with fit->refused. OW_NO_MEMORY; OW_BAD_INPUT when
 * the model itself fails. */
OW_CHECK ow_status ow_fit_run(const ow_fit_task *task, ow_fit *fit);

#endif
