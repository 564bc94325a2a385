/* SPDX-License-Identifier: MIT */
#include "hosts/weather_columns.h"

#include "overwinter.h"

#define AT(member) offsetof(ow_weather_row, member)

const ow_weather_column ow_weather_columns[OW_COLUMN_COUNT] = {
    [OW_COLUMN_TIME] = {"time", 0, 0.0, 0.0, ""},
    [OW_COLUMN_AIR] = {"air_c", AT(air_c), -60.0, 60.0, "degrees Celsius"},
    {"rh_pct", AT(rh_pct), 0.0, 105.0, "per cent"}, /* sensors in fog; taken as 100 */
    {"wind_ms", AT(wind_ms), 0.0, 90.0, "m/s"},
    {"cloud_pct", AT(cloud_pct), 0.0, 100.0, "per cent"},
    {"solar_wm2", AT(solar_wm2), -10.0, 1500.0, "W/m2"},
    {"longwave_wm2", AT(longwave_wm2), 50.0, 600.0, "W/m2"},
    {"rain_mm", AT(rain_mm), 0.0, 500.0, "mm"},
    {"snow_cm", AT(snow_cm), 0.0, 1000.0, "cm"},
    {"ground_c", AT(ground_c), -60.0, 80.0, "degrees Celsius"},
    {"surface_c", AT(surface_c), -60.0, 80.0, "degrees Celsius"},
};

/* A doubt when all values are above one bound, some above another and none above the last. */
static const struct doubt {
    size_t offset;
    double all_above, some_above, up_to;
    const char *text;
} doubts[] = {
    {AT(air_c), 150.0, 0.0, 1e9,
     "every air_c is above 150: is it in kelvin? write degrees Celsius, K - 273.15"},
    {AT(air_c), 35.0, 0.0, 1e9,
     "every air_c is above 35: is it in degrees Fahrenheit? write degrees Celsius, (F - 32) / 1.8"},
    {AT(rh_pct), -1.0, 0.0, 1.0,
     "no rh_pct is above 1: is it a share? write per cent, 100 times the share"},
    {AT(cloud_pct), -1.0, 0.0, 1.0,
     "no cloud_pct is above 1: is it a share? write per cent, 100 times the share"},
    {AT(cloud_pct), -1.0, 0.0, 8.0,
     "no cloud_pct is above 8: is it in eighths of the sky? write per cent, 12.5 times the "
     "eighths"},
};

const char *ow_weather_unit_doubt(const ow_weather_column *column, double least, double greatest)
{
    for (size_t i = 0; i < sizeof doubts / sizeof doubts[0]; i++) {
        const struct doubt *doubt = &doubts[i];
        if (doubt->offset == column->offset && least > doubt->all_above &&
            greatest > doubt->some_above && greatest <= doubt->up_to) {
            return doubt->text;
        }
    }
    return NULL;
}
