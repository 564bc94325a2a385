/* SPDX-License-Identifier: MIT */
#include "plants/drought.h"

#include <math.h>

#define DAY_S 86400.0
#define FULL_SUN_WM2 500.0
#define FULL_WIND_MS 6.0
#define SUN_OR_WIND_SHARE 0.5

void ow_drought_start(ow_drought *drought)
{
    *drought = (ow_drought){.clock_s = 0.0};
}

/* A tenth is open: the clock rests, and a whole day so sets it back. */
static void open_up(ow_drought *drought, double dt_s)
{
    drought->running = false;
    drought->open_s += dt_s;
    if (drought->open_s >= OW_DROUGHT_RESET_S) {
        drought->clock_s = 0.0;
        drought->frozen_s = 0.0;
        drought->was_frozen = false;
    }
}

void ow_drought_step(ow_drought *drought, double least_rel_ice, double open_volume_share,
                     double pace, double dt_s)
{
    drought->frozen_through = least_rel_ice >= OW_FROZEN_THROUGH_ICE;
    if (drought->frozen_through) {
        drought->running = true;
        drought->was_frozen = true;
        drought->open_s = 0.0;
    } else if (open_volume_share >= OW_OPEN_VOLUME) {
        open_up(drought, dt_s);
    } else {
        drought->open_s = 0.0;
    }
    if (drought->running) {
        drought->clock_s += pace * dt_s;
        drought->frozen_s += dt_s;
    }
}

double ow_drought_clock_days(const ow_drought *drought)
{
    return drought->clock_s / DAY_S;
}

double ow_drought_frozen_days(const ow_drought *drought)
{
    return drought->frozen_s / DAY_S;
}

bool ow_drought_thawing(const ow_drought *drought)
{
    return drought->was_frozen && drought->open_s > 0.0;
}

double ow_drought_reset_in_s(const ow_drought *drought)
{
    return drought->was_frozen ? OW_DROUGHT_RESET_S - drought->open_s : 0.0;
}

double ow_drought_days_left(const ow_drought *drought, double days, double pace)
{
    if (isnan(days)) {
        return INFINITY;
    }
    double left = days - ow_drought_clock_days(drought);
    if (left <= 0.0) {
        return 0.0;
    }
    return pace > 0.0 ? left / pace : INFINITY;
}

/* 0..1 of the way to the full effect; a missing number adds nothing. */
static double share_of(double value, double full)
{
    return !(value > 0.0) ? 0.0 : value < full ? value / full : 1.0;
}

double ow_drought_pace(ow_leaves leaves, bool lifted, double sun_wm2, double wind_ms)
{
    if (lifted || leaves == OW_LEAVES_NONE) {
        return 0.0;
    }
    if (leaves == OW_LEAVES_RESTING) {
        return 1.0;
    }
    return 1.0 +
           SUN_OR_WIND_SHARE * (share_of(sun_wm2, FULL_SUN_WM2) + share_of(wind_ms, FULL_WIND_MS));
}
