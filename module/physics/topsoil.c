/* SPDX-License-Identifier: MIT */
#include "physics/topsoil.h"

#include <math.h>

#include "physics/constants.h"
#include "physics/humidity.h"
#include "physics/surface.h"

/* FAO-56 table 19 (from memory): middle of the rows for sand, loam and clay; a fibrous topsoil is
 * taken as clay, which holds the most (our judgement). */
static const struct {
    double total_mm, readily_mm; /* evaporable at all; before it slows down */
} holds[] = {
    [OW_TEXTURE_FINE] = {19.0, 9.0},
    [OW_TEXTURE_COARSE] = {9.0, 4.5},
    [OW_TEXTURE_FIBROUS] = {25.0, 10.0},
};

/* Wetness at the words of the garden file (our judgement). */
static const double WETNESS[OW_MOISTURE_COUNT] = {0.1, 0.4, 1.0, 1.0};

/* Resistance of the surface to vapour, s/m (FAO-56 eq. 5); latent heat, J/kg (FAO-56 eq. 3-1). */
static const double SURFACE_S_M = 70.0, LATENT_J_KG = 2.45e6;

ow_topsoil ow_topsoil_at(ow_texture texture, ow_moisture moisture)
{
    double wetness = WETNESS[moisture];
    double lacks = holds[texture].total_mm -
                   wetness * (holds[texture].total_mm - holds[texture].readily_mm);
    return (ow_topsoil){.texture = texture, .depletion_mm = wetness < 1.0 ? lacks : 0.0};
}

double ow_topsoil_wetness(const ow_topsoil *topsoil)
{
    double total = holds[topsoil->texture].total_mm;
    double slows_by = total - holds[topsoil->texture].readily_mm;
    return fmin(1.0, fmax(0.0, (total - topsoil->depletion_mm) / slows_by));
}

ow_boundary ow_topsoil_film(ow_topsoil *topsoil, ow_boundary film, double emissivity,
                            const ow_sky *sky)
{
    double air = sky->air_c;
    double convection = fmax(film.h_w_m2k - emissivity * ow_radiative_black(air), 0.0);
    double share = (1.0 + topsoil->extra) * ow_topsoil_wetness(topsoil) /
                   (1.0 + SURFACE_S_M * convection / OW_COOL_AIR_J_M3K);
    double per_kpa = share * convection / ow_psychrometric_kpa_k(sky->pressure_kpa);
    ow_saturation saturated = ow_saturation_over_water(air);
    topsoil->takes_w_m2k = per_kpa * saturated.slope_kpa_k;
    topsoil->takes_w_m2 = per_kpa * (saturated.kpa - sky->vapour_kpa);
    double h = film.h_w_m2k + topsoil->takes_w_m2k;
    double pulls = film.h_w_m2k * film.te_c + topsoil->takes_w_m2k * air - topsoil->takes_w_m2;
    return (ow_boundary){.te_c = pulls / h, .h_w_m2k = h};
}

void ow_topsoil_close(ow_topsoil *topsoil)
{
    topsoil->takes_w_m2 = topsoil->takes_w_m2k = 0.0;
}

void ow_topsoil_step(ow_topsoil *topsoil, double surface_c, double air_c, double rain_mm,
                     double dt_s)
{
    double takes_w_m2 = topsoil->takes_w_m2 + topsoil->takes_w_m2k * (surface_c - air_c);
    double lacks = topsoil->depletion_mm + takes_w_m2 * dt_s / LATENT_J_KG - rain_mm;
    topsoil->depletion_mm = fmin(fmax(lacks, 0.0), holds[topsoil->texture].total_mm);
}
