/* SPDX-License-Identifier: MIT */
/* The columns of soil under a garden: beds, the ground that pots stand on, floors under glass. */
#ifndef OVERWINTER_GARDEN_COLUMN_H
#define OVERWINTER_GARDEN_COLUMN_H

#include "garden/garden.h"
#include "physics/calendar.h"
#include "physics/solver.h"

#define OW_COLUMN_M 2.0 /* deep */

/* Its cells grow downwards; docs/verification.md tells what they reach. */
enum { OW_COLUMN_CELLS = 28 };

/*
 * Puts a column of that law into a lane of a block one cell wide and so many deep. It starts at
 * start_c; where that is NAN, at the season's normal of the site with the surface at surface_c, the
 * difference dying away by depth. As ow_block_put: OW_BAD_INPUT.
 */
OW_CHECK ow_status ow_column_put(ow_block *block, int lane, const ow_law *law, const ow_site *site,
                                 ow_utc_s utc_s, double surface_c, double start_c);

#endif
