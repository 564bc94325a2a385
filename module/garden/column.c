/* SPDX-License-Identifier: MIT */
#include "garden/column.h"

#include "garden/climate.h"
#include "physics/ow_math.h"

static const double GROWTH = 1.15;

/* How deep the weather of the last weeks has warmed or cooled the ground at the start. */
static const double START_RELAX_M = 0.4;

ow_status ow_column_put(ow_block *block, int lane, const ow_law *law, const ow_site *site,
                        ow_utc_s utc_s, double surface_c, double start_c)
{
    double z[OW_COLUMN_CELLS + 1], profile[OW_COLUMN_CELLS];
    if (block->grid.nz != OW_COLUMN_CELLS) {
        return OW_BAD_INPUT;
    }
    ow_spread_faces(OW_COLUMN_M, OW_COLUMN_CELLS, GROWTH, OW_FINE_START, z);
    double off_k = surface_c - ow_normal_ground_c(site, utc_s, 0.0);
    for (int i = 0; i < OW_COLUMN_CELLS; i++) {
        double mid = 0.5 * (z[i] + z[i + 1]);
        profile[i] = ow_normal_ground_c(site, utc_s, mid) + off_k * ow_exp(-mid / START_RELAX_M);
    }
    ow_body body = {.z_face_m = z, .law = law, .start_c = start_c, .start_profile_c = profile};
    return ow_block_put(block, lane, &body);
}
