/* SPDX-License-Identifier: MIT */
#include "garden/forecast_error.h"

#include <math.h>

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
static const double LEAST_RATIO = 0.25, MOST_RATIO = 9.0;

void ow_forecast_skill_init(ow_forecast_skill *s)
{
    for (int i = 0; i < OW_LEAD_CLASSES; i++) {
        s->variance_k2[i] = class[i].sd_k * class[i].sd_k;
        s->weight[i] = PRIOR_WEIGHT;
    }
    s->told_ratio = 1.0;
    s->told_weight = PRIOR_WEIGHT;
    ow_forecast_skill_use(s, NULL, 0, 0);
    s->horizon_h = INFINITY;
}

/* A spread told at one hour serves until the next that tells one, at most for two steps. */
void ow_forecast_skill_use(ow_forecast_skill *s, const ow_weather_at *rows, size_t n,
                           ow_utc_s now_s)
{
    static const double serves_h = 2.0 * OW_TOLD_H;
    size_t row = 0;
    s->horizon_h = n > 0 ? fmax((double)(rows[n - 1].utc_s - now_s) / OW_HOUR_S, 0.0) : 0.0;
    for (int i = 0; i < OW_TOLD_STEPS; i++) {
        ow_utc_s at_s = now_s + (ow_utc_s)i * OW_TOLD_H * OW_HOUR_S;
        while (row + 1 < n && rows[row + 1].utc_s <= at_s) {
            row++;
        }
        bool near = n > 0 && fabs((double)(rows[row].utc_s - at_s)) <= serves_h * OW_HOUR_S;
        s->told_sd_k[i] = near ? rows[row].air_sd_k : 0.0;
    }
}

int ow_lead_class(double lead_h)
{
    int i = 0;
    while (i < OW_LEAD_CLASSES - 1 && lead_h > class[i].until_h) {
        i++;
    }
    return i;
}

double ow_lead_middle_h(int i)
{
    return class[i].middle_h;
}

double ow_lead_class_sd_k(const ow_forecast_skill *s, int i)
{
    return sqrt(s->variance_k2[i]);
}

static double told_sd_k(const ow_forecast_skill *s, double lead_h)
{
    int i = (int)floor(fmin(fmax(lead_h / OW_TOLD_H + 0.5, 0.0), OW_TOLD_STEPS - 1.0));
    return s->told_sd_k[i] * sqrt(s->told_ratio);
}

/* Classes that had few errors may come out of order: the nearer one then holds. */
static double sd_within(const ow_forecast_skill *s, double lead_h)
{
    double told_k = told_sd_k(s, lead_h);
    if (told_k > 0.0) {
        return fmin(fmax(told_k, LEAST_SD_K), MOST_SD_K);
    }
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

/* One more of the squares that a mean is made of; a wild one is cut, old ones are forgotten. */
static void learn_square(double *mean, double *weight, double square, double least, double most)
{
    square = fmin(square, WILD_SDS * WILD_SDS * *mean);
    *weight = fmin(*weight + 1.0, MEMORY);
    *mean = fmin(fmax(*mean + (square - *mean) / *weight, least), most);
}

void ow_forecast_skill_learn(ow_forecast_skill *s, double lead_h, double told_k, double error_k)
{
    int i = ow_lead_class(lead_h);
    if (isnan(error_k)) {
        return;
    }
    learn_square(&s->variance_k2[i], &s->weight[i], error_k * error_k, LEAST_SD_K * LEAST_SD_K,
                 MOST_SD_K * MOST_SD_K);
    if (told_k > 0.0) {
        double share = error_k / told_k;
        learn_square(&s->told_ratio, &s->told_weight, share * share, LEAST_RATIO, MOST_RATIO);
    }
}

/* ---- kept ------------------------------------------------------------------------------------ */

static bool is_within(double value, double least, double most)
{
    return value >= least && value <= most;
}

static bool is_sound(const ow_forecast_skill *s)
{
    bool sound = is_within(s->told_ratio, LEAST_RATIO, MOST_RATIO) &&
                 is_within(s->told_weight, PRIOR_WEIGHT, MEMORY);
    for (int i = 0; i < OW_LEAD_CLASSES; i++) {
        sound = sound && is_within(s->weight[i], PRIOR_WEIGHT, MEMORY) &&
                is_within(s->variance_k2[i], LEAST_SD_K * LEAST_SD_K, MOST_SD_K * MOST_SD_K);
    }
    return sound;
}

void ow_forecast_skill_pack(ow_forecast_skill *s, ow_pack *pack)
{
    ow_forecast_skill read = *s;
    ow_pack_doubles(pack, read.variance_k2, OW_LEAD_CLASSES);
    ow_pack_doubles(pack, read.weight, OW_LEAD_CLASSES);
    ow_pack_double(pack, &read.told_ratio);
    ow_pack_double(pack, &read.told_weight);
    if (pack->status == OW_OK && !is_sound(&read)) {
        pack->status = OW_BAD_INPUT;
    }
    if (pack->status == OW_OK) {
        *s = read;
    }
}
