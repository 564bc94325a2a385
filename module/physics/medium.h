/* SPDX-License-Identifier: MIT */
/*
 * What the solver must know about one medium: a growing mix, a soil, a trunk, water.
 *
 * Liquid share = 1 at and above freezing_c, (T/freezing_c)^-curve_exponent below; ice share F is
 * the rest. k = thawed + (frozen - thawed) F and likewise for the heat capacity, so the frozen
 * values are those of F = 1.
 */
#ifndef OVERWINTER_PHYSICS_MEDIUM_H
#define OVERWINTER_PHYSICS_MEDIUM_H

typedef struct ow_medium {
    double thawed_w_mk;    /* conductivity with all water liquid, W/mK */
    double frozen_w_mk;    /* conductivity with all water ice, W/mK; not below thawed_w_mk */
    double thawed_j_m3k;   /* heat capacity with all water liquid, J/m3K */
    double frozen_j_m3k;   /* heat capacity with all water ice, J/m3K */
    double latent_j_m3;    /* latent heat of all its water, J per m3 of medium */
    double freezing_c;     /* where the first ice forms, C, below 0 */
    double curve_exponent; /* exponent of the freezing curve, above 0 */
} ow_medium;

#endif
