/* SPDX-License-Identifier: MIT */
/*
 * One face of a body towards the world: an equivalent temperature behind a conductance.
 * Everything outside the medium is in it: pot wall, covers, surface film, sky and sun
 * (radiation enters as an equivalent temperature, Te = Ta + q/h).
 */
#ifndef OVERWINTER_PHYSICS_BOUNDARY_H
#define OVERWINTER_PHYSICS_BOUNDARY_H

typedef struct ow_boundary {
    double te_c;    /* equivalent temperature of what lies outside, C */
    double h_w_m2k; /* conductance from the medium's face to te_c, W/m2K of the face; 0 insulates */
} ow_boundary;

#endif
