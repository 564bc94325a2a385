/* SPDX-License-Identifier: MIT */
/*
 * Sun and sky against FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), astronomy, and
 * the hourly records of Hamburg-Fuhlsbuettel (DWD station 01975, March 2018 to April 2019).
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>

#include "check.h"
#include "physics/humidity.h"
#include "physics/sky.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define DEGREE (3.14159265358979323846 / 180.0)

static ow_utc_s at(int year, int month, int day, int hour, int minute)
{
    ow_date date = {.year = year, .month = month, .day = day, .hour = hour, .minute = minute};
    return ow_time_of(&date);
}

/* Printed in FAO-56 in the example named; tolerances follow the printed digits. */
static void sun_examples_of_fao56(void **state)
{
    (void)state;
    check_close("example 8, distance", ow_inverse_distance(246), 0.985, 0.0005, 0.0);
    check_close("example 8, declination", ow_declination_rad(246), 0.120, 0.0005, 0.0);
    check_close("example 8, sunset", ow_sunset_rad(-20.0, 246), 1.527, 0.0005, 0.0);
    check_close("example 8, Ra", ow_extraterrestrial_mj_m2(-20.0, 246), 32.2, 0.05, 0.0);
    check_close("example 9, daylight", ow_daylight_h(-20.0, 246), 11.7, 0.05, 0.0);
    check_close("example 10, Ra", ow_extraterrestrial_mj_m2(-22.9, 135), 25.1, 0.05, 0.0);
    check_close("example 10, sunshine", ow_solar_from_sunshine(25.1, 7.1, 10.9), 14.45, 0.01, 0.0);
    check_close("example 10, clear sky", ow_clear_sky(25.1, 0.0), 18.8, 0.05, 0.0);
    check_close("example 18, clear sky", ow_clear_sky(41.09, 100.0), 30.90, 0.005, 0.0);
    check_close("example 15, range", ow_solar_from_range(40.6, 26.6, 14.8, 0.16), 22.3, 0.05, 0.0);
}

static void balance_examples_of_fao56(void **state)
{
    (void)state;
    check_close("example 11, long-wave", ow_net_long_wave_mj_m2(25.1, 19.1, 2.1, 14.5, 18.8), 3.5,
                0.05, 0.0);
    check_close("example 12, short-wave", ow_net_short_wave(14.5, 0.23), 11.1, 0.1, 0.0);
    check_close("example 13, April", ow_soil_flux_between_mj_m2(14.1, 18.8), 0.33, 0.005, 0.0);
    check_close("eq. 44, April", ow_soil_flux_since_mj_m2(14.1, 16.1), 0.28, 0.005, 0.0);
    check_close("example 14, wind", ow_wind_at_2m(3.2, 10.0), 2.4, 0.05, 0.0);
}

/* Worked out from the formulas of FAO-56 to seven digits; day numbers of a common year. */
static void winter_days_at_50_to_58_north(void **state)
{
    (void)state;
    static const int days[] = {355, 15, 46, 80};
    static const struct {
        double latitude_deg, daylight_h[4], ra_mj_m2[4];
    } rows[] = {
        {50, {7.853315, 8.326574, 9.836474, 11.9521}, {7.444751, 8.889117, 14.44917, 24.07396}},
        {52, {7.507458, 8.02855, 9.671422, 11.94856}, {6.28807, 7.698352, 13.23082, 23.04112}},
        {55, {6.900967, 7.511843, 9.391443, 11.9426}, {4.620543, 5.958487, 11.39524, 21.43964}},
        {58, {6.144307, 6.880386, 9.061483, 11.93568}, {3.065521, 4.298284, 9.560394, 19.7794}},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        for (size_t d = 0; d < COUNT(days); d++) {
            double latitude = rows[i].latitude_deg;
            check_close("daylight", ow_daylight_h(latitude, days[d]), rows[i].daylight_h[d], 0.0,
                        1e-6);
            check_close("Ra", ow_extraterrestrial_mj_m2(latitude, days[d]), rows[i].ra_mj_m2[d],
                        0.0, 1e-6);
        }
    }
}

static void polar_night_and_day(void **state)
{
    (void)state;
    check_close("polar night", ow_daylight_h(75.0, 355), 0.0, 0.0, 0.0);
    check_close("no sun", ow_extraterrestrial_mj_m2(75.0, 355), 0.0, 1e-12, 0.0);
    check_close("polar day", ow_daylight_h(75.0, 172), 24.0, 1e-12, 0.0);
}

/* The worked example of Reda & Andreas 2004 (NREL/TP-560-34302): zenith 50.11, azimuth 194.34. */
static void sun_position_of_the_published_example(void **state)
{
    (void)state;
    ow_site golden = {39.742476, -105.1786, 1830.14};
    ow_sun sun = ow_sun_at(&golden, at(2003, 10, 17, 19, 30) + 30);
    check_close("altitude", sun.altitude_rad / DEGREE, 90.0 - 50.11162, 0.5, 0.0);
    check_close("azimuth", sun.azimuth_deg, 194.34024, 0.5, 0.0);
}

/* Astronomy: the sun culminates at 90 - latitude +- 23.44 degrees, due south. */
static void noon_at_the_solstices(void **state)
{
    (void)state;
    static const struct {
        int month, day;
        double tilt_deg;
    } rows[] = {{6, 21, 23.44}, {12, 21, -23.44}};
    ow_site site = {53.6, 10.0, 11.0};
    for (size_t i = 0; i < COUNT(rows); i++) {
        ow_sun highest = {.altitude_rad = -2.0};
        for (int minute = 0; minute < 1440; minute++) {
            ow_sun sun = ow_sun_at(&site, at(2023, rows[i].month, rows[i].day, 0, minute));
            highest = sun.altitude_rad > highest.altitude_rad ? sun : highest;
        }
        check_close("highest", highest.altitude_rad / DEGREE, 90.0 - 53.6 + rows[i].tilt_deg, 0.05,
                    0.0);
        check_close("due south", highest.azimuth_deg, 180.0, 0.4, 0.0);
    }
}

static void morning_is_east_and_the_south_sees_north(void **state)
{
    (void)state;
    ow_site north = {50.0, 0.0, 0.0};
    ow_site south = {-35.0, 0.0, 0.0};
    check_close("six at the equinox", ow_sun_at(&north, at(2023, 3, 21, 6, 7)).azimuth_deg, 90.0,
                1.0, 0.0);
    check_close("evening", ow_sun_at(&north, at(2023, 3, 21, 18, 7)).azimuth_deg, 270.0, 1.0, 0.0);
    ow_sun noon = ow_sun_at(&south, at(2023, 6, 21, 12, 2));
    check_close("south of the tropics", cos(noon.azimuth_deg * DEGREE), 1.0, 0.01, 0.0);
}

static double sum_of_minutes_mj(const ow_site *site, ow_utc_s start)
{
    double sum_mj = 0.0;
    for (int minute = 0; minute < 1440; minute++) {
        ow_sun sun = ow_sun_at(site, start + 60 * minute + 30);
        sum_mj += ow_extraterrestrial_wm2(&sun) * 60e-6;
    }
    return sum_mj;
}

/* FAO-56's day whose declination is the one asked for: between the solstices it only rises. */
static double day_of_declination(double declination_rad)
{
    double low = -10.0;
    double high = 172.0;
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        *(ow_declination_rad(middle) < declination_rad ? &low : &high) = middle;
    }
    return low;
}

/*
 * The instant integrated over a day of minutes is the daily formula at the same declination (read
 * from the height of noon) and distance; at the solstices the two declinations are one.
 */
static void a_day_of_instants_is_the_daily_radiation(void **state)
{
    (void)state;
    static const int dates[][2] = {{12, 23}, {1, 15}, {2, 15}, {3, 21}, {5, 1}, {6, 20}};
    for (double latitude = -60.0; latitude <= 60.0; latitude += 20.0) {
        ow_site site = {latitude, 0.0, 0.0};
        ow_site pole = {90.0, 0.0, 0.0};
        for (size_t d = 0; d < COUNT(dates); d++) {
            ow_utc_s start = at(2023, dates[d][0], dates[d][1], 0, 0);
            double same = day_of_declination(ow_sun_at(&pole, start + 43200).altitude_rad);
            double nearer = ow_inverse_distance(ow_day_of_year(start)) / ow_inverse_distance(same);
            check_close("sum of a day", sum_of_minutes_mj(&site, start),
                        ow_extraterrestrial_mj_m2(latitude, same) * nearer, 0.0, 0.005);
        }
        ow_utc_s solstice = at(2023, 6, 21, 0, 0);
        check_close("sum of the solstice", sum_of_minutes_mj(&site, solstice),
                    ow_extraterrestrial_mj_m2(latitude, ow_day_of_year(solstice)), 0.0, 0.005);
    }
}

/* Means of cloudless hours (0 okta) at Hamburg by the sun's altitude, W/m2 measured. */
static void clear_sky_against_hamburg(void **state)
{
    (void)state;
    static const double rows[][2] = {
        {14.88, 215.05}, {25.02, 397.95}, {34.96, 568.69}, {44.23, 710.39}, {51.75, 809.50}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        ow_sun sun = {.altitude_rad = rows[i][0] * DEGREE, .outside_wm2 = 1367.0};
        check_close("clear sky", ow_clear_sky_wm2(&sun), rows[i][1], 0.0, 0.05);
    }
    ow_sun down = {.altitude_rad = -0.1, .outside_wm2 = 1367.0};
    check_close("sun down", ow_clear_sky_wm2(&down), 0.0, 0.0, 0.0);
}

/* Mean share of clear-sky radiation at Hamburg by cloud in okta (217 to 1200 hours each): the
 * curve lies within a tenth of it everywhere, broken cloud passing a little less. */
static void clouds_against_hamburg(void **state)
{
    (void)state;
    static const double share[] = {1.003, 0.960, 0.921, 0.880, 0.836, 0.780, 0.714, 0.468, 0.224};
    for (size_t okta = 0; okta < COUNT(share); okta++) {
        double cloud_pct = 12.5 * (double)okta;
        check_close("share", ow_cloud_passes(cloud_pct), share[okta], 0.1, 0.0);
        check_close("and back", ow_cloud_from_ratio_pct(ow_cloud_passes(cloud_pct)), cloud_pct,
                    1e-9, 0.0);
    }
    check_close("brighter than clear", ow_cloud_from_ratio_pct(1.2), 0.0, 0.0, 0.0);
    check_close("darker than shut", ow_cloud_from_ratio_pct(0.1), 100.0, 0.0, 0.0);
}

/* Pieces of one curve meet, and it falls from all to about a sixth. */
static void diffuse_share_is_one_curve(void **state)
{
    (void)state;
    check_close("dark", ow_diffuse_share(0.0), 1.0, 0.0, 0.0);
    check_close("first joint", ow_diffuse_share(0.22 + 1e-9), ow_diffuse_share(0.22), 0.001, 0.0);
    check_close("second joint", ow_diffuse_share(0.80), ow_diffuse_share(0.80 + 1e-9), 0.001, 0.0);
    for (double k = 0.0; k < 0.78; k += 0.01) {
        check_between("falls", ow_diffuse_share(k + 0.01), 0.16, ow_diffuse_share(k) + 1e-12);
    }
}

/* Brutsaert's formula (coefficients from memory) worked out to eight digits. */
static void clear_sky_long_wave(void **state)
{
    (void)state;
    static const double rows[][3] = {{0, 0.4, 214.08661},
                                     {-5, 0.3, 191.33468},
                                     {5, 0.6, 243.29401},
                                     {2, 0.5, 227.32878},
                                     {10, 0.9, 276.14168}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        double clear = ow_clear_sky_emissivity(rows[i][0], rows[i][1]);
        double got = clear * ow_black_body_wm2(rows[i][0]);
        check_close("Brutsaert 1975", got, rows[i][2], 0.0, 1e-6);
    }
}

/*
 * Measured long-wave of the night hours at Hamburg, October to April, by cloud in okta (99 to 1246
 * hours each): mean air, mean vapour pressure, mean incoming long-wave.
 */
static void cloudy_long_wave_against_hamburg(void **state)
{
    (void)state;
    static const double rows[][3] = {
        {4.3715, 0.6622, 255.53}, {4.9942, 0.7141, 261.97}, {5.1538, 0.7398, 267.30},
        {5.9345, 0.7865, 274.90}, {6.1101, 0.7809, 282.40}, {5.2642, 0.7509, 279.45},
        {6.3193, 0.8022, 292.87}, {5.8977, 0.7819, 314.76}, {5.4586, 0.8095, 331.69}};
    for (size_t okta = 0; okta < COUNT(rows); okta++) {
        double clear = ow_clear_sky_emissivity(rows[okta][0], rows[okta][1]);
        double got =
            ow_sky_emissivity(clear, 12.5 * (double)okta) * ow_black_body_wm2(rows[okta][0]);
        check_close("long-wave", got, rows[okta][2], 13.0, 0.0);
    }
}

static void radiant_temperature_is_the_inverse(void **state)
{
    (void)state;
    for (double c = -60.0; c <= 40.0; c += 10.0) {
        check_close("there and back", ow_radiant_c(ow_black_body_wm2(c)), c, 1e-11, 0.0);
    }
    /* sigma 273.15^4, CODATA 2018 */
    check_close("at 0 C", ow_black_body_wm2(0.0), 315.65778, 1e-4, 0.0);
}

#define NOTHING_MEASURED                                                                           \
    {                                                                                              \
        .rh_pct = NAN, .wind_ms = NAN, .cloud_pct = NAN, .solar_wm2 = NAN, .longwave_wm2 = NAN,    \
        .rain_mm = NAN, .snow_cm = NAN, .ground_c = NAN, .surface_c = NAN, .air_c = -3.0           \
    }

static const ow_site hamburg = {53.63, 9.99, 11.0};

static void missing_quantities_take_the_stated_defaults(void **state)
{
    (void)state;
    ow_weather weather = NOTHING_MEASURED;
    ow_sky sky = ow_sky_of(&weather, &hamburg, at(2019, 1, 20, 1, 0), NAN);
    check_close("humidity", sky.rh_pct, OW_DEFAULT_RH_PCT, 0.0, 0.0);
    check_close("wind", sky.wind_ms, OW_DEFAULT_WIND_MS, 0.0, 0.0);
    check_close("cloud", sky.cloud_pct, OW_DEFAULT_CLOUD_PCT, 0.0, 0.0);
    check_close("no sun at night", sky.global_wm2, 0.0, 0.0, 0.0);
    check_close("bare ground", sky.albedo, OW_GROUND_ALBEDO, 0.0, 0.0);
    assert_int_equal(sky.sky_from, OW_ORIGIN_ASSUMED);
    assert_int_equal(sky.solar_from, OW_ORIGIN_ASSUMED);
    check_between("sky colder than the air", sky.sky_c, -30.0, -3.0);
    ow_sky clear = ow_sky_of(&weather, &hamburg, at(2019, 1, 20, 1, 0), 0.0);
    check_between("the caller's clear sky is colder", clear.sky_c, -40.0, sky.sky_c - 3.0);
}

static void measured_wins(void **state)
{
    (void)state;
    ow_weather weather = NOTHING_MEASURED;
    weather.cloud_pct = 100.0;
    weather.longwave_wm2 = 215.0;
    weather.solar_wm2 = 120.0;
    weather.snow_cm = 4.0;
    ow_sky sky = ow_sky_of(&weather, &hamburg, at(2019, 1, 20, 11, 30), 0.0);
    check_close("long-wave", sky.longwave_wm2, 215.0, 0.0, 0.0);
    check_close("global", sky.global_wm2, 120.0, 0.0, 0.0);
    check_close("snow", sky.albedo, OW_SNOW_ALBEDO, 0.0, 0.0);
    assert_int_equal(sky.sky_from, OW_ORIGIN_MEASURED);
    assert_int_equal(sky.solar_from, OW_ORIGIN_MEASURED);
    check_close("the parts add up", sky.direct_wm2 * sky.sun_up + sky.diffuse_wm2, 120.0, 1e-9,
                0.0);
}

static void cloud_follows_from_the_sun_by_day(void **state)
{
    (void)state;
    ow_weather weather = NOTHING_MEASURED;
    ow_utc_s noon = at(2019, 2, 20, 11, 30);
    ow_sun sun = ow_sun_at(&hamburg, noon);
    weather.solar_wm2 = ow_clear_sky_wm2(&sun) * ow_cloud_passes(80.0);
    ow_sky sky = ow_sky_of(&weather, &hamburg, noon, 0.0);
    check_close("cloud", sky.cloud_pct, 80.0, 1e-6, 0.0);
    assert_int_equal(sky.sky_from, OW_ORIGIN_DERIVED);
    /* At night a measured zero says nothing about the sky. */
    weather.solar_wm2 = 0.0;
    sky = ow_sky_of(&weather, &hamburg, at(2019, 2, 20, 23, 0), 30.0);
    check_close("carried", sky.cloud_pct, 30.0, 0.0, 0.0);
    assert_int_equal(sky.sky_from, OW_ORIGIN_ASSUMED);
}

/* Every number stays finite and every part within the whole, whatever was measured or not. */
static void a_year_of_skies_is_sound(void **state)
{
    (void)state;
    for (int hour = 0; hour < 365 * 24; hour += 5) {
        ow_weather weather = NOTHING_MEASURED;
        weather.solar_wm2 = hour % 3 == 0 ? NAN : (double)(hour % 900);
        weather.rh_pct = hour % 2 == 0 ? NAN : (double)(hour % 101);
        ow_sky sky = ow_sky_of(&weather, &hamburg, at(2019, 1, 1, 0, 0) + 3600 * hour, NAN);
        check_between("direct", sky.direct_wm2, 0.0, 1420.0);
        check_between("diffuse", sky.diffuse_wm2, 0.0, sky.global_wm2);
        check_between("long-wave", sky.longwave_wm2, 100.0, ow_black_body_wm2(sky.air_c) + 1e-9);
        check_between("dew point", sky.dew_point_c, -60.0, sky.air_c + 1e-9);
        check_between("azimuth", sky.azimuth_deg, 0.0, 360.0);
    }
}

static void within_walls_there_is_no_sky(void **state)
{
    (void)state;
    ow_sky sky = ow_sky_within(8.0, NAN, ow_pressure_kpa(100.0));
    check_close("walls at air", sky.sky_c, 8.0, 1e-9, 0.0);
    check_close("still", sky.wind_ms, 0.0, 0.0, 0.0);
    check_close("dark", sky.global_wm2 + sky.direct_wm2, 0.0, 0.0, 0.0);
    check_close("vapour", sky.vapour_kpa, ow_vapour_kpa(8.0, OW_DEFAULT_RH_PCT), 0.0, 0.0);
}

/* Plain geometry on a made sky: 500 W/m2 beam from the south at 30 degrees, 100 diffuse. */
static ow_sky south_sun(void)
{
    return (ow_sky){.sun_up = 0.5,
                    .sun_along = cos(30.0 * DEGREE),
                    .azimuth_deg = 180.0,
                    .direct_wm2 = 500.0,
                    .diffuse_wm2 = 100.0,
                    .global_wm2 = 350.0,
                    .albedo = 0.2};
}

static void sun_on_planes(void **state)
{
    (void)state;
    ow_sky sky = south_sun();
    check_close("level", ow_sun_on_plane_wm2(&sky, 0, 0, 1, 1), 350.0, 1e-9, 0.0);
    check_close("square to the rays", ow_sun_on_plane_wm2(&sky, 60, 180, 1, 1),
                500.0 + 100.0 * 0.75 + 70.0 * 0.25, 1e-9, 0.0);
    double south = 500.0 * cos(30.0 * DEGREE) + 50.0 + 35.0;
    check_close("south wall", ow_sun_on_plane_wm2(&sky, 90, 180, 1, 1), south, 1e-9, 0.0);
    check_close("north wall", ow_sun_on_plane_wm2(&sky, 90, 0, 1, 1), 85.0, 1e-9, 0.0);
    check_close("shaded, no sky", ow_sun_on_plane_wm2(&sky, 90, 180, 0, 0), 0.0, 1e-12, 0.0);
}

/* The mean over the mantle is the mean of upright planes all round. */
static void sun_on_a_mantle(void **state)
{
    (void)state;
    ow_sky sky = south_sun();
    double sum = 0.0;
    for (int faces = 0; faces < 360; faces++) {
        sum += ow_sun_on_plane_wm2(&sky, 90, faces, 1, 1);
    }
    check_close("mean all round", ow_sun_on_mantle_wm2(&sky, NAN, 1, 1), sum / 360.0, 0.05, 0.0);
    check_close("wall to the north of it", ow_sun_on_mantle_wm2(&sky, 180, 1, 1), sum / 360.0, 0.05,
                0.0);
    check_close("wall to the south of it", ow_sun_on_mantle_wm2(&sky, 0, 1, 1), 50.0 + 10.0, 1e-9,
                0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sun_examples_of_fao56),
        cmocka_unit_test(balance_examples_of_fao56),
        cmocka_unit_test(winter_days_at_50_to_58_north),
        cmocka_unit_test(polar_night_and_day),
        cmocka_unit_test(sun_position_of_the_published_example),
        cmocka_unit_test(noon_at_the_solstices),
        cmocka_unit_test(morning_is_east_and_the_south_sees_north),
        cmocka_unit_test(a_day_of_instants_is_the_daily_radiation),
        cmocka_unit_test(clear_sky_against_hamburg),
        cmocka_unit_test(clouds_against_hamburg),
        cmocka_unit_test(diffuse_share_is_one_curve),
        cmocka_unit_test(clear_sky_long_wave),
        cmocka_unit_test(cloudy_long_wave_against_hamburg),
        cmocka_unit_test(radiant_temperature_is_the_inverse),
        cmocka_unit_test(missing_quantities_take_the_stated_defaults),
        cmocka_unit_test(measured_wins),
        cmocka_unit_test(cloud_follows_from_the_sun_by_day),
        cmocka_unit_test(a_year_of_skies_is_sound),
        cmocka_unit_test(within_walls_there_is_no_sky),
        cmocka_unit_test(sun_on_planes),
        cmocka_unit_test(sun_on_a_mantle),
    };
    return cmocka_run_group_tests_name("sky", tests, NULL, NULL);
}
