/* SPDX-License-Identifier: MIT */
/*
 * Over a gap in which nobody minded the garden: from the scene's now to the present with what is
 * known of the weather between.
 */
#ifndef OVERWINTER_GARDEN_BRIDGE_H
#define OVERWINTER_GARDEN_BRIDGE_H

#include "garden/forcing.h"
#include "garden/scene.h"

/* More guessed than this, and no plant out of doors can be vouched for. */
#define OW_GUESSED_MOST_S (6.0 * OW_HOUR_S)

/* A gap longer than this is not stepped over: nothing of the heat in a pot is left by then. */
#define OW_GAP_MOST_S (400 * OW_DAY_S)

/* Where the weather of the gap came from, s; sums over calls. */
typedef struct ow_bridge {
    double measured_s, foreseen_s, guessed_s;
} ow_bridge;

/*
 * Steps the scene on to until_s (rounded down to a whole step). A step goes by measured rows when
 * they lie around it no further apart than OW_BRIDGE_S, or the last one lies no longer before it,
 * else by the forecast's on the same terms, else by a guess: the season's normal of the day, to
 * which the last air before and the first measured air after the gap relax within two days; no
 * sun, wind, rain or snow known. No limit is held to be passed by a guess. Either forcing may be
 * NULL. Called again it goes on, with the same result as in one go, so that long gaps can be taken
 * in slices. Adds to *bridge. OW_BAD_INPUT (nothing changed) when until_s lies before the scene's
 * now or beyond OW_GAP_MOST_S; OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_scene_bridge(ow_scene *scene, const ow_forcing *measured,
                                   const ow_forcing *forecast, ow_utc_s until_s,
                                   ow_bridge *bridge);

#endif
