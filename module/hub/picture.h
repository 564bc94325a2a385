/* SPDX-License-Identifier: MIT */
/* What tile and page are drawn from: the engine's state put before module/people/tile.h, and the
 * course of a plant as JSON. */
#ifndef OVERWINTER_HUB_PICTURE_H
#define OVERWINTER_HUB_PICTURE_H

#include <cjson/cJSON.h>

#include "hub/engine.h"

/* The tile as it is now, the caller's to free(). OW_NO_MEMORY. */
OW_CHECK ow_status ow_picture_tile(const ow_engine *engine, char **svg);

/*
 * The week behind (in a live garden) and the hours ahead of a plant:
 *   {"from": TIME, "now": TIME, "step_h": 3, "root": [C], "ice": [0..1],
 *    "parts": {"foliage": {"c": [C], "limit": [C]}}}
 * and, where the hours ahead were run in many members, what so many in a hundred of them stay
 * below, nothing done:
 *   "band_pct": [5, 95], "root_low": [C], "root_high": [C], and of each part "low", "high".
 * Lists are as long as each other, a point every step_h hours from `from` on; null: not known. Of a
 * part the least of the three hours as held against its limit, and the limit that harms it; parts
 * without a limit are left out. The caller deletes it; NULL: no memory, or nothing known yet.
 */
cJSON *ow_picture_course(const ow_engine *engine, int plant);

#endif
