/* SPDX-License-Identifier: MIT */
#include "garden/bias.h"

#include <math.h>

#include "physics/humidity.h"
#include "physics/sky.h"

/*
 * Before anything is learned a garden is off by this much (our judgement: a sheltered hollow on a
 * clear night some 3 K, most places within 1 K); and the habit wanders by so much in a day.
 */
static const double PRIOR_SD_K = 1.5, WANDER_K2_PER_DAY = 0.01;
static const double WILD_K = 12.0, FAR_SDS = 3.0, DEGREES_PER_HOUR = 15.0;
static const double KNOT_H = 24.0 / OW_BIAS_HOURS;
enum { CORNERS = 4 };

void ow_bias_init(ow_bias *b)
{
    *b = (ow_bias){.learned_s = 0};
    for (int s = 0; s < OW_BIAS_SKIES; s++) {
        for (int h = 0; h < OW_BIAS_HOURS; h++) {
            b->variance_k2[s][h] = PRIOR_SD_K * PRIOR_SD_K;
        }
    }
}

/* The values around an hour and a sky, with what each counts; together 1. */
typedef struct corner {
    int sky, hour;
    double counts;
} corner;

static void corners_at(const ow_site *site, ow_utc_s utc_s, double cloud_pct, corner at[CORNERS])
{
    double utc_h = (double)(((utc_s % OW_DAY_S) + OW_DAY_S) % OW_DAY_S) / OW_HOUR_S;
    double knots = (utc_h + site->longitude_deg / DEGREES_PER_HOUR + 24.0) / KNOT_H;
    int before = (int)floor(knots);
    double later = knots - before, shut = isnan(cloud_pct) ? 0.5 : cloud_pct / 100.0;
    shut = fmin(fmax(shut, 0.0), 1.0);
    for (int i = 0; i < CORNERS; i++) {
        bool next = i % 2 == 1;
        at[i].sky = i / 2;
        at[i].hour = (before + next) % OW_BIAS_HOURS;
        at[i].counts = (next ? later : 1.0 - later) * (at[i].sky == 1 ? shut : 1.0 - shut);
    }
}

static double clamped(double k)
{
    return fmin(fmax(k, -OW_BIAS_MOST_K), OW_BIAS_MOST_K);
}

static void wander(ow_bias *b, ow_utc_s utc_s)
{
    if (b->learned_s > 0 && utc_s > b->learned_s) {
        double grown_k2 = WANDER_K2_PER_DAY * (double)(utc_s - b->learned_s) / OW_DAY_S;
        for (int i = 0; i < OW_BIAS_SKIES * OW_BIAS_HOURS; i++) {
            double *variance = &b->variance_k2[i / OW_BIAS_HOURS][i % OW_BIAS_HOURS];
            *variance = fmin(*variance + grown_k2, PRIOR_SD_K * PRIOR_SD_K);
        }
    }
    b->learned_s = utc_s;
}

/* Values are taken for independent of each other: they share too little to keep a full matrix. */
static double variance_at(const ow_bias *b, const corner at[CORNERS])
{
    double sum = 0.0;
    for (int i = 0; i < CORNERS; i++) {
        sum += at[i].counts * at[i].counts * b->variance_k2[at[i].sky][at[i].hour];
    }
    return sum;
}

static double value_at(const ow_bias *b, const corner at[CORNERS])
{
    double sum = 0.0;
    for (int i = 0; i < CORNERS; i++) {
        sum += at[i].counts * b->k[at[i].sky][at[i].hour];
    }
    return sum;
}

void ow_bias_learn(ow_bias *b, const ow_site *site, ow_utc_s utc_s, double cloud_pct,
                   double seen_k, double noise_k)
{
    corner at[CORNERS];
    if (!(fabs(seen_k) <= WILD_K)) {
        return;
    }
    corners_at(site, utc_s, cloud_pct, at);
    wander(b, utc_s);
    double whole_k2 = variance_at(b, at) + noise_k * noise_k;
    double far_k = FAR_SDS * sqrt(whole_k2);
    double news_k = fmin(fmax(seen_k - value_at(b, at), -far_k), far_k);
    for (int i = 0; i < CORNERS; i++) {
        double *k = &b->k[at[i].sky][at[i].hour];
        double *variance = &b->variance_k2[at[i].sky][at[i].hour];
        double gain = at[i].counts * *variance / whole_k2;
        *k = clamped(*k + gain * news_k);
        *variance *= 1.0 - gain * at[i].counts;
    }
    b->seen++;
}

double ow_bias_k(const ow_bias *b, const ow_site *site, ow_utc_s utc_s, double cloud_pct)
{
    corner at[CORNERS];
    corners_at(site, utc_s, cloud_pct, at);
    return value_at(b, at);
}

double ow_bias_sd_k(const ow_bias *b, const ow_site *site, ow_utc_s utc_s, double cloud_pct)
{
    corner at[CORNERS];
    corners_at(site, utc_s, cloud_pct, at);
    return sqrt(variance_at(b, at));
}

double ow_bias_greatest(const ow_bias *b, int *sky, int *hour)
{
    double greatest_k = 0.0;
    for (int i = 0; i < OW_BIAS_SKIES * OW_BIAS_HOURS; i++) {
        double k = b->k[i / OW_BIAS_HOURS][i % OW_BIAS_HOURS];
        if (fabs(k) > fabs(greatest_k)) {
            greatest_k = k;
            *sky = i / OW_BIAS_HOURS;
            *hour = i % OW_BIAS_HOURS;
        }
    }
    return greatest_k;
}

/* ---- kept ------------------------------------------------------------------------------------ */

void ow_bias_pack(ow_bias *b, ow_pack *pack)
{
    ow_bias read = *b;
    ow_pack_time(pack, &read.learned_s);
    ow_pack_int64(pack, &read.seen);
    ow_pack_doubles(pack, &read.k[0][0], OW_BIAS_SKIES * OW_BIAS_HOURS);
    ow_pack_doubles(pack, &read.variance_k2[0][0], OW_BIAS_SKIES * OW_BIAS_HOURS);
    bool sound = read.seen >= 0;
    for (int i = 0; i < OW_BIAS_SKIES * OW_BIAS_HOURS; i++) {
        double k = read.k[i / OW_BIAS_HOURS][i % OW_BIAS_HOURS];
        double variance = read.variance_k2[i / OW_BIAS_HOURS][i % OW_BIAS_HOURS];
        sound = sound && fabs(k) <= OW_BIAS_MOST_K && variance >= 0.0 &&
                variance <= PRIOR_SD_K * PRIOR_SD_K;
    }
    if (!sound && pack->status == OW_OK) {
        pack->status = OW_BAD_INPUT;
    }
    if (pack->status == OW_OK) {
        *b = read;
    }
}

void ow_warm_air(ow_weather *w, double by_k)
{
    double vapour_kpa = ow_vapour_kpa(w->air_c, w->rh_pct); /* NAN where humidity is unknown */
    w->air_c += by_k;
    w->rh_pct = isnan(w->rh_pct)
                    ? NAN
                    : fmin(100.0 * vapour_kpa / ow_saturation_water_kpa(w->air_c), 100.0);
}
