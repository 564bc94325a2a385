/* SPDX-License-Identifier: MIT */
/*
 * How far the air temperature of a forecast is off, by how far ahead it looks: begun with published
 * verification, then learned from the garden's own readings. Where a forecast tells its own spread,
 * that is taken, scaled by how true it has been so far.
 */
#ifndef OVERWINTER_GARDEN_FORECAST_ERROR_H
#define OVERWINTER_GARDEN_FORECAST_ERROR_H

#include "garden/forcing.h"
#include "garden/pack.h"

enum { OW_LEAD_CLASSES = 7, OW_TOLD_H = 3, OW_TOLD_STEPS = 17 * 24 / OW_TOLD_H + 1 };

typedef struct ow_forecast_skill {
    double variance_k2[OW_LEAD_CLASSES]; /* of the error left when the bias is taken off */
    double weight[OW_LEAD_CLASSES];      /* in errors seen; the prior counts as some */
    double told_ratio, told_weight;      /* error squared over the spread told, squared */
    /* of the forecast in use, kept over no restart: */
    double horizon_h;                    /* where it ends; INFINITY: nowhere */
    double told_sd_k[OW_TOLD_STEPS];     /* its own spread every OW_TOLD_H from now; 0: not told */
} ow_forecast_skill;

/* Nothing learned yet, no end of the forecast known, no spread told. */
void ow_forecast_skill_init(ow_forecast_skill *skill);

/* Takes the horizon and the spread from the rows of a forecast seen from now_s, the last of which
 * is its end. No rows: the horizon is now. */
void ow_forecast_skill_use(ow_forecast_skill *skill, const ow_weather_at *rows, size_t n,
                           ow_utc_s now_s);

/*
 * Standard deviation (K) of the air temperature `lead_h` hours ahead. Unless the forecast tells
 * its own spread it never falls with lead_h. Beyond the horizon, where the weather relaxes to the
 * season's normal, it grows from the forecast's to that of the climate. skill NULL: the prior.
 */
double ow_forecast_error_sd_k(const ow_forecast_skill *skill, double lead_h);

/* Learns one error, measured less forecast (bias taken off), made `lead_h` hours ahead by a
 * forecast that told told_sd_k of spread (0: none). A wild error counts for four deviations. */
void ow_forecast_skill_learn(ow_forecast_skill *skill, double lead_h, double told_sd_k,
                             double error_k);

/* The class that a lead falls into, the middle of a class (h), and its deviation as learned (K). */
int ow_lead_class(double lead_h);
double ow_lead_middle_h(int class);
double ow_lead_class_sd_k(const ow_forecast_skill *skill, int class);

/* Writes or reads what was learned; what is out of range is OW_BAD_INPUT. */
void ow_forecast_skill_pack(ow_forecast_skill *skill, ow_pack *pack);

#endif
