/* SPDX-License-Identifier: MIT */
/*
 * The solver as it is used against fine-grid answers of a general-purpose integrator (pots.inc,
 * written by solve_pots.c): pots over size, frost, wrap, base and moisture, freezing then
 * thawing; a trunk far from its ends; and open crowns at the growing point. Bounds: what the
 * project demands of the production grid and step.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "check.h"
#include "physics/rig.h"
#include "truth/pots.h"

static const truth_answer ANSWER[TRUTH_POTS] = {
#include "truth/pots.inc"
};

/* Production grids and steps as in garden/cast.c; the crown's zone does not matter here. */
static const double STEP_H = 0.5;

typedef struct watch {
    double half_frozen_h, thaw_1_h, ice_before;
} watch;

typedef struct miss {
    double h_mean, h_worst, t_mean, axis_mean, axis_worst; /* of the latent heat; K */
    double half, thaw;                                     /* of the time; NAN: never */
} miss;

static void put(rig *r, const truth_pot *p, int cells)
{
    ow_law law;
    rig_shape shape = {p->radius_m, 1.2, p->depth_m, 1.2, OW_FINE_BOTH};
    assert_int_equal(ow_law_of_medium(&p->medium, OW_HINGES, &law), OW_OK);
    if (p->kind == TRUTH_TRUNK) {
        shape.depth_growth = 1.25;
        shape.depth_spacing = OW_FINE_START;
        rig_open(r, 6, 12);
    } else {
        rig_open(r, cells, p->kind == TRUTH_LONG ? 1 : cells);
    }
    rig_put(r, 0, &shape, &law, p->start_c);
}

/* Air of a step: its mean, by Simpson's rule. */
static double step_air_c(const truth_pot *p, double from_h)
{
    return (truth_air_c(p, from_h) + 4.0 * truth_air_c(p, from_h + 0.5 * STEP_H) +
            truth_air_c(p, from_h + STEP_H)) /
           6.0;
}

static void set_faces(rig *r, const truth_pot *p, double air)
{
    rig_face(r, 0, OW_SIDE, air, p->side_h);
    rig_face(r, 0, OW_SIDE_UPPER, air, p->side_h);
    rig_face(r, 0, OW_TOP, air, p->top_h);
    rig_face(r, 0, OW_BASE, isnan(p->base_c) ? air : p->base_c, p->base_h);
}

static void cross(double *hour, double mark, double before, double now, double at_h)
{
    if (isnan(*hour) && (before < mark) != (now < mark)) {
        *hour = at_h - STEP_H * (now - mark) / (now - before);
    }
}

static void watch_ice(watch *w, const truth_pot *p, double ice, double hour)
{
    cross(&w->half_frozen_h, 0.5, w->ice_before, ice, hour);
    if (hour > p->thaw_at_h) {
        cross(&w->thaw_1_h, 0.01, w->ice_before, ice, hour);
    }
    w->ice_before = ice;
}

static void compare(const rig *r, const truth_pot *p, const truth_hour *want, miss *m)
{
    ow_inside x = rig_inside(r, 0);
    double h = fabs(x.mean_h_j_m3 - want->mean_h_j_m3) / p->medium.latent_j_m3;
    double axis = fabs(ow_block_axis_c(&r->block, 0, p->axis_m) - want->axis_c);
    m->h_mean += h / TRUTH_HOURS;
    m->h_worst = fmax(m->h_worst, h);
    m->t_mean += fabs(x.mean_c - want->mean_c) / TRUTH_HOURS;
    m->axis_mean += axis / TRUTH_HOURS;
    m->axis_worst = fmax(m->axis_worst, axis);
}

/* Share of the time missed; an event that only one of the two saw is a miss of all of it. */
static double event_miss(double got_h, double want_h)
{
    if (isnan(want_h)) {
        return isnan(got_h) ? NAN : 1.0;
    }
    return isnan(got_h) ? 1.0 : fabs(got_h / want_h - 1.0);
}

static miss run(int i, int cells)
{
    const truth_pot *p = &TRUTH_POT_OF[i];
    const truth_answer *a = &ANSWER[i];
    miss m = {0};
    watch w = {NAN, NAN, 0.0};
    rig r;
    assert_string_equal(p->name, a->name);
    put(&r, p, cells);
    int steps = (int)lrint(p->hours / STEP_H);
    int parts = p->kind == TRUTH_POT
                    ? ow_step_parts(p->radius_m, p->depth_m, p->medium.thawed_j_m3k)
                    : 1;
    for (int s = 1; s <= steps; s++) {
        set_faces(&r, p, step_air_c(p, (s - 1) * STEP_H));
        ow_block_step_in(&r.block, parts, 3600.0 * STEP_H, (uint64_t)s);
        watch_ice(&w, p, rig_inside(&r, 0).ice_share, s * STEP_H);
        if (s * TRUTH_HOURS % steps == 0) {
            compare(&r, p, &a->at[s * TRUTH_HOURS / steps - 1], &m);
        }
    }
    rig_close(&r);
    m.half = event_miss(w.half_frozen_h, a->half_frozen_h);
    m.thaw = event_miss(w.thaw_1_h, a->thaw_1_h);
    printf("# %-42s H %.2f, worst %.2f %%; mean T %.3f K; half %.2f, thaw %.2f %%; axis %.3f, "
           "worst %.2f K\n",
           p->name, 100 * m.h_mean, 100 * m.h_worst, m.t_mean, 100 * m.half, 100 * m.thaw,
           m.axis_mean, m.axis_worst);
    return m;
}

/* Checks a value that may only be small, and notes it under its name and setting. */
static void hold(const char *setting, const char *what, double got, double limit)
{
    char label[160];
    snprintf(label, sizeof label, "%s: %s", setting, what);
    if (!isnan(got)) {
        truth_note(label, got, limit);
        check_between(label, got, 0, limit);
    }
}

/* What a setting may miss: of the latent heat, K, and shares of the time. */
typedef struct bounds {
    double h_mean, h_worst, t_mean, half, half_small, thaw;
} bounds;

static void hold_set(const char *setting, truth_kind kind, int cells, const bounds *b)
{
    miss sum = {0};
    int n = 0;
    bool cut = false;
    for (int i = 0; i < TRUTH_POTS; i++) {
        const truth_pot *p = &TRUTH_POT_OF[i];
        bool too_long = CHECKED_BUILD && p->hours > 240; /* long runs cost much there */
        cut |= p->kind == kind && too_long;
        if (p->kind != kind || too_long) {
            continue;
        }
        miss m = run(i, cells);
        sum.h_mean += m.h_mean;
        sum.t_mean += m.t_mean;
        sum.h_worst = fmax(sum.h_worst, m.h_worst);
        hold(setting, p->small_or_dry ? "time to half frozen, small or dry" : "time to half frozen",
             m.half, p->small_or_dry ? b->half_small : b->half);
        hold(setting, "time until thaw leaves 1 % ice", m.thaw, b->thaw);
        sum.axis_mean += m.axis_mean;
        n++;
    }
    if (kind == TRUTH_TRUNK && !cut) { /* a mean over all trunks, not over some */
        hold(setting, "growing point, mean (K)", sum.axis_mean / n, 0.1);
    }
    hold(setting, "heat content, mean over all (of the latent heat)", sum.h_mean / n, b->h_mean);
    hold(setting, "heat content, worst hour (of the latent heat)", sum.h_worst, b->h_worst);
    hold(setting, "mean temperature, mean over all (K)", sum.t_mean / n, b->t_mean);
}

static const bounds DAILY = {0.008, 0.035, 0.05, 0.03, 0.07, 0.01};
static const bounds ACCURATE = {0.004, 0.020, 0.05, 0.03, 0.07, 0.01};
/* Own bounds of trunks, whose grid is the coarser: none is demanded but that they are held. */
static const bounds TRUNK = {0.008, 0.035, 0.15, 0.03, 0.07, 0.015};

static void pots_on_the_daily_grid(void **state)
{
    (void)state;
    hold_set("pots, 8 x 8", TRUTH_POT, 8, &DAILY);
}

static void pots_on_the_accurate_grid(void **state)
{
    (void)state;
    hold_set("pots, 12 x 12", TRUTH_POT, 12, &ACCURATE);
}

static void trunk_far_from_its_ends(void **state)
{
    (void)state;
    hold_set("trunk without ends, 6 rings", TRUTH_LONG, 6, &TRUNK);
}

static void trunks_with_open_crowns(void **state)
{
    (void)state;
    hold_set("trunk, 6 x 12", TRUTH_TRUNK, 0, &TRUNK);
}

/* The references' own error, by halving their cells, stays well under the bounds they serve. */
static void references_are_fine(void **state)
{
    (void)state;
    for (int i = 0; i < TRUTH_POTS; i++) {
        hold("reference", "change of heat on halving its cells (of the latent heat)",
             ANSWER[i].grid_gap, 0.002);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pots_on_the_daily_grid),
        cmocka_unit_test(pots_on_the_accurate_grid),
        cmocka_unit_test(trunk_far_from_its_ends),
        cmocka_unit_test(trunks_with_open_crowns),
        cmocka_unit_test(references_are_fine),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
