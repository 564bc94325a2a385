/* SPDX-License-Identifier: MIT */
/*
 * The solver beside a general-purpose integrator (CVODE) on the same pots and frosts (truth/pots.h):
 * the integrator on the same number of cells, then the solver in one lane and double, then as it is
 * used. Each is told with its miss of the fine and tight answers in pots.inc: the mean of the heat's
 * distance, of the latent heat. The one-lane row comes from this file built with WITHOUT_CVODE.
 */
#define _POSIX_C_SOURCE 200809L

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "bench/crowd.h"
#include "physics/solver.h"
#include "truth/fine_pot.h"

static const truth_answer ANSWER[TRUTH_POTS] = {
#include "truth/pots.inc"
};

enum { CELLS = 8, WEEK_H = 168, MOST_REPEATS = 400 };
static const double STEP_H = 0.5, LEAST_S = 0.3;

typedef struct row {
    double seconds, weeks, cell_steps, solves, miss;
    int bodies;
} row;

static double miss_of(const truth_pot *p, const truth_hour *got, const truth_hour *want)
{
    return fabs(got->mean_h_j_m3 - want->mean_h_j_m3) / p->medium.latent_j_m3 / TRUTH_HOURS;
}

/* ---- the solver ------------------------------------------------------------------------------ */

static double mean_air_c(const truth_pot *p, double from_h)
{
    return (truth_air_c(p, from_h) + 4.0 * truth_air_c(p, from_h + 0.5 * STEP_H) +
            truth_air_c(p, from_h + STEP_H)) /
           6.0;
}

static void set_faces(ow_block *b, const truth_pot *p, double air_c)
{
    double base_c = isnan(p->base_c) ? air_c : p->base_c;
    for (int l = 0; l < OW_LANES; l++) {
        ow_block_boundary(b, l, OW_SIDE, (ow_boundary){air_c, p->side_h});
        ow_block_boundary(b, l, OW_TOP, (ow_boundary){air_c, p->top_h});
        ow_block_boundary(b, l, OW_BASE, (ow_boundary){base_c, p->base_h});
    }
}

static void fill(ow_block *b, const truth_pot *p)
{
    double r[CELLS + 1], z[CELLS + 1];
    ow_law law;
    must(ow_law_of_medium(&p->medium, OW_HINGES, &law));
    ow_spread_faces(p->radius_m, CELLS, 1.2, OW_FINE_END, r);
    ow_spread_faces(p->depth_m, CELLS, 1.2, OW_FINE_BOTH, z);
    ow_body body = {.r_face_m = r, .z_face_m = z, .law = &law, .start_c = p->start_c};
    for (int l = 0; l < OW_LANES; l++) {
        must(ow_block_put(b, l, &body));
    }
}

/* One pot's frost, the same in all lanes. */
static void run_pot(ow_block *b, int pot, row *r)
{
    const truth_pot *p = &TRUTH_POT_OF[pot];
    int steps = (int)(p->hours / STEP_H), line = 2 * CELLS;
    int parts = ow_step_parts(p->radius_m, p->depth_m, p->medium.thawed_j_m3k);
    uint64_t repeats = b->repeats;
    fill(b, p);
    double began = spent_s();
    for (int s = 1; s <= steps; s++) {
        set_faces(b, p, mean_air_c(p, (s - 1) * STEP_H));
        ow_block_step_in(b, parts, 3600.0 * STEP_H, (uint64_t)s);
        if (s * TRUTH_HOURS % steps == 0) {
            ow_inside x;
            ow_block_inside(b, 0, &x);
            truth_hour got = {.mean_h_j_m3 = x.mean_h_j_m3};
            r->miss += miss_of(p, &got, &ANSWER[pot].at[s * TRUTH_HOURS / steps - 1]);
        }
    }
    r->seconds += spent_s() - began;
    r->weeks += (double)OW_LANES * p->hours / WEEK_H;
    r->cell_steps += (double)OW_LANES * steps * parts * CELLS * CELLS;
    r->solves += (double)OW_LANES * CELLS *
                 ((double)steps * parts * line + (double)(b->repeats - repeats));
    r->bodies++;
}

static row run_solver(void)
{
    static const ow_grid grid = {CELLS, CELLS, 0};
    ow_block b;
    row r = {0};
    void *memory = aligned_alloc(64, (ow_block_bytes(&grid) + 63) / 64 * 64);
    must(memory != NULL ? ow_block_init(&b, &grid, memory) : OW_NO_MEMORY);
    for (int again = 0; again < MOST_REPEATS && r.seconds < LEAST_S; again++) {
        for (int i = 0; i < TRUTH_POTS; i++) {
            if (TRUTH_POT_OF[i].kind == TRUTH_POT) {
                run_pot(&b, i, &r);
            }
        }
    }
    free(memory);
    return r;
}

#ifdef WITHOUT_CVODE

int main(void)
{
    row r = run_solver();
    printf("%.9g %.9g %.9g %.9g %.9g %d\n", r.seconds, r.weeks, r.cell_steps, r.solves, r.miss,
           r.bodies);
    return 0;
}

#else

/* Additions, multiplications and divisions of a cell in one line solve, counted in the source, with
 * one group of knots of the law; lanes that have left the line count too. */
static const double OPERATIONS = 50.0;

static void tell(const char *what, const row *r, double peak)
{
    printf("  %-29s %9.0f container-weeks/s %9.2f ns a cell-step  misses %.2f %%", what,
           r->weeks / r->seconds, 1e9 * r->seconds / r->cell_steps, 100.0 * r->miss / r->bodies);
    if (r->solves > 0.0) {
        printf("  %4.1f %% of peak", 100.0 * OPERATIONS * r->solves / r->seconds / peak);
    }
    printf("\n");
}

static bool run_one_lane(const char *self, row *r)
{
    char command[4096], line[200] = "";
    snprintf(command, sizeof command, "'%s_one_lane'", self);
    FILE *other = popen(command, "r");
    bool told = other != NULL && fgets(line, sizeof line, other) != NULL &&
                sscanf(line, "%lf %lf %lf %lf %lf %d", &r->seconds, &r->weeks, &r->cell_steps,
                       &r->solves, &r->miss, &r->bodies) == 6;
    return other != NULL && pclose(other) == 0 && told;
}

/* ---- the integrator -------------------------------------------------------------------------- */

static row run_cvode(double relative)
{
    fine_settings how = {CELLS / 24.0, relative, relative / 10.0, 1};
    row r = {0};
    for (int i = 0; i < TRUTH_POTS; i++) {
        const truth_pot *p = &TRUTH_POT_OF[i];
        long steps;
        if (p->kind != TRUTH_POT) {
            continue;
        }
        double began = spent_s();
        truth_answer a = fine_pot_solve(p, &how, &steps);
        r.seconds += spent_s() - began;
        for (int k = 0; k < TRUTH_HOURS; k++) {
            r.miss += miss_of(p, &a.at[k], &ANSWER[i].at[k]);
        }
        r.weeks += (double)p->hours / WEEK_H;
        r.cell_steps += (double)steps * CELLS * CELLS;
        r.bodies++;
    }
    return r;
}

/* ---- the processor's peak -------------------------------------------------------------------- */

typedef float eight __attribute__((vector_size(32)));
enum { CHAINS = 12, TURNS = 20000000 };

/* Multiplications and additions a second, float, not fused (the solver must not fuse either). */
__attribute__((target_clones("arch=x86-64-v3", "default"))) static double peak_per_s(float *out)
{
    eight x[CHAINS];
    for (int c = 0; c < CHAINS; c++) {
        x[c] = (eight){1, 2, 3, 4, 5, 6, 7, 8} * (float)(c + 1);
    }
    double began = spent_s();
    for (int turn = 0; turn < TURNS; turn++) {
        for (int c = 0; c < CHAINS; c++) {
            x[c] = x[c] * 0.999f + 0.001f;
        }
    }
    double took = spent_s() - began;
    for (int c = 1; c < CHAINS; c++) {
        x[0] += x[c];
    }
    *out = x[0][0];
    return 2.0 * 8.0 * CHAINS * TURNS / took;
}

int main(int arguments, char **argument)
{
    float used;
    double peak = peak_per_s(&used);
    row loose = run_cvode(1e-3), tight = run_cvode(1e-5), one = {0}, all = run_solver();
    printf("the solver beside an integrator, %d x %d cells, pots of pots.h\n", CELLS, CELLS);
    tell("CVODE, tolerance 1e-3", &loose, 0.0);
    tell("CVODE, tolerance 1e-5", &tight, 0.0);
    if (arguments > 0 && run_one_lane(argument[0], &one)) {
        tell("one lane, double", &one, peak);
    }
    tell("as used, 16 lanes, float", &all, peak);
    printf("  measured peak: %.1f thousand million multiplications and additions/s, not fused\n",
           1e-9 * peak);
    return !(used > 0.0f); /* which it is; so that the loop is not left out */
}

#endif
