/* SPDX-License-Identifier: MIT */
/*
 * Covers: what a kind resists dry and wet, what it shuts out, when rain has wetted it and wind
 * has blown it off, and what a set of them does together on one face of a body. Snow, loose mulch
 * and grass too, as resistances by depth. docs/materials.md lists the sources.
 */
#ifndef OVERWINTER_PHYSICS_COVERS_H
#define OVERWINTER_PHYSICS_COVERS_H

#include <stdbool.h>
#include <stddef.h>

#include "physics/range.h"
#include "status.h"

#define OW_COVER_LIST(X)                                                                           \
    X(OW_COVER_FLEECE, "fleece")                                                                   \
    X(OW_COVER_THICK_FLEECE, "thick fleece")                                                       \
    X(OW_COVER_BUBBLE_FILM, "bubble film")                                                         \
    X(OW_COVER_STRAW, "straw")                                                                     \
    X(OW_COVER_MULCH, "mulch")                                                                     \
    X(OW_COVER_BOARD, "board")

typedef enum ow_cover_kind {
#define OW_COVER_ENUM(id, word) id,
    OW_COVER_LIST(OW_COVER_ENUM)
#undef OW_COVER_ENUM
        OW_COVER_COUNT
} ow_cover_kind;

/* Where a cover lies: a set of zones. The words of "on" in the garden file name these sets. */
typedef enum ow_zone {
    OW_ZONE_SIDE = 1,
    OW_ZONE_TOP = 2,
    OW_ZONE_GROWING_POINT = 4,
    OW_ZONE_FOLIAGE = 8
} ow_zone;
#define OW_ZONES_ALL 15u

/* The words "side", "top", "all", "growing point"; *n gets their number when n is not NULL. */
const char *const *ow_cover_on_names(size_t *n);
/* The zones of such a word; OW_NOT_FOUND for any other. */
OW_CHECK ow_status ow_cover_on_by_name(const char *word, unsigned *zones);

/* The cover kinds' words in the order of the enum, and a kind by its word (OW_NOT_FOUND). */
const char *const *ow_cover_kind_names(size_t *n);
OW_CHECK ow_status ow_cover_kind_by_name(const char *word, ow_cover_kind *kind);

/* One kind. The shut_ shares run from 0 (lets all pass) to 1. */
typedef struct ow_cover_spec {
    double thickness_m;   /* as laid, the still air it holds included */
    double dry_w_mk;      /* conductivity of that thickness, dry */
    double wet_w_mk;      /* and rained through */
    unsigned on;          /* zones it covers unless told otherwise */
    double shut_wind;     /* of the wind */
    double shut_sky;      /* of the view of the sky */
    double shut_rain;     /* of the rain */
    double shut_light;    /* of the light (and sun) */
    double wind_limit_ms; /* wind above it counts the cover as blown off; INFINITY: never */
    double foliage_k;     /* kelvins by which it keeps the air among the leaves warmer, dry */
    bool wets;            /* rain soaks it */
    ow_range range;       /* of its resistance, dry or wet */
} ow_cover_spec;

/* The kind's numbers; NULL outside the enum. */
const ow_cover_spec *ow_cover_spec_of(ow_cover_kind kind);

/* How one cover fares. Zeroed = freshly laid and dry. */
typedef struct ow_cover_state {
    unsigned wet_zones; /* zones on which rain has soaked it */
    bool blown_off;     /* stays until a person has laid it again: then zero the state */
    double dry_s;       /* seconds since the last rain on it, counted while wet */
} ow_cover_state;

/* A cover on a plant; sets of them are listed from the inside out. */
typedef struct ow_worn_cover {
    ow_cover_kind kind;
    double r_m2k_w; /* measured, of the face it covers; replaces the table's wet or dry; or NAN */
    unsigned on;    /* zones; 0 = the kind's own */
    double holds_to_ms; /* wind that blows it off, in place of the kind's; 0: the kind's own */
    double extra_r;     /* resists more than the table by this share of it; 0: as the table says */
    ow_cover_state state;
} ow_worn_cover;

/* The zones it lies on: none once it is blown off. Its kind must be within the enum. */
unsigned ow_cover_zones(const ow_worn_cover *cover);

/*
 * Steps the states of the n covers of one plant, whatever their order. Wind above a cover's limit
 * blows it off; rain of 0.1 mm/h and more soaks what soaks, save on zones where a cover that shuts
 * out all rain (a film) lies too; it stays wet until a dry day (24 h without such rain) has passed.
 * rain_mm_h and wind_ms are those where the plant stands; NAN counts as none. A cover blown off is
 * left as it is. Kinds must be within their enum.
 */
void ow_covers_step(ow_worn_cover *covers, size_t n, double rain_mm_h, double wind_ms, double dt_s);

/* What a set of covers does to one zone. Shares as in ow_cover_spec. */
typedef struct ow_zone_cover {
    double r_m2k_w;        /* of all layers, referred to the face's area */
    double outer_radius_m; /* outside of the outermost layer; 0 for a flat face */
    double shut_wind, shut_sky, shut_rain, shut_light;
    double foliage_k; /* the largest credit of its covers, K; wet ones give none */
} ow_zone_cover;

/*
 * Sums n covers on a zone. For a round face give face_radius_m (the medium's edge, to which
 * resistance is referred) and start_radius_m (outside of the pot wall, where the first cover
 * lies); for a flat one both 0. Covers not on the zone or blown off count nothing. A round layer
 * resists face ln(r2/r1)/k (Incropera and DeWitt, section 3.3). Kinds must be within their enum.
 */
void ow_covers_on_zone(const ow_worn_cover *covers, size_t n, ow_zone zone, double face_radius_m,
                       double start_radius_m, ow_zone_cover *out);

/* ---- snow and loose mulch -------------------------------------------------------------------- */

/* Conductivity of snow, W/mK, by density in kg/m3: both fits of Sturm et al. 1997. */
double ow_snow_w_mk(double density_kg_m3);     /* linear below 156 kg/m3, quadratic above */
double ow_snow_log_w_mk(double density_kg_m3); /* logarithmic */

/* How far the conductivity of snow of one density scatters in nature (Sturm et al. 1997, from
 * memory: about half as much again either way). */
#define OW_SNOW_RANGE ((ow_range){0.67, 1.5})

/* Density of settled snow by age: 100 kg/m3 fresh, towards 300, a hundredth of the rest an hour. */
double ow_snow_kg_m3(double age_days);

/* Age of the pack after a step: new snow counts as age 0 by its depth; no snow is age 0. */
double ow_snow_age_days(double age_days, double depth_before_m, double depth_m, double dt_s);

/* Resistance of a depth of snow of that age, m2K/W. */
double ow_snow_r_m2k_w(double depth_m, double age_days);

/* Resistance of loose mulch, m2K/W. */
double ow_mulch_r_m2k_w(double depth_m, bool wet);

/*
 * Short grass from its own surface, where sun, sky and vapour are dealt with, down to the soil:
 * the skin conductance of land surface schemes, 6 W/m2K (Steeneveld et al. 2006, measured at
 * Cabauw); 3 (Duynkerke 1999) to 10 (documentation of ECMWF's forecasts) are in use. From memory.
 */
#define OW_GRASS_R_M2K_W 0.17
#define OW_GRASS_RANGE ((ow_range){0.6, 2.0})

#endif
