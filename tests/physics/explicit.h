/* SPDX-License-Identifier: MIT */
/*
 * Plain explicit stepping of the solver's own fluxes: the same equations and grid, another
 * integrator, so that the difference is the error of the time stepping alone.
 */
#ifndef OVERWINTER_TESTS_PHYSICS_EXPLICIT_H
#define OVERWINTER_TESTS_PHYSICS_EXPLICIT_H

#include <math.h>
#include <stdlib.h>

#include "physics/solver.h"

/* Largest dT/dh of a law, m3K/J. */
static inline double explicit_steepest(const ow_law *law)
{
    double most = fmax(1.0 / law->warm_j_m3k, 1.0 / law->cold_j_m3k);
    for (int i = 0; i + 1 < law->hinges; i++) {
        most = fmax(most, (law->t_c[i] - law->t_c[i + 1]) / (law->h_j_m3[i] - law->h_j_m3[i + 1]));
    }
    return most;
}

/* Largest sum of conductances over capacity along one direction, an edge as if held, 1/m2. */
static inline double explicit_axis_rate(const ow_axis *a, int l, bool near_is_open)
{
    double worst = 0.0;
    for (int i = 0; i < a->cells; i++) {
        double edge = (double)a->edge_area[l];
        double before = i > 0            ? (double)a->conductance[i - 1][l]
                        : near_is_open ? edge / (double)a->near_half_m[l]
                                         : 0.0;
        double after = i + 1 < a->cells ? (double)a->conductance[i][l]
                                        : edge / (double)a->far_half_m[l];
        worst = fmax(worst, (before + after) / (double)a->capacity[i][l]);
    }
    return worst;
}

/* A step at which no lane can overshoot, s. */
static inline double explicit_dt_s(const ow_block *b)
{
    double fastest = 0.0;
    for (int l = 0; l < OW_LANES; l++) {
        double per_m2 = explicit_axis_rate(&b->r, l, false) + explicit_axis_rate(&b->z, l, true);
        fastest = fmax(fastest, per_m2 * b->law[l].most_w_mk * explicit_steepest(&b->law[l]));
    }
    return 0.9 / fastest;
}

/* Runs a block on for a time, boundaries as they are, in equal steps not above max_dt_s. */
static inline void explicit_run(ow_block *b, double seconds, double max_dt_s)
{
    size_t values = (size_t)b->grid.nr * (size_t)b->grid.nz * OW_LANES;
    ow_real *rate = calloc(values, sizeof *rate);
    long steps = (long)ceil(seconds / max_dt_s);
    if (rate == NULL) {
        abort();
    }
    for (long i = 0; i < steps; i++) {
        ow_block_rates(b, rate);
        ow_block_add(b, rate, seconds / (double)steps);
    }
    free(rate);
}

#endif
