/* SPDX-License-Identifier: MIT */
#include "garden/forecast_error.h"

#include <math.h>
#include <stddef.h>

#include "garden/climate.h"
#include "physics/ow_math.h"

/*
 * Classes of lead: up to these hours, told for their middles. The prior is the root mean square
 * error of global models' 2 m temperature against stations in the extratropics (from memory, after
 * the yearly verification reports of the European centre: about 2 K to the third day, 3 K on the
 * fifth, 5 K on the tenth; the first hours by our own judgement).
 */
static const struct {
    double until_h, middle_h, sd_k;
} class[OW_LEAD_CLASSES] = {
    {6.0, 3.0, 1.4},    {12.0, 9.0, 1.6},    {24.0, 18.0, 1.8},   {48.0, 36.0, 2.1},
    {96.0, 72.0, 2.6},  {168.0, 132.0, 3.5}, {408.0, 240.0, 4.8},
};

/* The prior counts as this many errors, and no more than MEMORY are remembered (our judgement). */
static const double PRIOR_WEIGHT = 40.0, MEMORY = 240.0;
static const double LEAST_SD_K = 0.5, MOST_SD_K = 8.0, WILD_SDS = 4.0;

void ow_forecast_skill_init(ow_forecast_skill *s)
{
    for (int i = 0; i < OW_LEAD_CLASSES; i++) {
        s->variance_k2[i] = class[i].sd_k * class[i].sd_k;
        s->weight[i] = PRIOR_WEIGHT;
    }
    s->horizon_h = INFINITY;
}

/* Classes that had few errors may come out of order: the nearer one then holds. */
static double sd_within(const ow_forecast_skill *s, double lead_h)
{
    double before_h = 0.0, before_k = sqrt(s->variance_k2[0]);
    for (int i = 0; i < OW_LEAD_CLASSES; i++) {
        double here_k = fmax(sqrt(s->variance_k2[i]), before_k);
        if (lead_h <= class[i].middle_h) {
            double share = (lead_h - before_h) / (class[i].middle_h - before_h);
            return before_k + fmax(share, 0.0) * (here_k - before_k);
        }
        before_h = class[i].middle_h;
        before_k = here_k;
    }
    return before_k;
}

double ow_forecast_error_sd_k(const ow_forecast_skill *s, double lead_h)
{
    ow_forecast_skill prior;
    if (s == NULL) {
        ow_forecast_skill_init(&prior);
        s = &prior;
    }
    double known_k = sd_within(s, fmin(lead_h, s->horizon_h));
    if (lead_h <= s->horizon_h) {
        return known_k;
    }
    double climate_k2 = fmax(OW_CLIMATE_SD_K, known_k) * fmax(OW_CLIMATE_SD_K, known_k);
    double left = ow_exp(-2.0 * (lead_h - s->horizon_h) / OW_RELAX_H);
    return sqrt(climate_k2 + (known_k * known_k - climate_k2) * left);
}

void ow_forecast_skill_learn(ow_forecast_skill *s, double lead_h, double error_k)
{
    int i = 0;
    while (i < OW_LEAD_CLASSES - 1 && lead_h > class[i].until_h) {
        i++;
    }
    double wild_k2 = WILD_SDS * WILD_SDS * s->variance_k2[i];
    double seen_k2 = fmin(error_k * error_k, wild_k2);
    s->weight[i] = fmin(s->weight[i] + 1.0, MEMORY);
    s->variance_k2[i] += (seen_k2 - s->variance_k2[i]) / s->weight[i];
    s->variance_k2[i] = fmin(fmax(s->variance_k2[i], LEAST_SD_K * LEAST_SD_K),
                             MOST_SD_K * MOST_SD_K);
}
