/* SPDX-License-Identifier: MIT */
/* The state of one plant of a scene, apart from the scene: for bytes and back. Things of the garden
 * go by their ids. */
#ifndef OVERWINTER_GARDEN_PLANT_STATE_H
#define OVERWINTER_GARDEN_PLANT_STATE_H

#include "garden/body_state.h"
#include "garden/scene.h"

enum { OW_ID_ROOM = 66 }; /* an id has at most 64 characters */

typedef struct ow_worn_state {
    char id[OW_ID_ROOM];
    ow_cover_state state;
} ow_worn_state;

typedef struct ow_plant_state {
    char home[OW_ID_ROOM], place[OW_ID_ROOM]; /* by the garden file then; where it stood */
    int64_t limits;                     /* those that its watches were held against */
    bool has_trunk, has_tray;
    ow_body_state root, trunk;
    ow_tray tray;
    int worn;
    ow_worn_state cover[OW_WORN_MAX];
    ow_sense sense;
    ow_condition condition;
} ow_plant_state;

/* Takes the state of plant i. */
void ow_plant_gather(const ow_scene *scene, int i, ow_plant_state *state);

/* Writes or reads it. */
void ow_plant_pack(ow_pack *pack, ow_plant_state *state);

/* Whether it is of a plant in such a pot, bed or trunk as plant i has now. */
bool ow_plant_fits(const ow_scene *scene, int i, const ow_plant_state *state);

/* Brings plant i, which it fits, to the state; tells `report` what of it no longer applies. */
void ow_plant_put(ow_scene *scene, int i, const ow_plant_state *state, ow_report *report);

#endif
