/* SPDX-License-Identifier: MIT */
/*
 * How fast the solver is: container-weeks a second on one core and nanoseconds a cell-step, in one
 * run for several steps and grids, with the processor time of each told beside the first's.
 */
#define _POSIX_C_SOURCE 200809L

#include <math.h>

#include "bench/crowd.h"
#include "physics/materials.h"
#include "physics/solver.h"

enum { WEEK_H = 168, REPEATS = 40 };

/* Sixteen pots of bog mix in nights of -8 and days of +2 C. */
static void fill(ow_block *b, int n)
{
    double r[32], z[32];
    ow_medium medium;
    ow_law law;
    if (ow_medium_of(OW_MEDIUM_BOG_MIX, OW_MOISTURE_WET, &medium) != OW_OK ||
        ow_law_of_medium(&medium, OW_HINGES, &law) != OW_OK) {
        exit(1);
    }
    for (int l = 0; l < OW_LANES; l++) {
        ow_spread_faces(0.05 + 0.01 * l, n, 1.2, OW_FINE_END, r);
        ow_spread_faces(0.10 + 0.02 * l, n, 1.2, OW_FINE_BOTH, z);
        ow_body body = {.r_face_m = r, .z_face_m = z, .law = &law, .start_c = 3.0};
        if (ow_block_put(b, l, &body) != OW_OK) {
            exit(1);
        }
    }
}

static double seconds_a_week(int n, double step_s)
{
    ow_grid grid = {n, n, 0};
    ow_block b;
    void *memory = aligned_alloc(64, (ow_block_bytes(&grid) + 63) / 64 * 64);
    if (memory == NULL || ow_block_init(&b, &grid, memory) != OW_OK) {
        exit(1);
    }
    int steps = (int)(WEEK_H * 3600 / step_s);
    double began = spent_s();
    for (int again = 0; again < REPEATS; again++) {
        fill(&b, n);
        for (int k = 0; k < steps; k++) {
            double air_c = -3.0 - 5.0 * cos(k * step_s / 86400.0 * 6.283185307179586);
            for (int l = 0; l < OW_LANES; l++) {
                ow_block_boundary(&b, l, OW_SIDE, (ow_boundary){air_c, 8.0});
                ow_block_boundary(&b, l, OW_TOP, (ow_boundary){air_c, 10.0});
                ow_block_boundary(&b, l, OW_BASE, (ow_boundary){air_c, 5.0});
            }
            ow_block_step(&b, step_s, (uint64_t)k);
        }
    }
    double spent = spent_s() - began;
    free(memory);
    return spent / REPEATS / OW_LANES;
}

int main(void)
{
    static const struct {
        int n;
        double step_s;
    } rows[] = {{8, 1800.0}, {8, 3600.0}, {12, 1800.0}, {12, 3600.0}};
    double first = 0.0;
    printf("solver, %s cells, %d lanes, one core\n", sizeof(ow_real) == 4 ? "float" : "double",
           OW_LANES);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double week = seconds_a_week(rows[i].n, rows[i].step_s);
        double cell_steps = rows[i].n * rows[i].n * WEEK_H * 3600 / rows[i].step_s;
        first = i == 0 ? week : first;
        printf("  %2d x %-2d  %2.0f min steps  %7.0f container-weeks/s  %5.2f ns a cell-step  %4.2f x\n",
               rows[i].n, rows[i].n, rows[i].step_s / 60.0, 1.0 / week, 1e9 * week / cell_steps,
               week / first);
    }
    return 0;
}
