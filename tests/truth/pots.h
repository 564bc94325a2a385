/* SPDX-License-Identifier: MIT */
/*
 * Bodies and frosts that are solved twice: finely by solve_pots.c with a general-purpose
 * integrator, and by the solver as it is used (test_pots.c). Only inputs stand here, no equation
 * of either. All numbers are our own choice, spread over size, frost, wrap, base and moisture.
 */
#ifndef OVERWINTER_TESTS_TRUTH_POTS_H
#define OVERWINTER_TESTS_TRUTH_POTS_H

#include <math.h>

#include "physics/medium.h"

enum { TRUTH_HOURS = 24, TRUTH_POTS = 15 };

/* Weather does not jump as a laboratory does; the jumps are in test_reference_pots.c. */
#define TRUTH_ONSET_H 3.0

typedef enum truth_kind {
    TRUTH_POT,
    TRUTH_TRUNK, /* open crown, foot on the ground */
    TRUTH_LONG   /* a cylinder without ends */
} truth_kind;

typedef struct truth_pot {
    const char *name;
    truth_kind kind;
    ow_medium medium;
    double radius_m, depth_m;
    double start_c;
    double side_h, top_h, base_h; /* film, wall and covers in one, W/m2K */
    double base_c;                /* of the ground; NAN: the air */
    double air_c, swing_k;        /* reached from start_c in three hours; sine of a day about it */
    double thaw_at_h, thaw_c;     /* from then on, reached in three hours */
    int hours;
    int small_or_dry;  /* its half-frozen time is held to 7 %, not 3 % */
    double axis_m;     /* depth on the axis whose temperature is compared */
} truth_pot;

/* What the reference says at TRUTH_HOURS evenly spaced hours, and its events; NAN: never. */
typedef struct truth_hour {
    double mean_h_j_m3, mean_c, axis_c;
} truth_hour;

typedef struct truth_answer {
    const char *name;
    double half_frozen_h, thaw_1_h;
    double grid_gap; /* mean change of heat on halving the cells, of the latent heat */
    truth_hour at[TRUTH_HOURS];
} truth_answer;

#define TRUTH_WET {0.50, 1.50, 3.6e6, 2.0e6, 2.338e8, -0.10, 0.8}
#define TRUTH_MOIST {0.30, 0.70, 2.2e6, 1.5e6, 1.0e8, -0.15, 0.9}
#define TRUTH_DRY {0.15, 0.25, 1.5e6, 1.3e6, 5.0e7, -0.10, 0.8}
#define TRUTH_BOG {0.55, 1.90, 3.9e6, 2.0e6, 2.835e8, -0.03, 1.0}
#define TRUTH_LOAM {1.10, 1.90, 2.6e6, 2.0e6, 8.3e7, -0.25, 0.6}
#define TRUTH_WOOD {0.35, 0.50, 2.4e6, 1.8e6, 1.002e8, -0.30, 0.7}

/* clang-format off */
static const truth_pot TRUTH_POT_OF[TRUTH_POTS] = {
    {"wet, 26 cm, raised, -6 C, then thaw", TRUTH_POT, TRUTH_WET, 0.13, 0.24, 5,
     9.0909, 10, 9.0909, NAN, -6, 0, 96, 6, 288, 0, 0.12},
    {"the same wrapped", TRUTH_POT, TRUTH_WET, 0.13, 0.24, 5,
     2.1739, 10, 9.0909, NAN, -6, 0, 168, 6, 384, 0, 0.12},
    {"the same on cold ground", TRUTH_POT, TRUTH_WET, 0.13, 0.24, 5,
     9.0909, 10, 6, 3, -6, 0, 96, 6, 288, 0, 0.12},
    {"wet, 50 cm, wrapped, on ground, -10 C", TRUTH_POT, TRUTH_WET, 0.25, 0.45, 5,
     2, 5, 4, 2, -10, 0, 240, 8, 600, 0, 0.225},
    {"wet, 12 cm, raised, -4 C, days of 5 K", TRUTH_POT, TRUTH_WET, 0.06, 0.10, 3,
     12, 12, 10, NAN, -4, 5, 72, 7, 144, 1, 0.05},
    {"moist, 30 cm, raised, -8 C", TRUTH_POT, TRUTH_MOIST, 0.15, 0.28, 6,
     12, 12, 10, NAN, -8, 0, 72, 5, 240, 0, 0.14},
    {"moist, 30 cm, days of 5 K about -7 C", TRUTH_POT, TRUTH_MOIST, 0.15, 0.28, 6,
     12, 14, 8, 2, -7, 5, 144, 6, 288, 0, 0.14},
    {"dry, 20 cm, raised, -6 C", TRUTH_POT, TRUTH_DRY, 0.10, 0.18, 5,
     11, 12, 10, NAN, -6, 0, 60, 6, 144, 1, 0.09},
    {"dry, 9 cm, raised, -7 C", TRUTH_POT, TRUTH_DRY, 0.045, 0.08, 3,
     15, 15, 12, NAN, -7, 0, 24, 8, 48, 1, 0.04},
    {"bog mix, 15 cm, thin front, -7 C", TRUTH_POT, TRUTH_BOG, 0.075, 0.13, 4,
     12, 12, 10, NAN, -7, 0, 72, 6, 168, 1, 0.065},
    {"bog mix, 35 cm, wrapped, -15 C", TRUTH_POT, TRUTH_BOG, 0.175, 0.30, 4,
     1.5, 4, 5, NAN, -15, 0, 168, 8, 480, 0, 0.15},
    {"loam, 40 cm, on ground, -12 C", TRUTH_POT, TRUTH_LOAM, 0.20, 0.36, 5,
     14, 14, 6, 2, -12, 0, 96, 6, 240, 0, 0.18},
    {"trunk 22 cm by 90 cm, bare crown, -8 C", TRUTH_TRUNK, TRUTH_WOOD, 0.11, 0.90, 5,
     14, 14, 2.667, 3, -8, 3, 96, 6, 216, 0, 0.05},
    {"trunk 22 cm by 90 cm, wrapped, -12 C", TRUTH_TRUNK, TRUTH_WOOD, 0.11, 0.90, 5,
     2, 3, 2.667, 3, -12, 3, 120, 6, 264, 0, 0.05},
    {"trunk 30 cm without ends, -8 C", TRUTH_LONG, TRUTH_WOOD, 0.15, 1.0, 4,
     15, 0, 0, NAN, -8, 0, 96, 6, 216, 0, 0.50},
};
/* clang-format on */

static inline double truth_air_c(const truth_pot *p, double hour)
{
    double day = p->air_c + p->swing_k * sin(hour * 2.0 * 3.14159265358979323846 / 24.0);
    double onset = fmin(hour / TRUTH_ONSET_H, 1.0);
    double share = fmin(fmax((hour - p->thaw_at_h) / TRUTH_ONSET_H, 0.0), 1.0);
    day = p->start_c + onset * (day - p->start_c);
    return day + share * (p->thaw_c - day);
}

#endif
