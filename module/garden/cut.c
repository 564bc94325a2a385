/* SPDX-License-Identifier: MIT */
#include "garden/cut.h"

#include <math.h>

#include "physics/ow_math.h"

bool ow_cut_of(const ow_cast *cast, int actor, bool trunk, ow_cut *cut)
{
    const ow_actor *a = &cast->actor[actor];
    ow_lane at = trunk ? a->trunk : a->root;
    int grid = trunk ? OW_BODY_TRUNK : ow_root_grid(&cast->garden->plants[a->plant]);
    if (at.block < 0) {
        return false;
    }
    const ow_block *b = &cast->block[grid][at.block];
    int l = at.lane;
    cut->nr = b->grid.nr;
    cut->nz = b->grid.nz;
    double area_m2 = 0.0;
    cut->r_m[0] = cut->z_m[0] = 0.0;
    for (int i = 0; i < cut->nr; i++) {
        area_m2 += (double)b->r.capacity[i][l];
        cut->r_m[i + 1] = sqrt(area_m2 / OW_PI);
    }
    for (int i = 0; i < cut->nz; i++) {
        cut->z_m[i + 1] = cut->z_m[i] + (double)b->z.capacity[i][l];
    }
    for (int i = 0; i < cut->nr * cut->nz; i++) {
        double h = ow_block_h(b, l, i);
        cut->t_c[i] = ow_law_t(&b->law[l], h);
        cut->ice[i] = ow_law_relative_ice(&b->law[l], h);
    }
    return true;
}
