/* SPDX-License-Identifier: MIT */
/*
 * Outer surfaces: convection, radiation, films in series with covers and walls.
 * Coefficients in W/m2K of the face.
 */
#ifndef OVERWINTER_PHYSICS_SURFACE_H
#define OVERWINTER_PHYSICS_SURFACE_H

#include "physics/boundary.h"
#include "physics/range.h"
#include "physics/sky.h"

/* -- Convection ------------------------------------------------------------------------------ */

typedef struct ow_air_film {
    double viscosity_m2_s; /* kinematic */
    double conductivity_w_mk;
} ow_air_film;

/* Dry air at film_c and pressure_kpa (linear fits to handbook tables, -40 to 40 C). */
ow_air_film ow_air_film_at(double film_c, double pressure_kpa);

/* Mean over a round pot or trunk across the wind, Churchill & Bernstein 1977; 0 in still air only
 * by its conduction limit Nu = 0.3. */
double ow_convection_cylinder(const ow_air_film *air, double diameter_m, double wind_ms);

/* Mean over a flat face of length_m along the wind, the larger of laminar 0.664 Re^1/2 Pr^1/3 and
 * tripped turbulent 0.037 Re^4/5 Pr^1/3 (Incropera & DeWitt ch. 7). */
double ow_convection_flat(const ow_air_film *air, double length_m, double wind_ms);

/* Over short grass: rho c u / 208 at the wind of 2 m (FAO-56 eq. 4 for grass of 12 cm; the air
 * dry, at 5 C). */
double ow_convection_grass(double wind_2m_ms);

/* Forced and natural convection together: (forced^3 + natural^3)^(1/3) (Churchill 1977). */
double ow_convection_mixed(double forced, double natural);

/* Building forms for checks: McAdams 1954 5.7 + 3.8 v; ISO 6946 annex 4 + 4 v. */
double ow_convection_mcadams(double wind_ms);
double ow_convection_iso6946(double wind_ms);

/* Black-body radiative coefficient 4 sigma T^3 (ISO 6946). */
OW_INLINE double ow_radiative_black(double temp_c)
{
    double temp_k = temp_c + OW_KELVIN;
    return 4.0 * OW_STEFAN_BOLTZMANN * temp_k * temp_k * temp_k;
}

/* Outside surface resistance of a building against wind, m2K/W (ISO 6946 annex). */
double ow_outside_resistance_m2k_w(double wind_ms, double emissivity, double temp_c);

/*
 * Still-air limits, W/m2K: natural convection at 2 to 5 K of difference on 0.2 to 0.4 m, from the
 * laminar plate correlations of Incropera & DeWitt ch. 9, held constant so a face needs no
 * iteration.
 */
#define OW_STILL_MANTLE 2.5
#define OW_STILL_LEVEL_UP 3.0
#define OW_STILL_LEVEL_DOWN 1.5

/*
 * Wind at pot height over wind at 10 m on open ground: FAO-56 eq. 47 taken to 0.3 m. A face's
 * wind_share comes on top of it (1 = open ground).
 */
#define OW_WIND_AT_POT 0.42

/*
 * How far surface coefficients lie apart: forms for the same wind differ by a third (McAdams 5.7 +
 * 3.8 v against ISO 6946's 4 + 4 v), Churchill and Bernstein claim a fifth, and a garden's wind is
 * known less well than that (our judgement).
 */
#define OW_FILM_RANGE ((ow_range){0.7, 1.4})

/* -- A face ---------------------------------------------------------------------------------- */

typedef enum ow_face_kind {
    OW_FACE_LEVEL_UP,   /* the top of a pot, a bed, a crown end */
    OW_FACE_GRASS,      /* the same of a bed under short grass, rougher than a plate */
    OW_FACE_LEVEL_DOWN, /* the base of a pot raised on feet: no sky, no sun, half the wind */
    OW_FACE_MANTLE,     /* an upright cylinder: the side of a pot or trunk */
    OW_FACE_WALL        /* an upright plane that faces faces_deg: trough, wall, upright glass */
} ow_face_kind;

/* All fields must be set. */
typedef struct ow_face {
    ow_face_kind kind;
    double diameter_m;     /* of the mantle, or the length of a flat face along the wind */
    double sky_view;       /* 0..1 of the half-sphere above; upright faces see half of it */
    double wind_share;     /* 0..1 of the wind of open ground at pot height */
    double sun_share;      /* 0..1 of the beam that reaches it (shade of eaves, trees) */
    double absorbs;        /* 0..1 of short-wave */
    double emissivity;     /* 0..1 long-wave */
    double surround_c;     /* temperature of the rest of the view (ground, wall); NAN = air */
    double faces_deg;      /* azimuth of a wall behind it or of the plane; NAN = free standing */
    double shielded_share; /* 0..1 of a mantle or wall closed in by neighbours at air temperature:
                              no sky, sun or wind there; ignored on level faces */
    double extra;          /* holds on to the air more strongly than the formulas say by this share
                              of it, so that sky and sun move it less; usually 0 */
} ow_face;

/*
 * The outer film of one face: h = convection + 4 eps sigma Ta^3, te = Ta + q/h with q the
 * absorbed short-wave and the net long-wave of a face at air temperature.
 */
ow_boundary ow_face_film(const ow_face *face, const ow_sky *sky);

/*
 * The same of many faces at once: put each, work them all out, then ask for the film of the number
 * that each got. Room for OW_FACES_ALIKE mantles and as many flat faces.
 */
enum { OW_FACES_ALIKE = 32 };
typedef double ow_face_row[2 * OW_FACES_ALIKE]; /* first the flat ones */

typedef struct ow_faces {
    int flat, round; /* put so far; start with both 0 */
    ow_face_row air_c, pressure_kpa, longwave_wm2, wind_ms, length_m, still_w_m2k;
    ow_face_row grass_w_m2k; /* by the wind over grass, in place of a plate; NAN: no grass */
    ow_face_row view, around_c, emissivity, sun_wm2, shielded, extra;
    ow_face_row te_c, h_w_m2k; /* the films */
} ow_faces;
int ow_faces_put(ow_faces *faces, const ow_face *face, const ow_sky *sky);
void ow_faces_work_out(ow_faces *faces);
ow_boundary ow_faces_film(const ow_faces *faces, int number);

/* -- Layers ---------------------------------------------------------------------------------- */

/*
 * The film seen through a resistance r_m2k_w (wall, covers; >= 0, may be infinite): same te_c,
 * h = 1/(1/h + r). h = 0 or infinite r gives 0; infinite h gives 1/r.
 */
ow_boundary ow_boundary_behind(ow_boundary film, double r_m2k_w);

/* Resistance of a layer round a cylinder, of the face at face_radius_m, m2K/W:
 * face_radius ln(outer/inner)/k (Incropera & DeWitt s. 3.3). */
double ow_layer_round_m2k_w(double face_radius_m, double inner_radius_m, double outer_radius_m,
                            double conductivity_w_mk);

/* A film at outer_radius_m taken to the face at face_radius_m: h outer/face. */
ow_boundary ow_film_round(ow_boundary film, double face_radius_m, double outer_radius_m);

#endif
