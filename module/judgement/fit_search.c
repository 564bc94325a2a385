/* SPDX-License-Identifier: MIT */
#include "judgement/fit_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A search rests when a step is so short, in spreads of the tables, or gains so little. */
static const double AT_REST = 0.03, LITTLE = 0.3;
enum { MOST_RUNS = 16 };

/* Where the search rests, and both ends of each part's interval. */
enum { WITH_ENDS = 1 + 2 * OW_FIT_PARTS };

/* Told only when the record narrows it to so much of what the tables leave open. */
static const double NARROWED = 0.75;

/* A front that passes from cell to cell makes the model's probe hesitate by so much. */
static const double GRID_K = 0.12;

static int estimated(const ow_fit_work *w)
{
    int n = 0;
    for (int i = 0; i < OW_SOUGHT; i++) {
        n += w->unknown[i].estimated;
    }
    return n;
}

static ow_status note_noise(ow_fit_work *w)
{
    size_t n = w->hours.n - w->settled;
    double *r = calloc(n, sizeof *r);
    if (r == NULL) {
        return OW_NO_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        size_t hour = w->settled + k;
        r[k] = w->weight[hour] * ow_fit_residual(w, 0, hour, w->at[OW_FIT_PROBE_OFF]);
    }
    w->noise = ow_noise_of(r, (long)n, estimated(w));
    w->noise.new_k = sqrt(w->noise.new_k * w->noise.new_k + GRID_K * GRID_K);
    free(r);
    return OW_OK;
}

/* How far a step goes, in spreads of the tables. */
static double length_of(const ow_fit_work *w, const double *from, const double *to)
{
    double most = 0.0;
    for (int i = 0; i < OW_SOUGHT; i++) {
        most = fmax(most, fabs(to[i] - from[i]) / w->unknown[i].prior_sd);
    }
    return most;
}

static ow_status propose(const ow_fit_work *w, double to[OW_SOUGHT])
{
    ow_normal normal;
    double step[OW_SOUGHT];
    ow_fit_gather(w, w->at, &normal);
    ow_status status = ow_normal_step(&normal, w->unknown, w->at, step);
    for (int i = 0; status == OW_OK && i < OW_SOUGHT; i++) {
        to[i] = fmin(fmax(w->at[i] + step[i], w->low[i]), w->high[i]);
    }
    return status;
}

/* One step of the search; *rests when it has come to rest. Model and slopes are those of w->at
 * before and after. */
static ow_status seek_once(ow_fit_work *w, bool *rests)
{
    double to[OW_SOUGHT], before = ow_fit_cost(w, 0, w->at);
    ow_status status = propose(w, to);
    if (status != OW_OK || length_of(w, w->at, to) < AT_REST) {
        *rests = true;
        return status;
    }
    status = ow_fit_try(w, w->at, to);
    if (status != OW_OK) {
        return status;
    }
    double share = ow_fit_best(w, w->at, to, before);
    for (int i = 0; i < OW_SOUGHT; i++) {
        w->at[i] += share * (to[i] - w->at[i]);
    }
    status = share == 1.0 ? OW_OK : ow_fit_try(w, w->at, w->at);
    *rests = before - ow_fit_cost(w, 0, w->at) < LITTLE;
    return status;
}

/* The best of a wide spread of starts: thawing comes by a leap, and slopes do not see beyond it. */
ow_status ow_fit_look_round(ow_fit_work *w)
{
    double theta[OW_FIT_LOOKS][OW_SOUGHT] = {{0.0}}, least = INFINITY;
    for (int v = 1; v < OW_FIT_LOOKS; v++) {
        for (int i = 0; i < OW_FIT_PARTS; i++) {
            double far = (v - 1) / 8 == 0 ? 0.7 : 1.4; /* seven corners twice as far */
            double at = ((v - 1) >> i) % 2 == 0 ? far : -far;
            at *= w->unknown[i].estimated ? w->unknown[i].prior_sd : 0.0;
            theta[v][i] = fmin(fmax(at, w->low[i]), w->high[i]);
        }
    }
    ow_status status = ow_fit_live(w, theta, OW_FIT_LOOKS);
    for (int v = 0; status == OW_OK && v < OW_FIT_LOOKS; v++) {
        double cost = ow_fit_cost(w, v, theta[v]);
        if (cost < least) {
            least = cost;
            memcpy(w->at, theta[v], sizeof w->at);
        }
    }
    return status;
}

/* To rest under a wide noise, then under that which was found, until it stays. */
ow_status ow_fit_seek(ow_fit_work *w)
{
    ow_status status = ow_fit_try(w, w->at, w->at);
    double before_k = INFINITY;
    int runs = 0;
    while (status == OW_OK && w->noise.new_k < 0.9 * before_k) {
        bool rests = false;
        while (status == OW_OK && !rests && runs++ < MOST_RUNS) {
            status = seek_once(w, &rests);
        }
        before_k = w->noise.new_k;
        status = status == OW_OK ? note_noise(w) : status;
    }
    return status;
}

/* ---- how sure -------------------------------------------------------------------------------- */

static double cost_at(const ow_fit_work *w, int variant, double theta[][OW_SOUGHT])
{
    return ow_fit_cost(w, variant, theta[variant]);
}

/* What the record says alone, the considered unknowns taken as the tables have them. */
static ow_status record_covariance(const ow_fit_work *w, const ow_normal *normal,
                                   double covariance[OW_SOUGHT][OW_SOUGHT])
{
    ow_sought unknown[OW_SOUGHT];
    memcpy(unknown, w->unknown, sizeof unknown);
    for (int i = 0; i < OW_SOUGHT; i++) {
        unknown[i].prior_sd = unknown[i].estimated ? unknown[i].prior_sd : 0.0;
    }
    return ow_normal_covariance(normal, unknown, covariance);
}

ow_status ow_fit_walk_out(ow_fit_work *w, const ow_normal *normal, double stretch[OW_FIT_PARTS],
                          bool *better)
{
    double theta[WITH_ENDS][OW_SOUGHT], c[OW_SOUGHT][OW_SOUGHT];
    ow_status status = record_covariance(w, normal, c);
    for (int v = 0; status == OW_OK && v < WITH_ENDS; v++) {
        int part = (v - 1) / 2;
        double end = v == 0 ? 0.0 : v % 2 == 1 ? OW_FIT_NINE_IN_TEN : -OW_FIT_NINE_IN_TEN;
        double reach = w->unknown[part].estimated ? end / sqrt(c[part][part]) : 0.0;
        for (int i = 0; i < OW_SOUGHT; i++) {
            theta[v][i] = fmin(fmax(w->at[i] + reach * c[i][part], w->low[i]), w->high[i]);
        }
    }
    status = status == OW_OK ? ow_fit_live(w, theta, WITH_ENDS) : status;
    *better = false;
    if (status != OW_OK) {
        return status;
    }
    double here = cost_at(w, 0, theta), least = here - LITTLE;
    for (int p = 0; p < OW_FIT_PARTS; p++) {
        double rise = 0.5 * (cost_at(w, 1 + 2 * p, theta) + cost_at(w, 2 + 2 * p, theta)) - here;
        double should = OW_FIT_NINE_IN_TEN * OW_FIT_NINE_IN_TEN;
        stretch[p] = sqrt(should / fmin(fmax(rise, should / 9.0), should));
    }
    for (int v = 1; v < WITH_ENDS; v++) {
        if (cost_at(w, v, theta) < least) {
            least = cost_at(w, v, theta);
            *better = true;
            memcpy(w->at, theta[v], sizeof w->at);
        }
    }
    return OW_OK;
}

static double spread(double covariance[OW_SOUGHT][OW_SOUGHT], int i)
{
    return sqrt(covariance[i][i]);
}

double ow_fit_correlation(double covariance[OW_SOUGHT][OW_SOUGHT], int i, int k)
{
    return covariance[i][k] / (spread(covariance, i) * spread(covariance, k));
}

int ow_fit_to_leave(const ow_sought unknown[OW_SOUGHT], double covariance[OW_SOUGHT][OW_SOUGHT],
                    ow_fit *fit)
{
    for (int i = OW_FIT_PARTS - 1; i > 0; i--) {
        for (int k = 0; k < i; k++) {
            if (unknown[i].estimated && unknown[k].estimated &&
                fabs(ow_fit_correlation(covariance, i, k)) > OW_FIT_TANGLE) {
                fit->part[i].fate = OW_FIT_TANGLED;
                fit->part[i].tangled_with = k;
                return i;
            }
        }
    }
    for (int i = OW_FIT_PARTS - 1; i >= 0; i--) {
        if (unknown[i].estimated &&
            spread(covariance, i) > NARROWED * unknown[i].prior_sd) {
            fit->part[i].fate = OW_FIT_UNTOLD;
            return i;
        }
    }
    return -1;
}
