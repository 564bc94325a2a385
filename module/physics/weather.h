/* SPDX-License-Identifier: MIT */
/*
 * The weather at one instant or averaged over one step, and where the garden lies.
 * NAN means "not measured"; who needs the quantity applies the stated default.
 */
#ifndef OVERWINTER_PHYSICS_WEATHER_H
#define OVERWINTER_PHYSICS_WEATHER_H

typedef struct ow_weather {
    double air_c;        /* air temperature at about 2 m, shaded and ventilated */
    double rh_pct;       /* relative humidity over water, 0..100 */
    double wind_ms;      /* wind speed at about 10 m, or the garden's own sensor */
    double cloud_pct;    /* share of the sky covered, 0..100 */
    double solar_wm2;    /* global short-wave radiation on the level */
    double longwave_wm2; /* incoming long-wave radiation on the level */
    double rain_mm;      /* rain in the step; mm per hour when averaged over a step */
    double snow_cm;      /* depth of lying snow */
    double ground_c;     /* measured temperature of the ground under the pots */
    double surface_c;    /* measured temperature of the ground's surface */
} ow_weather;

/* Number of doubles in ow_weather, in the order of the columns of a weather file. */
#define OW_WEATHER_FIELDS 10

typedef struct ow_site {
    double latitude_deg;  /* north positive, -90..90 */
    double longitude_deg; /* east positive, -180..180 */
    double elevation_m;   /* above sea level */
} ow_site;

#endif
