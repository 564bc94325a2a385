/* SPDX-License-Identifier: MIT */
#include "judgement/fit_model.h"

#include <math.h>
#include <string.h>

#include "garden/scene.h"
#include "physics/ow_math.h"

/* Time in which probe and model may be late, and a probe's own error. */
static const double LATE_H = 0.5, OWN_K = 0.2;
enum { LEAP_H = 3 };

/* Steps for slopes, in logarithms and kelvins: wide, since the cost is no smooth bowl. */
static const double LOG_STEP = 0.25, START_STEP_K = 1.0;

const double ow_fit_shorten[OW_FIT_SHORTER] = {0.5, 0.25, 0.1};

static ow_status set_variant(const double *theta, ow_plant *plant)
{
    plant->start_c = NAN;
    if (plant->pot.given) {
        plant->pot.side_factor = ow_exp(theta[OW_FIT_SIDE]);
        plant->pot.top_factor = ow_exp(theta[OW_FIT_TOP]);
    } else {
        plant->bed.top_factor = ow_exp(theta[OW_FIT_TOP]);
    }
    return ow_variant_water(plant, ow_exp(theta[OW_FIT_WATER]));
}

/* All of a body so many kelvins warmer, by its sensible heat. */
static void warm_start(ow_cast *cast, int actor, double kelvins)
{
    const ow_law *law = ow_cast_law(cast, actor, false);
    ow_cast_warm(cast, actor, false, kelvins * law->warm_j_m3k);
}

static void live_through(ow_fit_work *w, ow_scene *scene, int n)
{
    for (long i = 0;; i++) {
        ow_utc_s since_s = scene->now_s - w->hours.from_s;
        for (int v = 0; since_s >= 0 && since_s % OW_HOUR_S == 0 && v < n; v++) {
            w->model_c[(size_t)v * w->hours.n + (size_t)(since_s / OW_HOUR_S)] =
                ow_cast_axis_c(scene->cast, v, w->task->depth_m);
        }
        if (i == w->steps) {
            return;
        }
        ow_scene_step(scene, &w->weather[i]);
    }
}

ow_status ow_fit_live(ow_fit_work *w, double theta[][OW_SOUGHT], int n)
{
    ow_scene *scene = NULL;
    ow_status status = OW_OK;
    ow_variants_of(w->task->garden, w->task->plant, n, &w->variants);
    for (int v = 0; status == OW_OK && v < n; v++) {
        status = set_variant(theta[v], &w->variants.plant[v]);
    }
    if (status == OW_OK) {
        status = ow_scene_new(&w->variants.garden, w->begin_s, w->task->step_s, w->begin_c, &scene);
    }
    for (int v = 0; status == OW_OK && v < n; v++) {
        warm_start(scene->cast, v, theta[v][OW_FIT_START]);
    }
    if (status == OW_OK) {
        live_through(w, scene, n);
    }
    ow_scene_free(scene);
    return status;
}

/* ---- cost and slopes ------------------------------------------------------------------------- */

double ow_fit_residual(const ow_fit_work *w, int variant, size_t hour, double probe_off_k)
{
    return w->hours.probe_c[hour] - probe_off_k -
           w->model_c[(size_t)variant * w->hours.n + hour];
}

/*
 * An hour counts the less the quicker the probe changes round it: when the last ice goes the ball
 * leaps by kelvins within an hour or two, and neither model nor probe is right to that.
 */
void ow_fit_weigh(ow_fit_work *w)
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

double ow_fit_cost(const ow_fit_work *w, int variant, const double *theta)
{
    static const double none[OW_SOUGHT];
    ow_normal sum = {.rows = 0};
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double r = w->weight[k] * ow_fit_residual(w, variant, k, theta[OW_FIT_PROBE_OFF]);
        ow_normal_add(&sum, &w->noise, r, none);
    }
    for (int i = 0; i < OW_SOUGHT; i++) {
        double off = theta[i] / w->unknown[i].prior_sd;
        sum.cost += off * off;
    }
    return sum.cost;
}

/* A candidate moved along one unknown, within the bounds; returns where to. */
static double moved(const ow_fit_work *w, const double *theta, int i, double sign,
                    double out[OW_SOUGHT])
{
    double step = sign * (i == OW_FIT_START ? START_STEP_K : LOG_STEP);
    memcpy(out, theta, OW_SOUGHT * sizeof *out);
    out[i] = fmin(fmax(theta[i] + step, w->low[i]), w->high[i]);
    return out[i];
}

/* Variant 0 is theta, 1 + 2i and 2 + 2i that with unknown i moved up and down. */
void ow_fit_gather(const ow_fit_work *w, const double *theta, ow_normal *normal)
{
    double apart[OW_FIT_SLOPED], other[OW_SOUGHT];
    *normal = (ow_normal){.rows = 0};
    for (int i = 0; i < OW_FIT_SLOPED; i++) {
        apart[i] = moved(w, theta, i, 1.0, other) - moved(w, theta, i, -1.0, other);
    }
    for (size_t k = w->settled; k < w->hours.n; k++) {
        double slope[OW_SOUGHT] = {[OW_FIT_PROBE_OFF] = w->weight[k]};
        for (int i = 0; i < OW_FIT_SLOPED; i++) {
            const double *up = w->model_c + (size_t)(1 + 2 * i) * w->hours.n;
            slope[i] = w->weight[k] * (up[k] - up[k + w->hours.n]) / apart[i];
        }
        double r = w->weight[k] * ow_fit_residual(w, 0, k, theta[OW_FIT_PROBE_OFF]);
        ow_normal_add(normal, &w->noise, r, slope);
    }
}

/* Runs a candidate with its slopes and, from `from`, shorter steps towards it. */
ow_status ow_fit_try(ow_fit_work *w, const double *from, const double *to)
{
    double theta[OW_FIT_WITH_SLOPES + OW_FIT_SHORTER][OW_SOUGHT];
    memcpy(theta[0], to, sizeof theta[0]);
    for (int i = 0; i < OW_FIT_SLOPED; i++) {
        (void)moved(w, to, i, 1.0, theta[1 + 2 * i]);
        (void)moved(w, to, i, -1.0, theta[2 + 2 * i]);
    }
    for (int s = 0; s < OW_FIT_SHORTER; s++) {
        for (int i = 0; i < OW_SOUGHT; i++) {
            theta[OW_FIT_WITH_SLOPES + s][i] = from[i] + ow_fit_shorten[s] * (to[i] - from[i]);
        }
    }
    int shorter = from != to ? OW_FIT_SHORTER : 0;
    return ow_fit_live(w, theta, OW_FIT_WITH_SLOPES + shorter);
}

double ow_fit_best(const ow_fit_work *w, const double *from, const double *to, double before)
{
    double best = 0.0, least = before;
    for (int s = 0; s <= OW_FIT_SHORTER; s++) {
        double theta[OW_SOUGHT], share = s == 0 ? 1.0 : ow_fit_shorten[s - 1];
        for (int i = 0; i < OW_SOUGHT; i++) {
            theta[i] = from[i] + share * (to[i] - from[i]);
        }
        double cost = ow_fit_cost(w, s == 0 ? 0 : OW_FIT_WITH_SLOPES + s - 1, theta);
        if (cost < least) {
            least = cost;
            best = share;
        }
    }
    return best;
}
