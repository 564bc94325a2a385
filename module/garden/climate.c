/* SPDX-License-Identifier: MIT */
#include "garden/climate.h"

#include <math.h>

#include "physics/ow_math.h"

static const double WARMEST_MEAN_C = 26.0, MEAN_AT_43_DEG_C = 15.0, FALL_K_PER_DEG = 0.5;
static const double FALL_K_PER_M = 0.006, HALF_SWING_K = 9.0, DAMPING_DEPTH_M = 2.24;
static const double COLDEST_DAY = 20.0; /* of the northern year, for the air */

static double mean_c(const ow_site *site)
{
    double lowland = MEAN_AT_43_DEG_C - FALL_K_PER_DEG * (fabs(site->latitude_deg) - 43.0);
    return fmin(lowland, WARMEST_MEAN_C) - FALL_K_PER_M * site->elevation_m;
}

/* Phase since the coldest day, rad. */
static double phase(const ow_site *site, ow_utc_s utc_s)
{
    double since_coldest_s = (double)utc_s - COLDEST_DAY * OW_DAY_S; /* 1970 began the count */
    double turns = since_coldest_s / OW_YEAR_S + (site->latitude_deg < 0.0 ? 0.5 : 0.0);
    return 2.0 * OW_PI * (turns - floor(turns));
}

double ow_normal_air_c(const ow_site *site, ow_utc_s utc_s)
{
    return mean_c(site) - HALF_SWING_K * ow_cos(phase(site, utc_s));
}

double ow_normal_ground_c(const ow_site *site, ow_utc_s utc_s, double depth_m)
{
    double depths = depth_m / DAMPING_DEPTH_M;
    return mean_c(site) - HALF_SWING_K * ow_exp(-depths) * ow_cos(phase(site, utc_s) - depths);
}
