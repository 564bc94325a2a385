/* SPDX-License-Identifier: MIT */
/*
 * A cast of actors: plants as bodies in solver blocks, each with where it stands and what it
 * wears. The living garden is one cast with an actor a plant; a question "what if" is another, up
 * to sixteen actors of one plant dressed or placed differently, lane beside lane.
 */
#ifndef OVERWINTER_GARDEN_CAST_H
#define OVERWINTER_GARDEN_CAST_H

#include "garden/condition.h"
#include "garden/exposure.h"
#include "garden/garden.h"
#include "garden/spot.h"
#include "physics/solver.h"

/* Small dry pots are stepped in parts (see ow_step_parts), so they have blocks of their own. */
enum { OW_BODY_POT, OW_BODY_SMALL_POT, OW_BODY_BED, OW_BODY_TRUNK, OW_BODY_GRIDS };

typedef struct ow_lane {
    int block; /* -1: no such body */
    int lane;
} ow_lane;

/*
 * What nobody has measured of a plant's surroundings, each as a standard normal deviate from the
 * tables' median; see physics/range.h. What the garden file gives as measured does not move.
 */
typedef enum ow_unknown {
    OW_UNKNOWN_WATER,    /* what the moisture's word leaves open */
    OW_UNKNOWN_CONDUCTS, /* conductivity of the medium */
    OW_UNKNOWN_WALL,
    OW_UNKNOWN_COVER,
    OW_UNKNOWN_FILM,     /* wind about the pot, and how it carries heat */
    OW_UNKNOWN_SNOW,
    OW_UNKNOWN_FREEZES,  /* the medium's freezing curve */
    OW_UNKNOWN_VAPOUR,   /* what a bed's top gives off */
    OW_UNKNOWN_SUN,      /* share of the sun taken in */
    OW_UNKNOWNS
} ow_unknown;

typedef struct ow_actor {
    int plant; /* index in the garden */
    int place; /* index in the garden */
    ow_dress dress;
    ow_tray tray;
    bool has_tray;
    double side_factor; /* of its pot, that a probe has taught; 0: nothing */
    bool watered;       /* its dry pot is moist by now */
    double normal[OW_UNKNOWNS]; /* its unknowns, as varied */
    ow_topsoil topsoil; /* of a bed */
    int root_grid; /* ow_root_grid of its plant */
    ow_lane root, trunk;
    ow_sense sense;
    ow_condition condition;
} ow_actor;

typedef struct ow_cast {
    const ow_garden *garden;
    int actors;
    ow_actor *actor;
    int blocks[OW_BODY_GRIDS];
    ow_block *block[OW_BODY_GRIDS];
    void *memory;
    int apart; /* actor i finds its place's spot at [i * apart + place]; 0: all have the same */
} ow_cast;

/* The body grid of a plant's roots: OW_BODY_POT, OW_BODY_SMALL_POT or OW_BODY_BED. */
int ow_root_grid(const ow_plant *plant);

/*
 * Builds a cast of n actors of the given plants (indices may repeat), in their places, wearing
 * what the file says, at start_c[i] (NAN: the file's start_c must be set). Beds take their start
 * from the ground profile: surface value start_c[i] relaxing with depth to the season's normal,
 * unless the file gives start_c. The garden must outlive the cast. OW_NO_MEMORY, OW_BAD_INPUT.
 */
OW_CHECK ow_status ow_cast_new(const ow_garden *garden, const int *plant, int n,
                               const double *start_c, ow_utc_s utc_s, ow_cast **cast);
void ow_cast_free(ow_cast *cast);

/* Copies one actor, bodies and all, onto an actor of the same plant. */
void ow_cast_copy(ow_cast *to, int to_actor, const ow_cast *from, int from_actor);

/* A plant whose unknowns lie off the tables: its surroundings, and the laws of its bodies. */
typedef struct ow_variant {
    ow_departure off;
    ow_law root, trunk; /* trunk: of a plant that has one */
    double normal[OW_UNKNOWNS];
} ow_variant;

/* The plant whose unknowns lie `normal` off. OW_BAD_INPUT: a medium that no law fits. */
OW_CHECK ow_status ow_variant_of(const ow_plant *plant, const double normal[OW_UNKNOWNS],
                                 ow_variant *variant);

/* Makes an actor that stands as the tables say such a one. Its temperatures and ice shares stay. */
void ow_cast_vary(ow_cast *cast, int actor, const ow_variant *variant);

/*
 * Waters a pot whose soil the garden file calls dry: from now on it is a moist one. Temperatures
 * and ice shares stay: what is poured on is about as warm as what it wets. Other plants, measured
 * media and what was watered before stay as they are.
 */
void ow_cast_water(ow_cast *cast, int actor);
/* Whether there is anything to water. */
bool ow_actor_is_dry(const ow_garden *garden, const ow_actor *actor);

/* Sets all boundaries from the spots (one a place of the garden) and steps everything. */
void ow_cast_step(ow_cast *cast, const ow_spot *spots, ow_utc_s start_s, int dt_s);

/* Sets boundaries only, so that exchanges can be read before the first step. */
void ow_cast_face(ow_cast *cast, const ow_spot *spots, ow_utc_s start_s);

/* Sum of conductance (W/K) and conductance x temperature (W) of all bodies at a place to its air. */
void ow_cast_exchange(const ow_cast *cast, int place, double *w_k, double *w);

/*
 * Adds heat (J per m3, see probe.h) to every cell of an actor's root ball,
 * or of its trunk. Where the probe sits: half depth on the axis.
 */
void ow_cast_warm(ow_cast *cast, int actor, bool trunk, double j_m3);
double ow_cast_probe_c(const ow_cast *cast, int actor, bool trunk);
const ow_law *ow_cast_law(const ow_cast *cast, int actor, bool trunk);

/* Temperature on the axis of an actor's root ball, or in its bed, at a depth. */
double ow_cast_axis_c(const ow_cast *cast, int actor, double depth_m);

/* Ground temperature in an actor's bed at a depth; NAN for a pot. */
double ow_cast_bed_c(const ow_cast *cast, int actor, double depth_m);

#endif
