/* SPDX-License-Identifier: MIT */
/*
 * A tray of water under a pot: one lump of water between the pot's base and the ground. While
 * it freezes it holds the base at 0 C, and it must be melted again before the pot thaws from
 * below.
 */
#ifndef OVERWINTER_PHYSICS_TRAY_H
#define OVERWINTER_PHYSICS_TRAY_H

/* State: heat per area above all-liquid water at 0 C, J/m2. */
typedef struct ow_tray {
    double depth_m; /* depth of water, m, above 0 */
    double j_m2;
} ow_tray;

/* A tray of `depth_m` of water at t_c (liquid at 0 C and above, ice below). */
ow_tray ow_tray_at(double depth_m, double t_c);

/* Its temperature, C. */
double ow_tray_c(const ow_tray *tray);

/* Frozen share of its water, 0..1. */
double ow_tray_ice_share(const ow_tray *tray);

/* Resistance from the pot's base, or from the ground, to the middle of the water, m2K/W. */
double ow_tray_r_m2k_w(const ow_tray *tray);

/*
 * Steps the tray by dt_s with the pot's base at pot_c behind pot_w_m2k and the ground at
 * ground_c behind ground_w_m2k; implicit in time, exact in the phase change. Returns the mean heat
 * flux from the tray into the pot, W/m2.
 */
double ow_tray_step(ow_tray *tray, double pot_c, double pot_w_m2k, double ground_c,
                    double ground_w_m2k, double dt_s);

#endif
