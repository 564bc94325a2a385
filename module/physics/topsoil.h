/* SPDX-License-Identifier: MIT */
/*
 * The top 10 cm of a bed as a store of water that rain fills and the air empties: how freely it
 * gives off vapour. FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), chapter 7.
 */
#ifndef OVERWINTER_PHYSICS_TOPSOIL_H
#define OVERWINTER_PHYSICS_TOPSOIL_H

#include "physics/boundary.h"
#include "physics/materials.h"
#include "physics/sky.h"

typedef struct ow_topsoil {
    ow_texture texture;
    double extra; /* gives off more vapour than the formula by this share of it; usually 0 */
    double depletion_mm; /* what lacks to all that it holds after drainage; 0: just drained */
    /* Heat that vapour takes with the surface at the air's temperature, W/m2, and more for each
     * kelvin above it, W/m2K; set by ow_topsoil_film, both 0 while nothing evaporates. */
    double takes_w_m2, takes_w_m2k;
} ow_topsoil;

/* At the moisture that a garden file names. */
ow_topsoil ow_topsoil_at(ow_texture texture, ow_moisture moisture);

/* Share of a wet surface's vapour that it still gives off, 0..1: FAO-56 eq. 74. */
double ow_topsoil_wetness(const ow_topsoil *topsoil);

/*
 * The film of a bed that dries: evaporation by the psychrometric relation h/gamma (es - e), made
 * linear about the air (Penman 1948), lowers te_c and adds to h. Beside the air's resistance to
 * vapour stands that of the surface, FAO-56's 70 s/m of its reference surface (eq. 5).
 */
ow_boundary ow_topsoil_film(ow_topsoil *topsoil, ow_boundary film, double emissivity,
                            const ow_sky *sky);

/*
 * How far the vapour of a wet surface lies about that of the reference one: its resistance from
 * nought (bare and wet: Allen et al. 1998, chapter 7) to 200 s/m (grass at rest in winter; order of
 * Monteith and Unsworth, from memory) against 70 s/m, in a film of 10 W/m2K.
 */
#define OW_VAPOUR_RANGE ((ow_range){0.6, 1.55})

/* Nothing evaporates: covered, snowed in, under glass. */
void ow_topsoil_close(ow_topsoil *topsoil);

/* After a step in which the surface was at surface_c: rain_mm fell on it (0 or more). */
void ow_topsoil_step(ow_topsoil *topsoil, double surface_c, double air_c, double rain_mm,
                     double dt_s);

#endif
