/* SPDX-License-Identifier: MIT */
#include "judgement/fit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "garden/exposure.h"
#include "judgement/fit_search.h"
#include "physics/ow_math.h"

static const double START_SPREAD_K = 2.0, PROBE_SPREAD_K = 0.3;

/*
 * A record begins thawed, since no probe tells how much of a ball is ice. A pot begins where the
 * probe is; a bed, whose depth remembers weeks, lives through the weather before the record first.
 */
static const double THAWED_C = 0.8;
static const ow_utc_s BED_BEFORE_S = 40 * OW_DAY_S, BED_LEAST_BEFORE_S = 3 * OW_DAY_S;

/* Hours of the record in which the start settles; they are not fitted. */
enum { POT_SETTLES_H = 12, BED_SETTLES_H = 24, MOST_WALKS = 3 };

static const double MISFIT_K = 2.0, ICE_AT_C = 0.15;

/* ---- what is told ---------------------------------------------------------------------------- */

static void tell_part(const ow_fit_work *w, int i, double sd, ow_fit_part *part)
{
    part->value = part->tables * ow_exp(w->at[i]);
    part->low = part->tables * ow_exp(w->at[i] - OW_FIT_NINE_IN_TEN * sd);
    part->high = part->tables * ow_exp(w->at[i] + OW_FIT_NINE_IN_TEN * sd);
}

/* The mean of what the model misses the probe by. */
static double steady_k(const ow_fit_work *w)
{
    double sum = 0.0;
    for (size_t k = w->settled; k < w->hours.n; k++) {
        sum += ow_fit_residual(w, 0, k, 0.0);
    }
    return sum / (double)(w->hours.n - w->settled);
}

/* The root mean square of the same, an error of the probe left out. */
static double miss_k(const ow_fit_work *w, double off_k)
{
    double squares = 0.0;
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double r = ow_fit_residual(w, 0, k, off_k);
        squares += r * r;
    }
    return sqrt(squares / (double)(w->hours.n - w->settled));
}

static ow_status tell(const ow_fit_work *w, double covariance[OW_SOUGHT][OW_SOUGHT],
                      const double stretch[OW_FIT_PARTS], ow_fit *fit)
{
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        for (int k = 0; k < OW_FIT_PARTS; k++) {
            bool both = w->unknown[i].estimated && w->unknown[k].estimated;
            fit->correlation[i][k] = both ? ow_fit_correlation(covariance, i, k) : 0.0;
        }
        if (w->unknown[i].estimated) {
            tell_part(w, i, stretch[i] * sqrt(covariance[i][i]), &fit->part[i]);
        }
    }
    fit->probe_off_k = w->at[OW_FIT_PROBE_OFF];
    fit->noise_k = w->noise.new_k / sqrt(1.0 - w->noise.memory * w->noise.memory);
    fit->memory_h = -1.0 / ow_log(w->noise.memory);
    if (fit->part[OW_FIT_WATER].fate != OW_FIT_TOLD) {
        return OW_OK;
    }
    ow_plant plant = w->task->garden->plants[w->task->plant];
    ow_status status = ow_variant_water(&plant, ow_exp(w->at[OW_FIT_WATER]));
    fit->medium = ow_plant_soil(&plant)->measured.medium;
    return status;
}

/* Leaves a part to the tables; false, told, when nothing is left. */
static bool leave_part(ow_fit_work *w, int part, ow_fit *fit)
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
static ow_status narrow_down(ow_fit_work *w, ow_fit *fit, double *all_k)
{
    ow_normal normal;
    double covariance[OW_SOUGHT][OW_SOUGHT], stretch[OW_FIT_PARTS];
    for (int walks = 0; walks < MOST_WALKS;) {
        bool better;
        ow_status status = ow_fit_seek(w);
        if (status != OW_OK) {
            return status;
        }
        fit->fitted_k = miss_k(w, steady_k(w));
        *all_k = miss_k(w, 0.0);
        ow_fit_gather(w, w->at, &normal);
        status = ow_normal_covariance(&normal, w->unknown, covariance);
        int leave = status == OW_OK ? ow_fit_to_leave(w->unknown, covariance, fit) : -1;
        if (leave >= 0) {
            if (!leave_part(w, leave, fit)) {
                return OW_OK;
            }
            continue;
        }
        status = status == OW_OK ? ow_fit_walk_out(w, &normal, stretch, &better) : status;
        walks = status == OW_OK && better ? walks + 1 : MOST_WALKS;
        if (status != OW_OK) {
            return status;
        }
    }
    return tell(w, covariance, stretch, fit);
}

/* ---- setting out ----------------------------------------------------------------------------- */

static void bound(ow_fit_work *w, int i, double spread_of_prior, double low, double high)
{
    w->unknown[i] = (ow_sought){.prior_sd = spread_of_prior, .estimated = true};
    w->low[i] = low;
    w->high[i] = high;
}

double ow_fit_spread(int part)
{
    const ow_range ranges[OW_FIT_PARTS] = {[OW_FIT_SIDE] = OW_SIDE_RANGE,
                                           [OW_FIT_TOP] = OW_TOP_RANGE,
                                           [OW_FIT_WATER] = OW_WATER_RANGE};
    return ow_range_spread(ranges[part]);
}

static void set_unknowns(ow_fit_work *w, ow_fit *fit)
{
    const ow_plant *plant = &w->task->garden->plants[w->task->plant];
    const ow_soil *soil = plant->pot.given ? &plant->pot.soil : &plant->bed.soil;
    double most = ow_log(OW_FIT_FACTOR_MOST);
    bound(w, OW_FIT_SIDE, ow_fit_spread(OW_FIT_SIDE), -most, most);
    bound(w, OW_FIT_TOP, ow_fit_spread(OW_FIT_TOP), -most, most);
    bound(w, OW_FIT_START, START_SPREAD_K, -8.0, 8.0);
    bound(w, OW_FIT_PROBE_OFF, PROBE_SPREAD_K, -2.0, 2.0);
    w->water = NAN;
    bound(w, OW_FIT_WATER, ow_fit_spread(OW_FIT_WATER), -1.0, 1.0);
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
static void see_ice(ow_fit_work *w, ow_fit *fit)
{
    double coldest_c = INFINITY;
    for (size_t k = w->settled; k < w->hours.n; k++) {
        coldest_c = fmin(coldest_c, w->hours.probe_c[k]);
    }
    if (w->unknown[OW_FIT_WATER].estimated && !(coldest_c <= ICE_AT_C)) {
        w->unknown[OW_FIT_WATER].estimated = false;
        fit->part[OW_FIT_WATER].fate = OW_FIT_NO_ICE;
    }
}

static void begins_thawed(const ow_fit_work *w, char why[OW_RECORD_WORDS])
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

/* A bed lives first through what weather there is before the record; told when too little. */
static void begin_bed(ow_fit_work *w, char why[OW_RECORD_WORDS])
{
    ow_weather day;
    ow_utc_s has_s = w->hours.from_s - w->task->weather->row[0].utc_s;
    if (has_s < BED_LEAST_BEFORE_S) {
        snprintf(why, OW_RECORD_WORDS,
                 "a bed remembers the weather of weeks; give that of %d days before the record, or "
                 "at least of %d",
                 (int)(BED_BEFORE_S / OW_DAY_S), (int)(BED_LEAST_BEFORE_S / OW_DAY_S));
    }
    has_s = has_s < BED_BEFORE_S ? has_s : BED_BEFORE_S;
    w->settled = BED_SETTLES_H;
    w->begin_s = w->hours.from_s - has_s / w->task->step_s * w->task->step_s;
    ow_forcing_mean(w->task->weather, w->begin_s, w->begin_s + OW_DAY_S, &day);
    w->begin_c = day.air_c;
}

static void begin_pot(ow_fit_work *w)
{
    w->settled = POT_SETTLES_H;
    w->begin_s = w->hours.from_s;
    w->begin_c = w->hours.probe_c[0];
}

static ow_status set_weather(ow_fit_work *w, char why[OW_RECORD_WORDS])
{
    ow_utc_s end_s = w->hours.from_s + (ow_utc_s)(w->hours.n - 1) * OW_HOUR_S;
    int step_s = w->task->step_s;
    if (w->task->garden->plants[w->task->plant].pot.given) {
        begin_pot(w);
    } else {
        begin_bed(w, why);
    }
    w->steps = (long)((end_s - w->begin_s) / step_s);
    w->weather = calloc((size_t)w->steps, sizeof *w->weather);
    w->model_c = calloc((size_t)OW_FIT_LOOKS * w->hours.n, sizeof *w->model_c);
    w->weight = calloc(w->hours.n, sizeof *w->weight);
    if (w->weather == NULL || w->model_c == NULL || w->weight == NULL) {
        return OW_NO_MEMORY;
    }
    ow_fit_weigh(w);
    for (long i = 0; i < w->steps; i++) {
        ow_utc_s at_s = w->begin_s + (ow_utc_s)i * step_s;
        (void)ow_forcing_mean(w->task->weather, at_s, at_s + step_s, &w->weather[i]);
    }
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

static ow_status fit_record(ow_fit_work *w, ow_fit *fit)
{
    double tables[OW_SOUGHT] = {0.0}, all_k = 0.0;
    set_unknowns(w, fit);
    ow_status status = set_weather(w, fit->refused);
    if (status != OW_OK || fit->refused[0] != '\0') {
        return status;
    }
    status = ow_fit_try(w, tables, tables);
    if (status != OW_OK || ow_record_is_odd(&w->hours, w->model_c, fit->refused)) {
        return status;
    }
    begins_thawed(w, fit->refused);
    if (fit->refused[0] != '\0') {
        return OW_OK;
    }
    fit->hours = (double)(w->hours.n - 1);
    fit->tables_k = miss_k(w, steady_k(w));
    see_ice(w, fit);
    status = ow_fit_look_round(w);
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
    ow_fit_work *w = calloc(1, sizeof *w);
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
