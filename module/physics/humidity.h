/* SPDX-License-Identifier: MIT */
/*
 * Water vapour in the air: saturation, dew and frost point, psychrometry. Pressures in kPa,
 * temperatures in C. Tetens form of FAO Irrigation and Drainage Paper 56 (Allen et al. 1998);
 * over ice Tetens's ice coefficients. Within 0.1 % of IAPWS from 0 to 20 C over water, within
 * 0.5 % from -20 to 0 C over ice.
 */
#ifndef OVERWINTER_PHYSICS_HUMIDITY_H
#define OVERWINTER_PHYSICS_HUMIDITY_H

#include "physics/ow_math_inline.h"

/* Saturation vapour pressure over liquid water (supercooled below 0 C), kPa. FAO-56 eq. 11. */
double ow_saturation_water_kpa(double air_c);

/* Saturation vapour pressure over ice, kPa; meant for air_c <= 0. */
double ow_saturation_ice_kpa(double air_c);

/*
 * The same with the slopes of the curves over water (FAO-56 eq. 13, whose printed 4098 is the
 * product 17.27 x 237.3) and over ice.
 */
typedef struct ow_saturation {
    double kpa, slope_kpa_k;
} ow_saturation;
ow_saturation ow_saturation_over_water(double air_c);
ow_saturation ow_saturation_over_ice(double air_c);

/* Those as loops over lanes want them: Tetens, e = e0 exp(a T / (T + b)). */
typedef struct ow_tetens {
    double a, b;
} ow_tetens;
#define OW_TETENS_KPA 0.6108
#define OW_TETENS_WATER ((ow_tetens){17.27, 237.3})
#define OW_TETENS_ICE ((ow_tetens){21.875, 265.5})
OW_INLINE ow_saturation ow_saturation_by(ow_tetens over, double air_c)
{
    double from_pole = air_c + over.b;
    double kpa = OW_TETENS_KPA * ow_exp_inline(over.a * air_c / from_pole);
    return (ow_saturation){kpa, over.a * over.b * kpa / (from_pole * from_pole)};
}

/* Vapour pressure of air at air_c with rh_pct (over water, 0..100), kPa. FAO-56 eq. 10. */
double ow_vapour_kpa(double air_c, double rh_pct);

/* The mean air pressure at a height above sea level, kPa. FAO-56 eq. 7. */
double ow_pressure_kpa(double elevation_m);

/* Psychrometric constant over water, kPa/K. FAO-56 eq. 8. */
double ow_psychrometric_kpa_k(double pressure_kpa);

/* Coefficient of a ventilated psychrometer, 1/K (FAO-56 eq. 16). */
#define OW_PSYCHROMETER_VENTILATED 0.000662

/*
 * Vapour pressure from a psychrometer, kPa; `coefficient` 1/K, times the pressure. FAO-56 eq. 15.
 */
double ow_vapour_psychrometer_kpa(double dry_c, double wet_c, double pressure_kpa,
                                  double coefficient);

/* Where air with this vapour pressure (> 0) is saturated over water, C: Tetens solved for T. */
double ow_dew_point_c(double vapour_kpa);

/* The same over ice, C; meant for a result <= 0 (vapour_kpa up to 0.6108). */
double ow_frost_point_c(double vapour_kpa);

#endif
