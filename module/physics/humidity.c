/* SPDX-License-Identifier: MIT */
#include "physics/humidity.h"

#include "physics/ow_math.h"

static double tetens_inverse_c(double vapour_kpa, ow_tetens over)
{
    double exponent = ow_log(vapour_kpa / OW_TETENS_KPA);
    return over.b * exponent / (over.a - exponent);
}

ow_saturation ow_saturation_over_water(double air_c)
{
    return ow_saturation_by(OW_TETENS_WATER, air_c);
}

ow_saturation ow_saturation_over_ice(double air_c)
{
    return ow_saturation_by(OW_TETENS_ICE, air_c);
}

double ow_saturation_water_kpa(double air_c)
{
    return ow_saturation_over_water(air_c).kpa;
}

double ow_saturation_ice_kpa(double air_c)
{
    return ow_saturation_over_ice(air_c).kpa;
}

double ow_vapour_kpa(double air_c, double rh_pct)
{
    return ow_saturation_water_kpa(air_c) * rh_pct / 100.0;
}

double ow_pressure_kpa(double elevation_m)
{
    return 101.3 * ow_pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26);
}

double ow_psychrometric_kpa_k(double pressure_kpa)
{
    return 0.665e-3 * pressure_kpa;
}

double ow_vapour_psychrometer_kpa(double dry_c, double wet_c, double pressure_kpa,
                                  double coefficient)
{
    return ow_saturation_water_kpa(wet_c) - coefficient * pressure_kpa * (dry_c - wet_c);
}

double ow_dew_point_c(double vapour_kpa)
{
    return tetens_inverse_c(vapour_kpa, OW_TETENS_WATER);
}

double ow_frost_point_c(double vapour_kpa)
{
    return tetens_inverse_c(vapour_kpa, OW_TETENS_ICE);
}
