/* SPDX-License-Identifier: MIT */
#include "judgement/fit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/scene.h"
#include "garden/variants.h"
#include "judgement/least_squares.h"
#include "physics/ow_math.h"

/* The unknowns behind the parts that are told. */
enum { START = OW_FIT_PARTS, PROBE_OFF, SLOPED = PROBE_OFF };
static const double START_SPREAD_K = 2.0, PROBE_SPREAD_K = 0.3;

/*
 * A record begins thawed, since no probe tells how much of a ball is ice. A pot begins where the
 * probe is; a bed, whose depth remembers weeks, lives through the weather before the record first.
 */
static const double THAWED_C = 0.8;
static const ow_utc_s BED_BEFORE_S = 40 * OW_DAY_S, BED_LEAST_BEFORE_S = 3 * OW_DAY_S;

/* Hours of the record in which the start settles; they are not fitted. */
enum { POT_SETTLES_H = 12, BED_SETTLES_H = 24 };

/* Time in which probe and model may be late, and a probe's own error. */
static const double LATE_H = 0.5, OWN_K = 0.2;
enum { LEAP_H = 3 };

/* A front that passes from cell to cell makes the model's probe hesitate by so much. */
static const double GRID_K = 0.12;

/* A search rests when a step is so short, in spreads of the tables, or gains so little. */
static const double AT_REST = 0.03, LITTLE = 0.3;

/* Steps for slopes, in logarithms and kelvins: wide, since the cost is no smooth bowl. */
static const double LOG_STEP = 0.25, START_STEP_K = 1.0;

/* Variants of one run: the candidate, one for each slope, then shorter steps. */
enum { WITH_SLOPES = 1 + 2 * SLOPED, SHORTER = 3, LOOKS = OW_LANES };
enum { MOST_RUNS = 16, MOST_WALKS = 3 };
static const double SHORTEN[SHORTER] = {0.5, 0.25, 0.1};

/* Told only when the record narrows it to so much of what the tables leave open. */
static const double NARROWED = 0.75;
static const double MISFIT_K = 2.0, ICE_AT_C = 0.15;
/* Both sides, Student's t of 20: hours that remember count for less. */
static const double NINE_IN_TEN = 1.725;

struct work {
    const ow_fit_task *task;
    ow_record_hours hours;
    ow_variants variants;
    ow_weather *weather; /* one a step from begin_s on */
    long steps;
    ow_utc_s begin_s;
    double begin_c;
    double *weight;  /* hour by hour, 0..1 */
    double *model_c; /* hour by hour, variant after variant */
    ow_unknown unknown[OW_UNKNOWNS];
    double low[OW_UNKNOWNS], high[OW_UNKNOWNS];
    double at[OW_UNKNOWNS];
    ow_noise noise;
    double water;  /* of the tables */
    size_t settled; /* the first hour that is fitted */
};

/* ---- the model through the record ------------------------------------------------------------ */

static ow_status set_variant(const struct work *w, const double *theta, ow_plant *plant)
{
    plant->start_c = NAN;
    if (plant->pot.given) {
        plant->pot.side_factor = ow_exp(theta[OW_FIT_SIDE]);
        plant->pot.top_factor = ow_exp(theta[OW_FIT_TOP]);
    } else {
        plant->bed.top_factor = ow_exp(theta[OW_FIT_TOP]);
    }
    double water = w->water * ow_exp(theta[OW_FIT_WATER]);
    return isnan(water) ? OW_OK : ow_variant_water(plant, water);
}

/* All of a body so many kelvins warmer, by its sensible heat. */
static void warm_start(ow_cast *cast, int actor, double kelvins)
{
    const ow_law *law = ow_cast_law(cast, actor, false);
    ow_cast_warm(cast, actor, false, kelvins * law->warm_j_m3k);
}

static void live_through(struct work *w, ow_scene *scene, int n)
{
    ow_utc_s end_s = w->hours.from_s + (ow_utc_s)(w->hours.n - 1) * OW_HOUR_S;
    for (long i = 0;; i++) {
        ow_utc_s since_s = scene->now_s - w->hours.from_s;
        for (int v = 0; since_s >= 0 && since_s % OW_HOUR_S == 0 && v < n; v++) {
            w->model_c[(size_t)v * w->hours.n + (size_t)(since_s / OW_HOUR_S)] =
                ow_cast_axis_c(scene->cast, v, w->task->depth_m);
        }
        if (scene->now_s >= end_s) {
            return;
        }
        ow_scene_step(scene, &w->weather[i]);
    }
}

static ow_status run(struct work *w, double theta[][OW_UNKNOWNS], int n)
{
    ow_scene *scene = NULL;
    ow_status status = OW_OK;
    ow_variants_of(w->task->garden, w->task->plant, n, &w->variants);
    for (int v = 0; status == OW_OK && v < n; v++) {
        status = set_variant(w, theta[v], &w->variants.plant[v]);
    }
    if (status == OW_OK) {
        status = ow_scene_new(&w->variants.garden, w->begin_s, w->task->step_s, w->begin_c, &scene);
    }
    for (int v = 0; status == OW_OK && v < n; v++) {
        warm_start(scene->cast, v, theta[v][START]);
    }
    if (status == OW_OK) {
        live_through(w, scene, n);
    }
    ow_scene_free(scene);
    return status;
}

/* ---- cost and slopes ------------------------------------------------------------------------- */

static double residual(const struct work *w, int variant, size_t hour, double probe_off_k)
{
    return w->hours.probe_c[hour] - probe_off_k -
           w->model_c[(size_t)variant * w->hours.n + hour];
}

/*
 * An hour counts the less the quicker the probe changes round it: when the last ice goes the ball
 * leaps by kelvins within an hour or two, and neither model nor probe is right to that.
 */
static void set_weights(struct work *w)
{
    const double *c = w->hours.probe_c;
    size_t n = w->hours.n;
    for (size_t k = 0; k < n; k++) {
        double quickest = 0.0;
        for (size_t i = k < LEAP_H ? 1 : k - LEAP_H + 1; i < n && i <= k + LEAP_H; i++) {
            quickest = fmax(quickest, fabs(c[i] - c[i - 1]));
        }
        double late_k = LATE_H * quickest;
        w->weight[k] = OWN_K / sqrt(OWN_K * OWN_K + late_k * late_k);
    }
}

static double cost_of(const struct work *w, int variant, const double *theta)
{
    static const double none[OW_UNKNOWNS];
    ow_normal sum = {.rows = 0};
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double r = w->weight[k] * residual(w, variant, k, theta[PROBE_OFF]);
        ow_normal_add(&sum, &w->noise, r, none);
    }
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        double off = theta[i] / w->unknown[i].prior_sd;
        sum.cost += off * off;
    }
    return sum.cost;
}

/* A candidate moved along one unknown, within the bounds; returns how far. */
static double moved(const struct work *w, const double *theta, int i, double sign,
                    double out[OW_UNKNOWNS])
{
    double step = sign * (i == START ? START_STEP_K : LOG_STEP);
    memcpy(out, theta, OW_UNKNOWNS * sizeof *out);
    out[i] = fmin(fmax(theta[i] + step, w->low[i]), w->high[i]);
    return out[i] - theta[i];
}

/* Variant 0 is theta, 1 + 2i and 2 + 2i that with unknown i moved up and down. */
static void gather(const struct work *w, const double *theta, ow_normal *normal)
{
    double apart[SLOPED], other[OW_UNKNOWNS];
    *normal = (ow_normal){.rows = 0};
    for (int i = 0; i < SLOPED; i++) {
        apart[i] = moved(w, theta, i, 1.0, other) - moved(w, theta, i, -1.0, other);
    }
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double slope[OW_UNKNOWNS] = {[PROBE_OFF] = w->weight[k]};
        for (int i = 0; i < SLOPED; i++) {
            const double *up = w->model_c + (size_t)(1 + 2 * i) * w->hours.n;
            slope[i] = w->weight[k] * (up[k] - up[k + w->hours.n]) / apart[i];
        }
        double r = w->weight[k] * residual(w, 0, k, theta[PROBE_OFF]);
        ow_normal_add(normal, &w->noise, r, slope);
    }
}

/* Runs a candidate with its slopes and, from `from`, shorter steps towards it. */
static ow_status try_step(struct work *w, const double *from, const double *to)
{
    double theta[WITH_SLOPES + SHORTER][OW_UNKNOWNS];
    memcpy(theta[0], to, sizeof theta[0]);
    for (int i = 0; i < SLOPED; i++) {
        (void)moved(w, to, i, 1.0, theta[1 + 2 * i]);
        (void)moved(w, to, i, -1.0, theta[2 + 2 * i]);
    }
    for (int s = 0; s < SHORTER; s++) {
        for (int i = 0; i < OW_UNKNOWNS; i++) {
            theta[WITH_SLOPES + s][i] = from[i] + SHORTEN[s] * (to[i] - from[i]);
        }
    }
    return run(w, theta, from != to ? WITH_SLOPES + SHORTER : WITH_SLOPES);
}

/* Of the candidate and the shorter steps the one of least cost; SHORTER + 1: none is better. */
static int best_of(const struct work *w, const double *from, const double *to, double before)
{
    int best = SHORTER + 1;
    double least = before;
    for (int s = 0; s <= SHORTER; s++) {
        double theta[OW_UNKNOWNS], share = s == 0 ? 1.0 : SHORTEN[s - 1];
        for (int i = 0; i < OW_UNKNOWNS; i++) {
            theta[i] = from[i] + share * (to[i] - from[i]);
        }
        double cost = cost_of(w, s == 0 ? 0 : WITH_SLOPES + s - 1, theta);
        if (cost < least) {
            least = cost;
            best = s;
        }
    }
    return best;
}

/* ---- seeking --------------------------------------------------------------------------------- */

static int estimated(const struct work *w)
{
    int n = 0;
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        n += w->unknown[i].estimated;
    }
    return n;
}

static ow_status note_noise(struct work *w)
{
    size_t n = w->hours.n - w->settled;
    double *r = calloc(n, sizeof *r);
    if (r == NULL) {
        return OW_NO_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        size_t hour = w->settled + k;
        r[k] = w->weight[hour] * residual(w, 0, hour, w->at[PROBE_OFF]);
    }
    w->noise = ow_noise_of(r, (long)n, estimated(w));
    w->noise.new_k = sqrt(w->noise.new_k * w->noise.new_k + GRID_K * GRID_K);
    free(r);
    return OW_OK;
}

/* How far a step goes, in spreads of the tables. */
static double length_of(const struct work *w, const double *from, const double *to)
{
    double most = 0.0;
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        most = fmax(most, fabs(to[i] - from[i]) / w->unknown[i].prior_sd);
    }
    return most;
}

static ow_status propose(const struct work *w, double to[OW_UNKNOWNS])
{
    ow_normal normal;
    double step[OW_UNKNOWNS];
    gather(w, w->at, &normal);
    ow_status status = ow_normal_step(&normal, w->unknown, w->at, step);
    for (int i = 0; status == OW_OK && i < OW_UNKNOWNS; i++) {
        double near = w->unknown[i].estimated ? w->at[i] + step[i] : 0.0;
        to[i] = fmin(fmax(near, w->low[i]), w->high[i]);
    }
    return status;
}

/* One step of the search; *rests when it has come to rest. Model and slopes are those of w->at
 * before and after. */
static ow_status seek_once(struct work *w, bool *rests)
{
    double to[OW_UNKNOWNS], before = cost_of(w, 0, w->at);
    ow_status status = propose(w, to);
    if (status != OW_OK || length_of(w, w->at, to) < AT_REST) {
        *rests = true;
        return status;
    }
    status = try_step(w, w->at, to);
    if (status != OW_OK) {
        return status;
    }
    int best = best_of(w, w->at, to, before);
    double share = best == 0 ? 1.0 : best <= SHORTER ? SHORTEN[best - 1] : 0.0;
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        w->at[i] += share * (to[i] - w->at[i]);
    }
    status = best == 0 ? OW_OK : try_step(w, w->at, w->at);
    *rests = before - cost_of(w, 0, w->at) < LITTLE;
    return status;
}

/* The best of a wide spread of starts: thawing comes by a leap, and slopes do not see beyond it. */
static ow_status look_round(struct work *w)
{
    double theta[LOOKS][OW_UNKNOWNS] = {{0.0}}, least = INFINITY;
    for (int v = 0; v < LOOKS; v++) {
        for (int i = 0; v > 0 && i < OW_FIT_PARTS; i++) {
            double far = (v - 1) / 8 == 0 ? 0.7 : 1.4; /* seven corners twice as far */
            double at = ((v - 1) >> i) % 2 == 0 ? far : -far;
            at *= w->unknown[i].estimated ? w->unknown[i].prior_sd : 0.0;
            theta[v][i] = fmin(fmax(at, w->low[i]), w->high[i]);
        }
    }
    ow_status status = run(w, theta, LOOKS);
    for (int v = 0; status == OW_OK && v < LOOKS; v++) {
        double cost = cost_of(w, v, theta[v]);
        if (cost < least) {
            least = cost;
            memcpy(w->at, theta[v], sizeof w->at);
        }
    }
    return status;
}

/* To rest under a wide noise, then under that which was found, until it stays. */
static ow_status seek(struct work *w)
{
    ow_status status = try_step(w, w->at, w->at);
    double before_k = INFINITY;
    int runs = 0;
    for (int round = 0; round < 4 && w->noise.new_k < 0.9 * before_k; round++) {
        bool rests = false;
        while (status == OW_OK && !rests && runs++ < MOST_RUNS) {
            status = seek_once(w, &rests);
        }
        before_k = w->noise.new_k;
        status = status == OW_OK ? note_noise(w) : status;
        if (status != OW_OK) {
            return status;
        }
    }
    return status;
}

/* ---- how sure -------------------------------------------------------------------------------- */

static double cost_at(const struct work *w, int variant, double theta[][OW_UNKNOWNS])
{
    return cost_of(w, variant, theta[variant]);
}

/* What the record says alone, the considered unknowns taken as the tables have them. */
static ow_status record_covariance(const struct work *w, const ow_normal *normal,
                                   double covariance[OW_UNKNOWNS][OW_UNKNOWNS])
{
    ow_unknown unknown[OW_UNKNOWNS];
    memcpy(unknown, w->unknown, sizeof unknown);
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        unknown[i].prior_sd = unknown[i].estimated ? unknown[i].prior_sd : 0.0;
    }
    return ow_normal_covariance(normal, unknown, covariance);
}

/*
 * The cost is no smooth bowl: fronts pass from cell to cell, ice goes by leaps. So each part is
 * moved to both ends of its interval, the others going along as the covariance says; where the
 * cost rises by less than it should the interval is too short by the root of that. *better, from
 * lower ground found on the way: go on from there.
 */
static ow_status walk_out(struct work *w, const ow_normal *normal, double stretch[OW_FIT_PARTS],
                          bool *better)
{
    double theta[1 + 2 * OW_FIT_PARTS][OW_UNKNOWNS], c[OW_UNKNOWNS][OW_UNKNOWNS];
    ow_status status = record_covariance(w, normal, c);
    for (int v = 0; status == OW_OK && v < 1 + 2 * OW_FIT_PARTS; v++) {
        int part = (v - 1) / 2;
        bool moves = v > 0 && w->unknown[part].estimated;
        double reach = moves ? NINE_IN_TEN / sqrt(c[part][part]) : 0.0;
        for (int i = 0; i < OW_UNKNOWNS; i++) {
            double to = w->at[i] + (v % 2 == 1 ? reach : -reach) * c[i][v == 0 ? 0 : part];
            theta[v][i] = fmin(fmax(to, w->low[i]), w->high[i]);
        }
    }
    status = status == OW_OK ? run(w, theta, 1 + 2 * OW_FIT_PARTS) : status;
    *better = false;
    if (status != OW_OK) {
        return status;
    }
    double here = cost_at(w, 0, theta), least = here - LITTLE;
    for (int p = 0; p < OW_FIT_PARTS; p++) {
        double rise = 0.5 * (cost_at(w, 1 + 2 * p, theta) + cost_at(w, 2 + 2 * p, theta)) - here;
        double should = NINE_IN_TEN * NINE_IN_TEN;
        stretch[p] = sqrt(should / fmin(fmax(rise, should / 9.0), should));
    }
    for (int v = 1; v < 1 + 2 * OW_FIT_PARTS; v++) {
        if (cost_at(w, v, theta) < least) {
            least = cost_at(w, v, theta);
            *better = true;
            memcpy(w->at, theta[v], sizeof w->at);
        }
    }
    return OW_OK;
}

/* ---- what is told ---------------------------------------------------------------------------- */

static double spread(double covariance[OW_UNKNOWNS][OW_UNKNOWNS], int i)
{
    return sqrt(covariance[i][i]);
}

static double correlation(double covariance[OW_UNKNOWNS][OW_UNKNOWNS], int i, int k)
{
    return covariance[i][k] / (spread(covariance, i) * spread(covariance, k));
}

/* The last part that must be left to the tables, with its fate; -1: none. */
static int to_leave(const struct work *w, double covariance[OW_UNKNOWNS][OW_UNKNOWNS], ow_fit *fit)
{
    for (int i = OW_FIT_PARTS - 1; i > 0; i--) {
        for (int k = 0; k < i; k++) {
            if (w->unknown[i].estimated && w->unknown[k].estimated &&
                fabs(correlation(covariance, i, k)) > OW_FIT_TANGLE) {
                fit->part[i].fate = OW_FIT_TANGLED;
                fit->part[i].tangled_with = k;
                return i;
            }
        }
    }
    for (int i = OW_FIT_PARTS - 1; i >= 0; i--) {
        if (w->unknown[i].estimated &&
            spread(covariance, i) > NARROWED * w->unknown[i].prior_sd) {
            fit->part[i].fate = OW_FIT_UNTOLD;
            return i;
        }
    }
    return -1;
}

static void tell_part(const struct work *w, int i, double sd, ow_fit_part *part)
{
    part->value = part->tables * ow_exp(w->at[i]);
    part->low = part->tables * ow_exp(w->at[i] - NINE_IN_TEN * sd);
    part->high = part->tables * ow_exp(w->at[i] + NINE_IN_TEN * sd);
}

/* Root mean square of what the model misses the probe by; `steady_k`: their mean. */
static double miss_k(const struct work *w, double *steady_k)
{
    double n = (double)(w->hours.n - w->settled), sum = 0.0, squares = 0.0;
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double r = residual(w, 0, k, 0.0);
        sum += r;
        squares += r * r;
    }
    *steady_k = sum / n;
    return sqrt(squares / n);
}

/* The same with a steady error of the probe left out. */
static double scatter_k(const struct work *w)
{
    double steady_k, all_k = miss_k(w, &steady_k);
    return sqrt(fmax(all_k * all_k - steady_k * steady_k, 0.0));
}

static ow_status tell(const struct work *w, double covariance[OW_UNKNOWNS][OW_UNKNOWNS],
                      const double stretch[OW_FIT_PARTS], ow_fit *fit)
{
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        for (int k = 0; k < OW_FIT_PARTS; k++) {
            bool both = w->unknown[i].estimated && w->unknown[k].estimated;
            fit->correlation[i][k] = both ? correlation(covariance, i, k) : 0.0;
        }
        if (w->unknown[i].estimated) {
            tell_part(w, i, stretch[i] * spread(covariance, i), &fit->part[i]);
        }
    }
    fit->probe_off_k = w->at[PROBE_OFF];
    fit->noise_k = w->noise.new_k / sqrt(1.0 - w->noise.memory * w->noise.memory);
    fit->memory_h = -1.0 / ow_log(w->noise.memory);
    if (fit->part[OW_FIT_WATER].fate != OW_FIT_TOLD) {
        return OW_OK;
    }
    ow_plant plant = w->task->garden->plants[w->task->plant];
    return ow_medium_with_water(ow_plant_soil(&plant)->kind, fit->part[OW_FIT_WATER].value,
                                &fit->medium);
}

/* Leaves a part to the tables; false, told, when nothing is left. */
static bool leave_part(struct work *w, int part, ow_fit *fit)
{
    w->unknown[part].estimated = false;
    w->at[part] = 0.0;
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        if (w->unknown[i].estimated) {
            return true;
        }
    }
    snprintf(fit->refused, sizeof fit->refused,
             "the record cannot tell: it leaves as much open as the tables do; take more nights, "
             "with a larger swing between day and night");
    return false;
}

/* Fits, leaves what cannot be told to the tables, fits again without it, and so on; then on from
 * any lower ground that walking out from there finds. *all_k: what the model misses all in all. */
static ow_status narrow_down(struct work *w, ow_fit *fit, double *all_k)
{
    double steady_k;
    ow_normal normal;
    double covariance[OW_UNKNOWNS][OW_UNKNOWNS], stretch[OW_FIT_PARTS];
    for (int walks = 0; walks < MOST_WALKS;) {
        bool better;
        ow_status status = seek(w);
        if (status != OW_OK) {
            return status;
        }
        fit->fitted_k = scatter_k(w);
        *all_k = miss_k(w, &steady_k);
        gather(w, w->at, &normal);
        status = ow_normal_covariance(&normal, w->unknown, covariance);
        int leave = status == OW_OK ? to_leave(w, covariance, fit) : -1;
        if (leave >= 0) {
            if (!leave_part(w, leave, fit)) {
                return OW_OK;
            }
            continue;
        }
        status = status == OW_OK ? walk_out(w, &normal, stretch, &better) : status;
        walks = status == OW_OK && better ? walks + 1 : MOST_WALKS;
        if (status != OW_OK) {
            return status;
        }
    }
    return tell(w, covariance, stretch, fit);
}

/* ---- setting out ----------------------------------------------------------------------------- */

static void bound(struct work *w, int i, double spread_of_prior, double low, double high)
{
    w->unknown[i] = (ow_unknown){.prior_sd = spread_of_prior, .estimated = true};
    w->low[i] = low;
    w->high[i] = high;
}

static void set_unknowns(struct work *w, ow_fit *fit)
{
    const ow_plant *plant = &w->task->garden->plants[w->task->plant];
    const ow_soil *soil = plant->pot.given ? &plant->pot.soil : &plant->bed.soil;
    double most = ow_log(OW_FIT_FACTOR_MOST);
    bound(w, OW_FIT_SIDE, OW_FIT_SIDE_SPREAD, -most, most);
    bound(w, OW_FIT_TOP, OW_FIT_TOP_SPREAD, -most, most);
    bound(w, START, START_SPREAD_K, -8.0, 8.0);
    bound(w, PROBE_OFF, PROBE_SPREAD_K, -2.0, 2.0);
    w->water = NAN;
    bound(w, OW_FIT_WATER, OW_FIT_WATER_SPREAD, -1.0, 1.0);
    if (isnan(soil->measured.medium.thawed_w_mk)) {
        w->water = ow_medium_water(soil->kind, soil->moisture);
        double least = 0.5 * ow_medium_water(soil->kind, OW_MOISTURE_DRY);
        w->low[OW_FIT_WATER] = ow_log(least / w->water);
        w->high[OW_FIT_WATER] =
            ow_log(ow_medium_water(soil->kind, OW_MOISTURE_STANDING) / w->water);
    } else {
        w->unknown[OW_FIT_WATER].estimated = false;
        fit->part[OW_FIT_WATER].fate = OW_FIT_NO_SUCH;
    }
    if (plant->bed.given) {
        w->unknown[OW_FIT_SIDE].estimated = false;
        fit->part[OW_FIT_SIDE].fate = OW_FIT_NO_SUCH;
    }
    fit->part[OW_FIT_SIDE].tables = fit->part[OW_FIT_TOP].tables = 1.0;
    fit->part[OW_FIT_WATER].tables = w->water;
}

/* Only ice tells water; slopes of it above freezing are those of conductivity, which the tables
 * know to a quarter at best. */
static void see_ice(struct work *w, ow_fit *fit)
{
    double coldest_c = INFINITY;
    for (size_t k = 0; k < w->hours.n; k++) {
        coldest_c = fmin(coldest_c, w->hours.probe_c[k]);
    }
    if (w->unknown[OW_FIT_WATER].estimated && !(coldest_c <= ICE_AT_C)) {
        w->unknown[OW_FIT_WATER].estimated = false;
        fit->part[OW_FIT_WATER].fate = OW_FIT_NO_ICE;
    }
}

static const ow_plant *plant_of(const struct work *w)
{
    return &w->task->garden->plants[w->task->plant];
}

/* How much weather before the record the model lives through first, s; told when too little. */
static ow_utc_s before_s(const struct work *w, char why[OW_RECORD_WORDS])
{
    ow_utc_s has_s = w->hours.from_s - w->task->weather->row[0].utc_s;
    if (plant_of(w)->pot.given) {
        return 0;
    }
    if (has_s < BED_LEAST_BEFORE_S) {
        snprintf(why, OW_RECORD_WORDS,
                 "a bed remembers the weather of weeks; give that of %d days before the record, or "
                 "at least of %d",
                 (int)(BED_BEFORE_S / OW_DAY_S), (int)(BED_LEAST_BEFORE_S / OW_DAY_S));
    }
    return has_s < BED_BEFORE_S ? has_s : BED_BEFORE_S;
}

static void begins_thawed(const struct work *w, char why[OW_RECORD_WORDS])
{
    char at[OW_TIME_TEXT] = "";
    size_t k = 0;
    while (k < w->hours.n && w->hours.probe_c[k] < THAWED_C) {
        k++;
    }
    if (k == 0) {
        return;
    }
    if (k < w->hours.n) {
        ow_time_format(w->hours.from_s + (ow_utc_s)k * OW_HOUR_S, at);
    }
    snprintf(why, OW_RECORD_WORDS,
             "the record begins at %.1f C, and nobody knows how much of the root ball was ice; "
             "begin it above 1 C%s%s",
             w->hours.probe_c[0], at[0] != '\0' ? ", as by --from " : "", at);
}

static double begin_c(const struct work *w)
{
    ow_weather mean;
    if (w->begin_s == w->hours.from_s) {
        return w->hours.probe_c[0];
    }
    ow_forcing_mean(w->task->weather, w->begin_s, w->begin_s + OW_DAY_S, &mean);
    return mean.air_c;
}

static ow_status set_weather(struct work *w, char why[OW_RECORD_WORDS])
{
    ow_utc_s end_s = w->hours.from_s + (ow_utc_s)(w->hours.n - 1) * OW_HOUR_S;
    int step_s = w->task->step_s;
    w->settled = plant_of(w)->pot.given ? POT_SETTLES_H : BED_SETTLES_H;
    w->begin_s = w->hours.from_s - before_s(w, why) / step_s * step_s;
    w->steps = (long)((end_s - w->begin_s) / step_s);
    w->weather = calloc((size_t)w->steps + 1, sizeof *w->weather);
    w->model_c = calloc((size_t)LOOKS * w->hours.n, sizeof *w->model_c);
    w->weight = calloc(w->hours.n, sizeof *w->weight);
    if (w->weather == NULL || w->model_c == NULL || w->weight == NULL) {
        return OW_NO_MEMORY;
    }
    set_weights(w);
    for (long i = 0; i < w->steps; i++) {
        ow_utc_s at_s = w->begin_s + (ow_utc_s)i * step_s;
        (void)ow_forcing_mean(w->task->weather, at_s, at_s + step_s, &w->weather[i]);
    }
    w->begin_c = begin_c(w);
    return OW_OK;
}

/* A place whose air is not that of the weather file cannot be fitted by it. */
static bool is_outdoors(const ow_fit_task *task, char why[OW_RECORD_WORDS])
{
    const ow_place *place = &task->garden->places[task->garden->plants[task->plant].place.at];
    bool inside = place->kind == OW_PLACE_GLASSHOUSE || place->kind == OW_PLACE_INDOORS;
    if (inside) {
        snprintf(why, OW_RECORD_WORDS,
                 "%.64s stands %s, whose air is not that of the weather file; fit it out of doors",
                 task->garden->plants[task->plant].id,
                 place->kind == OW_PLACE_GLASSHOUSE ? "under glass" : "indoors");
    }
    return !inside;
}

static ow_status fit_record(struct work *w, ow_fit *fit)
{
    double tables[OW_UNKNOWNS] = {0.0}, all_k = 0.0;
    set_unknowns(w, fit);
    ow_status status = set_weather(w, fit->refused);
    if (status != OW_OK || fit->refused[0] != '\0') {
        return status;
    }
    status = try_step(w, tables, tables);
    if (status != OW_OK || ow_record_is_odd(&w->hours, w->model_c, fit->refused)) {
        return status;
    }
    begins_thawed(w, fit->refused);
    if (fit->refused[0] != '\0') {
        return OW_OK;
    }
    fit->hours = (double)(w->hours.n - 1);
    fit->tables_k = scatter_k(w);
    see_ice(w, fit);
    status = look_round(w);
    if (status == OW_OK) {
        status = narrow_down(w, fit, &all_k);
    }
    if (status == OW_OK && all_k > MISFIT_K) {
        snprintf(fit->refused, sizeof fit->refused,
                 "even at best the model misses the probe by %.1f K; see that plant, pot, place, "
                 "depth and covers are those of the record",
                 all_k);
    }
    return status;
}

ow_status ow_fit_run(const ow_fit_task *task, ow_fit *fit)
{
    struct work *w = calloc(1, sizeof *w);
    *fit = (ow_fit){.hours = 0.0};
    if (w == NULL) {
        return OW_NO_MEMORY;
    }
    w->task = task;
    w->noise = (ow_noise){.memory = 0.9, .new_k = 0.4};
    ow_status status = OW_OK;
    if (is_outdoors(task, fit->refused)) {
        status = ow_record_lay_out(task->probe, task->probes, task->weather, &w->hours,
                                   fit->refused);
    }
    if (status == OW_OK && fit->refused[0] == '\0') {
        status = fit_record(w, fit);
    }
    ow_record_free(&w->hours);
    free(w->weather);
    free(w->weight);
    free(w->model_c);
    free(w);
    return status;
}
