/* SPDX-License-Identifier: MIT */
/*
 * The garden in time: open ground, glasshouses with their floors and heaters, indoor places, and
 * the cast of plants, all advancing together step by step under one weather.
 */
#ifndef OVERWINTER_GARDEN_SCENE_H
#define OVERWINTER_GARDEN_SCENE_H

#include "garden/bias.h"
#include "garden/cast.h"
#include "garden/garden.h"
#include "garden/spot.h"

/* Of the ground: its lane under slabs, and how many floors under glass it has lanes for. */
enum { OW_PAVED_LANE = OW_LANES - 1, OW_GLASSHOUSES = OW_LANES - 2 };

typedef struct ow_scene {
    const ow_garden *garden;
    ow_cast *cast;           /* actor i is plant i */
    ow_utc_s now_s;
    int step_s;
    ow_outdoors outdoors;    /* of the last step */
    ow_block ground;         /* lane 0: open ground; then floors of glasshouses; last: paved */
    void *ground_memory;
    ow_topsoil topsoil;      /* of the open ground */
    ow_spot *spot;           /* one a place, of the last step */
    ow_glasshouse_out *glass; /* one a place; meaningful for glasshouses */
    double *heater_j;        /* heat given so far, one an output */
    double *heater_w;        /* mean of the last step, one an output */
    double *set_c;           /* one a place: the air that its heaters keep; NAN: as in the garden
                                file */
    double cloud_memory_pct; /* what the last daylight told of the sky; NAN: nothing */
    ow_utc_s cloud_seen_s;
    double guessed_cloud_pct; /* sky to assume when nothing was measured; NAN: memory, else the
                                 default of physics/sky.h */
    bool sky_assumed;        /* in the last step */
    double snow_cm;
    const ow_bias *place_bias; /* one a place: its air less the open site's, as learned; NULL: no */
    double *own_air_k;         /* one a place: the same as measured, for the next step; NAN: not */
} ow_scene;

/*
 * Builds the scene at utc_s with everything out of doors at air_c (a recent mean of the air).
 * The garden must outlive the scene.
 * OW_BAD_INPUT for more glasshouses than lanes of a block less two; OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_scene_new(const ow_garden *garden, ow_utc_s utc_s, int step_s, double air_c,
                                ow_scene **scene);
void ow_scene_free(ow_scene *scene);

/* Makes `to` (built for the same garden) what `from` is, its own guessed sky and what was measured
 * of places for the next step excepted. */
void ow_scene_copy(ow_scene *to, const ow_scene *from);

/* One step of step_s under the mean weather of that step (rain_mm per hour). */
void ow_scene_step(ow_scene *scene, const ow_weather *weather);

/*
 * The same step for another weather, beside the scene: what that weather makes of the air under
 * glass and of a place. The floors, and the heat that plants exchange with the air of their house,
 * are the scene's of its last step. `air` holds a house's air before the step and gets it after,
 * its panes so many deviations off their table's U; mid_s is the step's middle.
 */
void ow_scene_air_beside(const ow_scene *scene, int place, const ow_outdoors *out,
                         double glazing_normal, ow_glasshouse_out *air);
/* The same with the house's heaters keeping set_c. */
void ow_scene_air_kept(const ow_scene *scene, int place, const ow_outdoors *out,
                       double glazing_normal, double set_c, ow_glasshouse_out *air);
void ow_scene_spot(const ow_scene *scene, int place, const ow_outdoors *out,
                   const ow_glasshouse_out *air, double floor_c, ow_utc_s mid_s, ow_spot *spot);
/* Temperature of the ground under the pots of a glasshouse. */
double ow_scene_floor_c(const ow_scene *scene, int place);

/* Masonry out of doors after a step in air at air_c. */
double ow_scene_wall_c(const ow_scene *scene, double before_c, double air_c);

/* The cloud (%) that the scene takes for a sky that the weather does not tell; NAN: the default. */
double ow_scene_cloud_guess_pct(const ow_scene *scene);

/*
 * The steady air of a glasshouse, C, under the weather of the last step if its heaters gave
 * heater_w. NAN where nothing is known of it: another kind of place, or no step yet.
 */
double ow_scene_glass_c(const ow_scene *scene, int place, double heater_w);

/* Plants standing at a place. */
int ow_scene_crowd(const ow_scene *scene, int place);

#endif
