/* SPDX-License-Identifier: MIT */
/*
 * How far the air temperature of a forecast is off, by how far ahead it looks: begun with published
 * verification, then learned from the garden's own readings.
 */
#ifndef OVERWINTER_GARDEN_FORECAST_ERROR_H
#define OVERWINTER_GARDEN_FORECAST_ERROR_H

enum { OW_LEAD_CLASSES = 7 };

typedef struct ow_forecast_skill {
    double variance_k2[OW_LEAD_CLASSES]; /* of the error left when the bias is taken off */
    double weight[OW_LEAD_CLASSES];      /* in errors seen; the prior counts as some */
    double horizon_h;                    /* where the forecast in use ends; INFINITY: nowhere */
} ow_forecast_skill;

/* Nothing learned yet, no end of the forecast known. */
void ow_forecast_skill_init(ow_forecast_skill *skill);

/*
 * Standard deviation (K) of the air temperature `lead_h` hours ahead; never falls with lead_h.
 * Beyond the horizon, where the weather relaxes to the season's normal, it grows from the
 * forecast's to that of the climate. skill NULL: the prior.
 */
double ow_forecast_error_sd_k(const ow_forecast_skill *skill, double lead_h);

/* Learns one error, measured less forecast (bias taken off), made `lead_h` hours ahead. */
void ow_forecast_skill_learn(ow_forecast_skill *skill, double lead_h, double error_k);

#endif
