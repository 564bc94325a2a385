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

/* Steps for slopes, in logarithms and kelvins. */
static const double LOG_STEP = 0.1, START_STEP_K = 1.0;

/* Variants of one run: the candidate, one for each slope, then shorter steps. */
enum { SHORTER = 3, MOST_RUNS = 16, LOOKS = OW_LANES };
static const double SHORTEN[SHORTER] = {0.5, 0.25, 0.1};

/* Told only when the record narrows it to so much of what the tables leave open. */
static const double NARROWED = 0.75;
static const double MISFIT_K = 2.0, ICE_AT_C = 0.15;
static const double NINE_IN_TEN = 1.645; /* of the normal distribution, both sides */

struct work {
    const ow_fit_task *task;
    ow_record_hours hours;
    ow_variants variants;
    ow_weather *weather; /* one a step from begin_s on */
    long steps;
    ow_utc_s begin_s;
    double begin_c;
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
    return isnan(w->water) ? OW_OK : ow_variant_water(plant, w->water * ow_exp(theta[OW_FIT_WATER]));
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

static double cost_of(const struct work *w, int variant, const double *theta)
{
    static const double none[OW_UNKNOWNS];
    ow_normal sum = {.rows = 0};
    for (size_t k = w->settled; k < w->hours.n; k++) {
        ow_normal_add(&sum, &w->noise, residual(w, variant, k, theta[PROBE_OFF]), none);
    }
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        double off = theta[i] / w->unknown[i].prior_sd;
        sum.cost += off * off;
    }
    return sum.cost;
}

/* The step of a slope stays within the bounds. */
static double slope_step(const struct work *w, const double *theta, int i)
{
    double step = i == START ? START_STEP_K : LOG_STEP;
    return theta[i] + step <= w->high[i] ? step : -step;
}

/* Variant 0 is theta, 1 + i that with unknown i moved. */
static void gather(const struct work *w, const double *theta, ow_normal *normal)
{
    *normal = (ow_normal){.rows = 0};
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double slope[OW_UNKNOWNS] = {[PROBE_OFF] = 1.0};
        for (int i = 0; i < SLOPED; i++) {
            double moved = w->model_c[(size_t)(1 + i) * w->hours.n + k] - w->model_c[k];
            slope[i] = moved / slope_step(w, theta, i);
        }
        ow_normal_add(normal, &w->noise, residual(w, 0, k, theta[PROBE_OFF]), slope);
    }
}

/* Runs a candidate with its slopes and, from `from`, shorter steps towards it. */
static ow_status try_step(struct work *w, const double *from, const double *to)
{
    double theta[1 + SLOPED + SHORTER][OW_UNKNOWNS];
    for (int i = 0; i < OW_UNKNOWNS; i++) {
        for (int v = 0; v <= SLOPED; v++) {
            theta[v][i] = to[i] + (v == 1 + i ? slope_step(w, to, i) : 0.0);
        }
        for (int s = 0; s < SHORTER; s++) {
            theta[1 + SLOPED + s][i] = from[i] + SHORTEN[s] * (to[i] - from[i]);
        }
    }
    return run(w, theta, from != to ? 1 + SLOPED + SHORTER : 1 + SLOPED);
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
        double cost = cost_of(w, s == 0 ? 0 : SLOPED + s, theta);
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
        r[k] = residual(w, 0, w->settled + k, w->at[PROBE_OFF]);
    }
    w->noise = ow_noise_of(r, (long)n, estimated(w));
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
    if (status != OW_OK || length_of(w, w->at, to) < 0.02) {
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
    *rests = best == SHORTER + 1;
    return best == 0 ? OW_OK : try_step(w, w->at, w->at);
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

static double miss_k(const struct work *w)
{
    double sum = 0.0;
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double r = residual(w, 0, k, 0.0);
        sum += r * r;
    }
    return sqrt(sum / (double)(w->hours.n - w->settled));
}

static ow_status tell(const struct work *w, double covariance[OW_UNKNOWNS][OW_UNKNOWNS],
                      ow_fit *fit)
{
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        for (int k = 0; k < OW_FIT_PARTS; k++) {
            bool both = w->unknown[i].estimated && w->unknown[k].estimated;
            fit->correlation[i][k] = both ? correlation(covariance, i, k) : 0.0;
        }
        if (w->unknown[i].estimated) {
            tell_part(w, i, spread(covariance, i), &fit->part[i]);
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

static bool anything_told(const struct work *w)
{
    return w->unknown[OW_FIT_SIDE].estimated || w->unknown[OW_FIT_TOP].estimated ||
           w->unknown[OW_FIT_WATER].estimated;
}

/* Fits, leaves what cannot be told to the tables, and fits again without it. */
static ow_status narrow_down(struct work *w, ow_fit *fit)
{
    for (;;) {
        ow_normal normal;
        double covariance[OW_UNKNOWNS][OW_UNKNOWNS];
        ow_status status = seek(w);
        if (status != OW_OK) {
            return status;
        }
        gather(w, w->at, &normal);
        status = ow_normal_covariance(&normal, w->unknown, covariance);
        int leave = status == OW_OK ? to_leave(w, covariance, fit) : -1;
        if (leave < 0) {
            fit->fitted_k = miss_k(w);
            return status == OW_OK ? tell(w, covariance, fit) : status;
        }
        w->unknown[leave].estimated = false;
        w->at[leave] = 0.0;
        if (!anything_told(w)) {
            snprintf(fit->refused, sizeof fit->refused,
                     "the record cannot tell: the tables and what the probe saw leave the same "
                     "open; take some nights with a larger swing between day and night");
            return OW_OK;
        }
    }
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
        w->low[OW_FIT_WATER] = ow_log(0.5 * ow_medium_water(soil->kind, OW_MOISTURE_DRY) / w->water);
        w->high[OW_FIT_WATER] = ow_log(ow_medium_water(soil->kind, OW_MOISTURE_STANDING) / w->water);
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
    if (w->weather == NULL || w->model_c == NULL) {
        return OW_NO_MEMORY;
    }
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
    double tables[OW_UNKNOWNS] = {0.0};
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
    fit->tables_k = miss_k(w);
    see_ice(w, fit);
    status = look_round(w);
    if (status == OW_OK) {
        status = narrow_down(w, fit);
    }
    if (status == OW_OK && fit->refused[0] == '\0' && fit->fitted_k > MISFIT_K) {
        snprintf(fit->refused, sizeof fit->refused,
                 "even at best the model misses the probe by %.1f K; see that plant, pot, place, "
                 "depth and covers are those of the record",
                 fit->fitted_k);
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
    free(w->model_c);
    free(w);
    return status;
}
