/* SPDX-License-Identifier: MIT */
#include "physics/humidity.h"

#include "physics/ow_math.h"

/* Tetens: e = e0 exp(a T / (T + b)). */
#define E0_KPA 0.6108
#define WATER_A 17.27
#define WATER_B 237.3
#define ICE_A 21.875
#define ICE_B 265.5

static double tetens_kpa(double air_c, double a, double b)
{
    return E0_KPA * ow_exp(a * air_c / (air_c + b));
}

static double tetens_inverse_c(double vapour_kpa, double a, double b)
{
    double exponent = ow_log(vapour_kpa / E0_KPA);
    return b * exponent / (a - exponent);
}

double ow_saturation_water_kpa(double air_c)
{
    return tetens_kpa(air_c, WATER_A, WATER_B);
}

double ow_saturation_ice_kpa(double air_c)
{
    return tetens_kpa(air_c, ICE_A, ICE_B);
}

static ow_saturation with_slope(double kpa, double air_c, double a, double b)
{
    double from_pole = air_c + b;
    return (ow_saturation){kpa, a * b * kpa / (from_pole * from_pole)};
}

ow_saturation ow_saturation_over_water(double air_c)
{
    return with_slope(ow_saturation_water_kpa(air_c), air_c, WATER_A, WATER_B);
}

ow_saturation ow_saturation_over_ice(double air_c)
{
    return with_slope(ow_saturation_ice_kpa(air_c), air_c, ICE_A, ICE_B);
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
    return tetens_inverse_c(vapour_kpa, WATER_A, WATER_B);
}

double ow_frost_point_c(double vapour_kpa)
{
    return tetens_inverse_c(vapour_kpa, ICE_A, ICE_B);
}
