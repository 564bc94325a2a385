/* SPDX-License-Identifier: MIT */
/*
 * The air of a glasshouse: one lump between the glazing, the air that leaks through, the floor,
 * the bodies in it, the sun and a heater; and the steady heat loss by which heaters are chosen.
 */
#ifndef OVERWINTER_PHYSICS_GLASSHOUSE_H
#define OVERWINTER_PHYSICS_GLASSHOUSE_H

#include <stddef.h>

#include "physics/boundary.h"
#include "physics/range.h"
#include "status.h"

#define OW_GLAZING_LIST(X)                                                                         \
    X(OW_GLAZING_SINGLE_GLASS, "single glass")                                                     \
    X(OW_GLAZING_DOUBLE_GLASS, "double glass")                                                     \
    X(OW_GLAZING_TWIN_WALL_4, "twin-wall 4 mm")                                                    \
    X(OW_GLAZING_TWIN_WALL_6, "twin-wall 6 mm")                                                    \
    X(OW_GLAZING_TWIN_WALL_10, "twin-wall 10 mm")                                                  \
    X(OW_GLAZING_TRIPLE_WALL_16, "triple-wall 16 mm")                                              \
    X(OW_GLAZING_FILM, "film")                                                                     \
    X(OW_GLAZING_DOUBLE_FILM, "double film")                                                       \
    X(OW_GLAZING_GLASS_AND_BUBBLE, "glass and bubble film")

typedef enum ow_glazing_kind {
#define OW_GLAZING_ENUM(id, word) id,
    OW_GLAZING_LIST(OW_GLAZING_ENUM)
#undef OW_GLAZING_ENUM
        OW_GLAZING_COUNT
} ow_glazing_kind;

/* The words in the order of the enum, and a kind by its word (OW_NOT_FOUND). */
const char *const *ow_glazing_names(size_t *n);
OW_CHECK ow_status ow_glazing_kind_by_name(const char *word, ow_glazing_kind *kind);

typedef struct ow_glazing {
    double u_w_m2k;   /* with ordinary inside and outside films (0.13 and 0.04 m2K/W) */
    double sun_share; /* of the sun on the level outside that reaches the inside, 0..1 */
    double sky_share; /* of the sky's long-wave that passes straight through, 0..1 */
    ow_range range;   /* of u_w_m2k */
} ow_glazing;

/* The kind's numbers; NULL outside the enum. */
const ow_glazing *ow_glazing_of(ow_glazing_kind kind);

/* ---- steady loss ----------------------------------------------------------------------------- */

/* One part of the shell. */
typedef struct ow_shell_part {
    double u_w_m2k;
    double area_m2;
} ow_shell_part;

double ow_shell_w_k(const ow_shell_part *parts, size_t n);            /* sum of U A, W/K */
double ow_air_change_w_k(double volume_m3, double air_changes_per_h); /* 0.335 n V, W/K */

/* Heat or fuel energy used, kWh: watts x hours / efficiency. */
double ow_energy_kwh(double watts, double hours, double efficiency);

/* Mean height taken where a garden gives floor area only, m (common practice, no source). */
#define OW_GLASSHOUSE_HEIGHT_M 2.2

/* U of a glazing, W/m2K, under another outside film (nominal 25 W/m2K taken out, film put in). */
double ow_glazing_u_w_m2k(const ow_glazing *glazing, double outside_film_w_m2k);

/* ---- one step of the air --------------------------------------------------------------------- */

typedef struct ow_glasshouse_in {
    const ow_glazing *glazing;
    double extra_u;           /* the glazing's U over the table's by this share of it; usually 0 */
    double glazing_m2;        /* area of glazing */
    double floor_m2;          /* area of floor */
    double volume_m3;         /* NAN: floor_m2 x OW_GLASSHOUSE_HEIGHT_M */
    double air_changes_per_h; /* at the outside's wind */
    ow_boundary outside;      /* of the glazing's outer face: te_c with its sky, film h_w_m2k */
    double outside_c;         /* air that leaks in, C */
    double sky_c;             /* radiant temperature of the sky, C (only for film); NAN: outside */
    double sun_wm2;           /* global sun on the level outside */
    double floor_c;           /* temperature of the floor's topmost cell or surface */
    double floor_w_m2k;       /* conductance from it to the air */
    double bodies_w_k;        /* sum of h A of the pots and trunks inside */
    double bodies_w;          /* sum of h A T_c of the same, T_c in C */
    double extra_j_k;         /* heat capacity that follows the air (benches, leaves); 0 allowed */
    double before_c;          /* air at the step's start; only used with heat capacity and dt_s */
    double dt_s;              /* step; 0 = steady state */
    double heater_max_w;      /* 0: no heater */
    double heater_set_c;      /* the heater keeps the air at or above this */
} ow_glasshouse_in;

typedef struct ow_glasshouse_out {
    double air_c;
    double heater_w;        /* given */
    double heater_needed_w; /* to reach the set point, without the limit; 0 when warm enough */
    double shell_w;         /* losses, positive outwards: glazing */
    double air_change_w;    /* leaks */
    double floor_w;         /* into the floor, without the sun that falls on it */
    double bodies_w;        /* into the bodies */
    double sun_air_w;       /* sun turned into warm air */
    double sun_floor_wm2;   /* sun for the floor column and the pots' tops, W/m2 of level surface */
    double glass_c;         /* inner face of the glazing */
    double radiant_c;       /* what the plants see overhead: glass, and sky through thin film */
} ow_glasshouse_out;

/* Share of the sun inside that warms the air by way of leaves and staging (stated, no source). */
#define OW_SUN_TO_AIR 0.3

/*
 * Solves the balance of the air over a step, implicit in time; air and extra_j_k are its only
 * heat. OW_BAD_INPUT when nothing couples the air to anything (no conductance at all) or an input
 * is not finite; out is untouched then.
 */
OW_CHECK ow_status ow_glasshouse_step(const ow_glasshouse_in *in, ow_glasshouse_out *out);

#endif
