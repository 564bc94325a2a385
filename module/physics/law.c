/* SPDX-License-Identifier: MIT */
#include "physics/law.h"

#include <math.h>
#include <stdbool.h>

#include "physics/ow_math.h"

static const double COLDEST_HINGE_C = -20.0;

/* Where judgement takes a body as frozen, and draws of a medium hold the same ice. */
static const double COLD_C = -5.0;

/* Integral of the liquid share (T/Tf)^-b from Tf to T, K. */
static double liquid_integral(double t_c, double freezing_c, double b)
{
    double x = t_c / freezing_c;
    if (fabs(b - 1.0) < 1e-9) {
        return freezing_c * ow_log(x);
    }
    return freezing_c * (ow_pow(x, 1.0 - b) - 1.0) / (1.0 - b);
}

/* Integral from 0 C of a property that runs from `thawed` to `frozen` with the ice share. */
static double property_integral(const ow_medium *m, double t_c, double thawed, double frozen)
{
    double liquid = m->freezing_c + liquid_integral(t_c, m->freezing_c, m->curve_exponent);
    return thawed * liquid + frozen * (t_c - liquid);
}

static bool positive(double x)
{
    return isfinite(x) && x > 0.0;
}

static bool medium_is_sane(const ow_medium *m)
{
    return positive(m->thawed_w_mk) && positive(m->frozen_w_mk) && positive(m->thawed_j_m3k) &&
           positive(m->frozen_j_m3k) && isfinite(m->latent_j_m3) && m->latent_j_m3 >= 0.0 &&
           m->freezing_c >= -3.0 && m->freezing_c <= -0.001 && m->curve_exponent >= 0.2 &&
           m->curve_exponent <= 3.0;
}

static double ice_at(const ow_medium *m, double t_c)
{
    return t_c >= m->freezing_c ? 0.0 : 1.0 - ow_pow(t_c / m->freezing_c, -m->curve_exponent);
}

static double enthalpy_at(const ow_medium *m, double t_c)
{
    return property_integral(m, t_c, m->thawed_j_m3k, m->frozen_j_m3k) -
           m->latent_j_m3 * ice_at(m, t_c);
}

static double potential_at(const ow_medium *m, double t_c)
{
    return property_integral(m, t_c, m->thawed_w_mk, m->frozen_w_mk);
}

/* How far the true temperature and potential lie above the chord from hinge i to i+1, mean over
 * enthalpy (trapezoids, even in sqrt(T/Tf)). */
static void chord_miss(const ow_medium *m, const ow_law *l, int i, double *t_k, double *u_w_m)
{
    enum { PARTS = 16 };
    double from = sqrt(l->t_c[i] / m->freezing_c), to = sqrt(l->t_c[i + 1] / m->freezing_c);
    double t0 = l->t_c[i], h0 = l->h_j_m3[i], u0 = l->u_w_m[i], t_sum = 0.0, u_sum = 0.0;
    for (int k = 1; k <= PARTS; k++) {
        double root = from + (to - from) * k / PARTS;
        double t1 = m->freezing_c * root * root;
        double h1 = enthalpy_at(m, t1), u1 = potential_at(m, t1);
        t_sum += 0.5 * (t0 + t1) * (h0 - h1);
        u_sum += 0.5 * (u0 + u1) * (h0 - h1);
        t0 = t1;
        h0 = h1;
        u0 = u1;
    }
    double fall = l->h_j_m3[i] - l->h_j_m3[i + 1];
    *t_k = t_sum / fall - 0.5 * (l->t_c[i] + l->t_c[i + 1]);
    *u_w_m = u_sum / fall - 0.5 * (l->u_w_m[i] + l->u_w_m[i + 1]);
}

static void balance(const ow_medium *m, ow_law *l)
{
    double t[OW_HINGES] = {0}, u[OW_HINGES] = {0};
    for (int i = 0; i + 1 < l->hinges; i++) {
        chord_miss(m, l, i, &t[i], &u[i]);
    }
    for (int i = 1; i < l->hinges; i++) {
        bool last = i == l->hinges - 1;
        l->t_c[i] += (t[i - 1] + (last ? t[i - 1] : t[i])) * 0.5;
        l->u_w_m[i] += (u[i - 1] + (last ? u[i - 1] : u[i])) * 0.5;
    }
}

ow_status ow_law_of_medium(const ow_medium *m, int hinges, ow_law *law)
{
    if (!medium_is_sane(m) || hinges < 4 || hinges > OW_HINGES) {
        return OW_BAD_INPUT;
    }
    ow_law l = {.hinges = hinges};
    double end = sqrt(COLDEST_HINGE_C / m->freezing_c);
    for (int i = 0; i < hinges; i++) {
        double root = 1.0 + i * (end - 1.0) / (hinges - 1);
        double t = m->freezing_c * root * root;
        l.t_c[i] = t;
        l.ice[i] = ice_at(m, t);
        l.h_j_m3[i] = property_integral(m, t, m->thawed_j_m3k, m->frozen_j_m3k) -
                      m->latent_j_m3 * l.ice[i];
        l.u_w_m[i] = property_integral(m, t, m->thawed_w_mk, m->frozen_w_mk);
    }
    balance(m, &l);
    double last_ice = l.ice[hinges - 1];
    l.warm_j_m3k = m->thawed_j_m3k;
    l.warm_w_mk = m->thawed_w_mk;
    l.cold_ice_per_k = m->curve_exponent * (1.0 - last_ice) / l.t_c[hinges - 1];
    l.cold_j_m3k = m->thawed_j_m3k + (m->frozen_j_m3k - m->thawed_j_m3k) * last_ice -
                   m->latent_j_m3 * l.cold_ice_per_k;
    l.cold_w_mk = m->thawed_w_mk + (m->frozen_w_mk - m->thawed_w_mk) * last_ice;
    l.least_w_mk = fmin(m->thawed_w_mk, m->frozen_w_mk);
    l.most_w_mk = fmax(m->thawed_w_mk, m->frozen_w_mk);
    l.ice_at_minus5 = ice_at(m, COLD_C);
    *law = l;
    return OW_OK;
}

ow_status ow_law_of_nodes(int hinges, const double *t_c, const double *h_j_m3, const double *ice,
                          const double *k_w_mk, double warm_j_m3k, double warm_w_mk,
                          double cold_j_m3k, double cold_w_mk, ow_law *law)
{
    if (hinges < 1 || hinges > OW_HINGES || !positive(warm_j_m3k) || !positive(warm_w_mk) ||
        !positive(cold_j_m3k) || !positive(cold_w_mk)) {
        return OW_BAD_INPUT;
    }
    ow_law l = {.hinges = hinges,
                .warm_j_m3k = warm_j_m3k,
                .warm_w_mk = warm_w_mk,
                .cold_j_m3k = cold_j_m3k,
                .cold_w_mk = cold_w_mk,
                .least_w_mk = fmin(warm_w_mk, cold_w_mk),
                .most_w_mk = fmax(warm_w_mk, cold_w_mk)};
    for (int i = 0; i < hinges; i++) {
        if (i > 0 && (!(h_j_m3[i] < h_j_m3[i - 1]) || t_c[i] > t_c[i - 1])) {
            return OW_BAD_INPUT;
        }
        l.t_c[i] = t_c[i];
        l.h_j_m3[i] = h_j_m3[i];
        l.ice[i] = ice[i];
        l.u_w_m[i] = i == 0 ? warm_w_mk * t_c[0]
                            : l.u_w_m[i - 1] + k_w_mk[i - 1] * (t_c[i] - t_c[i - 1]);
        if (i > 0 && t_c[i] < t_c[i - 1]) {
            l.least_w_mk = fmin(l.least_w_mk, k_w_mk[i - 1]);
            l.most_w_mk = fmax(l.most_w_mk, k_w_mk[i - 1]);
        }
    }
    l.ice_at_minus5 = 1.0;
    l.ice_at_minus5 = ow_law_ice(&l, ow_law_h(&l, COLD_C));
    *law = l;
    return OW_OK;
}

/* The last hinge that lies at or above h, or -1 when h is warmer than all. */
static int hinge_above(const ow_law *law, double h_j_m3)
{
    int i = -1;
    while (i + 1 < law->hinges && h_j_m3 <= law->h_j_m3[i + 1]) {
        i++;
    }
    return i;
}

/* How far h lies from hinge i to the next. */
static double share_of(const ow_law *law, int i, double h_j_m3)
{
    return (law->h_j_m3[i] - h_j_m3) / (law->h_j_m3[i] - law->h_j_m3[i + 1]);
}

static double between(const double *value, int i, double share)
{
    return value[i] + share * (value[i + 1] - value[i]);
}

static double above_all(const ow_law *law, double h_j_m3)
{
    return law->t_c[0] + (h_j_m3 - law->h_j_m3[0]) / law->warm_j_m3k;
}

double ow_law_t(const ow_law *law, double h_j_m3)
{
    int i = hinge_above(law, h_j_m3), last = law->hinges - 1;
    if (i < 0) {
        return above_all(law, h_j_m3);
    }
    if (i == last) {
        return law->t_c[last] + (h_j_m3 - law->h_j_m3[last]) / law->cold_j_m3k;
    }
    return between(law->t_c, i, share_of(law, i, h_j_m3));
}

double ow_law_u(const ow_law *law, double h_j_m3)
{
    int i = hinge_above(law, h_j_m3), last = law->hinges - 1;
    if (i < 0) {
        return law->u_w_m[0] + law->warm_w_mk * (ow_law_t(law, h_j_m3) - law->t_c[0]);
    }
    if (i == last) {
        return law->u_w_m[last] + law->cold_w_mk * (ow_law_t(law, h_j_m3) - law->t_c[last]);
    }
    return between(law->u_w_m, i, share_of(law, i, h_j_m3));
}

double ow_law_ice(const ow_law *law, double h_j_m3)
{
    int i = hinge_above(law, h_j_m3), last = law->hinges - 1;
    if (i < 0) {
        return law->ice[0];
    }
    if (i == last) {
        double below_k = ow_law_t(law, h_j_m3) - law->t_c[last];
        return fmin(1.0, law->ice[last] + law->cold_ice_per_k * below_k);
    }
    return between(law->ice, i, share_of(law, i, h_j_m3));
}

double ow_law_relative_ice(const ow_law *law, double h_j_m3)
{
    return ow_law_relative(law, ow_law_ice(law, h_j_m3));
}

double ow_law_relative(const ow_law *law, double ice)
{
    double relative = law->ice_at_minus5 > 0.0 ? ice / law->ice_at_minus5 : 0.0;
    return relative < 1.0 ? relative : 1.0;
}

double ow_law_h(const ow_law *law, double t_c)
{
    int last = law->hinges - 1;
    if (t_c >= law->t_c[0]) {
        return law->h_j_m3[0] + law->warm_j_m3k * (t_c - law->t_c[0]);
    }
    for (int i = 0; i < last; i++) {
        if (t_c >= law->t_c[i + 1] && law->t_c[i] > law->t_c[i + 1]) {
            double share = (law->t_c[i] - t_c) / (law->t_c[i] - law->t_c[i + 1]);
            return law->h_j_m3[i] + share * (law->h_j_m3[i + 1] - law->h_j_m3[i]);
        }
    }
    return law->h_j_m3[last] + law->cold_j_m3k * (t_c - law->t_c[last]);
}

/* Enthalpy at an ice share, 0 to that of the last hinge. */
static double h_of_ice(const ow_law *law, double ice)
{
    int last = law->hinges - 1, i = 0;
    while (i < last - 1 && law->ice[i + 1] < ice) {
        i++;
    }
    double share = (ice - law->ice[i]) / (law->ice[i + 1] - law->ice[i]);
    return law->h_j_m3[i] + fmin(share, 1.0) * (law->h_j_m3[i + 1] - law->h_j_m3[i]);
}

double ow_law_carried(const ow_law *to, const ow_law *from, double h_j_m3)
{
    double t_c = ow_law_t(from, h_j_m3);
    bool same = to->t_c[0] == from->t_c[0]; /* no law bends a curve that begins as it did */
    if (same || t_c >= fmax(from->t_c[0], to->t_c[0]) || t_c <= COLD_C) {
        return ow_law_h(to, t_c);
    }
    return h_of_ice(to, ow_law_ice(from, h_j_m3));
}
