/* SPDX-License-Identifier: MIT */
/*
 * From a spot, a plant's own things (pot, wall, bed, trunk) and what it wears to the boundaries of
 * its bodies and the temperature of its leaves.
 */
#ifndef OVERWINTER_GARDEN_EXPOSURE_H
#define OVERWINTER_GARDEN_EXPOSURE_H

#include "garden/garden.h"
#include "garden/spot.h"
#include "physics/boundary.h"
#include "physics/covers.h"
#include "physics/foliage.h"
#include "physics/solver.h"
#include "physics/surface.h"
#include "physics/topsoil.h"
#include "physics/tray.h"

enum { OW_WORN_MAX = 6 };

/*
 * How far the sun's share that soil, pots and bark take in lies about 0.7: from 0.55 (dry sand,
 * light pots) to 0.9 (wet peat, dark plastic); handbook order, from memory.
 */
#define OW_ABSORBS_RANGE ((ow_range){0.78, 1.25})

/*
 * How far all that lies between a body and the weather may be off the tables in a garden, for one who
 * looks for it: films are known to a third and the wind at one pot to a factor of two, which makes
 * a half of a film, and pots shield each other more than anyone writes down; tops have leaves,
 * litter and a rim above them (common practice, no source).
 */
#define OW_SIDE_RANGE ((ow_range){0.52, 1.93})
#define OW_TOP_RANGE ((ow_range){0.44, 2.28})

/*
 * By what share a plant's surroundings differ from the tables: 0 not at all, 0.3 a third more.
 * Zeroed: as the tables say. Numbers that the garden file gives as measured are not touched.
 */
typedef struct ow_departure {
    double wall_r;  /* of the pot's wall */
    double film;    /* of the surface coefficient out of doors or under glass */
    double snow_r;  /* of the snow on it */
    double sun;     /* of the share of the sun that pot, soil and bark take in */
    double vapour;  /* of what a bed's top gives off */
    double mulch_r, grass_r; /* of what lies and grows on a bed */
    double cover_normal; /* where in their ranges the covers' resistances lie, in deviations */
} ow_departure;

/* What covers do to each zone of a plant's bodies, as long as nothing of them changes. */
typedef struct ow_lining {
    bool made;
    size_t n;
    ow_worn_cover of[OW_WORN_MAX];   /* the covers that it was made of */
    ow_zone_cover side, top, leaves; /* of a pot; of a bed top and leaves */
    ow_zone_cover trunk_side, trunk_upper, trunk_top;
} ow_lining;

/* What a plant wears, from the inside out, and how it differs from the tables. */
typedef struct ow_dress {
    size_t n;
    ow_worn_cover cover[OW_WORN_MAX];
    int item[OW_WORN_MAX]; /* index into garden.covers */
    ow_departure off;
    ow_lining lining; /* as ow_dress_fit made it */
} ow_dress;

/* Makes the lining of that plant's dress, where a cover was laid, taken off, wetted or blown off
 * since. What is exposed must have been fitted. */
void ow_dress_fit(ow_dress *dress, const ow_plant *plant);

/* Sets how it differs, of the covers worn and of those put on later. */
void ow_dress_differ(ow_dress *dress, const ow_departure *off);

/* Puts one more cover on, dry and laid; OW_FULL when it wears OW_WORN_MAX. */
OW_CHECK ow_status ow_dress_add(ow_dress *dress, const ow_garden *garden, int cover);
/* Takes one off; OW_NOT_FOUND when it is not worn. */
OW_CHECK ow_status ow_dress_remove(ow_dress *dress, int cover);
bool ow_dress_has(const ow_dress *dress, int cover);
/* Whether the wind has taken a worn cover. */
bool ow_dress_blown(const ow_dress *dress, int cover);
/* A worn cover is laid anew, dry; false when it is not worn. */
bool ow_dress_lay_again(ow_dress *dress, int cover);

/* Radius of the medium in a pot, m: half the outside diameter less the wall. */
double ow_pot_radius_m(const ow_pot *pot);

/*
 * One face of a body: what is outside, and what lies between. Films of ours are worked out with
 * those of other faces.
 */
typedef struct ow_skin {
    int film; /* its number among the films; -1: what is outside is given */
    ow_boundary outside;
    ow_topsoil *topsoil; /* that dries here, under that sky; NULL: none does */
    const ow_sky *sky;
    double round; /* the film's face over the body's */
    bool snowed_in;
    double r_m2k_w; /* of wall, covers, litter and snow */
    double factor;  /* all resists so many times as much as the tables say */
} ow_skin;

/*
 * What bodies are exposed to, up to OW_BODIES_ABREAST of them: start, say of each body (by its
 * number, from 0) how it is exposed, work all out, then ask for its faces. Spots, dresses and
 * topsoils must stay until then.
 */
enum { OW_BODIES_ABREAST = OW_FACES_ALIKE / 2 };
typedef struct ow_exposure {
    ow_faces films;
    ow_skin skin[OW_BODIES_ABREAST][OW_FACES];
    bool one_side[OW_BODIES_ABREAST]; /* lower and upper side are alike */
} ow_exposure;
void ow_exposure_start(ow_exposure *exposure);
void ow_exposure_work_out(ow_exposure *exposure);
void ow_exposure_faces(const ow_exposure *exposure, int body, ow_boundary face[OW_FACES]);

/* A pot; the tray is read only when the pot stands in one. */
void ow_pot_expose(ow_exposure *exposure, int body, const ow_pot *pot, const ow_spot *spot,
                   const ow_dress *dress, const ow_tray *tray);

/* Whether the base of a pot has the air of its place beneath, not ground or water. */
bool ow_pot_base_in_air(const ow_pot *pot);

/* Conductance from a tray's water down to the ground, W/m2K of the pot's base. */
double ow_tray_ground_w_m2k(const ow_pot *pot, const ow_tray *tray);

/* The topsoil of a bed at the moisture that the file names; a measured medium counts as loam. */
ow_topsoil ow_bed_topsoil(const ow_bed *bed);

/* From the grass of a bed down to its soil, m2K/W; 0 without grass. */
double ow_bed_grass_r_m2k_w(const ow_bed *bed, const ow_dress *dress);

/* A bed; deep_c is the ground's temperature at the column's foot. What its topsoil gives off is
 * noted there. */
void ow_bed_expose(ow_exposure *exposure, int body, const ow_bed *bed, const ow_spot *spot,
                   const ow_dress *dress, ow_topsoil *topsoil, double deep_c);

/* A trunk that stands on a root ball at root_c. */
void ow_trunk_expose(ow_exposure *exposure, int body, const ow_trunk *trunk, const ow_spot *spot,
                     const ow_dress *dress, double root_c);

/* Leaves (or buds, by their width) of a plant there, to be settled with those of others. */
typedef struct ow_leaf_exposed {
    int plate;      /* its number among the plates; -1: such a place has no sky of its own */
    double air_c;   /* at the leaves */
    double sun_wm2; /* on them, after shade and covers */
} ow_leaf_exposed;
ow_leaf_exposed ow_leaf_expose(ow_plates *plates, double width_m, const ow_spot *spot,
                               const ow_dress *dress);
double ow_leaf_exposed_c(const ow_leaf_exposed *leaf, const ow_plates *plates);

/* Bare ground as the foot of pots: surface exposure of the open site; no topsoil: paved. */
ow_boundary ow_ground_exposure(const ow_outdoors *out, ow_topsoil *topsoil);

#endif
