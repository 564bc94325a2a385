/* SPDX-License-Identifier: MIT */
#include "judgement/least_squares.h"

#include <math.h>

/* As if so many hours of an ordinary probe (0.1 K) had been seen before. */
static const double BEFORE_HOURS = 6.0, BEFORE_K = 0.1;
static const double LEAST_MEMORY = 0.3, MOST_MEMORY = 0.97;

void ow_normal_add(ow_normal *normal, const ow_noise *noise, double residual,
                   const double slope[OW_SOUGHT])
{
    double row[OW_SOUGHT + 1], now[OW_SOUGHT + 1];
    double keep = normal->rows == 0 ? sqrt(1.0 - noise->memory * noise->memory) : 1.0;
    for (int i = 0; i <= OW_SOUGHT; i++) {
        now[i] = i < OW_SOUGHT ? slope[i] : residual;
        row[i] = normal->rows == 0 ? keep * now[i] : now[i] - noise->memory * normal->before[i];
        row[i] /= noise->new_k;
        normal->before[i] = now[i];
    }
    for (int i = 0; i < OW_SOUGHT; i++) {
        for (int k = 0; k < OW_SOUGHT; k++) {
            normal->jj[i][k] += row[i] * row[k];
        }
        normal->jr[i] += row[i] * row[OW_SOUGHT];
    }
    normal->cost += row[OW_SOUGHT] * row[OW_SOUGHT];
    normal->rows++;
}

/* Products and prior of the estimated unknowns; rows of the others are those of a unit matrix. */
static void with_prior(const ow_normal *normal, const ow_sought *unknown,
                       double a[OW_SOUGHT][OW_SOUGHT])
{
    for (int i = 0; i < OW_SOUGHT; i++) {
        for (int k = 0; k < OW_SOUGHT; k++) {
            bool both = unknown[i].estimated && unknown[k].estimated;
            a[i][k] = both ? normal->jj[i][k] : 0.0;
        }
        a[i][i] += unknown[i].estimated ? 1.0 / (unknown[i].prior_sd * unknown[i].prior_sd) : 1.0;
    }
}

/* Cholesky in place of the lower triangle; false when it is not positive. */
static bool factor(double a[OW_SOUGHT][OW_SOUGHT])
{
    for (int i = 0; i < OW_SOUGHT; i++) {
        for (int k = 0; k <= i; k++) {
            double sum = a[i][k];
            for (int m = 0; m < k; m++) {
                sum -= a[i][m] * a[k][m];
            }
            if (k == i && !(sum > 0.0 && isfinite(sum))) {
                return false;
            }
            a[i][k] = k == i ? sqrt(sum) : sum / a[k][k];
        }
    }
    return true;
}

static void solve(double l[OW_SOUGHT][OW_SOUGHT], double x[OW_SOUGHT])
{
    for (int i = 0; i < OW_SOUGHT; i++) {
        for (int k = 0; k < i; k++) {
            x[i] -= l[i][k] * x[k];
        }
        x[i] /= l[i][i];
    }
    for (int i = OW_SOUGHT - 1; i >= 0; i--) {
        for (int k = i + 1; k < OW_SOUGHT; k++) {
            x[i] -= l[k][i] * x[k];
        }
        x[i] /= l[i][i];
    }
}

ow_status ow_normal_step(const ow_normal *normal, const ow_sought unknown[OW_SOUGHT],
                         const double at[OW_SOUGHT], double step[OW_SOUGHT])
{
    double a[OW_SOUGHT][OW_SOUGHT];
    with_prior(normal, unknown, a);
    if (!factor(a)) {
        return OW_BAD_INPUT;
    }
    for (int i = 0; i < OW_SOUGHT; i++) {
        double prior = at[i] / (unknown[i].prior_sd * unknown[i].prior_sd);
        step[i] = unknown[i].estimated ? normal->jr[i] - prior : 0.0;
    }
    solve(a, step);
    return OW_OK;
}

/* What a considered unknown, one prior's spread off, shifts the estimated ones by. */
static void hidden_by(const ow_normal *normal, const ow_sought *unknown, int considered,
                      double l[OW_SOUGHT][OW_SOUGHT], double shift[OW_SOUGHT])
{
    for (int i = 0; i < OW_SOUGHT; i++) {
        shift[i] = unknown[i].estimated
                       ? normal->jj[i][considered] * unknown[considered].prior_sd
                       : 0.0;
    }
    solve(l, shift);
}

ow_status ow_normal_covariance(const ow_normal *normal, const ow_sought unknown[OW_SOUGHT],
                               double covariance[OW_SOUGHT][OW_SOUGHT])
{
    double a[OW_SOUGHT][OW_SOUGHT];
    with_prior(normal, unknown, a);
    if (!factor(a)) {
        return OW_BAD_INPUT;
    }
    for (int i = 0; i < OW_SOUGHT; i++) {
        double column[OW_SOUGHT] = {0.0};
        column[i] = unknown[i].estimated ? 1.0 : 0.0;
        solve(a, column);
        for (int k = 0; k < OW_SOUGHT; k++) {
            covariance[k][i] = column[k];
        }
    }
    for (int c = 0; c < OW_SOUGHT; c++) {
        double shift[OW_SOUGHT];
        if (unknown[c].estimated) {
            continue;
        }
        hidden_by(normal, unknown, c, a, shift);
        for (int i = 0; i < OW_SOUGHT; i++) {
            for (int k = 0; k < OW_SOUGHT; k++) {
                covariance[i][k] += shift[i] * shift[k];
            }
        }
    }
    return OW_OK;
}

ow_noise ow_noise_of(const double *residual, long n, int unknowns)
{
    double same = 0.0, next = 0.0, fresh = 0.0;
    for (long i = 0; i < n; i++) {
        same += residual[i] * residual[i];
        next += i > 0 ? residual[i] * residual[i - 1] : 0.0;
    }
    double shown = same > 0.0 ? next / same : 0.0;
    double lost = (1.0 + 3.0 * shown) / (double)n * (1.0 + 0.5 * unknowns);
    double memory = fmin(fmax(shown + lost, LEAST_MEMORY), MOST_MEMORY);
    for (long i = 1; i < n; i++) {
        double e = residual[i] - memory * residual[i - 1];
        fresh += e * e;
    }
    double before = BEFORE_HOURS * BEFORE_K * BEFORE_K * (1.0 - memory * memory);
    double hours = fmax((double)(n - unknowns), 1.0) + BEFORE_HOURS;
    return (ow_noise){.memory = memory, .new_k = sqrt((fresh + before) / hours)};
}
