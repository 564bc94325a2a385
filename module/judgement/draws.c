/* SPDX-License-Identifier: MIT */
#include "judgement/draws.h"

#include <math.h>

#include "physics/ow_math.h"

enum { DRAWN = OW_MEMBERS - 1 }; /* odd: the middle one is 0 */

/* Share of the normal distribution beyond x > 0: Abramowitz and Stegun 26.2.17, within 7.5e-8. */
static double beyond(double x)
{
    static const double b[] = {0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429};
    double t = 1.0 / (1.0 + 0.2316419 * x), sum = 0.0;
    for (int i = 4; i >= 0; i--) {
        sum = (sum + b[i]) * t;
    }
    return ow_exp(-0.5 * x * x) / sqrt(2.0 * OW_PI) * sum;
}

/* Abramowitz and Stegun 26.2.23 (within 4.5e-4), then one step of Newton. */
double ow_normal_deviate(double share)
{
    double p = fmin(share, 1.0 - share);
    if (p >= 0.5) {
        return 0.0;
    }
    double t = sqrt(-2.0 * ow_log(p));
    double x = t - (2.515517 + t * (0.802853 + t * 0.010328)) /
                       (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    x += (beyond(x) - p) / (ow_exp(-0.5 * x * x) / sqrt(2.0 * OW_PI));
    return share < 0.5 ? -x : x;
}

/* A sequence of Weyl with a mixing of its bits (splitmix64, Steele, Lea and Flood 2014). */
static uint64_t next(uint64_t *state)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static void shuffle(uint64_t seed, double *value, int n)
{
    uint64_t state = seed;
    for (int i = n - 1; i > 0; i--) {
        int k = (int)(next(&state) % (uint64_t)(i + 1));
        double swap = value[i];
        value[i] = value[k];
        value[k] = swap;
    }
}

void ow_draw_unknown(uint64_t seed, double normal[OW_MEMBERS])
{
    double squares = 0.0;
    normal[0] = 0.0;
    for (int i = 0; i < DRAWN; i++) {
        normal[1 + i] = ow_normal_deviate((i + 0.5) / DRAWN);
        squares += normal[1 + i] * normal[1 + i];
    }
    for (int i = 1; i <= DRAWN; i++) {
        normal[i] *= sqrt(DRAWN / squares);
    }
    shuffle(seed, normal + 1, DRAWN);
}

static uint64_t hash(const char *text)
{
    uint64_t h = 0xcbf29ce484222325u; /* Fowler, Noll and Vo, 1a */
    for (; *text != '\0'; text++) {
        h = (h ^ (unsigned char)*text) * 0x100000001b3u;
    }
    return h;
}

void ow_draw_plant(const char *id, double normal[OW_MEMBERS][OW_UNKNOWNS])
{
    double one[OW_MEMBERS];
    for (int u = 0; u < OW_UNKNOWNS; u++) {
        ow_draw_unknown(hash(id) + (uint64_t)u, one);
        for (int m = 0; m < OW_MEMBERS; m++) {
            normal[m][u] = one[m];
        }
    }
}

void ow_draw_glazing(const char *place_id, double normal[OW_MEMBERS])
{
    ow_draw_unknown(hash(place_id), normal);
}

void ow_draw_wander(uint64_t seed, int step, double keeps, double normal[OW_MEMBERS])
{
    double fresh[OW_MEMBERS];
    ow_draw_unknown(seed + ((uint64_t)step << 8), fresh);
    double takes = step == 0 ? 1.0 : sqrt(1.0 - keeps * keeps);
    for (int m = 0; m < OW_MEMBERS; m++) {
        normal[m] = (step == 0 ? 0.0 : keeps * normal[m]) + takes * fresh[m];
    }
}

/* Of y = keeps y + u, with u of variance 1 as above: what variance 1 of y takes, and how y and u
 * hang together once both have forgotten their beginning. */
void ow_draw_drift(uint64_t seed, int step, double keeps, ow_drift *d)
{
    double follows = (1.0 - keeps * keeps) / sqrt(1.0 + keeps * keeps);
    double alike = 1.0 / sqrt(1.0 + keeps * keeps);
    if (step == 0) {
        ow_draw_unknown(seed + 1, d->pace);
        ow_draw_unknown(seed, d->at);
        for (int m = 0; m < OW_MEMBERS; m++) {
            d->pace[m] = alike * d->at[m] + sqrt(1.0 - alike * alike) * d->pace[m];
        }
        return;
    }
    ow_draw_wander(seed, step, keeps, d->pace);
    for (int m = 0; m < OW_MEMBERS; m++) {
        d->at[m] = keeps * d->at[m] + follows * d->pace[m];
    }
}
