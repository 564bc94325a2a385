/* SPDX-License-Identifier: MIT */
#include "physics/sky.h"

#include <math.h>
#include <stdbool.h>

#include "physics/humidity.h"
#include "physics/ow_math.h"

#define TURN (2.0 * OW_PI)
#define PER_DEGREE (OW_PI / 180.0)
#define DAYS_OF_YEAR 365.0
#define WM2_PER_MJ_MINUTE (1e6 / 60.0)

static double clamp(double value, double low, double high)
{
    return fmin(fmax(value, low), high);
}

/* -- Daily formulas of FAO-56 ---------------------------------------------------------------- */

double ow_inverse_distance(double day)
{
    return 1.0 + 0.033 * ow_cos(TURN * day / DAYS_OF_YEAR);
}

double ow_declination_rad(double day)
{
    return 0.409 * ow_sin(TURN * day / DAYS_OF_YEAR - 1.39);
}

static double tangent(double angle_rad)
{
    return ow_sin(angle_rad) / ow_cos(angle_rad);
}

/* ow_acos clamps, which is right for polar day and night. */
double ow_sunset_rad(double latitude_deg, double day)
{
    return ow_acos(-tangent(latitude_deg * PER_DEGREE) * tangent(ow_declination_rad(day)));
}

double ow_daylight_h(double latitude_deg, double day)
{
    return 24.0 / OW_PI * ow_sunset_rad(latitude_deg, day);
}

double ow_extraterrestrial_mj_m2(double latitude_deg, double day)
{
    double latitude = latitude_deg * PER_DEGREE;
    double declination = ow_declination_rad(day);
    double sunset = ow_sunset_rad(latitude_deg, day);
    double height = sunset * ow_sin(latitude) * ow_sin(declination) +
                    ow_cos(latitude) * ow_cos(declination) * ow_sin(sunset);
    return 24.0 * 60.0 / OW_PI * OW_SOLAR_CONSTANT_MJ * ow_inverse_distance(day) * height;
}

double ow_clear_sky(double extraterrestrial, double elevation_m)
{
    return (0.75 + 2e-5 * elevation_m) * extraterrestrial;
}

double ow_solar_from_sunshine(double extraterrestrial, double sunshine_h, double daylight_h)
{
    return (0.25 + 0.50 * sunshine_h / daylight_h) * extraterrestrial;
}

double ow_solar_from_range(double extraterrestrial, double max_c, double min_c, double k_rs)
{
    return k_rs * sqrt(max_c - min_c) * extraterrestrial;
}

double ow_net_short_wave(double solar, double albedo)
{
    return (1.0 - albedo) * solar;
}

static double fourth_power(double value)
{
    double square = value * value;
    return square * square;
}

/* FAO-56 rounds sigma to 4.903e-9 MJ/m2K4 per day and 0 C to 273.16 K. */
double ow_net_long_wave_mj_m2(double max_c, double min_c, double vapour_kpa, double solar,
                              double clear)
{
    double emitted = 4.903e-9 * (fourth_power(max_c + 273.16) + fourth_power(min_c + 273.16)) / 2.0;
    double by_vapour = 0.34 - 0.14 * sqrt(vapour_kpa);
    double by_cloud = 1.35 * fmin(solar / clear, 1.0) - 0.35;
    return emitted * by_vapour * by_cloud;
}

double ow_soil_flux_between_mj_m2(double previous_month_c, double next_month_c)
{
    return 0.07 * (next_month_c - previous_month_c);
}

double ow_soil_flux_since_mj_m2(double previous_month_c, double this_month_c)
{
    return 0.14 * (this_month_c - previous_month_c);
}

double ow_wind_at_2m(double wind_ms, double height_m)
{
    return wind_ms * 4.87 / ow_log(67.8 * height_m - 5.42);
}

/* -- The sun at an instant ------------------------------------------------------------------- */

/* Spencer 1971: a Fourier series in the day angle, rad. */
static double declination_at_rad(double day)
{
    double g = TURN * (day - 1.0) / DAYS_OF_YEAR;
    return 0.006918 - 0.399912 * ow_cos(g) + 0.070257 * ow_sin(g) - 0.006758 * ow_cos(2.0 * g) +
           0.000907 * ow_sin(2.0 * g) - 0.002697 * ow_cos(3.0 * g) + 0.00148 * ow_sin(3.0 * g);
}

/* FAO-56 eq. 32-33: how far the sundial is ahead of the clock, hours. */
static double equation_of_time_h(double day)
{
    double b = TURN * (day - 81.0) / 364.0;
    return 0.1645 * ow_sin(2.0 * b) - 0.1255 * ow_cos(b) - 0.025 * ow_sin(b);
}

static double hours_of_day(ow_utc_s utc_s)
{
    ow_utc_s second = utc_s % OW_DAY_S;
    if (second < 0) {
        second += OW_DAY_S;
    }
    return (double)second / (double)OW_HOUR_S;
}

ow_sun ow_sun_at(const ow_site *site, ow_utc_s utc_s)
{
    double hours = hours_of_day(utc_s);
    double day = (double)ow_day_of_year(utc_s) + (hours - 12.0) / 24.0;
    double latitude = site->latitude_deg * PER_DEGREE;
    double declination = declination_at_rad(day);
    double solar_h = hours + site->longitude_deg / 15.0 + equation_of_time_h(day);
    double hour_angle = OW_PI / 12.0 * (solar_h - 12.0);
    double up = ow_sin(latitude) * ow_sin(declination) +
                ow_cos(latitude) * ow_cos(declination) * ow_cos(hour_angle);
    double north = ow_cos(latitude) * ow_sin(declination) -
                   ow_sin(latitude) * ow_cos(declination) * ow_cos(hour_angle);
    double east = -ow_cos(declination) * ow_sin(hour_angle);
    double azimuth_deg = ow_atan2(east, north) / PER_DEGREE;
    return (ow_sun){
        .altitude_rad = ow_asin(up),
        .azimuth_deg = azimuth_deg < 0.0 ? azimuth_deg + 360.0 : azimuth_deg,
        .outside_wm2 = OW_SOLAR_CONSTANT_MJ * WM2_PER_MJ_MINUTE * ow_inverse_distance(day),
    };
}

double ow_extraterrestrial_wm2(const ow_sun *sun)
{
    return sun->outside_wm2 * fmax(ow_sin(sun->altitude_rad), 0.0);
}

double ow_clear_sky_wm2(const ow_sun *sun)
{
    double up = ow_sin(sun->altitude_rad);
    return up > 0.0 ? 1098.0 * up * ow_exp(-0.059 / up) : 0.0;
}

#define CLOUD_STOPS 0.75
#define CLOUD_POWER 3.4

static double power_of_share(double share, double exponent)
{
    return share > 0.0 ? ow_pow(share, exponent) : 0.0;
}

double ow_cloud_passes(double cloud_pct)
{
    double cloud = clamp(cloud_pct / 100.0, 0.0, 1.0);
    return 1.0 - CLOUD_STOPS * power_of_share(cloud, CLOUD_POWER);
}

double ow_cloud_from_ratio_pct(double solar_over_clear)
{
    double stopped = clamp((1.0 - solar_over_clear) / CLOUD_STOPS, 0.0, 1.0);
    return 100.0 * power_of_share(stopped, 1.0 / CLOUD_POWER);
}

double ow_diffuse_share(double clearness)
{
    double k = fmax(clearness, 0.0);
    if (k <= 0.22) {
        return 1.0 - 0.09 * k;
    }
    if (k <= 0.80) {
        return 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)));
    }
    return 0.165;
}

/* -- Long-wave ------------------------------------------------------------------------------- */

double ow_clear_sky_emissivity(double air_c, double vapour_kpa)
{
    return fmin(1.24 * ow_pow(10.0 * vapour_kpa / (air_c + OW_KELVIN), 1.0 / 7.0), 1.0);
}

double ow_sky_emissivity(double clear_emissivity, double cloud_pct)
{
    double cloud = clamp(cloud_pct / 100.0, 0.0, 1.0);
    double hidden = 0.90 * cloud * cloud;
    return fmin(clear_emissivity * (1.0 - hidden) + hidden, 1.0);
}

double ow_radiant_c(double radiation_wm2)
{
    return sqrt(sqrt(radiation_wm2 / OW_STEFAN_BOLTZMANN)) - OW_KELVIN;
}

/* -- The sky of one step --------------------------------------------------------------------- */

static double known_or(double value, double otherwise)
{
    return isnan(value) ? otherwise : value;
}

static void fill_air(ow_sky *sky, const ow_weather *weather, double pressure_kpa)
{
    sky->air_c = weather->air_c;
    sky->rh_pct = clamp(known_or(weather->rh_pct, OW_DEFAULT_RH_PCT), 1.0, 100.0);
    sky->wind_ms = fmax(known_or(weather->wind_ms, OW_DEFAULT_WIND_MS), 0.0);
    sky->pressure_kpa = pressure_kpa;
    sky->vapour_kpa = ow_vapour_kpa(sky->air_c, sky->rh_pct);
    sky->dew_point_c = ow_dew_point_c(sky->vapour_kpa);
    bool snow_lies = known_or(weather->snow_cm, 0.0) >= OW_SNOW_SHOWS_CM;
    sky->albedo = snow_lies ? OW_SNOW_ALBEDO : OW_GROUND_ALBEDO;
}

static void fill_cloud(ow_sky *sky, const ow_weather *weather, const ow_sun *sun,
                       double assumed_cloud_pct)
{
    if (!isnan(weather->cloud_pct)) {
        sky->cloud_pct = clamp(weather->cloud_pct, 0.0, 100.0);
        sky->sky_from = OW_ORIGIN_MEASURED;
    } else if (!isnan(weather->solar_wm2) &&
               sun->altitude_rad > OW_CLOUD_FROM_SUN_DEG * PER_DEGREE) {
        sky->cloud_pct = ow_cloud_from_ratio_pct(weather->solar_wm2 / ow_clear_sky_wm2(sun));
        sky->sky_from = OW_ORIGIN_DERIVED;
    } else {
        sky->cloud_pct = clamp(known_or(assumed_cloud_pct, OW_DEFAULT_CLOUD_PCT), 0.0, 100.0);
        sky->sky_from = OW_ORIGIN_ASSUMED;
    }
}

static void fill_solar(ow_sky *sky, const ow_weather *weather, const ow_sun *sun)
{
    if (!isnan(weather->solar_wm2)) {
        sky->global_wm2 = fmax(weather->solar_wm2, 0.0);
        sky->solar_from = OW_ORIGIN_MEASURED;
    } else {
        sky->global_wm2 = ow_clear_sky_wm2(sun) * ow_cloud_passes(sky->cloud_pct);
        sky->solar_from =
            sky->sky_from == OW_ORIGIN_ASSUMED ? OW_ORIGIN_ASSUMED : OW_ORIGIN_DERIVED;
    }
}

static void split_solar(ow_sky *sky, const ow_sun *sun)
{
    sky->azimuth_deg = sun->azimuth_deg;
    sky->direct_wm2 = 0.0;
    sky->diffuse_wm2 = sky->global_wm2;
    if (sun->altitude_rad < OW_BEAM_FROM_DEG * PER_DEGREE) {
        return;
    }
    sky->sun_up = ow_sin(sun->altitude_rad);
    sky->sun_along = ow_cos(sun->altitude_rad);
    double share = ow_diffuse_share(sky->global_wm2 / ow_extraterrestrial_wm2(sun));
    sky->direct_wm2 = fmin((1.0 - share) * sky->global_wm2 / sky->sun_up, sun->outside_wm2);
    sky->diffuse_wm2 = sky->global_wm2 - sky->direct_wm2 * sky->sun_up;
}

static void fill_longwave(ow_sky *sky, const ow_weather *weather)
{
    if (!isnan(weather->longwave_wm2)) {
        sky->longwave_wm2 = weather->longwave_wm2;
        sky->sky_from = OW_ORIGIN_MEASURED;
    } else {
        double clear = ow_clear_sky_emissivity(sky->air_c, sky->vapour_kpa);
        sky->longwave_wm2 =
            ow_sky_emissivity(clear, sky->cloud_pct) * ow_black_body_wm2(sky->air_c);
    }
    sky->sky_c = ow_radiant_c(sky->longwave_wm2);
}

ow_sky ow_sky_of(const ow_weather *weather, const ow_site *site, ow_utc_s mid_step_s,
                 double assumed_cloud_pct)
{
    ow_sky sky = {0};
    ow_sun sun = ow_sun_at(site, mid_step_s);
    fill_air(&sky, weather, ow_pressure_kpa(site->elevation_m));
    fill_cloud(&sky, weather, &sun, assumed_cloud_pct);
    fill_solar(&sky, weather, &sun);
    split_solar(&sky, &sun);
    fill_longwave(&sky, weather);
    return sky;
}

ow_sky ow_sky_within(double air_c, double rh_pct, double pressure_kpa)
{
    ow_weather still = {
        .air_c = air_c, .rh_pct = rh_pct, .wind_ms = 0.0, .cloud_pct = 100.0, .snow_cm = 0.0};
    ow_sky sky = {0};
    fill_air(&sky, &still, pressure_kpa);
    sky.cloud_pct = still.cloud_pct;
    sky.longwave_wm2 = ow_black_body_wm2(air_c);
    sky.sky_c = air_c;
    return sky;
}

/* -- Short-wave on a surface ----------------------------------------------------------------- */

/* What falls on the level there, shade included: the ground around throws back a share of it. */
static double on_level_wm2(const ow_sky *sky, double sun_share, double sky_view)
{
    return sun_share * sky->direct_wm2 * sky->sun_up + sky_view * sky->diffuse_wm2;
}

double ow_sun_on_plane_wm2(const ow_sky *sky, double tilt_deg, double faces_deg, double sun_share,
                           double sky_view)
{
    double tilt = tilt_deg * PER_DEGREE;
    if (tilt_deg == 0.0) { /* the same to the last bit, without the angles */
        return on_level_wm2(sky, sun_share, sky_view);
    }
    double turned = ow_cos((sky->azimuth_deg - faces_deg) * PER_DEGREE);
    double square_on = sky->sun_up * ow_cos(tilt) + sky->sun_along * ow_sin(tilt) * turned;
    double from_ground = sky->albedo * on_level_wm2(sky, sun_share, sky_view);
    return sun_share * sky->direct_wm2 * fmax(square_on, 0.0) +
           sky_view * sky->diffuse_wm2 * (1.0 + ow_cos(tilt)) / 2.0 +
           from_ground * (1.0 - ow_cos(tilt)) / 2.0;
}

double ow_sun_on_mantle_wm2(const ow_sky *sky, double faces_deg, double sun_share, double sky_view)
{
    bool behind_wall = sky->direct_wm2 > 0.0 && !isnan(faces_deg) &&
                       ow_cos((sky->azimuth_deg - faces_deg) * PER_DEGREE) <= 0.0;
    double share = behind_wall ? 0.0 : sun_share;
    double beam = share * sky->direct_wm2 * sky->sun_along / OW_PI;
    double from_ground = sky->albedo * on_level_wm2(sky, share, sky_view);
    return beam + (sky_view * sky->diffuse_wm2 + from_ground) / 2.0;
}
