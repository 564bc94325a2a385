/* SPDX-License-Identifier: MIT */
/*
 * What must hold of the solver whatever the body: heat is conserved, no temperature leaves what the
 * body has met, a lane does not know its neighbours, and the error of the time stepping is small
 * and falls as it should. Then each reading by itself.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "explicit.h"
#include "random_pots.h"
#include "rig.h"

static const ow_medium WET_MIX = {0.5, 1.5, 3.6e6, 2.0e6, 2.338e8, -0.1, 0.8};
static const rig_shape BIG_POT = {0.13, 1.2, 0.24, 1.2, OW_FINE_BOTH};

static ow_law wet_law(void)
{
    ow_law law;
    assert_int_equal(ow_law_of_medium(&WET_MIX, 12, &law), OW_OK);
    return law;
}

static void put_wet(rig *r, int lane, double start_c)
{
    ow_law law = wet_law();
    rig_put(r, lane, &BIG_POT, &law, start_c);
}

static void all_round(rig *r, int lane, double te_c, double h)
{
    rig_face(r, lane, OW_SIDE, te_c, h);
    rig_face(r, lane, OW_TOP, te_c, h);
    rig_face(r, lane, OW_BASE, te_c, h);
}

static double volume_m3(const rig_shape *s)
{
    return 3.14159265358979323846 * s->radius_m * s->radius_m * s->depth_m;
}

/* ---- random pots ----------------------------------------------------------------------------- */

enum { RANDOM_HOURS = 96 };

/* Worst of a set of runs. */
typedef struct verdict {
    double outside_k; /* beyond what the pot had met */
    double heat;      /* of the latent heat moved: gap of the balance */
    uint64_t unsettled, repeats, lines;
} verdict;

static range range_of_cells(const rig *r, int lane)
{
    range h = {INFINITY, -INFINITY};
    int cells = r->block.grid.nr * r->block.grid.nz;
    for (int c = 0; c < cells; c++) {
        range_take(&h, ow_block_h(&r->block, lane, c));
    }
    const ow_law *law = &r->block.law[lane];
    return (range){ow_law_t(law, h.low), ow_law_t(law, h.high)};
}

/* 16 random pots through four days. */
static void run_random_block(uint64_t first, double step_h, verdict *v)
{
    rig r;
    random_pot pot[OW_LANES];
    range met[OW_LANES];
    double h0[OW_LANES], moved[OW_LANES] = {0}, before[OW_LANES] = {0};
    rig_open(&r, 8, 8);
    for (int l = 0; l < OW_LANES; l++) {
        pot[l] = random_pot_of(first + (uint64_t)l);
        random_put(&r, l, &pot[l]);
        met[l] = (range){pot[l].start_c, pot[l].start_c};
        h0[l] = rig_inside(&r, l).mean_h_j_m3;
    }
    int steps = (int)lrint(RANDOM_HOURS / step_h);
    for (int s = 0; s < steps; s++) {
        for (int l = 0; l < OW_LANES; l++) {
            random_weather(&r, l, &pot[l], (s + 0.5) * step_h, &met[l]);
        }
        ow_block_step(&r.block, 3600 * step_h, (uint64_t)s);
        for (int l = 0; l < OW_LANES; l++) {
            range in = range_of_cells(&r, l);
            v->outside_k = fmax(v->outside_k, fmax(met[l].low - in.low, in.high - met[l].high));
            moved[l] += fabs(r.block.heat_in_j[l] - before[l]);
            before[l] = r.block.heat_in_j[l];
        }
    }
    for (int l = 0; l < OW_LANES; l++) {
        double vol = volume_m3(&pot[l].shape);
        double gap = r.block.heat_in_j[l] / vol - (rig_inside(&r, l).mean_h_j_m3 - h0[l]);
        double scale = fmax(pot[l].medium.latent_j_m3, moved[l] / vol);
        v->heat = fmax(v->heat, fabs(gap) / scale);
    }
    v->unsettled += r.block.unsettled;
    v->repeats += r.block.repeats;
    v->lines += (uint64_t)steps * 16;
    rig_close(&r);
}

/* 2000 pots (32 in checked builds) at steps of 60, 30 and 5 min. */
static void random_pots_stay_in_range(void **state)
{
    (void)state;
    static const double step_h[3] = {1, 0.5, 1.0 / 12};
    static const double unsettled[3] = {2e-3, 5e-4, 1e-5}; /* of all lines: the worst pots' */
    const uint64_t pots = CHECKED_BUILD ? 32 : 2000;
    for (int k = 0; k < 3; k++) {
        verdict v = {0};
        for (uint64_t i = 0; i < pots; i += OW_LANES) {
            run_random_block(i, step_h[k], &v);
        }
        double share = (double)v.unsettled / ((double)v.lines * OW_LANES);
        printf("# %d random pots, %2.0f min: outside by %.4f K, heat gap %.1e, repeats a line of "
               "16 %.3f, unsettled after 20 repeats %.4f %% of the lines\n",
               (int)pots, 60 * step_h[k], v.outside_k, v.heat,
               (double)v.repeats / (double)v.lines, 100 * share);
        check_between("beyond what the pot has met", v.outside_k, -100, 0.2);
        check_between("heat balance", v.heat, 0, rig_is_double() ? 1e-12 : 5e-5);
        check_between("unsettled lines", share, 0, unsettled[k]);
    }
}

/* One Newton step alone would overshoot by tens of kelvins here. */
static void mushy_cells_do_not_overshoot(void **state)
{
    (void)state;
    static const double step_s[4] = {300, 900, 1800, 3600};
    for (int k = 0; k < 4; k++) {
        rig r;
        rig_open(&r, 8, 8);
        put_wet(&r, 0, 0.5);
        all_round(&r, 0, -15, 25);
        for (uint64_t s = 0; (double)s * step_s[k] < 96 * 3600; s++) {
            ow_block_step(&r.block, step_s[k], s);
            check_between("coldest cell", rig_inside(&r, 0).coldest_c, -15.001, 0.5);
        }
        check_close("at the end", rig_inside(&r, 0).mean_c, -15, 0.05, 0);
        rig_close(&r);
    }
}

/* ---- heat ------------------------------------------------------------------------------------ */

/* Freezes and thaws a wet pot; gap of the balance against the latent heat. */
static void heat_is_conserved(void **state)
{
    (void)state;
    rig r;
    double worst_gap = 0, h0;
    rig_open(&r, 8, 8);
    put_wet(&r, 0, 5);
    h0 = rig_inside(&r, 0).mean_h_j_m3;
    for (int s = 0; s < 14 * 48; s++) {
        all_round(&r, 0, s < 5 * 48 ? -8 : 10, 12);
        ow_block_step(&r.block, 1800, (uint64_t)s);
        double came = r.block.heat_in_j[0] / volume_m3(&BIG_POT);
        double gap = came - (rig_inside(&r, 0).mean_h_j_m3 - h0);
        worst_gap = fmax(worst_gap, fabs(gap) / WET_MIX.latent_j_m3);
    }
    printf("# heat gap over two weeks: %.1e of the latent heat\n", worst_gap);
    check_between("heat balance", worst_gap, 0, rig_is_double() ? 1e-12 : 5e-5);
    check_close("thawed again", rig_inside(&r, 0).ice_share, 0, 0, 0);
    rig_close(&r);
}

static void insulated_bodies_keep_all(void **state)
{
    (void)state;
    rig r;
    rig_open(&r, 8, 8);
    put_wet(&r, 0, -3);
    double before = rig_inside(&r, 0).mean_h_j_m3;
    for (uint64_t s = 0; s < 100; s++) {
        ow_block_step(&r.block, 3600, s);
    }
    check_close("mean h", rig_inside(&r, 0).mean_h_j_m3, before, 0, 0);
    check_close("heat in", r.block.heat_in_j[0], 0, 0, 0);
    rig_close(&r);
}

/* ---- neighbours and copies ------------------------------------------------------------------- */

static void step_random(rig *r, const random_pot *pot, const int *lane, int n, int from, int to)
{
    range met = {0, 0};
    for (int s = from; s < to; s++) {
        for (int i = 0; i < n; i++) {
            random_weather(r, lane[i], &pot[i], (s + 0.5) * 0.5, &met);
        }
        ow_block_step(&r->block, 1800, (uint64_t)s);
    }
}

static void same_lane(const rig *a, int la, const rig *b, int lb)
{
    int cells = a->block.grid.nr * a->block.grid.nz;
    for (int c = 0; c < cells; c++) {
        ow_real x = a->block.h_j_m3[c][la], y = b->block.h_j_m3[c][lb];
        assert_memory_equal(&x, &y, sizeof x);
    }
    assert_memory_equal(&a->block.heat_in_j[la], &b->block.heat_in_j[lb], sizeof(double));
}

/* Alone in lane 0; then every lane in turn among 15 different neighbours. */
static void company_does_not_matter(void **state)
{
    (void)state;
    for (int place = 0; place < OW_LANES; place++) {
        rig alone, crowd;
        random_pot pot[OW_LANES];
        int lane[OW_LANES], zero = 0;
        rig_open(&alone, 8, 8);
        rig_open(&crowd, 8, 8);
        for (int i = 0; i < OW_LANES; i++) {
            pot[i] = random_pot_of((uint64_t)(5000 + 40 * i + place));
            lane[i] = (place + i) % OW_LANES;
            random_put(&crowd, lane[i], &pot[i]);
        }
        random_put(&alone, 0, &pot[0]);
        step_random(&alone, pot, &zero, 1, 0, 200);
        step_random(&crowd, pot, lane, OW_LANES, 0, 200);
        same_lane(&alone, 0, &crowd, place);
        rig_close(&alone);
        rig_close(&crowd);
    }
}

/* The last bit of the step's index, and nothing else of it, picks the order of the sweeps. */
static void step_index_picks_the_order(void **state)
{
    (void)state;
    static const uint64_t index[3] = {0, 1, 6};
    double h[3];
    for (int k = 0; k < 3; k++) {
        rig r;
        rig_open(&r, 8, 8);
        put_wet(&r, 0, 2);
        all_round(&r, 0, -12, 20);
        ow_block_step(&r.block, 3600, index[k]);
        h[k] = ow_block_h(&r.block, 0, 7);
        rig_close(&r);
    }
    assert_true(h[0] != h[1]);
    assert_true(h[0] == h[2]);
}

/* A copy goes on like the original, in any lane, and takes the boundaries along. */
static void copies_go_on_alike(void **state)
{
    (void)state;
    rig a, b;
    random_pot pot = random_pot_of(77);
    int from = 3, to = 14;
    rig_open(&a, 8, 8);
    rig_open(&b, 8, 8);
    random_put(&a, from, &pot);
    step_random(&a, &pot, &from, 1, 0, 101);
    ow_block_copy(&b.block, to, &a.block, from);
    same_lane(&a, from, &b, to);
    ow_block_step(&a.block, 1800, 101);
    ow_block_step(&b.block, 1800, 101);
    same_lane(&a, from, &b, to);
    step_random(&a, &pot, &from, 1, 102, 200);
    step_random(&b, &pot, &to, 1, 102, 200);
    same_lane(&a, from, &b, to);
    rig_close(&a);
    rig_close(&b);
}

/* A step in parts is as many short steps; what came through the base is of all of them. */
static void a_step_in_parts(void **state)
{
    (void)state;
    rig a, b;
    random_pot pot = random_pot_of(78);
    int lane = 5, parts = 4;
    double base_j = 0;
    rig_open(&a, 8, 8);
    rig_open(&b, 8, 8);
    random_put(&a, lane, &pot);
    step_random(&a, &pot, &lane, 1, 0, 11);
    ow_block_copy(&b.block, lane, &a.block, lane);
    ow_block_step_in(&a.block, parts, 1800, 11);
    for (int k = 0; k < parts; k++) {
        ow_block_step(&b.block, 450, (uint64_t)(11 * parts + k));
        base_j += b.block.base_in_j[lane];
    }
    same_lane(&a, lane, &b, lane);
    assert_true(base_j != 0);
    check_close("through the base", a.block.base_in_j[lane], base_j, 0, 1e-12);
    rig_close(&a);
    rig_close(&b);
    /* A dry pot of 9 cm in 24 minutes; a wet one of 26 cm in over two hours. */
    assert_int_equal(ow_step_parts(0.045, 0.08, 1.5e6), OW_QUICK_PARTS);
    assert_int_equal(ow_step_parts(0.13, 0.24, 3.6e6), 1);
}

/* ---- time stepping --------------------------------------------------------------------------- */

/* Three lanes: a wet pot in hard frost, the same wrapped, a dry small one. Air is constant. */
enum { TIME_LANES = 3, TIME_HOURS = 72 };

static void put_time_lanes(rig *r)
{
    static const ow_medium dry = {0.15, 0.25, 1.5e6, 1.3e6, 5e7, -0.1, 0.8};
    rig_shape small = {0.06, 1.2, 0.1, 1.2, OW_FINE_BOTH};
    ow_law law;
    rig_open(r, 8, 8);
    put_wet(r, 0, 5);
    put_wet(r, 1, 5);
    assert_int_equal(ow_law_of_medium(&dry, 12, &law), OW_OK);
    rig_put(r, 2, &small, &law, 5);
    all_round(r, 0, -10, 12);
    all_round(r, 1, -6, 2);
    all_round(r, 2, -4, 10);
}

/* Mean H of each lane at each 6 h, in units of its latent heat. */
typedef struct time_run {
    double h[TIME_HOURS / 6][TIME_LANES];
} time_run;

static const double TIME_LATENT_J_M3[TIME_LANES] = {2.338e8, 2.338e8, 5e7};

static void note(const rig *r, int six, time_run *run)
{
    for (int l = 0; l < TIME_LANES; l++) {
        run->h[six][l] = rig_inside(r, l).mean_h_j_m3 / TIME_LATENT_J_M3[l];
    }
}

static time_run run_implicit(double dt_s)
{
    rig r;
    time_run run;
    int steps = (int)lrint(6 * 3600 / dt_s);
    put_time_lanes(&r);
    for (int six = 0, s = 0; six < TIME_HOURS / 6; six++) {
        for (int k = 0; k < steps; k++) {
            ow_block_step(&r.block, dt_s, (uint64_t)s++);
        }
        note(&r, six, &run);
    }
    rig_close(&r);
    return run;
}

static time_run run_explicit(void)
{
    rig r;
    time_run run;
    put_time_lanes(&r);
    double dt = explicit_dt_s(&r.block);
    for (int six = 0; six < TIME_HOURS / 6; six++) {
        explicit_run(&r.block, 6 * 3600, dt);
        note(&r, six, &run);
    }
    printf("# explicit steps of %.1f s\n", dt);
    rig_close(&r);
    return run;
}

/* Mean over all; the worst of each lane. */
static double mean_gap(const time_run *a, const time_run *b, double most[TIME_LANES])
{
    double sum = 0;
    for (int l = 0; l < TIME_LANES; l++) {
        most[l] = 0;
        for (int six = 0; six < TIME_HOURS / 6; six++) {
            double gap = fabs(a->h[six][l] - b->h[six][l]);
            sum += gap;
            most[l] = fmax(most[l], gap);
        }
    }
    return sum / (TIME_LANES * (TIME_HOURS / 6));
}

/*
 * Against the plain explicit integrator on the same grid: at 30 min the mean error is within 0.3 %
 * of the latent heat, and halving the step about halves it.
 */
static void time_stepping_converges(void **state)
{
    (void)state;
    static const double dt[4] = {3600, 1800, 900, 450};
    double mean[4], most[4][TIME_LANES];
    time_run reference = run_explicit();
    for (int k = 0; k < 4; k++) {
        time_run run = run_implicit(dt[k]);
        mean[k] = mean_gap(&run, &reference, most[k]);
        printf("# step %4.0f s: mean %.3f %%, worst: wet %.3f %%, wrapped %.3f %%, small dry %.3f "
               "%% of the latent heat\n",
               dt[k], 100 * mean[k], 100 * most[k][0], 100 * most[k][1], 100 * most[k][2]);
    }
    double order = log2(mean[0] / mean[3]) / 3;
    printf("# order in time %.2f\n", order);
    check_between("mean error at 30 min", mean[1], 0, 0.003);
    check_between("order in time", order, 0.8, 2.5);
}

/* Smooth conduction: a cylinder's mean against a grid four times as fine; order in space. */
static void grid_converges(void **state)
{
    (void)state;
    static const int cells[4] = {8, 16, 32, 128};
    double t[4];
    for (int k = 0; k < 4; k++) {
        rig r;
        rig_shape shape = {0.1, 1, 1, 1, OW_FINE_START};
        ow_law law = rig_constant_law(1, 1e6);
        rig_open(&r, cells[k], 1);
        rig_put(&r, 0, &shape, &law, 60);
        rig_face(&r, 0, OW_SIDE, 10, 20);
        for (uint64_t s = 0; s < 1000; s++) {
            ow_block_step(&r.block, 3, s);
        }
        t[k] = rig_inside(&r, 0).mean_c;
        rig_close(&r);
    }
    double order = log2(fabs(t[0] - t[3]) / fabs(t[2] - t[3])) / 2;
    printf("# order in space, no freezing: %.2f (8 cells off by %.4f K of 50)\n", order,
           fabs(t[0] - t[3]));
    check_between("order in space", order, 0.8, 3);
}

/* ---- readings -------------------------------------------------------------------------------- */

static void faces_are_spread(void **state)
{
    (void)state;
    static const ow_spacing spacing[3] = {OW_FINE_START, OW_FINE_END, OW_FINE_BOTH};
    for (int k = 0; k < 3; k++) {
        for (int n = 1; n <= 9; n++) {
            double face[10], least = INFINITY;
            ow_spread_faces(0.3, n, 1.2, spacing[k], face);
            check_close("first face", face[0], 0, 0, 0);
            check_close("last face", face[n], 0.3, 0, 0);
            for (int i = 0; i < n; i++) {
                least = fmin(least, face[i + 1] - face[i]);
            }
            for (int i = 1; i < n; i++) {
                double ratio = (face[i + 1] - face[i]) / (face[i] - face[i - 1]);
                double away = fmin(fabs(ratio - 1.2), fabs(ratio - 1 / 1.2));
                check_close("growth", n % 2 == 0 && i == n / 2 && k == 2 ? ratio - 1 : away, 0,
                            1e-9, 0);
            }
            check_close("finest", spacing[k] == OW_FINE_END ? face[n] - face[n - 1] : face[1],
                        least, 0, 1e-9);
        }
    }
}

/* A column whose enthalpies are set by hand. */
static void inside_is_told(void **state)
{
    (void)state;
    rig r;
    rig_shape column = {0, 1, 0.4, 1, OW_FINE_START};
    ow_law law = wet_law();
    const double t[4] = {2, -0.05, -1, -6};
    double h[4], ice[4];
    rig_open(&r, 1, 4);
    rig_put(&r, 5, &column, &law, 0);
    for (int i = 0; i < 4; i++) {
        h[i] = ow_law_h(&law, t[i]);
        ice[i] = ow_law_ice(&law, h[i]);
    }
    ow_block_set_h(&r.block, 5, h);
    ow_inside x = rig_inside(&r, 5);
    check_close("mean", x.mean_c, (2 - 0.05 - 1 - 6) / 4, 1e-4, 0);
    check_close("coldest", x.coldest_c, -6, 1e-4, 0);
    check_close("warmest", x.warmest_c, 2, 1e-4, 0);
    check_close("mean h", x.mean_h_j_m3, (h[0] + h[1] + h[2] + h[3]) / 4, 0, 1e-6);
    check_close("ice", x.ice_share, (ice[0] + ice[1] + ice[2] + ice[3]) / 4, 1e-6, 0);
    check_close("least relative ice", x.least_relative_ice, 0, 0, 0);
    check_close("open: the two thawed quarters", x.open_share, 0.5, 1e-9, 0);
    check_close("t of a cell", ow_block_t(&r.block, 5, 2), -1, 1e-4, 0);
    check_close("at a node", ow_block_axis_c(&r.block, 5, 0.05), 2, 1e-4, 0);
    check_close("between nodes", ow_block_axis_c(&r.block, 5, 0.30), -3.5, 1e-4, 0);
    check_close("above the first node", ow_block_axis_c(&r.block, 5, 0), 2, 1e-4, 0);
    check_close("below the last node", ow_block_axis_c(&r.block, 5, 0.4), -6, 1e-4, 0);
    check_close("centre", x.centre_c, 0.5 * (-0.05 - 1), 1e-4, 0);
    rig_close(&r);
}

static void frozen_through_is_told(void **state)
{
    (void)state;
    rig r;
    rig_open(&r, 8, 8);
    put_wet(&r, 0, -5);
    ow_inside x = rig_inside(&r, 0);
    check_between("least relative ice at -5 C", x.least_relative_ice, 0.99, 1);
    check_close("open", x.open_share, 0, 0, 0);
    put_wet(&r, 0, -0.3);
    x = rig_inside(&r, 0);
    double share = ow_law_ice(&r.block.law[0], ow_block_h(&r.block, 0, 0));
    check_close("relative share", x.least_relative_ice, share / r.block.law[0].ice_at_minus5, 1e-6,
                0);
    put_wet(&r, 0, 3);
    x = rig_inside(&r, 0);
    check_close("thawed", x.least_relative_ice, 0, 0, 0);
    check_close("all open", x.open_share, 1, 1e-12, 0);
    rig_close(&r);
}

/* What is read of all lanes at once is what the law says of each cell. */
static void inside_follows_the_law(void **state)
{
    (void)state;
    rig r;
    rig_shape column = {0, 1, 0.4, 1, OW_FINE_START};
    rig_open(&r, 1, 1);
    for (int l = 0; l < OW_LANES; l++) {
        random_pot pot = random_pot_of((uint64_t)l);
        ow_law law;
        assert_int_equal(ow_law_of_medium(&pot.medium, OW_HINGES, &law), OW_OK);
        rig_put(&r, l, &column, &law, 0);
    }
    for (double t = 12; t > -40; t -= 0.0371) {
        ow_inside x[OW_LANES];
        for (int l = 0; l < OW_LANES; l++) {
            double h = ow_law_h(&r.block.law[l], t - 0.01 * l);
            ow_block_set_h(&r.block, l, &h);
        }
        ow_block_insides(&r.block, INFINITY, x);
        for (int l = 0; l < OW_LANES; l++) {
            const ow_law *law = &r.block.law[l];
            double h = ow_block_h(&r.block, l, 0), ice = ow_law_ice(law, h);
            check_close("temperature", x[l].mean_c, ow_law_t(law, h), 1e-4, 0);
            check_close("coldest", x[l].coldest_c, x[l].mean_c, 0, 1e-6);
            check_close("ice", x[l].ice_share, ice, 2e-6, 0);
            check_close("relative ice", x[l].least_relative_ice, ow_law_relative(law, ice), 3e-6, 0);
            assert_true(h < law->h_j_m3[0] || x[l].ice_share == 0.0);
            assert_true(x[l].open_share == (x[l].least_relative_ice < 0.5 ? 1.0 : 0.0));
        }
    }
    rig_close(&r);
}

/* The part above a depth is that part alone; the first row always counts. */
static void inside_above_is_told(void **state)
{
    (void)state;
    rig r;
    ow_inside x;
    const double profile[4] = {-4, -1, 2, 6};
    rig_shape column = {0, 1, 0.4, 1, OW_FINE_START};
    ow_law law = wet_law();
    rig_open(&r, 1, 4);
    rig_put_profile(&r, 0, &column, &law, NAN, profile);
    ow_block_inside_above(&r.block, 0, 0.2, &x);
    check_close("mean of the upper half", x.mean_c, -2.5, 1e-4, 0);
    check_close("warmest of it", x.warmest_c, -1, 1e-4, 0);
    ow_block_inside_above(&r.block, 0, 0, &x);
    check_close("the first row", x.mean_c, -4, 1e-4, 0);
    ow_block_inside_above(&r.block, 0, 9, &x);
    check_close("all", x.mean_c, rig_inside(&r, 0).mean_c, 0, 0);
    rig_close(&r);
}

/* In a steady slab the same heat passes all: film, both half-cells, film. */
static void faces_and_exchange(void **state)
{
    (void)state;
    rig r;
    const double k = 0.8, depth = 0.2, h_top = 5, h_base = 20;
    rig_shape column = {0, 1, depth, 1, OW_FINE_START};
    ow_law law = rig_constant_law(k, 2e6);
    double ga, gat;
    rig_open(&r, 1, 10);
    rig_put(&r, 0, &column, &law, 10);
    rig_face(&r, 0, OW_TOP, 2, h_top);
    rig_face(&r, 0, OW_BASE, 20, h_base);
    for (uint64_t s = 0; s < 2000; s++) {
        ow_block_step(&r.block, 3600, s);
    }
    double flux = 18 / (1 / h_top + depth / k + 1 / h_base);
    check_close("top face", ow_block_face_c(&r.block, 0, OW_TOP), 2 + flux / h_top, 2e-3, 0);
    check_close("base face", ow_block_face_c(&r.block, 0, OW_BASE), 20 - flux / h_base, 2e-3, 0);
    ow_block_exchange(&r.block, 0, OW_TOP, &ga, &gat);
    check_close("g A of the top", ga, 1 / (1 / h_top + 0.01 / k), 0, 1e-5);
    check_close("heat to the air", gat - 2 * ga, flux, 0, 1e-3);
    rig_close(&r);
}

/* The side's two zones together are the whole side. */
static void sides_are_split(void **state)
{
    (void)state;
    rig r;
    ow_law law = wet_law();
    rig_shape trunk = {0.1, 1.2, 0.8, 1, OW_FINE_START};
    double upper, lower, t;
    rig_open_grid(&r, (ow_grid){6, 8, 2});
    rig_put(&r, 0, &trunk, &law, 8);
    rig_face(&r, 0, OW_SIDE_UPPER, -5, 10);
    rig_face(&r, 0, OW_SIDE, -5, 10);
    ow_block_exchange(&r.block, 0, OW_SIDE_UPPER, &upper, &t);
    ow_block_exchange(&r.block, 0, OW_SIDE, &lower, &t);
    check_close("a quarter above", upper / (upper + lower), 0.25, 0, 1e-5);
    rig_face(&r, 0, OW_SIDE, 8, 10);
    for (uint64_t s = 0; s < 6; s++) {
        ow_block_step(&r.block, 1800, s);
    }
    assert_true(ow_block_t(&r.block, 0, 5) < 7);
    check_close("far below", ow_block_t(&r.block, 0, 7 * 6 + 5), 8, 0.05, 0);
    assert_true(ow_block_face_c(&r.block, 0, OW_SIDE_UPPER) < 6);
    rig_close(&r);
}

/* ---- refusals -------------------------------------------------------------------------------- */

static void bad_grids_are_refused(void **state)
{
    (void)state;
    static const ow_grid bad[] = {{0, 8, 0}, {8, 0, 0}, {-1, 8, 0}, {OW_LINE_CELLS + 1, 8, 0},
                                  {8, OW_LINE_CELLS + 1, 0}, {8, 8, -1}, {8, 8, 9}};
    static _Alignas(64) unsigned char memory[64], untouched[64];
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        ow_block b, before;
        memset(&b, 0x5a, sizeof b);
        memcpy(&before, &b, sizeof b);
        assert_true(ow_block_bytes(&bad[i]) == 0);
        assert_int_equal(ow_block_init(&b, &bad[i], memory), OW_BAD_INPUT);
        assert_memory_equal(&b, &before, sizeof b);
        assert_memory_equal(memory, untouched, sizeof memory);
    }
}

static void bad_bodies_are_refused(void **state)
{
    (void)state;
    rig r;
    ow_law law = wet_law();
    const double ok[3] = {0, 0.1, 0.2}, falls[3] = {0, 0.2, 0.1}, stands[3] = {0, 0.1, 0.1};
    const double unknown[3] = {0, NAN, 0.2}, hot[2] = {5, 81}, lost[2] = {5, NAN};
    const ow_body bad[] = {
        {ok, falls, &law, 5, NULL},   {ok, stands, &law, 5, NULL},   {falls, ok, &law, 5, NULL},
        {unknown, ok, &law, 5, NULL}, {NULL, ok, &law, 5, NULL},     {ok, ok, &law, -61, NULL},
        {ok, ok, &law, 81, NULL},     {ok, ok, &law, INFINITY, NULL}, {ok, ok, &law, NAN, NULL},
        {ok, ok, &law, NAN, hot},     {ok, ok, &law, NAN, lost},
    };
    rig_open(&r, 2, 2);
    ow_body good = {ok, ok, &law, -1, NULL};
    assert_int_equal(ow_block_put(&r.block, 0, &good), OW_OK);
    rig_face(&r, 0, OW_SIDE, -4, 9);
    ow_block before = r.block;
    double h[4];
    for (int c = 0; c < 4; c++) {
        h[c] = ow_block_h(&r.block, 0, c);
    }
    assert_int_equal(ow_block_put(&r.block, -1, &good), OW_BAD_INPUT);
    assert_int_equal(ow_block_put(&r.block, OW_LANES, &good), OW_BAD_INPUT);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        assert_int_equal(ow_block_put(&r.block, 0, &bad[i]), OW_BAD_INPUT);
        assert_memory_equal(&before, &r.block, sizeof before);
        for (int c = 0; c < 4; c++) {
            check_close("h of a cell", ow_block_h(&r.block, 0, c), h[c], 0, 0);
        }
    }
    rig_close(&r);
}

static void start_follows_a_profile(void **state)
{
    (void)state;
    rig r;
    ow_law law = wet_law();
    const double profile[4] = {-4, -1, 2, 6};
    rig_shape column = {0, 1, 0.4, 1, OW_FINE_START};
    rig_open(&r, 1, 4);
    rig_put_profile(&r, 2, &column, &law, NAN, profile);
    for (int i = 0; i < 4; i++) {
        check_close("profile", ow_block_t(&r.block, 2, i), profile[i], 1e-4, 0);
    }
    rig_close(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_pots_stay_in_range),
        cmocka_unit_test(mushy_cells_do_not_overshoot),
        cmocka_unit_test(heat_is_conserved),
        cmocka_unit_test(insulated_bodies_keep_all),
        cmocka_unit_test(company_does_not_matter),
        cmocka_unit_test(copies_go_on_alike),
        cmocka_unit_test(a_step_in_parts),
        cmocka_unit_test(step_index_picks_the_order),
        cmocka_unit_test(time_stepping_converges),
        cmocka_unit_test(grid_converges),
        cmocka_unit_test(faces_are_spread),
        cmocka_unit_test(inside_is_told),
        cmocka_unit_test(inside_follows_the_law),
        cmocka_unit_test(inside_above_is_told),
        cmocka_unit_test(frozen_through_is_told),
        cmocka_unit_test(faces_and_exchange),
        cmocka_unit_test(sides_are_split),
        cmocka_unit_test(bad_grids_are_refused),
        cmocka_unit_test(bad_bodies_are_refused),
        cmocka_unit_test(start_follows_a_profile),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
