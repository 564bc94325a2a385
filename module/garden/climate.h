/* SPDX-License-Identifier: MIT */
/*
 * The season's normal of a site, for what nothing measures: how warm the ground is deep down and
 * what weather relaxes to when nothing is known. A rough fit by latitude and height (from memory,
 * within about 3 K of European lowland stations); measured values always win.
 */
#ifndef OVERWINTER_GARDEN_CLIMATE_H
#define OVERWINTER_GARDEN_CLIMATE_H

#include "physics/calendar.h"
#include "physics/weather.h"

#define OW_YEAR_S 31556952.0

/*
 * Weather forgets: a departure from the normal of the hour falls to 1/e in OW_RELAX_H hours. Hourly
 * departures of October to April correlate by 0.67, 0.43 and 0.32 at one, two and three days at
 * Hamburg (DWD station 01975, 2018/19) and by 0.63, 0.33 and 0.23 at Newton 8 W (NOAA climate
 * reference network, 2021). OW_CLIMATE_SD_K is how much they vary: 4.0 and 5.4 K there.
 */
#define OW_RELAX_H 48.0
#define OW_CLIMATE_SD_K 4.5

/* Normal air temperature of the day, C. */
double ow_normal_air_c(const ow_site *site, ow_utc_s utc_s);

/*
 * Normal ground temperature at a depth, C: the yearly wave damped and delayed with depth
 * (damping depth 2.24 m, that of 5e-7 m2/s: Carslaw & Jaeger 1959, 2.6).
 */
double ow_normal_ground_c(const ow_site *site, ow_utc_s utc_s, double depth_m);

#endif
