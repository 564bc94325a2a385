/* SPDX-License-Identifier: MIT */
/*
 * Freezing: fronts in a half-space, in cylinders and slabs, freezing over a range, freezing-time
 * formulas and full runs of pots. Each closed form is first held to independently computed digits,
 * then the solver to the same numbers at what its grid allows. Spheres, which the solver does not
 * know, are held as closed forms only.
 */
#include "closed_forms.h"

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "check.h"
#include "rig.h"

/* ---- Neumann's half-space -------------------------------------------------------------------- */

/*
 * Carslaw & Jaeger 1959 s.11.2; Alexiades & Solomon 1993 ch.2. Roots at 40 digits, equal
 * densities. The media are inputs, not claims about a soil.
 */
typedef struct neumann_row {
    const char *name;
    cf_neumann in;
    double stefan, lambda;
    double front_mm[4]; /* 1 h, 6 h, 24 h, 7 d */
    double t_c[4];      /* 10 mm 1 h, 20 mm 6 h, 50 mm 24 h, 100 mm 24 h */
    double heat_mj_m2;  /* 24 h */
} neumann_row;

static const double FRONT_S[4] = {3600, 21600, 86400, 604800};
static const double T_MM[4] = {10, 20, 50, 100}, T_S[4] = {3600, 21600, 86400, 86400};

static const neumann_row NEUMANN[] = {
    {"NEU-W05", {2.22, 1.925e+6, 0.56, 4.2176e+6, 3.0578e+8, -5.0, 0.0},
     0.0314768788, 0.124802613961,
     {16.08296245, 39.39505156, 78.79010311, 208.4590186},
     {-1.881232013, -2.451834545, -1.817186519, 0},
     24.4706318},
    {"NEU-W10", {2.22, 1.925e+6, 0.56, 4.2176e+6, 3.0578e+8, -10.0, 0.0},
     0.0629537576, 0.175599320777,
     {22.62899144, 55.42948241, 110.8589648, 293.3052515},
     {-5.54436811, -6.359560151, -5.452869433, -0.9623678721},
     34.95999955},
    {"NEU-W10B", {2.22, 1.925e+6, 0.56, 4.2176e+6, 3.0578e+8, -10.0, 4.0},
     0.0629537576, 0.167440102741,
     {21.57753592, 52.8539529, 105.7079058, 279.6768304},
     {-5.331572293, -6.185696961, -5.235703744, -0.5307410311},
     36.62964863},
    {"NEU-LOAM2", {1.9, 1.9e+6, 1.2, 2.5e+6, 1.002e+8, -10.0, 5.0},
     0.1896207585, 0.266910625895,
     {32.02927511, 78.45538084, 156.9107617, 415.1468535},
     {-6.810928739, -7.394127389, -6.745481096, -3.537652354},
     21.42201519},
    {"NEU-PEAT2", {1.3, 1.7e+6, 0.45, 3.0e+6, 2.004e+8, -8.0, 6.0},
     0.06786427146, 0.166849209366,
     {17.50864812, 42.88725398, 85.77450796, 226.9380169},
     {-3.402312475, -4.242221726, -3.308095175, 0.6026121021},
     21.14627951},
    {"NEU-SAND2", {1.6, 1.45e+6, 1.3, 1.6e+6, 2.672e+7, -15.0, 5.0},
     0.813997006, 0.479485282771,
     {60.44112201, 148.0499084, 296.0998168, 783.4064785},
     {-12.3323691, -12.82036701, -12.27759818, -9.590619015},
     15.08669595},
    {"NEU-DRY1", {0.6, 1.3e+6, 0.55, 1.4e+6, 1.0e+7, -20.0, 0.0},
     2.6, 0.873401117628,
     {71.20310595, 174.4112777, 348.8225554, 922.8977332},
     {-16.48331045, -17.12384667, -16.41154067, -12.9335376},
     7.479924376},
};
enum { NEUMANNS = sizeof NEUMANN / sizeof *NEUMANN };

static void neumann_closed_form(void **state)
{
    (void)state;
    for (int i = 0; i < NEUMANNS; i++) {
        const neumann_row *row = &NEUMANN[i];
        check_close(row->name, cf_stefan(&row->in), row->stefan, 0, 1e-9);
        check_close(row->name, cf_neumann_lambda(&row->in), row->lambda, 0, 1e-9);
        for (int k = 0; k < 4; k++) {
            check_close(row->name, 1e3 * cf_neumann_front_m(&row->in, FRONT_S[k]),
                        row->front_mm[k], 0, 1e-8);
            check_close(row->name, cf_neumann_c(&row->in, 1e-3 * T_MM[k], T_S[k]), row->t_c[k],
                        1e-8, 0);
        }
        check_close(row->name, 1e-6 * cf_neumann_heat_j_m2(&row->in, 86400), row->heat_mj_m2, 0,
                    1e-8);
    }
}

/* A column as half-space, fine at the top; 0.4 mm there, 3 mm at 300 mm. */
static const rig_shape HALF_SPACE = {0, 1, 3.0, 1.008, OW_FINE_START};
static const rig_shape DEEP_HALF_SPACE = {0, 1, 6.0, 1.008, OW_FINE_START};

/* Small steps while the front runs fast. */
static double half_space_dt_s(double now_s)
{
    return now_s < 3600 ? 5 : now_s < 86400 ? 60 : 600;
}

static void step_to(rig *r, double *now_s, uint64_t *step, double until_s)
{
    while (*now_s < until_s) {
        double dt = half_space_dt_s(*now_s);
        ow_block_step(&r->block, dt, (*step)++);
        *now_s += dt;
    }
}

static double worst(double so_far, double miss)
{
    return fmax(so_far, fabs(miss));
}

/* Tolerances of a grid: 1 cell + 1 % of the front, 0.05 K, 1 % of the heat. */
static void neumann_solver(void **state)
{
    (void)state;
    rig r;
    double now = 0, front_miss = 0, t_miss = 0, heat_miss = 0;
    uint64_t step = 0;
    rig_open(&r, 1, OW_LINE_CELLS);
    for (int i = 0; i < NEUMANNS; i++) {
        const cf_neumann *n = &NEUMANN[i].in;
        ow_law law = rig_sharp_law(n->frozen_w_mk, n->frozen_j_m3k, n->thawed_w_mk,
                                   n->thawed_j_m3k, n->latent_j_m3);
        rig_put(&r, i, &HALF_SPACE, &law, n->start_c);
        rig_face(&r, i, OW_TOP, n->surface_c, RIG_HELD_W_M2K);
    }
    for (int k = 0; k < (CHECKED_BUILD ? 3 : 4); k++) {
        step_to(&r, &now, &step, FRONT_S[k]);
        for (int i = 0; i < NEUMANNS; i++) {
            const neumann_row *row = &NEUMANN[i];
            double front = rig_ice_depth_m(&r, i), want = 1e-3 * row->front_mm[k];
            check_close(row->name, front, want, rig_cell_at(&r, i, want), 0.01);
            front_miss = worst(front_miss, front / want - 1);
            for (int p = 0; p < 4; p++) {
                if (T_S[p] == now) {
                    double t = ow_block_axis_c(&r.block, i, 1e-3 * T_MM[p]);
                    check_close(row->name, t, row->t_c[p], 0.05, 0);
                    t_miss = worst(t_miss, t - row->t_c[p]);
                }
            }
            if (now == 86400) {
                double heat = -1e-6 * r.block.heat_in_j[i];
                check_close(row->name, heat, row->heat_mj_m2, 0, 0.01);
                heat_miss = worst(heat_miss, heat / row->heat_mj_m2 - 1);
            }
        }
    }
    printf("# Neumann, worst: front %.2f %%, temperature %.4f K, heat %.2f %%\n",
           100 * front_miss, t_miss, 100 * heat_miss);
    rig_close(&r);
}

/* ---- three zones ----------------------------------------------------------------------------- */

/*
 * Lunardini, CRREL Report 88-2 (1988); McKenzie et al. 2007, Adv. Water Resour. 30:966. Inputs
 * found in open validation code; roots from flux continuity.
 */
typedef struct zones_row {
    const char *name;
    double end_c, psi, gamma;
    double frozen_mm[2], thawed_mm[2]; /* edges at 6 h, 24 h */
    double t_c[2][4];                  /* at 50, 100, 200, 400 mm */
} zones_row;

static const zones_row ZONES[] = {
    {"LUN0p1", -0.1, 0.1587505114, 5.616155471,
     {104.531023, 209.062046}, {108.126368, 216.252736},
     {{-3.15960449, -0.351745571, 0.890511194, 2.44396643},
      {-4.5777555, -3.15960449, -0.351745571, 0.890511194}}},
    {"LUN4", -4.0, 0.06172734438, 1.397316273,
     {40.6450499, 81.2900997}, {166.898696, 333.797391},
     {{-3.47442297, -1.29346826, 0.363728723, 2.18035679},
      {-4.76886688, -3.47442297, -1.29346826, 0.363728723}}},
};
static const double ZONES_S[2] = {21600, 86400}, ZONES_MM[4] = {50, 100, 200, 400};

static cf_zones zones_of(const zones_row *row)
{
    return (cf_zones){3.464352, 2.941352, 2.418352, 690360, 1680.0 * 334720 * (0.2000 - 0.0782),
                      row->end_c, 4, -6};
}

static void zones_closed_form(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++) {
        const zones_row *row = &ZONES[i];
        cf_zones z = zones_of(row);
        cf_zones_root root = cf_zones_solve(&z);
        check_close(row->name, root.psi, row->psi, 0, 1e-8);
        check_close(row->name, root.gamma, row->gamma, 0, 1e-8);
        for (int k = 0; k < 2; k++) {
            double t = ZONES_S[k];
            check_close(row->name, 2e3 * root.psi * sqrt(root.a1 * t), row->frozen_mm[k], 0, 1e-7);
            check_close(row->name, 2e3 * root.gamma * sqrt(root.a4 * t), row->thawed_mm[k], 0,
                        1e-7);
            for (int p = 0; p < 4; p++) {
                check_close(row->name, cf_zones_c(&z, &root, 1e-3 * ZONES_MM[p], t),
                            row->t_c[k][p], 1e-7, 0);
            }
        }
    }
}

static ow_law zones_law(const cf_zones *z)
{
    const double t[2] = {0, z->end_c}, ice[2] = {0, 1}, k[1] = {z->mushy_w_mk};
    const double h[2] = {0, z->c_j_m3k * z->end_c - z->latent_j_m3};
    ow_law law;
    assert_int_equal(ow_law_of_nodes(2, t, h, ice, k, z->c_j_m3k, z->thawed_w_mk, z->c_j_m3k,
                                     z->frozen_w_mk, &law),
                     OW_OK);
    return law;
}

/* Tolerances of a grid: edges within 1 cell, temperatures 0.05 K. */
static void zones_solver(void **state)
{
    (void)state;
    rig r;
    double now = 0, t_miss = 0, edge_miss = 0;
    uint64_t step = 0;
    rig_open(&r, 1, OW_LINE_CELLS);
    for (int i = 0; i < 2; i++) {
        cf_zones z = zones_of(&ZONES[i]);
        ow_law law = zones_law(&z);
        rig_put(&r, i, &DEEP_HALF_SPACE, &law, z.start_c);
        rig_face(&r, i, OW_TOP, z.surface_c, RIG_HELD_W_M2K);
    }
    for (int k = 0; k < (CHECKED_BUILD ? 1 : 2); k++) {
        step_to(&r, &now, &step, ZONES_S[k]);
        for (int i = 0; i < 2; i++) {
            const zones_row *row = &ZONES[i];
            double cell = 0;
            double frozen = rig_depth_of(&r, i, row->end_c, &cell);
            check_close(row->name, 1e3 * frozen, row->frozen_mm[k], 1e3 * cell, 0);
            edge_miss = worst(edge_miss, (frozen - 1e-3 * row->frozen_mm[k]) / cell);
            double thawed = rig_depth_of(&r, i, 0, &cell);
            check_close(row->name, 1e3 * thawed, row->thawed_mm[k], 1e3 * cell, 0);
            edge_miss = worst(edge_miss, (thawed - 1e-3 * row->thawed_mm[k]) / cell);
            for (int p = 0; p < 4; p++) {
                double t = ow_block_axis_c(&r.block, i, 1e-3 * ZONES_MM[p]);
                check_close(row->name, t, row->t_c[k][p], 0.05, 0);
                t_miss = worst(t_miss, t - row->t_c[k][p]);
            }
        }
    }
    printf("# three zones, worst: edge %.2f cells, temperature %.4f K\n", edge_miss, t_miss);
    rig_close(&r);
}

/* ---- castings -------------------------------------------------------------------------------- */

/* Ghosh & Mallik, Manufacturing Science, sample problem 2.6 (printed 0.98 and 0.815). */
static void casting_roots(void **state)
{
    (void)state;
    double phi = sqrt(83.0 * 7850 * 670 / (398.0 * 8960 * 376));
    double stefan = 670.0 * 1512 / 272000;
    check_close("TXT-CAST1", cf_casting_root(stefan, 0), 0.98, 0.005, 0);
    check_close("TXT-CAST1 recomputed", cf_casting_root(stefan, 0), 0.97531022, 1e-4, 0);
    check_close("TXT-CAST2 phi", phi, 0.570587, 1e-6, 0);
    check_close("TXT-CAST2", cf_casting_root(stefan, phi), 0.815, 0.003, 0);
}

/* ---- fronts in slabs, cylinders, spheres ----------------------------------------------------- */

/*
 * London & Seban 1943 (ASME Trans. 65, 771), no heat capacity: tau until the front has come to
 * s = 0.9, 0.75, 0.5, 0.25, 0 of the radius (half thickness). The last equals Plank 1913.
 */
typedef struct shell_row {
    int shape; /* 1 slab, 2 cylinder, 3 sphere */
    double bi, tau[5];
} shell_row;

static const double SHELL_S[5] = {0.9, 0.75, 0.5, 0.25, 0};
static const shell_row SHELL[] = {
    {1, 0.2, {0.505, 1.28125, 2.625, 4.03125, 5.5}},
    {1, 0.5, {0.205, 0.53125, 1.125, 1.78125, 2.5}},
    {1, 1, {0.105, 0.28125, 0.625, 1.03125, 1.5}},
    {1, 2, {0.055, 0.15625, 0.375, 0.65625, 1}},
    {1, 5, {0.025, 0.08125, 0.225, 0.43125, 0.7}},
    {2, 0.2, {0.4798289912, 1.122214417, 1.975856602, 2.534803301, 2.75}},
    {2, 0.5, {0.1948289912, 0.4659644171, 0.8508566024, 1.128553301, 1.25}},
    {2, 1, {0.09982899116, 0.2472144171, 0.4758566024, 0.6598033012, 0.75}},
    {2, 2, {0.05232899116, 0.1378394171, 0.2883566024, 0.4254283012, 0.5}},
    {2, 5, {0.02382899116, 0.07221441712, 0.1758566024, 0.2848033012, 0.35}},
    {3, 0.2, {0.4563333333, 0.9895833333, 1.541666667, 1.78125, 1.833333333}},
    {3, 0.5, {0.1853333333, 0.4114583333, 0.6666666667, 0.796875, 0.8333333333}},
    {3, 1, {0.095, 0.21875, 0.375, 0.46875, 0.5}},
    {3, 2, {0.04983333333, 0.1223958333, 0.2291666667, 0.3046875, 0.3333333333}},
    {3, 5, {0.02273333333, 0.06458333333, 0.1416666667, 0.20625, 0.2333333333}},
};
enum { SHELLS = sizeof SHELL / sizeof *SHELL };

static void shell_closed_form(void **state)
{
    (void)state;
    for (int i = 0; i < SHELLS; i++) {
        for (int k = 0; k < 5; k++) {
            check_close("quasi-steady tau", cf_shell_tau(SHELL[i].shape, SHELL_S[k], SHELL[i].bi),
                        SHELL[i].tau[k], 1e-9, 1e-8);
        }
    }
}

/* The same with the frozen shell's own heat capacity; front-fixing, two grids, Richardson. */
typedef struct finite_row {
    double stefan, bi, tau[4]; /* s = 0.75, 0.5, 0.25, 0.1 */
} finite_row;

static const double FINITE_S[4] = {0.75, 0.5, 0.25, 0.1};
static const finite_row FINITE_CYLINDER[] = {
    {0.02, 1.0, {0.247795, 0.478066, 0.664702, 0.738225}},
    {0.06, 0.5, {0.46784, 0.858474, 1.14642, 1.25289}},
    {0.06, 2.0, {0.139363, 0.293724, 0.436632, 0.499303}},
    {0.06, 10.0, {0.0513265, 0.141718, 0.245037, 0.295662}},
    {0.2, 2.0, {0.142798, 0.30561, 0.460774, 0.532049}},
};
enum { FINITES = sizeof FINITE_CYLINDER / sizeof *FINITE_CYLINDER };

enum { SHELL_CELLS = 100, SHELL_STEPS = 2000, MOST_MARKS = 5 };
static const double SHELL_R_M = 0.1, SHELL_DROP_K = 10, SHELL_TIME_S = 360000;

/* One body that freezes inwards: the latent heat is chosen so that tau_end comes at the end. */
typedef struct shell_run {
    int marks;
    double share[MOST_MARKS], tau_end;
    double tau[MOST_MARKS]; /* when the frozen share passed each mark */
} shell_run;

static void put_shell(rig *r, int lane, int shape, double stefan, double bi, double tau_end)
{
    double latent = SHELL_DROP_K * SHELL_TIME_S / (tau_end * SHELL_R_M * SHELL_R_M);
    double c = stefan * latent / SHELL_DROP_K;
    ow_law law = rig_sharp_law(1, c, 1, c, latent);
    rig_shape slab = {0, 1, SHELL_R_M, 1, OW_FINE_START}, cylinder = {SHELL_R_M, 1, 1, 1, 0};
    rig_put(r, lane, shape == 1 ? &slab : &cylinder, &law, 0);
    rig_face(r, lane, shape == 1 ? OW_TOP : OW_SIDE, -SHELL_DROP_K, bi / SHELL_R_M);
}

static void run_shells(rig *r, shell_run *run, int runs)
{
    double before[OW_LANES] = {0};
    for (int s = 0; s < SHELL_STEPS; s++) {
        ow_block_step(&r->block, SHELL_TIME_S / SHELL_STEPS, (uint64_t)s);
        for (int i = 0; i < runs; i++) {
            double ice = rig_inside(r, i).ice_share;
            for (int k = 0; k < run[i].marks; k++) {
                double mark = run[i].share[k];
                if (before[i] < mark && ice >= mark) {
                    double at = s + (mark - before[i]) / (ice - before[i]);
                    run[i].tau[k] = run[i].tau_end * at / SHELL_STEPS;
                }
            }
            before[i] = ice;
        }
    }
}

/* A cylinder's or slab's frozen share when the front is at s; the very end by its last 1e-5. */
static double share_at(int shape, double s)
{
    return fmin(shape == 1 ? 1 - s : 1 - s * s, 1 - 1e-5);
}

/* Stefan number 0.001 stands for none (it adds half that share to the time). Grid: 1 %. */
static void shell_solver(void **state)
{
    (void)state;
    double miss = 0;
    for (int shape = 1; shape <= 2; shape++) {
        rig r;
        shell_run run[OW_LANES] = {0};
        const shell_row *row[OW_LANES] = {0};
        int runs = 0;
        rig_open(&r, shape == 1 ? 1 : SHELL_CELLS, shape == 1 ? SHELL_CELLS : 1);
        for (int i = 0; i < SHELLS; i++) {
            if (SHELL[i].shape == shape) {
                row[runs] = &SHELL[i];
                run[runs] = (shell_run){.marks = 5, .tau_end = 1.05 * SHELL[i].tau[4]};
                for (int k = 0; k < 5; k++) {
                    run[runs].share[k] = share_at(shape, SHELL_S[k]);
                }
                put_shell(&r, runs, shape, 1e-3, SHELL[i].bi, run[runs].tau_end);
                runs++;
            }
        }
        assert_int_equal(runs, 5);
        run_shells(&r, run, runs);
        for (int i = 0; i < runs; i++) {
            for (int k = 0; k < 5; k++) {
                check_close("quasi-steady tau, solver", run[i].tau[k], row[i]->tau[k], 0, 0.01);
                miss = worst(miss, run[i].tau[k] / row[i]->tau[k] - 1);
            }
        }
        rig_close(&r);
    }
    printf("# quasi-steady slabs and cylinders, worst: %.2f %% of the time\n", 100 * miss);
}

/* Grid: 1 %. */
static void finite_stefan_solver(void **state)
{
    (void)state;
    rig r;
    shell_run run[OW_LANES] = {0};
    double miss = 0;
    rig_open(&r, SHELL_CELLS, 1);
    for (int i = 0; i < FINITES; i++) {
        const finite_row *row = &FINITE_CYLINDER[i];
        run[i] = (shell_run){.marks = 4, .tau_end = 1.05 * row->tau[3]};
        for (int k = 0; k < 4; k++) {
            run[i].share[k] = share_at(2, FINITE_S[k]);
        }
        put_shell(&r, i, 2, row->stefan, row->bi, run[i].tau_end);
    }
    run_shells(&r, run, FINITES);
    for (int i = 0; i < FINITES; i++) {
        for (int k = 0; k < 4; k++) {
            double want = FINITE_CYLINDER[i].tau[k];
            check_close("finite-Stefan cylinder", run[i].tau[k], want, 0, 0.01);
            miss = worst(miss, run[i].tau[k] / want - 1);
        }
    }
    printf("# finite-Stefan cylinders, worst: %.2f %% of the time\n", 100 * miss);
    rig_close(&r);
}

/* ---- freezing-time formulas ------------------------------------------------------------------ */

/* Plank 1913 (factors found in a food-science encyclopaedia chapter); no superheat, Tf = 0. */
typedef struct plank_row {
    const char *name;
    int shape;
    double d_m, h_w_m2k, k_w_mk, latent_j_m3, air_c, hours;
    double frozen_j_m3k; /* of the full run that the formula bounds from below */
} plank_row;

static const plank_row PLANK[] = {
    {"PLANK-POT20", 2, 0.20, 10, 1.3, 2.004e8, -5, 77.076923, 1.7e6},
    {"PLANK-POT30", 2, 0.30, 10, 1.3, 2.004e8, -5, 131.67308, 1.7e6},
    {"PLANK-POT40", 2, 0.40, 10, 1.3, 2.004e8, -5, 196.97436, 1.7e6},
    {"PLANK-POT20-10", 2, 0.20, 10, 1.3, 2.004e8, -10, 38.538462, 1.7e6},
    {"PLANK-TRUNK15", 2, 0.15, 15, 1.2, 2.3e8, -8, 29.324002, 1.8e6},
};
static const plank_row PLANK_TRAY = {
    "PLANK-TRAY10", 1, 0.10, 10, 1.9, 1.002e8, -5, 31.495614, 1.9e6};
enum { PLANKS = sizeof PLANK / sizeof *PLANK };

static void plank_closed_form(void **state)
{
    (void)state;
    for (int i = 0; i <= PLANKS; i++) {
        const plank_row *p = i < PLANKS ? &PLANK[i] : &PLANK_TRAY;
        double s = cf_plank_s(p->shape, p->latent_j_m3, -p->air_c, p->d_m, p->h_w_m2k, p->k_w_mk);
        check_close(p->name, s / 3600, p->hours, 0, 1e-6);
    }
    check_close("PLANK-SPH-1", cf_plank_s(3, 250e6, 38.75, 0.07, 50, 1.2), 2603.05, 0, 3e-6);
    check_close("PLANK-SPH-2", cf_plank_s(3, 250e6, 38.75, 0.07, 30, 1.2), 3606.63, 0, 3e-6);
}

/* Hours until all is ice. */
static double freezing_h(rig *r, int lane, const plank_row *p, uint64_t steps, double dt_s)
{
    rig_shape cylinder = {0.5 * p->d_m, 1, 1, 1, OW_FINE_START};
    rig_shape slab = {0, 1, 0.5 * p->d_m, 1, OW_FINE_START};
    ow_law law = rig_sharp_law(p->k_w_mk, p->frozen_j_m3k, p->k_w_mk, p->frozen_j_m3k,
                               p->latent_j_m3);
    rig_put(r, lane, p->shape == 1 ? &slab : &cylinder, &law, 0);
    rig_face(r, lane, p->shape == 1 ? OW_TOP : OW_SIDE, p->air_c, p->h_w_m2k);
    for (uint64_t s = 0; s < steps; s++) {
        ow_block_step(&r->block, dt_s, s);
        if (rig_inside(r, lane).ice_share >= 1 - 1e-5) {
            return (double)(s + 1) * dt_s / 3600;
        }
    }
    return NAN;
}

/* A full model takes longer by what the ice itself cools: from nothing to a tenth. */
static void plank_bounds_solver(void **state)
{
    (void)state;
    for (int i = 0; i <= PLANKS; i++) {
        const plank_row *p = i < PLANKS ? &PLANK[i] : &PLANK_TRAY;
        rig r;
        rig_open(&r, p->shape == 1 ? 1 : 32, p->shape == 1 ? 32 : 1);
        double over = freezing_h(&r, 0, p, 2500, 600) / p->hours;
        check_between(p->name, over, 1.0, 1.10);
        printf("# %s: full run takes %.3f of the formula\n", p->name, over);
        rig_close(&r);
    }
}

/* Pham 1986; arithmetic only (the fit and the inputs of the beef row are from memory). */
static void pham_closed_form(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double rel; /* 1e-6; the beef's latent heat is given to six digits only */
        cf_pham_in in;
        cf_pham_out out;
    } row[] = {
        {"PHAM-BEEF", 2e-6,
         {3.696e6, 2.03975e6, 2.47008e8, 5, -10, -30, 0.125, 30, 1.5, 1},
         {-3.98, 33190080, 2.5928695e8, 30.51, 26.02, 2.5, 28.783209}},
        {"PHAM-CYL-PEAT", 1e-6,
         {3e6, 1.7e6, 2.004e8, 5, -3, -8, 0.1, 10, 1.3, 2},
         {0.171, 14487000, 2.057907e8, 10.5855, 8.171, 0.76923077, 51.065515}},
        {"PHAM-SPH", 1e-6,
         {3.6e6, 2e6, 2.5e8, 10, -10, -40, 0.035, 50, 1.2, 3},
         {-5.03, 54108000, 2.5994e8, 42.485, 34.97, 1.4583333, 0.97582081}},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        cf_pham_out y = cf_pham(&row[i].in);
        check_close(row[i].name, y.tfm_c, row[i].out.tfm_c, 0, row[i].rel);
        check_close(row[i].name, y.dh1, row[i].out.dh1, 0, row[i].rel);
        check_close(row[i].name, y.dh2, row[i].out.dh2, 0, row[i].rel);
        check_close(row[i].name, y.dt1, row[i].out.dt1, 0, row[i].rel);
        check_close(row[i].name, y.dt2, row[i].out.dt2, 0, row[i].rel);
        check_close(row[i].name, y.bi, row[i].out.bi, 0, row[i].rel);
        check_close(row[i].name, y.hours, row[i].out.hours, 0, row[i].rel);
    }
}

/* ---- long pots: full runs -------------------------------------------------------------------- */

/*
 * Independent radial finite-volume enthalpy runs, 400 cells of 20 s against 200 of 40 s.
 * Liquid share falls evenly from 1 at 0 C to 0 at -0.1 C; conductivity and heat capacity are
 * linear in it.
 */
typedef struct long_pot {
    const char *name;
    double radius_m, frozen_w_mk, thawed_w_mk, frozen_j_m3k, thawed_j_m3k, latent_j_m3;
    double start_c, air_c, h_w_m2k;
} long_pot;

static const long_pot LONG_POT[] = {
    {"POT-A", 0.10, 1.3, 0.45, 1.7e6, 3.0e6, 2.004e8, 5, -5, 10},
    {"POT-C", 0.20, 1.3, 0.45, 1.7e6, 3.0e6, 2.004e8, 3, -10, 12},
    {"POT-E", 0.15, 1.9, 1.20, 1.9e6, 2.5e6, 1.002e8, 4, -5, 5},
};
enum { LONG_POTS = sizeof LONG_POT / sizeof *LONG_POT };

static const struct {
    int pot, hour;
    double frozen, centre_c, surface_c, heat_mj_m3;
} LONG_POT_ROW[] = {
    {0, 6, 0.047483, 1.3797, -0.13734, 22.863},
    {0, 12, 0.14281, 0.167, -0.31456, 43.5},
    {0, 24, 0.33464, 0.00072018, -0.70392, 82.307},
    {0, 48, 0.66705, 5.0187e-13, -1.4984, 149.74},
    {1, 6, 0.096872, 2.7387, -0.89296, 24.817},
    {1, 12, 0.19922, 1.7855, -1.7241, 47.311},
    {1, 24, 0.38344, 0.52923, -3.0842, 86.528},
    {1, 48, 0.67383, 0.0094735, -5.032, 147.48},
    {2, 6, 0.0027856, 1.2525, -0.02623, 8.9042},
    {2, 12, 0.060442, 0.071772, -0.097803, 16.006},
    {2, 24, 0.19846, 1.7668e-05, -0.22898, 29.946},
    {2, 48, 0.46129, 1.0551e-09, -0.55587, 56.515},
};
enum { LONG_POT_ROWS = sizeof LONG_POT_ROW / sizeof *LONG_POT_ROW };

static ow_law long_pot_law(const long_pot *p)
{
    enum { NODES = 12 };
    const double range_k = 0.1;
    double t[NODES], h[NODES], ice[NODES], k[NODES];
    ow_law law;
    for (int i = 0; i < NODES; i++) {
        double f = (double)i / (NODES - 1), next = (i + 0.5) / (NODES - 1);
        t[i] = -range_k * f;
        ice[i] = f;
        h[i] = p->thawed_j_m3k * t[i] + 0.5 * (p->frozen_j_m3k - p->thawed_j_m3k) * f * t[i] -
               p->latent_j_m3 * f;
        k[i] = p->thawed_w_mk + (p->frozen_w_mk - p->thawed_w_mk) * next;
    }
    assert_int_equal(ow_law_of_nodes(NODES, t, h, ice, k, p->thawed_j_m3k, p->thawed_w_mk,
                                     p->frozen_j_m3k, p->frozen_w_mk, &law),
                     OW_OK);
    return law;
}

typedef struct pot_bounds {
    int cells;
    double growth, dt_s;
    double frozen, t_k, heat_rel, heat_of_latent; /* allowed */
} pot_bounds;

static void run_long_pots(const pot_bounds *b)
{
    rig r;
    double h0[LONG_POTS], frozen = 0, centre = 0, surface = 0, heat_rel = 0, heat = 0, sum = 0;
    rig_open(&r, b->cells, 1);
    for (int i = 0; i < LONG_POTS; i++) {
        const long_pot *p = &LONG_POT[i];
        ow_law law = long_pot_law(p);
        rig_shape shape = {p->radius_m, b->growth, 1, 1, OW_FINE_START};
        rig_put(&r, i, &shape, &law, p->start_c);
        rig_face(&r, i, OW_SIDE, p->air_c, p->h_w_m2k);
        h0[i] = rig_inside(&r, i).mean_h_j_m3;
    }
    for (uint64_t s = 0; (double)s * b->dt_s < 48 * 3600; s++) {
        ow_block_step(&r.block, b->dt_s, s);
        for (int k = 0; k < LONG_POT_ROWS; k++) {
            if (fabs((double)(s + 1) * b->dt_s - 3600.0 * LONG_POT_ROW[k].hour) > 1e-6) {
                continue;
            }
            int i = LONG_POT_ROW[k].pot;
            ow_inside x = rig_inside(&r, i);
            double off = 1e-6 * (h0[i] - x.mean_h_j_m3), want = LONG_POT_ROW[k].heat_mj_m3;
            double of_latent = (off - want) * 1e6 / LONG_POT[i].latent_j_m3;
            double face = ow_block_face_c(&r.block, i, OW_SIDE);
            const char *name = LONG_POT[i].name;
            check_close(name, x.ice_share, LONG_POT_ROW[k].frozen, b->frozen, 0);
            check_close(name, x.centre_c, LONG_POT_ROW[k].centre_c, b->t_k, 0);
            check_close(name, face, LONG_POT_ROW[k].surface_c, b->t_k, 0);
            check_close(name, off, want, 0, b->heat_rel);
            check_close(name, of_latent, 0, b->heat_of_latent, 0);
            frozen = worst(frozen, x.ice_share - LONG_POT_ROW[k].frozen);
            centre = worst(centre, x.centre_c - LONG_POT_ROW[k].centre_c);
            surface = worst(surface, face - LONG_POT_ROW[k].surface_c);
            heat_rel = worst(heat_rel, off / want - 1);
            heat = worst(heat, of_latent);
            sum += fabs(of_latent);
        }
    }
    printf("# long pots, %d cells, %g s, worst: share %.4f, centre %.3f K, surface %.3f K, "
           "heat %.2f %% (%.2f %% of latent, mean %.2f)\n",
           b->cells, b->dt_s, frozen, centre, surface, 100 * heat_rel, 100 * heat,
           100 * sum / LONG_POT_ROWS);
    rig_close(&r);
}

/* Tolerances of the rows: share 0.01, temperatures 0.05 K, heat 1 %. */
static void long_pots_fine(void **state)
{
    (void)state;
    run_long_pots(&(pot_bounds){128, 1, 120, 0.01, 0.05, 0.01, 1});
}

/*
 * The grid of every day: heat and share within 3.5 % of the latent heat; temperatures within 0.5 K,
 * for the surface saws as the front crosses cells. Both are the model's own bounds, not the rows'.
 */
static void long_pots_daily(void **state)
{
    (void)state;
    run_long_pots(&(pot_bounds){8, 1.2, 1800, 0.035, 0.5, 1, 0.035});
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(neumann_closed_form),  cmocka_unit_test(neumann_solver),
        cmocka_unit_test(zones_closed_form),    cmocka_unit_test(zones_solver),
        cmocka_unit_test(casting_roots),        cmocka_unit_test(shell_closed_form),
        cmocka_unit_test(shell_solver),         cmocka_unit_test(finite_stefan_solver),
        cmocka_unit_test(plank_closed_form),    cmocka_unit_test(plank_bounds_solver),
        cmocka_unit_test(pham_closed_form),     cmocka_unit_test(long_pots_fine),
        cmocka_unit_test(long_pots_daily),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
