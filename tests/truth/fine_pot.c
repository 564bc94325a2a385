/* SPDX-License-Identifier: MIT */
#include "truth/fine_pot.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>

enum { MOST_CELLS = 4096, MOST_FACES = 130 };
#define PI 3.14159265358979323846

typedef struct fine {
    const truth_pot *pot;
    int nr, nz;
    double r[MOST_FACES], z[MOST_FACES]; /* faces */
    double t[MOST_CELLS];                /* last temperatures: where the next search begins */
    double u[MOST_CELLS], slope[MOST_CELLS];
} fine;

/* ---- the medium, straight from its equations ------------------------------------------------- */

static double share_of_ice(const ow_medium *m, double t)
{
    return t >= m->freezing_c ? 0.0 : 1.0 - pow(t / m->freezing_c, -m->curve_exponent);
}

/* Integral of the ice share from the freezing point down to t. */
static double ice_integral(const ow_medium *m, double t)
{
    if (t >= m->freezing_c) {
        return 0.0;
    }
    double x = t / m->freezing_c, b = m->curve_exponent;
    double liquid = fabs(b - 1.0) < 1e-12 ? log(x) : (pow(x, 1.0 - b) - 1.0) / (1.0 - b);
    return t - m->freezing_c - m->freezing_c * liquid;
}

static double heat_of(const ow_medium *m, double t)
{
    return m->thawed_j_m3k * t + (m->frozen_j_m3k - m->thawed_j_m3k) * ice_integral(m, t) -
           m->latent_j_m3 * share_of_ice(m, t);
}

static double heat_slope(const ow_medium *m, double t)
{
    double ice = share_of_ice(m, t);
    double c = m->thawed_j_m3k + (m->frozen_j_m3k - m->thawed_j_m3k) * ice;
    if (t >= m->freezing_c) {
        return c;
    }
    return c - m->latent_j_m3 * m->curve_exponent * (1.0 - ice) / t;
}

static double potential_of(const ow_medium *m, double t)
{
    return m->thawed_w_mk * t + (m->frozen_w_mk - m->thawed_w_mk) * ice_integral(m, t);
}

static double conductivity(const ow_medium *m, double t)
{
    return m->thawed_w_mk + (m->frozen_w_mk - m->thawed_w_mk) * share_of_ice(m, t);
}

/* Root in t of heat_of = h: Newton held in a bracket. */
static double temperature_of(const ow_medium *m, double h, double guess)
{
    if (h >= m->thawed_j_m3k * m->freezing_c) {
        return h / m->thawed_j_m3k;
    }
    double low = -200.0, high = m->freezing_c;
    double t = fmin(guess, high);
    for (int i = 0; i < 100; i++) {
        double off = heat_of(m, t) - h;
        if (off > 0.0) {
            high = t;
        } else {
            low = t;
        }
        double next = t - off / heat_slope(m, t);
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        if (fabs(next - t) < 1e-13 * fabs(t)) {
            return next;
        }
        t = next;
    }
    return t;
}

/*
 * Heat into a cell of temperature t through a face, W/m2: h (te - Ts) = g (u(Ts) - u(t)) with the
 * face's temperature Ts as unknown. *by_u its derivative by the cell's potential.
 */
static double surface_flux(const ow_medium *m, double te, double h, double g, double t, double u,
                           double *by_u)
{
    double low = fmin(te, t), high = fmax(te, t), ts = t;
    *by_u = 0.0;
    if (h <= 0.0) {
        return 0.0;
    }
    for (int i = 0; i < 200 && high - low > 1e-12; i++) {
        double off = h * (te - ts) - g * (potential_of(m, ts) - u);
        if (off > 0.0) {
            low = ts;
        } else {
            high = ts;
        }
        double next = ts + off / (h + g * conductivity(m, ts));
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        if (fabs(next - ts) < 1e-12) {
            ts = next;
            break;
        }
        ts = next;
    }
    *by_u = -h * g / (h + g * conductivity(m, ts));
    return h * (te - ts);
}

/* ---- fluxes ---------------------------------------------------------------------------------- */

static double mid(const double *face, int i)
{
    return 0.5 * (face[i] + face[i + 1]);
}

static double ring_m2(const fine *f, int i)
{
    return PI * (f->r[i + 1] * f->r[i + 1] - f->r[i] * f->r[i]);
}

static double volume_m3(const fine *f, int iz, int ir)
{
    return ring_m2(f, ir) * (f->z[iz + 1] - f->z[iz]);
}

/* Conductance per unit of k between rings i and i+1 of row iz, and between rows. */
static double between_rings(const fine *f, int iz, int i)
{
    return 2.0 * PI * (f->z[iz + 1] - f->z[iz]) / log(mid(f->r, i + 1) / mid(f->r, i));
}

static double between_rows(const fine *f, int iz, int ir)
{
    return ring_m2(f, ir) / (mid(f->z, iz + 1) - mid(f->z, iz));
}

typedef struct edge {
    double area_m2, g, te, h;
} edge;

/* The outer faces of a cell: mantle, top, base. */
static int edges_of(const fine *f, int iz, int ir, double air, edge out[3])
{
    const truth_pot *p = f->pot;
    double thick = f->z[iz + 1] - f->z[iz], radius = f->r[f->nr];
    int n = 0;
    if (ir == f->nr - 1) {
        double g = 1.0 / (radius * log(radius / mid(f->r, ir)));
        out[n++] = (edge){2.0 * PI * radius * thick, g, air, p->side_h};
    }
    if (iz == 0) {
        out[n++] = (edge){ring_m2(f, ir), 2.0 / thick, air, p->top_h};
    }
    if (iz == f->nz - 1) {
        double te = isnan(p->base_c) ? air : p->base_c;
        out[n++] = (edge){ring_m2(f, ir), 2.0 / thick, te, p->base_h};
    }
    return n;
}

static void look_up(fine *f, const double *h)
{
    const ow_medium *m = &f->pot->medium;
    for (int c = 0; c < f->nr * f->nz; c++) {
        f->t[c] = temperature_of(m, h[c], f->t[c]);
        f->u[c] = potential_of(m, f->t[c]);
        f->slope[c] = conductivity(m, f->t[c]) / heat_slope(m, f->t[c]);
    }
}

static double edge_heat(const fine *f, int iz, int ir, double air, double *by_u)
{
    edge e[3];
    int c = iz * f->nr + ir, n = edges_of(f, iz, ir, air, e);
    double sum = 0.0;
    *by_u = 0.0;
    for (int k = 0; k < n; k++) {
        double slope;
        sum += e[k].area_m2 * surface_flux(&f->pot->medium, e[k].te, e[k].h, e[k].g, f->t[c],
                                           f->u[c], &slope);
        *by_u += e[k].area_m2 * slope;
    }
    return sum;
}

static int rates(realtype time, N_Vector state, N_Vector rate, void *with)
{
    fine *f = with;
    const double *h = N_VGetArrayPointer(state);
    double *dh = N_VGetArrayPointer(rate), unused;
    double air = truth_air_c(f->pot, time / 3600.0);
    look_up(f, h);
    for (int iz = 0; iz < f->nz; iz++) {
        for (int ir = 0; ir < f->nr; ir++) {
            int c = iz * f->nr + ir;
            double q = edge_heat(f, iz, ir, air, &unused);
            q += ir > 0 ? between_rings(f, iz, ir - 1) * (f->u[c - 1] - f->u[c]) : 0.0;
            q += ir + 1 < f->nr ? between_rings(f, iz, ir) * (f->u[c + 1] - f->u[c]) : 0.0;
            q += iz > 0 ? between_rows(f, iz - 1, ir) * (f->u[c - f->nr] - f->u[c]) : 0.0;
            q += iz + 1 < f->nz ? between_rows(f, iz, ir) * (f->u[c + f->nr] - f->u[c]) : 0.0;
            dh[c] = q / volume_m3(f, iz, ir);
        }
    }
    return 0;
}

static int jacobian(realtype time, N_Vector state, N_Vector rate, SUNMatrix j, void *with,
                    N_Vector a, N_Vector b, N_Vector d)
{
    fine *f = with;
    double air = truth_air_c(f->pot, time / 3600.0);
    (void)rate, (void)a, (void)b, (void)d;
    look_up(f, N_VGetArrayPointer(state));
    for (int iz = 0; iz < f->nz; iz++) {
        for (int ir = 0; ir < f->nr; ir++) {
            int c = iz * f->nr + ir;
            double v = volume_m3(f, iz, ir), own;
            (void)edge_heat(f, iz, ir, air, &own);
            const double g[4] = {ir > 0 ? between_rings(f, iz, ir - 1) : 0.0,
                                 ir + 1 < f->nr ? between_rings(f, iz, ir) : 0.0,
                                 iz > 0 ? between_rows(f, iz - 1, ir) : 0.0,
                                 iz + 1 < f->nz ? between_rows(f, iz, ir) : 0.0};
            const int to[4] = {c - 1, c + 1, c - f->nr, c + f->nr};
            for (int k = 0; k < 4; k++) {
                own -= g[k];
                if (g[k] > 0.0) {
                    SM_ELEMENT_B(j, c, to[k]) = g[k] * f->slope[to[k]] / v;
                }
            }
            SM_ELEMENT_B(j, c, c) = own * f->slope[c] / v;
        }
    }
    return 0;
}

/* ---- a run ----------------------------------------------------------------------------------- */

/* Geometric cells, growing away from `fine_start`, `fine_end` or both. */
static void spread(double length, int n, double growth, bool fine_start, bool fine_end,
                   double *face)
{
    double size[MOST_FACES], sum = 0.0;
    for (int i = 0; i < n; i++) {
        int from_start = i, from_end = n - 1 - i;
        int away = fine_start && fine_end ? (from_start < from_end ? from_start : from_end)
                   : fine_start           ? from_start
                                          : from_end;
        size[i] = pow(growth, away);
        sum += size[i];
    }
    face[0] = 0.0;
    for (int i = 0; i < n; i++) {
        face[i + 1] = face[i] + size[i] * length / sum;
    }
}

static void lay_grid(fine *f, double size)
{
    const truth_pot *p = f->pot;
    f->nr = (int)lround((p->kind == TRUTH_LONG ? 100 : p->kind == TRUTH_TRUNK ? 16 : 24) * size);
    f->nz = p->kind == TRUTH_LONG ? 1 : (int)lround((p->kind == TRUTH_TRUNK ? 40 : 24) * size);
    spread(p->radius_m, f->nr, 1.0 + 0.07 / size, false, true, f->r);
    spread(p->depth_m, f->nz, 1.0 + (p->kind == TRUTH_TRUNK ? 0.06 : 0.07) / size, true,
           p->kind == TRUTH_POT, f->z);
}

typedef struct reading {
    truth_hour means;
    double ice;
} reading;

static double on_axis_c(const fine *f, double depth)
{
    int i = 0;
    while (i + 2 < f->nz && mid(f->z, i + 1) < depth) {
        i++;
    }
    if (f->nz == 1) {
        return f->t[0];
    }
    double part = (depth - mid(f->z, i)) / (mid(f->z, i + 1) - mid(f->z, i));
    part = fmin(fmax(part, 0.0), 1.0);
    return f->t[i * f->nr] + part * (f->t[(i + 1) * f->nr] - f->t[i * f->nr]);
}

static reading read_off(fine *f, const double *h)
{
    reading x = {{0.0, 0.0, 0.0}, 0.0};
    double sum = 0.0;
    look_up(f, h);
    for (int iz = 0; iz < f->nz; iz++) {
        for (int ir = 0; ir < f->nr; ir++) {
            int c = iz * f->nr + ir;
            double v = volume_m3(f, iz, ir);
            x.means.mean_h_j_m3 += v * h[c];
            x.means.mean_c += v * f->t[c];
            x.ice += v * share_of_ice(&f->pot->medium, f->t[c]);
            sum += v;
        }
    }
    x.means.mean_h_j_m3 /= sum;
    x.means.mean_c /= sum;
    x.means.axis_c = on_axis_c(f, f->pot->axis_m);
    x.ice /= sum;
    return x;
}

/* SUNDIALS says what went wrong by itself. */
static void need(int ok)
{
    if (!ok) {
        fprintf(stderr, "the integrator failed\n");
        exit(1);
    }
}

static void crossing(double *hour, double mark, double before, double now, double at_h,
                     int samples)
{
    if (isnan(*hour) && (before < mark) != (now < mark)) {
        *hour = at_h - (now - mark) / (now - before) / samples;
    }
}

truth_answer fine_pot_solve(const truth_pot *p, const fine_settings *how, long *steps)
{
    int samples = how->samples_an_hour;
    fine *f = calloc(1, sizeof *f);
    truth_answer out = {.name = p->name, .half_frozen_h = NAN, .thaw_1_h = NAN};
    SUNContext context;
    need(f != NULL && SUNContext_Create(NULL, &context) == 0);
    f->pot = p;
    lay_grid(f, how->size);
    int cells = f->nr * f->nz;
    N_Vector state = N_VNew_Serial(cells, context);
    SUNMatrix matrix = SUNBandMatrix(cells, f->nr, f->nr, context);
    SUNLinearSolver linear = SUNLinSol_Band(state, matrix, context);
    void *cvode = CVodeCreate(CV_BDF, context);
    need(state != NULL && matrix != NULL && linear != NULL && cvode != NULL);
    double *h = N_VGetArrayPointer(state);
    for (int c = 0; c < cells; c++) {
        f->t[c] = p->start_c;
        h[c] = heat_of(&p->medium, p->start_c);
    }
    need(CVodeInit(cvode, rates, 0.0, state) == 0 && CVodeSetUserData(cvode, f) == 0 &&
         CVodeSStolerances(cvode, how->relative, how->of_latent * p->medium.latent_j_m3) == 0 &&
         CVodeSetLinearSolver(cvode, linear, matrix) == 0 &&
         CVodeSetJacFn(cvode, jacobian) == 0 && CVodeSetMaxNumSteps(cvode, 200000) == 0 &&
         CVodeSetMaxStep(cvode, 3600.0) == 0);
    double ice_before = 0.0;
    for (int k = 1; k <= p->hours * samples; k++) {
        realtype reached;
        double hour = (double)k / samples;
        need(CVode(cvode, 3600.0 * hour, state, &reached, CV_NORMAL) >= 0);
        reading x = read_off(f, h);
        crossing(&out.half_frozen_h, 0.5, ice_before, x.ice, hour, samples);
        if (hour > p->thaw_at_h) {
            crossing(&out.thaw_1_h, 0.01, ice_before, x.ice, hour, samples);
        }
        ice_before = x.ice;
        if (k * TRUTH_HOURS % (p->hours * samples) == 0) {
            out.at[k * TRUTH_HOURS / (p->hours * samples) - 1] = x.means;
        }
    }
    need(CVodeGetNumSteps(cvode, steps) == 0);
    CVodeFree(&cvode);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(state);
    SUNContext_Free(&context);
    free(f);
    return out;
}
