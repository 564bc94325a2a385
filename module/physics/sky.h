/* SPDX-License-Identifier: MIT */
/*
 * The sun and the sky over a garden: where the sun stands, what it and the sky send down, and
 * ow_sky, the one place where a missing quantity of the weather is replaced by a stated default.
 * Daily formulas: FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), equation numbers
 * beside each. Day numbers `day` run 1..366 and may be fractional (noon of day 1 is 1.0).
 */
#ifndef OVERWINTER_PHYSICS_SKY_H
#define OVERWINTER_PHYSICS_SKY_H

#include "physics/calendar.h"
#include "physics/constants.h"
#include "physics/lanes.h"
#include "physics/weather.h"

#define OW_SOLAR_CONSTANT_MJ 0.0820        /* MJ/m2 per minute, FAO-56 eq. 21 */

/* -- Daily formulas of FAO-56 ---------------------------------------------------------------- */

/* Inverse relative distance Earth-Sun, eq. 23. */
double ow_inverse_distance(double day);

/* Declination of the sun, rad, eq. 24. */
double ow_declination_rad(double day);

/* Hour angle of sunset, rad, eq. 25; 0 in polar night, pi in polar day. */
double ow_sunset_rad(double latitude_deg, double day);

/* Hours of daylight, eq. 34. */
double ow_daylight_h(double latitude_deg, double day);

/* Extraterrestrial radiation of a day, MJ/m2, eq. 21. */
double ow_extraterrestrial_mj_m2(double latitude_deg, double day);

/* Clear-sky radiation from the extraterrestrial one (any unit), eq. 37: 0.75 + 2e-5 z. */
double ow_clear_sky(double extraterrestrial, double elevation_m);

/* Solar radiation from hours of sunshine, eq. 35 with a 0.25, b 0.50; unit of the first. */
double ow_solar_from_sunshine(double extraterrestrial, double sunshine_h, double daylight_h);

/* Solar radiation from the day's range of temperature, eq. 50; k_rs 0.16 inland, 0.19 coast. */
double ow_solar_from_range(double extraterrestrial, double max_c, double min_c, double k_rs);

/* Net short-wave from solar radiation and albedo, eq. 38. */
double ow_net_short_wave(double solar, double albedo);

/* Net outgoing long-wave of a day, MJ/m2, eq. 39; solar and clear in one unit. */
double ow_net_long_wave_mj_m2(double max_c, double min_c, double vapour_kpa, double solar,
                              double clear);

/* Monthly soil heat flux, MJ/m2 per day: eq. 43 (next month known) and eq. 44 (not known). */
double ow_soil_flux_between_mj_m2(double previous_month_c, double next_month_c);
double ow_soil_flux_since_mj_m2(double previous_month_c, double this_month_c);

/* Wind at 2 m from wind at height_m over short grass, m/s, eq. 47. */
double ow_wind_at_2m(double wind_ms, double height_m);

/* -- The sun at an instant ------------------------------------------------------------------- */

typedef struct ow_sun {
    double altitude_rad; /* above the horizon, negative below it; no refraction */
    double azimuth_deg;  /* from north clockwise, 0..360 */
    double outside_wm2;  /* extraterrestrial on a plane square to the rays, W/m2 */
} ow_sun;

/*
 * The sun's place, within 0.5 degrees: declination by Spencer 1971 (FAO-56's one sine is 1.2
 * degrees off in October, a twentieth of the day's sun), equation of time FAO-56 eq. 32-33.
 */
ow_sun ow_sun_at(const ow_site *site, ow_utc_s utc_s);

/* Extraterrestrial radiation on the level at an instant, W/m2, 0 at night. */
double ow_extraterrestrial_wm2(const ow_sun *sun);

/*
 * Clear-sky global radiation on the level, W/m2; 0 with the sun down. Haurwitz 1945,
 * 1098 s exp(-0.059/s) with s the sine of the altitude (coefficients from memory): within 5 % of
 * Hamburg's cloudless hours (DWD station 01975) above 10 degrees, where FAO-56's 0.75 of the
 * extraterrestrial is a fifth too much with the sun at 15.
 */
double ow_clear_sky_wm2(const ow_sun *sun);

/* Share of clear-sky radiation that passes clouds, 1 - 0.75 c^3.4 (Kasten & Czeplak 1980). */
double ow_cloud_passes(double cloud_pct);

/* The inverse of it: cloud in percent from measured over clear-sky radiation. */
double ow_cloud_from_ratio_pct(double solar_over_clear);

/* Diffuse share of global radiation from the clearness index (Erbs et al. 1982, from memory). */
double ow_diffuse_share(double clearness);

/* -- Long-wave ------------------------------------------------------------------------------- */

/* Emissivity of a clear sky, Brutsaert 1975 (from memory): 1.24 (e/T)^(1/7), e in hPa, T in K. */
double ow_clear_sky_emissivity(double air_c, double vapour_kpa);

/*
 * Emissivity with clouds, in the form of Unsworth & Monteith 1975: clear (1 - n) + n. They take
 * n = 0.84 c; n = 0.90 c^2 fits a winter of measured long-wave at Hamburg (DWD station 01975)
 * better: bias +1, RMSE 16 W/m2 against +5 and 18. At most 1.
 */
double ow_sky_emissivity(double clear_emissivity, double cloud_pct);

/* Black-body radiation at temp_c, W/m2, and the temperature that radiates so much, C. */
OW_INLINE double ow_black_body_wm2(double temp_c)
{
    double temp_k = temp_c + OW_KELVIN, square = temp_k * temp_k;
    return OW_STEFAN_BOLTZMANN * (square * square);
}
double ow_radiant_c(double radiation_wm2);

/* -- The sky of one step --------------------------------------------------------------------- */

/*
 * Defaults for what was not measured; the only ones in physics/.
 * Humidity: winter nights lie between 70 and 95 %; 80 leaves the sky a little too clear, so the
 *   leaf a little too cold (common practice, no source).
 * Wind: FAO-56 takes 2 m/s, the mean of over 2000 stations, where none is known (chapter 3).
 * Snow, rain: none lies, none falls.
 */
#define OW_DEFAULT_RH_PCT 80.0
#define OW_DEFAULT_WIND_MS 2.0

/* Cloud for a sky nobody saw, where the caller has no better guess: neither clear nor shut. */
#define OW_DEFAULT_CLOUD_PCT 50.0

/* Below this altitude (degrees) clouds are not derived from the sun: the ratio is too rough. */
#define OW_CLOUD_FROM_SUN_DEG 10.0

/* Below this altitude (degrees) all is diffuse: a step's mean split by a grazing beam is noise. */
#define OW_BEAM_FROM_DEG 3.0

/* Short-wave that bare or grassy ground throws back, FAO-56's reference 0.23; snow from a
 * centimetre on 0.7 (handbook order). */
#define OW_GROUND_ALBEDO 0.23
#define OW_SNOW_ALBEDO 0.70
#define OW_SNOW_SHOWS_CM 1.0

typedef enum ow_origin {
    OW_ORIGIN_MEASURED, /* long-wave or cloud was measured (or forecast) */
    OW_ORIGIN_DERIVED,  /* cloud follows from measured solar radiation */
    OW_ORIGIN_ASSUMED   /* nothing was known: the caller's assumed cloud */
} ow_origin;

/* All numbers are finite once air_c is; built by ow_sky_of or ow_sky_within. */
typedef struct ow_sky {
    double air_c;         /* as given */
    double rh_pct;        /* measured or default */
    double wind_ms;       /* measured or default, as measured (about 10 m) */
    double cloud_pct;     /* measured, derived or assumed */
    double pressure_kpa;  /* from the elevation */
    double vapour_kpa;    /* of the air */
    double dew_point_c;   /* over water */
    double sun_up;        /* sine of the sun's altitude, mid-step; 0 without a beam */
    double sun_along;     /* cosine of it; 0 without a beam */
    double azimuth_deg;   /* of the sun, from north clockwise */
    double direct_wm2;    /* beam, square to the rays; 0 with the sun down */
    double diffuse_wm2;   /* from the whole sky on the level */
    double global_wm2;    /* on the level = direct sun_up + diffuse */
    double albedo;        /* of the ground around */
    double longwave_wm2;  /* incoming on the level, measured wins */
    double sky_c;         /* black-body temperature of longwave_wm2 */
    ow_origin sky_from;   /* where the long-wave came from */
    ow_origin solar_from; /* measured, else assumed or derived with the cloud */
} ow_sky;

/*
 * Derives all from the weather of one step and the sun at `mid_step_s`. air_c must be known.
 * assumed_cloud_pct (0..100; NAN = OW_DEFAULT_CLOUD_PCT) is used when neither long-wave, cloud
 * nor a usable sun was measured: the caller hands in what the last daylight told, or its guess.
 * Missing solar is clear-sky radiation times what the cloud lets pass.
 */
ow_sky ow_sky_of(const ow_weather *weather, const ow_site *site, ow_utc_s mid_step_s,
                 double assumed_cloud_pct);

/*
 * The "sky" inside a closed place: walls at the air's temperature, still air, no sun.
 * rh_pct NAN = default.
 */
ow_sky ow_sky_within(double air_c, double rh_pct, double pressure_kpa);

/* -- Short-wave on a surface, W/m2 ----------------------------------------------------------- */

/*
 * On a plane tilted by tilt_deg (0 level up, 90 upright) facing faces_deg (from north clockwise):
 * beam by its angle, isotropic diffuse, and what the ground throws back (Liu & Jordan 1963).
 * sun_share scales the beam, sky_view the diffuse.
 */
double ow_sun_on_plane_wm2(const ow_sky *sky, double tilt_deg, double faces_deg, double sun_share,
                           double sky_view);

/*
 * Mean over the mantle of an upright cylinder: direct cos(altitude)/pi, half the diffuse, half of
 * what the ground throws back. faces_deg NAN: free standing; else an upright wall behind it lets
 * no beam through from its rear.
 */
double ow_sun_on_mantle_wm2(const ow_sky *sky, double faces_deg, double sun_share, double sky_view);

#endif
