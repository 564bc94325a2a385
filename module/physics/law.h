/* SPDX-License-Identifier: MIT */
/*
 * The constitutive law of a medium: temperature, Kirchhoff potential and ice share as functions of
 * enthalpy, each piecewise linear over the same few hinges, so that a solver needs neither pow nor
 * table nor branch per cell.
 *
 * Enthalpy h (J/m3) is zero at 0 C with all water liquid. Potential u (W/m) = integral of k dT
 * from 0 C; a flux is a conductance times a difference of u, exact across a freezing front.
 */
#ifndef OVERWINTER_PHYSICS_LAW_H
#define OVERWINTER_PHYSICS_LAW_H

#include "physics/medium.h"
#include "status.h"

#define OW_HINGES 12

typedef struct ow_law {
    int hinges;                                     /* 1..OW_HINGES, from warm to cold */
    double t_c[OW_HINGES], h_j_m3[OW_HINGES];       /* both fall (t_c may stand still: a front) */
    double u_w_m[OW_HINGES], ice[OW_HINGES];        /* potential; frozen share of the water, 0..1 */
    double warm_j_m3k, warm_w_mk;                   /* heat capacity, conductivity above hinge 0 */
    double cold_j_m3k, cold_w_mk, cold_ice_per_k;   /* below the last hinge (ice share: per K) */
    double least_w_mk, most_w_mk;                   /* bounds of the conductivity */
    double ice_at_minus5;                           /* ice share at -5 C, the reference of judgement */
} ow_law;

/*
 * The law of a medium whose liquid share is (T/Tf)^-b below Tf. `hinges` 4..OW_HINGES of them are
 * spread evenly in sqrt(T/Tf), where a chord errs least in temperature for its number, down to
 * -20 C. Heat capacity and conductivity run linearly in the ice share between their two ends.
 * OW_BAD_INPUT when a value of the medium is not positive, Tf not in -3..-0.001 or b not in 0.2..3.
 */
OW_CHECK ow_status ow_law_of_medium(const ow_medium *medium, int hinges, ow_law *law);

/*
 * A law from nodes of one's own (benchmarks, sharp fronts). Arrays of `hinges` values from warm to
 * cold; the conductivity between two nodes with t_c apart is the mean slope, k_w_mk[i] that of the
 * segment from node i to i+1. OW_BAD_INPUT when enthalpy does not fall or temperature rises.
 */
OW_CHECK ow_status ow_law_of_nodes(int hinges, const double *t_c, const double *h_j_m3,
                                   const double *ice, const double *k_w_mk, double warm_j_m3k,
                                   double warm_w_mk, double cold_j_m3k, double cold_w_mk,
                                   ow_law *law);

/* Enthalpy (J/m3) at a temperature; on a front that of the warm end. */
double ow_law_h(const ow_law *law, double t_c);
/* Temperature (C), potential (W/m) and ice share (0..1) at an enthalpy. */
double ow_law_t(const ow_law *law, double h_j_m3);
double ow_law_u(const ow_law *law, double h_j_m3);
double ow_law_ice(const ow_law *law, double h_j_m3);
/*
 * The enthalpy in law `to` of what is at h_j_m3 in law `from`. Where the curve is the same its
 * temperature and its ice stay; where it is another the ice stays down to -5 C (next to the
 * freezing point ice is known better than the tenths of a kelvin), the temperature below and above.
 */
double ow_law_carried(const ow_law *to, const ow_law *from, double h_j_m3);
/* Ice share relative to that at -5 C, capped at 1: a freezing curve never reaches 1. */
double ow_law_relative_ice(const ow_law *law, double h_j_m3);
/* The same from an ice share. */
double ow_law_relative(const ow_law *law, double ice);

#endif
