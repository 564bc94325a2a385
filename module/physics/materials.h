/* SPDX-License-Identifier: MIT */
/*
 * Named media, moistures, pot walls and what a pot stands on, by the words of the garden file,
 * with the formulas behind the media's table. docs/materials.md lists every number's source.
 */
#ifndef OVERWINTER_PHYSICS_MATERIALS_H
#define OVERWINTER_PHYSICS_MATERIALS_H

#include <stdbool.h>
#include <stddef.h>

#include "physics/medium.h"
#include "physics/range.h"
#include "status.h"

/* ---- words ----------------------------------------------------------------------------------- */

#define OW_MEDIUM_LIST(X)                                                                          \
    X(OW_MEDIUM_PEAT, "peat")                                                                      \
    X(OW_MEDIUM_PEAT_FREE_MIX, "peat-free mix")                                                    \
    X(OW_MEDIUM_BARK_MIX, "bark mix")                                                              \
    X(OW_MEDIUM_COIR_MIX, "coir mix")                                                              \
    X(OW_MEDIUM_LOAM_MIX, "loam mix")                                                              \
    X(OW_MEDIUM_GRIT_MIX, "grit mix")                                                              \
    X(OW_MEDIUM_BOG_MIX, "bog mix")                                                                \
    X(OW_MEDIUM_LOAM, "loam")                                                                      \
    X(OW_MEDIUM_SAND, "sand")                                                                      \
    X(OW_MEDIUM_CLAY, "clay")                                                                      \
    X(OW_MEDIUM_WOODY_TRUNK, "woody trunk")                                                        \
    X(OW_MEDIUM_FIBROUS_TRUNK, "fibrous trunk")                                                    \
    X(OW_MEDIUM_WATER, "water")

#define OW_MOISTURE_LIST(X)                                                                        \
    X(OW_MOISTURE_DRY, "dry")                                                                      \
    X(OW_MOISTURE_MOIST, "moist")                                                                  \
    X(OW_MOISTURE_WET, "wet")                                                                      \
    X(OW_MOISTURE_STANDING, "standing")

#define OW_WALL_LIST(X)                                                                            \
    X(OW_WALL_PLASTIC, "plastic")                                                                  \
    X(OW_WALL_TERRACOTTA, "terracotta")                                                            \
    X(OW_WALL_WOOD, "wood")                                                                        \
    X(OW_WALL_GLAZED, "glazed")                                                                    \
    X(OW_WALL_FABRIC, "fabric")                                                                    \
    X(OW_WALL_METAL, "metal")                                                                      \
    X(OW_WALL_HANGING_BASKET, "hanging basket")

#define OW_BASE_LIST(X)                                                                            \
    X(OW_BASE_SOIL, "soil")                                                                        \
    X(OW_BASE_PAVING, "paving")                                                                    \
    X(OW_BASE_DECK, "deck")                                                                        \
    X(OW_BASE_RAISED, "raised")                                                                    \
    X(OW_BASE_TRAY, "tray of water")                                                               \
    X(OW_BASE_MAT, "mat")

#define OW_PLACE_KIND_LIST(X)                                                                      \
    X(OW_PLACE_OPEN_SKY, "open sky")                                                               \
    X(OW_PLACE_HEDGE, "hedge")                                                                     \
    X(OW_PLACE_UNDER_EAVES, "under eaves")                                                         \
    X(OW_PLACE_WALL, "wall")                                                                       \
    X(OW_PLACE_GLASSHOUSE, "glasshouse")                                                           \
    X(OW_PLACE_INDOORS, "indoors")

/* One word list becomes an enum (its last member counts) or a list of names. */
#define OW_WORD_ENUM(id, word) id,
#define OW_WORD_NAME(id, word) word,

typedef enum ow_medium_kind { OW_MEDIUM_LIST(OW_WORD_ENUM) OW_MEDIUM_COUNT } ow_medium_kind;
typedef enum ow_moisture { OW_MOISTURE_LIST(OW_WORD_ENUM) OW_MOISTURE_COUNT } ow_moisture;
typedef enum ow_wall_kind { OW_WALL_LIST(OW_WORD_ENUM) OW_WALL_COUNT } ow_wall_kind;
typedef enum ow_base_kind { OW_BASE_LIST(OW_WORD_ENUM) OW_BASE_COUNT } ow_base_kind;
typedef enum ow_place_kind { OW_PLACE_KIND_LIST(OW_WORD_ENUM) OW_PLACE_KIND_COUNT } ow_place_kind;

/*
 * The words of a list, in the order of its enum; *n gets their number when n is not NULL.
 * The lists are constant and last for ever.
 */
const char *const *ow_medium_names(size_t *n);
const char *const *ow_moisture_names(size_t *n);
const char *const *ow_wall_names(size_t *n);
const char *const *ow_base_names(size_t *n);
const char *const *ow_place_kind_names(size_t *n);

/* Finds a word in a list of n words; OW_NOT_FOUND when it is not there. */
OW_CHECK ow_status ow_name_index(const char *const *names, size_t n, const char *word,
                                 size_t *index);

/* A kind by its word; OW_NOT_FOUND for any other word (case counts). */
OW_CHECK ow_status ow_medium_kind_by_name(const char *word, ow_medium_kind *kind);
OW_CHECK ow_status ow_moisture_by_name(const char *word, ow_moisture *moisture);
OW_CHECK ow_status ow_wall_kind_by_name(const char *word, ow_wall_kind *kind);
OW_CHECK ow_status ow_base_kind_by_name(const char *word, ow_base_kind *kind);
OW_CHECK ow_status ow_place_kind_by_name(const char *word, ow_place_kind *kind);

/* ---- media ----------------------------------------------------------------------------------- */

/* How conductivity grows with water (the Kersten number of Johansen 1975). */
typedef enum ow_texture { OW_TEXTURE_FINE, OW_TEXTURE_COARSE, OW_TEXTURE_FIBROUS } ow_texture;

/* What a medium is made of, by volume; what is left over is pores. */
typedef struct ow_composition {
    double mineral;   /* share of mineral grains, 0..1 */
    double organic;   /* share of organic matter, 0..1 */
    double quartz;    /* quartz share of the mineral grains, 0..1 */
    double dry_kg_m3; /* dry bulk density */
    ow_texture texture;
} ow_composition;

/*
 * The solver's numbers of a named medium at a moisture. OW_BAD_INPUT for a kind or moisture
 * outside its enum.
 */
OW_CHECK ow_status ow_medium_of(ow_medium_kind kind, ow_moisture moisture, ow_medium *out);

/* What a medium has over what the tables say of it, as factors. */
typedef struct ow_medium_draw {
    double water, conducts;
    double freezes; /* freezing point below 0 C */
} ow_medium_draw;

/*
 * The same with so many times what the tables say (all 1 is ow_medium_of). Water never fills more
 * than the pores and does not move the freezing curve. The freezing point stays within what growing
 * media were measured at, and the curve bends with it so that the ice at -5 C stays what it is.
 */
OW_CHECK ow_status ow_medium_drawn(ow_medium_kind kind, ow_moisture moisture, ow_medium_draw draw,
                                   ow_medium *out);

/*
 * What a moisture's word leaves open of the water: half the way to the words on either side, from
 * half of the driest up to full pores. OW_BAD_INPUT outside the enums.
 */
OW_CHECK ow_status ow_medium_water_range(ow_medium_kind kind, ow_moisture moisture, ow_range *out);

/* How far the water of a pot may be off its word for one who looks for it: the word is a guess
 * (common practice, no source). */
#define OW_WATER_RANGE ((ow_range){0.61, 1.64})

/* How far conductivities of one composition lie apart. OW_BAD_INPUT outside the enum. */
OW_CHECK ow_status ow_medium_conducts_range(ow_medium_kind kind, ow_range *out);

/* How far freezing points of one medium lie apart. OW_BAD_INPUT outside the enum. */
OW_CHECK ow_status ow_medium_freezes_range(ow_medium_kind kind, ow_range *out);

/* Water by volume (0..1) of a medium at a moisture; NAN outside the enums. */
double ow_medium_water(ow_medium_kind kind, ow_moisture moisture);

/* Density in kg/m3 of a medium at a moisture, water and all (the weight to lift); NAN outside. */
double ow_medium_kg_m3(ow_medium_kind kind, ow_moisture moisture);

/* Composition of a named medium; NULL outside the enum. */
const ow_composition *ow_medium_composition(ow_medium_kind kind);

/* Heat capacity, J/m3K, by summation over volume shares (de Vries 1963). */
double ow_heat_capacity_j_m3k(double mineral, double organic, double liquid, double ice);

/* Latent heat of `water` (volume share) in J per m3 of medium. */
double ow_latent_j_m3(double water);

/*
 * Conductivity, W/mK, at `water` by volume, all of it liquid or (frozen) all of it ice: Johansen
 * 1975; for the fibrous texture with the Kersten form of Cote and Konrad 2005, fitted to frozen
 * and thawed peat of Kujala et al. 2008 and the peat rows of de Vries 1963.
 */
double ow_conductivity_w_mk(const ow_composition *of, double water, bool frozen);

/* Freezing depression, K, of water held at a suction in Pa (Clapeyron). */
double ow_freezing_depression_k(double suction_pa);

/* ---- pot walls and bases --------------------------------------------------------------------- */

/* Resistance of a pot wall through its thickness. */
typedef struct ow_wall {
    double thickness_m;
    double w_mk;
    double r_m2k_w; /* thickness_m / w_mk */
    ow_range range; /* of r_m2k_w */
} ow_wall;

/* Wall of a kind; OW_BAD_INPUT outside the enum. */
OW_CHECK ow_status ow_wall_of(ow_wall_kind kind, ow_wall *out);

/*
 * What lies between a pot's own base and the ground or the air below. To the ground: add
 * ow_spreading_r_m2k_w of the soil. To the air: the caller adds the film (no sky, no sun there).
 */
typedef struct ow_base {
    double r_m2k_w; /* contact and what lies between, m2K/W of the base */
    bool to_air;    /* the other side is air, not ground */
    bool water;     /* a tray of water lies between: see physics/tray.h */
} ow_base;

/* Base of a kind; OW_BAD_INPUT outside the enum. */
OW_CHECK ow_status ow_base_of(ow_base_kind kind, ow_base *out);

/*
 * Resistance of the ground under a disc held at one temperature on a half-space, m2K/W of the
 * disc: pi a / (4 k) for radius a in m, conductivity k in W/mK (Carslaw and Jaeger 1959, 8.2).
 */
double ow_spreading_r_m2k_w(double radius_m, double ground_w_mk);

#endif
