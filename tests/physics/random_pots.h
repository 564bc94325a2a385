/* SPDX-License-Identifier: MIT */
/* Pots, frosts and covers at random beyond all reason, the same on every machine. */
#ifndef OVERWINTER_TESTS_PHYSICS_RANDOM_POTS_H
#define OVERWINTER_TESTS_PHYSICS_RANDOM_POTS_H

#include <math.h>
#include <stdint.h>

#include "rig.h"

/* splitmix64: S. Vigna, public domain. */
static inline uint64_t random_bits(uint64_t *seed)
{
    uint64_t z = (*seed += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static inline double random_in(uint64_t *seed, double low, double high)
{
    return low + (high - low) * (double)(random_bits(seed) >> 11) * 0x1p-53;
}

static inline double random_log(uint64_t *seed, double low, double high)
{
    return exp(random_in(seed, log(low), log(high)));
}

typedef struct random_pot {
    rig_shape shape;
    ow_medium medium;
    double start_c, ground_c;
    double side_h, top_h, base_h, ground_h; /* ground_h 0: raised */
    double air_c, swing_k, drop_c, drop_at_h, sun_k;
} random_pot;

static inline random_pot random_pot_of(uint64_t seed)
{
    uint64_t s = seed * 7919 + 1;
    random_pot p;
    double thawed = random_log(&s, 0.08, 1.5);
    p.shape = (rig_shape){random_log(&s, 0.03, 0.5), 1.2, random_log(&s, 0.04, 1.0), 1.2,
                          OW_FINE_BOTH};
    p.medium = (ow_medium){.thawed_w_mk = thawed,
                           .frozen_w_mk = thawed * random_in(&s, 1.0, 4.0),
                           .thawed_j_m3k = random_in(&s, 0.8e6, 4.2e6),
                           .frozen_j_m3k = random_in(&s, 0.6e6, 2.2e6),
                           .latent_j_m3 = random_log(&s, 5e6, 3.3e8),
                           .freezing_c = -random_log(&s, 0.02, 0.3),
                           .curve_exponent = random_in(&s, 0.5, 1.5)};
    p.start_c = random_in(&s, -15, 25);
    p.ground_c = random_in(&s, -5, 12);
    p.side_h = random_log(&s, 0.3, 60);
    p.top_h = random_log(&s, 0.3, 60);
    p.base_h = random_log(&s, 0.3, 60);
    p.ground_h = random_bits(&s) % 2 ? random_log(&s, 0.5, 100) : 0;
    p.air_c = random_in(&s, -25, 15);
    p.swing_k = random_in(&s, 0, 15);
    p.drop_c = random_in(&s, -25, 10);
    p.drop_at_h = random_in(&s, 0, 72);
    p.sun_k = random_in(&s, -8, 25); /* sky or sun on the top, as equivalent temperature */
    return p;
}

typedef struct range {
    double low, high;
} range;

static inline void range_take(range *r, double x)
{
    r->low = fmin(r->low, x);
    r->high = fmax(r->high, x);
}

static inline void random_put(rig *r, int lane, const random_pot *p)
{
    ow_law law;
    assert_int_equal(ow_law_of_medium(&p->medium, 12, &law), OW_OK);
    rig_put(r, lane, &p->shape, &law, p->start_c);
}

/* Weather of one step into the boundaries; widens the range of all that the pot has met. */
static inline void random_weather(rig *r, int lane, const random_pot *p, double hour, range *met)
{
    double air = p->air_c + p->swing_k * sin(hour * 0.2618) + (hour > p->drop_at_h ? p->drop_c : 0);
    double top = air + p->sun_k * fmax(0, sin(hour * 0.2618 - 1));
    double base = p->ground_h > 0 ? p->ground_c : air;
    rig_face(r, lane, OW_SIDE, air, p->side_h);
    rig_face(r, lane, OW_TOP, top, p->top_h);
    rig_face(r, lane, OW_BASE, base, p->ground_h > 0 ? p->ground_h : p->base_h);
    range_take(met, air);
    range_take(met, top);
    range_take(met, base);
}

#endif
