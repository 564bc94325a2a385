/* SPDX-License-Identifier: MIT */
/* A body cut through its axis: what a drawing of its inside needs. */
#ifndef OVERWINTER_GARDEN_CUT_H
#define OVERWINTER_GARDEN_CUT_H

#include "garden/cast.h"

enum { OW_CUT_FACES = 33, OW_CUT_CELLS = 128 };

/* Cells [iz * nr + ir] from the axis outwards and from the top down; nr = 1 in a bed. */
typedef struct ow_cut {
    int nr, nz;
    double r_m[OW_CUT_FACES], z_m[OW_CUT_FACES]; /* faces, from 0; r_m[1] means nothing in a bed */
    double t_c[OW_CUT_CELLS];
    double ice[OW_CUT_CELLS]; /* relative ice share, 0..1 */
} ow_cut;

/* The root ball of an actor, or its trunk; false: it has none. */
bool ow_cut_of(const ow_cast *cast, int actor, bool trunk, ow_cut *cut);

#endif
