/* SPDX-License-Identifier: MIT */
/*
 * Closed forms of conduction and freezing, from the literature, independent of the solver.
 * Each is itself held to published or independently computed numbers before it judges anything.
 */
#ifndef OVERWINTER_TESTS_PHYSICS_CLOSED_FORMS_H
#define OVERWINTER_TESTS_PHYSICS_CLOSED_FORMS_H

#define _XOPEN_SOURCE 700 /* j0, j1, M_PI; this header comes first */

#include <math.h>

typedef double (*cf_function)(double x, const void *with);

/* The sign change of f between two points. */
static inline double cf_root(cf_function f, const void *with, double low, double high)
{
    double at_low = f(low, with);
    for (int i = 0; i < 200; i++) {
        double mid = 0.5 * (low + high), at_mid = f(mid, with);
        if ((at_mid < 0.0) == (at_low < 0.0)) {
            low = mid;
        } else {
            high = mid;
        }
    }
    return 0.5 * (low + high);
}

/* ---- freezing front in a half-space: Carslaw & Jaeger 1959 s.11.2; freezing point 0 C -------- */

typedef struct cf_neumann {
    double frozen_w_mk, frozen_j_m3k, thawed_w_mk, thawed_j_m3k, latent_j_m3;
    double surface_c, start_c;
} cf_neumann;

static inline double cf_stefan(const cf_neumann *n)
{
    return n->frozen_j_m3k * -n->surface_c / n->latent_j_m3;
}

/* Square root of the ratio of diffusivities, frozen over thawed. */
static inline double cf_neumann_nu(const cf_neumann *n)
{
    return sqrt(n->frozen_w_mk / n->frozen_j_m3k * n->thawed_j_m3k / n->thawed_w_mk);
}

static inline double cf_neumann_balance(double x, const void *with)
{
    const cf_neumann *n = with;
    double nu = cf_neumann_nu(n);
    double thawed = n->thawed_w_mk / n->frozen_w_mk * nu * n->start_c / -n->surface_c *
                    exp(-x * x * nu * nu) / erfc(x * nu);
    return exp(-x * x) / erf(x) - thawed - x * sqrt(M_PI) / cf_stefan(n);
}

static inline double cf_neumann_lambda(const cf_neumann *n)
{
    return cf_root(cf_neumann_balance, n, 1e-6, 3.0);
}

static inline double cf_neumann_front_m(const cf_neumann *n, double t_s)
{
    return 2.0 * cf_neumann_lambda(n) * sqrt(n->frozen_w_mk / n->frozen_j_m3k * t_s);
}

static inline double cf_neumann_c(const cf_neumann *n, double x_m, double t_s)
{
    double lambda = cf_neumann_lambda(n);
    double s = x_m / (2.0 * sqrt(n->frozen_w_mk / n->frozen_j_m3k * t_s));
    double nu = cf_neumann_nu(n);
    return s < lambda ? n->surface_c * (1.0 - erf(s) / erf(lambda))
                      : n->start_c * (1.0 - erfc(s * nu) / erfc(lambda * nu));
}

/* Heat drawn through the surface since the step, J/m2. */
static inline double cf_neumann_heat_j_m2(const cf_neumann *n, double t_s)
{
    double a = n->frozen_w_mk / n->frozen_j_m3k;
    return 2.0 * n->frozen_w_mk * -n->surface_c * sqrt(t_s / (M_PI * a)) /
           erf(cf_neumann_lambda(n));
}

/* ---- freezing over a range: three zones, Lunardini 1988 (CRREL Report 88-2) ------------------ */

typedef struct cf_zones {
    double frozen_w_mk, mushy_w_mk, thawed_w_mk, c_j_m3k, latent_j_m3;
    double end_c, start_c, surface_c; /* all ice at end_c; latent heat spread evenly up to 0 C */
} cf_zones;

typedef struct cf_zones_root {
    double a1, a3, a4; /* diffusivities: frozen, thawed, mushy with its latent heat */
    double psi, gamma;
} cf_zones_root;

static inline double cf_erfc_less(double x, const void *with)
{
    return erfc(x) - *(const double *)with;
}

/* Mushy zone: erfc at its frozen edge less that at its thawed edge, from the flux at the former. */
static inline double cf_zones_span(const cf_zones *z, const cf_zones_root *r, double psi)
{
    return z->mushy_w_mk * -z->end_c * exp(-psi * psi * r->a1 / r->a4) * sqrt(r->a1) * erf(psi) /
           (z->frozen_w_mk * (z->end_c - z->surface_c) * exp(-psi * psi) * sqrt(r->a4));
}

static inline double cf_zones_gamma(const cf_zones *z, const cf_zones_root *r, double psi)
{
    double want = erfc(psi * sqrt(r->a1 / r->a4)) - cf_zones_span(z, r, psi);
    return want > 0.0 ? cf_root(cf_erfc_less, &want, 0.0, 26.0) : INFINITY;
}

typedef struct cf_zones_pair {
    const cf_zones *z;
    const cf_zones_root *r;
} cf_zones_pair;

/* Flux out of the mushy zone less flux into it from the thawed one, at the thawed edge. */
static inline double cf_zones_balance(double psi, const void *with)
{
    const cf_zones_pair *p = with;
    const cf_zones *z = p->z;
    const cf_zones_root *r = p->r;
    double g = cf_zones_gamma(z, r, psi), w = sqrt(r->a4 / r->a3);
    if (isinf(g)) {
        return -1e300;
    }
    double mushy = z->mushy_w_mk * -z->end_c * exp(-g * g) /
                   (cf_zones_span(z, r, psi) * sqrt(r->a4));
    return mushy - z->thawed_w_mk * z->start_c * exp(-g * g * w * w) / (erfc(g * w) * sqrt(r->a3));
}

static inline cf_zones_root cf_zones_solve(const cf_zones *z)
{
    cf_zones_root r = {.a1 = z->frozen_w_mk / z->c_j_m3k,
                       .a3 = z->thawed_w_mk / z->c_j_m3k,
                       .a4 = z->mushy_w_mk / (z->c_j_m3k + z->latent_j_m3 / -z->end_c)};
    cf_zones_pair p = {z, &r};
    r.psi = cf_root(cf_zones_balance, &p, 1e-4, 0.7);
    r.gamma = cf_zones_gamma(z, &r, r.psi);
    return r;
}

static inline double cf_zones_c(const cf_zones *z, const cf_zones_root *r, double x_m, double t_s)
{
    double s1 = x_m / (2.0 * sqrt(r->a1 * t_s)), s4 = x_m / (2.0 * sqrt(r->a4 * t_s));
    double s3 = x_m / (2.0 * sqrt(r->a3 * t_s));
    if (s1 < r->psi) {
        return z->surface_c + (z->end_c - z->surface_c) * erf(s1) / erf(r->psi);
    }
    if (s4 < r->gamma) {
        double edge = erfc(r->psi * sqrt(r->a1 / r->a4)), end = erfc(r->gamma);
        return z->end_c * (erfc(s4) - end) / (edge - end);
    }
    return z->start_c * (1.0 - erfc(s3) / erfc(r->gamma * sqrt(r->a4 / r->a3)));
}

/* ---- castings: x exp(x^2) (erf(x) + phi) = Ste / sqrt(pi) ------------------------------------ */

typedef struct cf_casting {
    double stefan, phi;
} cf_casting;

static inline double cf_casting_balance(double x, const void *with)
{
    const cf_casting *c = with;
    return x * exp(x * x) * (erf(x) + c->phi) - c->stefan / sqrt(M_PI);
}

static inline double cf_casting_root(double stefan, double phi)
{
    cf_casting c = {stefan, phi};
    return cf_root(cf_casting_balance, &c, 1e-6, 3.0);
}

/* ---- bodies: 1 slab (half thickness), 2 cylinder, 3 sphere ----------------------------------- */

/* Quasi-steady front at s R: its tau = k (Tf - Tair) t / (L R^2); London & Seban 1943. */
static inline double cf_shell_tau(int shape, double s, double bi)
{
    if (shape == 1) {
        return 0.5 * (1.0 - s) * (1.0 - s) + (1.0 - s) / bi;
    }
    if (shape == 2) {
        double log_term = s > 0.0 ? 0.5 * s * s * log(s) : 0.0;
        return 0.25 * (1.0 - s * s) + log_term + (1.0 - s * s) / (2.0 * bi);
    }
    return 1.0 / 6.0 - 0.5 * s * s + s * s * s / 3.0 + (1.0 - s * s * s) / (3.0 * bi);
}

/* Plank 1913: time to freeze a body of full thickness d, s. */
static inline double cf_plank_s(int shape, double latent_j_m3, double drop_k, double d_m,
                                double h_w_m2k, double k_w_mk)
{
    double p = 1.0 / (2.0 * shape), r = 1.0 / (8.0 * shape);
    return latent_j_m3 / drop_k * (p * d_m / h_w_m2k + r * d_m * d_m / k_w_mk);
}

/* Pham 1986, J. Food Technol. 21:209. */
typedef struct cf_pham_in {
    double thawed_j_m3k, frozen_j_m3k, latent_j_m3, start_c, centre_c, medium_c;
    double half_m, h_w_m2k, frozen_w_mk;
    int shape;
} cf_pham_in;

typedef struct cf_pham_out {
    double tfm_c, dh1, dh2, dt1, dt2, bi, hours;
} cf_pham_out;

static inline cf_pham_out cf_pham(const cf_pham_in *x)
{
    cf_pham_out y;
    y.tfm_c = 1.8 + 0.263 * x->centre_c + 0.105 * x->medium_c;
    y.dh1 = x->thawed_j_m3k * (x->start_c - y.tfm_c);
    y.dh2 = x->latent_j_m3 + x->frozen_j_m3k * (y.tfm_c - x->centre_c);
    y.dt1 = 0.5 * (x->start_c + y.tfm_c) - x->medium_c;
    y.dt2 = y.tfm_c - x->medium_c;
    y.bi = x->h_w_m2k * x->half_m / x->frozen_w_mk;
    y.hours = x->half_m / (x->shape * x->h_w_m2k) * (y.dh1 / y.dt1 + y.dh2 / y.dt2) *
              (1.0 + 0.5 * y.bi) / 3600.0;
    return y;
}

/* ---- transient conduction in bodies: Carslaw & Jaeger 1959 s.3.11, s.7.7, s.9.4 -------------- */

typedef struct cf_eigen {
    int shape;
    double bi;
} cf_eigen;

static inline double cf_eigen_balance(double x, const void *with)
{
    const cf_eigen *e = with;
    return e->shape == 1   ? x * sin(x) - e->bi * cos(x)
           : e->shape == 2 ? x * j1(x) - e->bi * j0(x)
                           : (1.0 - e->bi) * sin(x) - x * cos(x);
}

/* The n-th eigenvalue, n from 1. */
static inline double cf_eigenvalue(int shape, double bi, int n)
{
    const double step = 0.02;
    cf_eigen e = {shape, bi};
    for (double x = 0.01;; x += step) {
        double a = cf_eigen_balance(x, &e), b = cf_eigen_balance(x + step, &e);
        if ((a < 0.0) != (b < 0.0) && --n == 0) {
            return cf_root(cf_eigen_balance, &e, x, x + step);
        }
    }
}

static inline double cf_coefficient(int shape, double z)
{
    return shape == 1   ? 4.0 * sin(z) / (2.0 * z + sin(2.0 * z))
           : shape == 2 ? 2.0 * j1(z) / (z * (j0(z) * j0(z) + j1(z) * j1(z)))
                        : 4.0 * (sin(z) - z * cos(z)) / (2.0 * z - sin(2.0 * z));
}

typedef struct cf_theta {
    double centre, surface, mean;
} cf_theta;

/* theta = (T - Tair) / (Tstart - Tair) at Fo = a t / R^2 (not under 0.05). */
static inline cf_theta cf_series(int shape, double bi, double fo)
{
    cf_theta theta = {0.0, 0.0, 0.0};
    for (int n = 1; n <= 12; n++) {
        double z = cf_eigenvalue(shape, bi, n);
        double part = cf_coefficient(shape, z) * exp(-z * z * fo);
        theta.centre += part;
        theta.surface += part * (shape == 1   ? cos(z)
                                 : shape == 2 ? j0(z)
                                              : sin(z) / z);
        theta.mean += part * (shape == 1   ? sin(z) / z
                              : shape == 2 ? 2.0 * j1(z) / z
                                           : 3.0 * (sin(z) - z * cos(z)) / (z * z * z));
    }
    return theta;
}

/* ---- half-space: Carslaw & Jaeger 1959 s.2.4, s.2.7, s.2.6 ----------------------------------- */

/* (T - Tsurface) / (Tstart - Tsurface) after a step of the surface. */
static inline double cf_step(double a_m2_s, double x_m, double t_s)
{
    return erf(x_m / (2.0 * sqrt(a_m2_s * t_s)));
}

/* (T - Tstart) / (Tair - Tstart) behind a film. */
static inline double cf_film(double a_m2_s, double k_w_mk, double h_w_m2k, double x_m, double t_s)
{
    double s = x_m / (2.0 * sqrt(a_m2_s * t_s)), g = h_w_m2k / k_w_mk * sqrt(a_m2_s * t_s);
    return erfc(s) - exp(h_w_m2k * x_m / k_w_mk + g * g) * erfc(s + g);
}

/* T = mean + amplitude exp(-x/d) cos(w t - x/d): the depth d. */
static inline double cf_damping_m(double a_m2_s, double period_s)
{
    return sqrt(a_m2_s * period_s / M_PI);
}

/* ---- water in a pipe: ISO 12241 form (from memory) ------------------------------------------- */

typedef struct cf_pipe {
    double bore_m, outside_m, wall_kg_m3, wall_j_kgk;
    double insulation_m, insulation_w_mk, h_w_m2k;
    double water_kg_m3, water_j_kgk, ice_kg_m3, latent_j_kg;
    double start_c, air_c, freezing_c, ice_share;
} cf_pipe;

/* Resistance of insulation and film per metre of pipe, mK/W; wall and inner film left out. */
static inline double cf_pipe_mk_w(const cf_pipe *p)
{
    double over = p->outside_m + 2.0 * p->insulation_m;
    double film = isinf(p->h_w_m2k) ? 0.0 : 1.0 / (p->h_w_m2k * M_PI * over);
    return log(over / p->outside_m) / (2.0 * M_PI * p->insulation_w_mk) + film;
}

/* Heat capacity of water and wall per metre, J/mK. */
static inline double cf_pipe_j_mk(const cf_pipe *p)
{
    double bore = p->bore_m * p->bore_m;
    return 0.25 * M_PI *
           (bore * p->water_kg_m3 * p->water_j_kgk +
            (p->outside_m * p->outside_m - bore) * p->wall_kg_m3 * p->wall_j_kgk);
}

static inline double cf_pipe_loss_w_m(const cf_pipe *p)
{
    return (p->start_c - p->air_c) / cf_pipe_mk_w(p);
}

static inline double cf_pipe_cooling_h(const cf_pipe *p)
{
    return cf_pipe_j_mk(p) * cf_pipe_mk_w(p) *
           log((p->start_c - p->air_c) / (p->freezing_c - p->air_c)) / 3600.0;
}

static inline double cf_pipe_freezing_h(const cf_pipe *p)
{
    double latent_j_m = 0.25 * M_PI * p->bore_m * p->bore_m * p->ice_kg_m3 * p->latent_j_kg;
    return p->ice_share * latent_j_m * cf_pipe_mk_w(p) / (p->freezing_c - p->air_c) / 3600.0;
}

#endif
