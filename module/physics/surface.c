/* SPDX-License-Identifier: MIT */
#include "physics/surface.h"

#include <math.h>
#include <stdbool.h>

#include "physics/constants.h"
#include "physics/ow_math.h"

/* -- Convection ------------------------------------------------------------------------------ */

/*
 * Prandtl number of air, 0.711, as it comes into the two formulas below: Pr^(1/3), and for the
 * cylinder that over (1 + (0.4/Pr)^(2/3))^(1/4). Worked out once; a test works them out anew.
 */
static const double PRANDTL_THIRD = 0x1.c8f9cb3acddeep-1, BY_PRANDTL = 0x1.914ce20d8e5cbp-1;

/* Handbook air at 0 and 20 C joined by lines (from memory); viscosity goes as 1/pressure. */
ow_air_film ow_air_film_at(double film_c, double pressure_kpa)
{
    return (ow_air_film){
        .viscosity_m2_s = (1.327e-5 + 8.95e-8 * film_c) * 101.325 / pressure_kpa,
        .conductivity_w_mk = 0.02436 + 7.5e-5 * film_c,
    };
}

static double reynolds(const ow_air_film *air, double length_m, double wind_ms)
{
    return fmax(wind_ms, 0.0) * length_m / air->viscosity_m2_s;
}

double ow_convection_cylinder(const ow_air_film *air, double diameter_m, double wind_ms)
{
    double re = reynolds(air, diameter_m, wind_ms);
    double share = re / 282000.0, root = sqrt(share);
    double five_eighths = root * sqrt(sqrt(root)); /* of the share's power */
    double turbulent = ow_four_fifths(1.0 + five_eighths);
    double nusselt = 0.3 + 0.62 * sqrt(re) * BY_PRANDTL * turbulent;
    return nusselt * air->conductivity_w_mk / diameter_m;
}

/* Well below where the two formulas meet (Re 15 090) the laminar one is the larger. */
#define SURELY_LAMINAR_RE 15000.0

double ow_convection_flat(const ow_air_film *air, double length_m, double wind_ms)
{
    double re = reynolds(air, length_m, wind_ms);
    double laminar = 0.664 * sqrt(re);
    double larger =
        re < SURELY_LAMINAR_RE ? laminar : fmax(laminar, 0.037 * ow_four_fifths(re));
    double nusselt = larger * PRANDTL_THIRD;
    return nusselt * air->conductivity_w_mk / length_m;
}

double ow_convection_grass(double wind_2m_ms)
{
    return OW_COOL_AIR_J_M3K / 208.0 * fmax(wind_2m_ms, 0.0);
}

double ow_convection_mixed(double forced, double natural)
{
    return ow_third_root(forced * forced * forced + natural * natural * natural);
}

double ow_convection_mcadams(double wind_ms)
{
    return 5.7 + 3.8 * wind_ms;
}

double ow_convection_iso6946(double wind_ms)
{
    return 4.0 + 4.0 * wind_ms;
}

double ow_radiative_black(double temp_c)
{
    double temp_k = temp_c + OW_KELVIN;
    return 4.0 * OW_STEFAN_BOLTZMANN * temp_k * temp_k * temp_k;
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

static double face_convection(const ow_face *face, const ow_sky *sky)
{
    if (face->kind == OW_FACE_GRASS) {
        double wind_2m_ms = ow_wind_at_2m(sky->wind_ms, 10.0) * face->wind_share;
        return ow_convection_mixed(ow_convection_grass(wind_2m_ms), OW_STILL_LEVEL_UP);
    }
    double wind_ms = sky->wind_ms * OW_WIND_AT_POT * face->wind_share * kinds[face->kind].wind;
    ow_air_film air = ow_air_film_at(sky->air_c, sky->pressure_kpa);
    double forced = kinds[face->kind].round
                        ? ow_convection_cylinder(&air, face->diameter_m, wind_ms)
                        : ow_convection_flat(&air, face->diameter_m, wind_ms);
    return ow_convection_mixed(forced, kinds[face->kind].still_w_m2k);
}

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

/* Long-wave that a face at air temperature gains from sky and surroundings (negative: loses). */
static double face_long_wave_wm2(const ow_face *face, const ow_sky *sky)
{
    double view = kinds[face->kind].sky * face->sky_view;
    double of_air = ow_black_body_wm2(sky->air_c);
    double around = isnan(face->surround_c) ? of_air : ow_black_body_wm2(face->surround_c);
    return face->emissivity * (view * sky->longwave_wm2 + (1.0 - view) * around - of_air);
}

ow_boundary ow_face_film(const ow_face *face, const ow_sky *sky)
{
    double radiative = face->emissivity * ow_radiative_black(sky->air_c);
    double h_open = face_convection(face, sky) + radiative;
    double gain = face->absorbs * face_sun_wm2(face, sky) + face_long_wave_wm2(face, sky);
    /* The shielded share faces neighbours at air temperature in still air: it has no gain. */
    double shielded = kinds[face->kind].upright ? face->shielded_share : 0.0;
    double h = (1.0 - shielded) * h_open + shielded * (kinds[face->kind].still_w_m2k + radiative);
    return (ow_boundary){.te_c = sky->air_c + (1.0 - shielded) * gain / h, .h_w_m2k = h};
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
