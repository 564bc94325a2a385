/* SPDX-License-Identifier: MIT */
#include "physics/surface.h"

#include <math.h>
#include <stdbool.h>

#include "physics/constants.h"
#include "physics/ow_math.h"
#include "physics/ow_math_inline.h"

/* -- Convection ------------------------------------------------------------------------------ */

/*
 * Prandtl number of air, 0.711, as it comes into the two formulas below: Pr^(1/3), and for the
 * cylinder that over (1 + (0.4/Pr)^(2/3))^(1/4). Worked out once; a test works them out anew.
 */
static const double PRANDTL_THIRD = 0x1.c8f9cb3acddeep-1, BY_PRANDTL = 0x1.914ce20d8e5cbp-1;

/* Handbook air at 0 and 20 C joined by lines (from memory); viscosity goes as 1/pressure. */
OW_INLINE ow_air_film air_film_at(double film_c, double pressure_kpa)
{
    return (ow_air_film){
        .viscosity_m2_s = (1.327e-5 + 8.95e-8 * film_c) * 101.325 / pressure_kpa,
        .conductivity_w_mk = 0.02436 + 7.5e-5 * film_c,
    };
}

ow_air_film ow_air_film_at(double film_c, double pressure_kpa)
{
    return air_film_at(film_c, pressure_kpa);
}

OW_INLINE double reynolds(ow_air_film air, double length_m, double wind_ms)
{
    return (wind_ms > 0.0 ? wind_ms : 0.0) * length_m / air.viscosity_m2_s;
}

OW_INLINE double convection_cylinder(ow_air_film air, double diameter_m, double wind_ms)
{
    double re = reynolds(air, diameter_m, wind_ms);
    double share = re / 282000.0, root = sqrt(share);
    double five_eighths = root * sqrt(sqrt(root)); /* of the share's power */
    double turbulent = ow_four_fifths_inline(1.0 + five_eighths);
    double nusselt = 0.3 + 0.62 * sqrt(re) * BY_PRANDTL * turbulent;
    return nusselt * air.conductivity_w_mk / diameter_m;
}

double ow_convection_cylinder(const ow_air_film *air, double diameter_m, double wind_ms)
{
    return convection_cylinder(*air, diameter_m, wind_ms);
}

OW_INLINE double convection_flat(ow_air_film air, double length_m, double wind_ms)
{
    double re = reynolds(air, length_m, wind_ms);
    double laminar = 0.664 * sqrt(re), turbulent = 0.037 * ow_four_fifths_inline(re);
    double nusselt = (laminar > turbulent ? laminar : turbulent) * PRANDTL_THIRD;
    return nusselt * air.conductivity_w_mk / length_m;
}

double ow_convection_flat(const ow_air_film *air, double length_m, double wind_ms)
{
    return convection_flat(*air, length_m, wind_ms);
}

double ow_convection_grass(double wind_2m_ms)
{
    return OW_COOL_AIR_J_M3K / 208.0 * fmax(wind_2m_ms, 0.0);
}

OW_INLINE double convection_mixed(double forced, double natural)
{
    return ow_third_root_inline(forced * forced * forced + natural * natural * natural);
}

double ow_convection_mixed(double forced, double natural)
{
    return convection_mixed(forced, natural);
}

double ow_convection_mcadams(double wind_ms)
{
    return 5.7 + 3.8 * wind_ms;
}

double ow_convection_iso6946(double wind_ms)
{
    return 4.0 + 4.0 * wind_ms;
}

double ow_outside_resistance_m2k_w(double wind_ms, double emissivity, double temp_c)
{
    return 1.0 / (ow_convection_iso6946(wind_ms) + emissivity * ow_radiative_black(temp_c));
}

/* -- A face ---------------------------------------------------------------------------------- */

/* What sets the kinds apart; upright faces see half of the sky. */
static const struct {
    double still_w_m2k, wind, sky;
    bool upright, round;
} kinds[] = {
    [OW_FACE_LEVEL_UP] = {OW_STILL_LEVEL_UP, 1.0, 1.0, false, false},
    [OW_FACE_GRASS] = {OW_STILL_LEVEL_UP, 1.0, 1.0, false, false},
    [OW_FACE_LEVEL_DOWN] = {OW_STILL_LEVEL_DOWN, 0.5, 0.0, false, false},
    [OW_FACE_MANTLE] = {OW_STILL_MANTLE, 1.0, 0.5, true, true},
    [OW_FACE_WALL] = {OW_STILL_MANTLE, 1.0, 0.5, true, false},
};

static double face_sun_wm2(const ow_face *face, const ow_sky *sky)
{
    switch (face->kind) {
    case OW_FACE_LEVEL_UP:
    case OW_FACE_GRASS:
        return ow_sun_on_plane_wm2(sky, 0.0, 0.0, face->sun_share, face->sky_view);
    case OW_FACE_MANTLE:
        return ow_sun_on_mantle_wm2(sky, face->faces_deg, face->sun_share, face->sky_view);
    case OW_FACE_WALL:
        return ow_sun_on_plane_wm2(sky, 90.0, face->faces_deg, face->sun_share, face->sky_view);
    case OW_FACE_LEVEL_DOWN:
        break;
    }
    return 0.0;
}

/* The wind that brushes a face, of the air at pot height. */
static double face_wind_ms(const ow_face *face, const ow_sky *sky)
{
    return sky->wind_ms * OW_WIND_AT_POT * face->wind_share * kinds[face->kind].wind;
}

static double grass_w_m2k(const ow_face *face, const ow_sky *sky)
{
    return face->kind == OW_FACE_GRASS
               ? ow_convection_grass(ow_wind_at_2m(sky->wind_ms, 10.0) * face->wind_share)
               : NAN;
}

int ow_faces_put(ow_faces *f, const ow_face *face, const ow_sky *sky)
{
    int i = kinds[face->kind].round ? OW_FACES_ALIKE + f->round++ : f->flat++;
    f->air_c[i] = sky->air_c;
    f->pressure_kpa[i] = sky->pressure_kpa;
    f->longwave_wm2[i] = sky->longwave_wm2;
    f->wind_ms[i] = face_wind_ms(face, sky);
    f->length_m[i] = face->diameter_m;
    f->still_w_m2k[i] = kinds[face->kind].still_w_m2k;
    f->grass_w_m2k[i] = grass_w_m2k(face, sky);
    f->view[i] = kinds[face->kind].sky * face->sky_view;
    f->around_c[i] = isnan(face->surround_c) ? sky->air_c : face->surround_c;
    f->emissivity[i] = face->emissivity;
    f->sun_wm2[i] = face->absorbs * face_sun_wm2(face, sky);
    f->shielded[i] = kinds[face->kind].upright ? face->shielded_share : 0.0;
    f->extra[i] = face->extra;
    return i;
}

/* The film of a face that wind alone gives `forced`. */
OW_INLINE void film_of(ow_faces *f, int i, double forced)
{
    double air = f->air_c[i], still = f->still_w_m2k[i], of_air = ow_black_body_wm2(air);
    double radiative = f->emissivity[i] * ow_radiative_black(air);
    double h_open = convection_mixed(forced, still) + radiative;
    /* Long-wave that a face at air temperature gains from sky and surroundings. */
    double falls_on =
        f->view[i] * f->longwave_wm2[i] + (1.0 - f->view[i]) * ow_black_body_wm2(f->around_c[i]);
    double gain = f->sun_wm2[i] + f->emissivity[i] * (falls_on - of_air);
    /* The shielded share faces neighbours at air temperature in still air: it has no gain. */
    double open = 1.0 - f->shielded[i];
    double h = (1.0 + f->extra[i]) * (open * h_open + f->shielded[i] * (still + radiative));
    f->te_c[i] = air + open * gain / h;
    f->h_w_m2k[i] = h;
}

OW_CLONES static void work_out(ow_faces *f)
{
    OW_VECTORISE("omp simd")
    for (int i = 0; i < f->flat; i++) {
        ow_air_film air = air_film_at(f->air_c[i], f->pressure_kpa[i]);
        double plate = convection_flat(air, f->length_m[i], f->wind_ms[i]);
        film_of(f, i, isnan(f->grass_w_m2k[i]) ? plate : f->grass_w_m2k[i]);
    }
    OW_VECTORISE("omp simd")
    for (int i = OW_FACES_ALIKE; i < OW_FACES_ALIKE + f->round; i++) {
        ow_air_film air = air_film_at(f->air_c[i], f->pressure_kpa[i]);
        film_of(f, i, convection_cylinder(air, f->length_m[i], f->wind_ms[i]));
    }
}

void ow_faces_work_out(ow_faces *f)
{
    work_out(f);
}

ow_boundary ow_faces_film(const ow_faces *f, int number)
{
    return (ow_boundary){.te_c = f->te_c[number], .h_w_m2k = f->h_w_m2k[number]};
}

ow_boundary ow_face_film(const ow_face *face, const ow_sky *sky)
{
    ow_faces alone;
    alone.flat = alone.round = 0;
    int number = ow_faces_put(&alone, face, sky);
    ow_faces_work_out(&alone);
    return ow_faces_film(&alone, number);
}

/* -- Layers ---------------------------------------------------------------------------------- */

ow_boundary ow_boundary_behind(ow_boundary film, double r_m2k_w)
{
    double h = film.h_w_m2k > 0.0 ? 1.0 / (1.0 / film.h_w_m2k + r_m2k_w) : 0.0;
    return (ow_boundary){.te_c = film.te_c, .h_w_m2k = h};
}

double ow_layer_round_m2k_w(double face_radius_m, double inner_radius_m, double outer_radius_m,
                            double conductivity_w_mk)
{
    return face_radius_m * ow_log(outer_radius_m / inner_radius_m) / conductivity_w_mk;
}

ow_boundary ow_film_round(ow_boundary film, double face_radius_m, double outer_radius_m)
{
    return (ow_boundary){.te_c = film.te_c,
                         .h_w_m2k = film.h_w_m2k * outer_radius_m / face_radius_m};
}
