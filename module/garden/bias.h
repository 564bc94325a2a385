/* SPDX-License-Identifier: MIT */
/*
 * What a number is off by habit, learned: by hour of the sun's day and by sky. A Kalman filter of
 * sixteen values, eight hours under a clear and under a shut sky; between them all is linear. It
 * starts at nothing, never leaves OW_BIAS_MOST_K, and forgets slowly.
 */
#ifndef OVERWINTER_GARDEN_BIAS_H
#define OVERWINTER_GARDEN_BIAS_H

#include "garden/pack.h"
#include "physics/calendar.h"
#include "physics/weather.h"

#define OW_BIAS_MOST_K 5.0

enum { OW_BIAS_SKIES = 2, OW_BIAS_HOURS = 8 };

typedef struct ow_bias {
    double k[OW_BIAS_SKIES][OW_BIAS_HOURS]; /* clear, shut; from midnight of the sun on */
    double variance_k2[OW_BIAS_SKIES][OW_BIAS_HOURS];
    ow_utc_s learned_s; /* the last time it learned; 0: never */
    int64_t seen;       /* how often */
} ow_bias;

void ow_bias_init(ow_bias *bias);

/*
 * Learns that at utc_s, under so much cloud (NAN: unknown, half of each), the number was off by
 * seen_k, known within noise_k (standard deviation, with what repeats from one to the next counted
 * in). NAN and what no habit explains (beyond 12 K) teach nothing; what is far from the expected
 * counts for three standard deviations.
 */
void ow_bias_learn(ow_bias *bias, const ow_site *site, ow_utc_s utc_s, double cloud_pct,
                   double seen_k, double noise_k);

/* What is to be added, K, within OW_BIAS_MOST_K; and how well it is known, K. */
double ow_bias_k(const ow_bias *bias, const ow_site *site, ow_utc_s utc_s, double cloud_pct);
double ow_bias_sd_k(const ow_bias *bias, const ow_site *site, ow_utc_s utc_s, double cloud_pct);

/* The value furthest from nothing, with its sky (0 clear, 1 shut) and its place in the hours. */
double ow_bias_greatest(const ow_bias *bias, int *sky, int *hour);

/* Writes or reads it; what is out of range is OW_BAD_INPUT. */
void ow_bias_pack(ow_bias *bias, ow_pack *pack);

/* Makes the air so much warmer, with as much water in it as before (at most saturated). */
void ow_warm_air(ow_weather *weather, double by_k);

#endif
