/* SPDX-License-Identifier: MIT */
#include "plants/season.h"

#include <math.h>
#include <stddef.h>

#include "physics/ow_math.h"

/* Days of the northern year (1 January = 1); the south is half a year on. */
#define SEPTEMBER_1 244.0
#define DECEMBER_1 335.0
#define MARCH_1 60.0
#define MAY_15 135.0
#define MIDWINTER 355.0
#define MIDSUMMER 172.0
#define YEAR_DAYS 365.0

#define COOL_ENOUGH_C 8.0
#define TOO_WARM_C 12.0
#define MEAN_TIME_S (3.0 * OW_DAY_S)
#define SLOW_PER_DAY (1.0 / 30.0)
#define FAST_PER_DAY (1.0 / 10.0)

static double clamp01(double x)
{
    return !(x > 0.0) ? 0.0 : x < 1.0 ? x : 1.0;
}

/* The day of the year, 1..365 and a bit, with July in the south read as January. */
static double winter_day(ow_utc_s time_s, bool south)
{
    ow_utc_s in_day_s = time_s % OW_DAY_S + (time_s % OW_DAY_S < 0 ? OW_DAY_S : 0);
    double day = ow_day_of_year(time_s) + (double)(in_day_s / 60) / 1440.0;
    if (south) {
        day += day < 183.5 ? 182.5 : -182.5;
    }
    return day;
}

static double allowed_on(double day)
{
    if (day >= SEPTEMBER_1) {
        return clamp01((day - SEPTEMBER_1) / (DECEMBER_1 - SEPTEMBER_1));
    }
    return clamp01((MAY_15 - day) / (MAY_15 - MARCH_1));
}

static bool is_spring(double day)
{
    return day >= MIDWINTER || day < MIDSUMMER;
}

double ow_hardening_allowed(ow_utc_s time_s, double latitude_deg)
{
    return allowed_on(winter_day(time_s, latitude_deg < 0.0));
}

void ow_hardening_start(ow_hardening *hardening, ow_utc_s time_s, double latitude_deg)
{
    bool south = latitude_deg < 0.0;
    double day = winter_day(time_s, south);
    *hardening = (ow_hardening){.hardened = allowed_on(day),
                                .mean_c = COOL_ENOUGH_C,
                                .south = south,
                                .spring = is_spring(day)};
}

/* Where the share is heading: half by season alone, half by season and cool air together. */
static double heading(double allowed, double mean_c)
{
    double cool = clamp01((TOO_WARM_C - mean_c) / (TOO_WARM_C - COOL_ENOUGH_C));
    return allowed * (0.5 + 0.5 * cool);
}

ow_season ow_season_at(ow_utc_s time_s, double dt_s)
{
    ow_season season = {.days = dt_s / OW_DAY_S, .follows = 1.0 - ow_exp(-dt_s / MEAN_TIME_S)};
    for (int south = 0; south < 2; south++) {
        double day = winter_day(time_s, south == 1);
        season.allowed[south] = allowed_on(day);
        season.spring[south] = is_spring(day);
    }
    return season;
}

void ow_hardening_step(ow_hardening *hardening, const ow_season *season, double air_c)
{
    double allowed = season->allowed[hardening->south];
    hardening->spring = season->spring[hardening->south];
    if (!isnan(air_c)) {
        hardening->mean_c += (air_c - hardening->mean_c) * season->follows;
    }
    double to = heading(allowed, hardening->mean_c);
    double up = SLOW_PER_DAY * season->days;
    double down = (hardening->spring ? FAST_PER_DAY : SLOW_PER_DAY) * season->days;
    double least = hardening->hardened - down, most = hardening->hardened + up;
    double moved = to < least ? least : to > most ? most : to;
    hardening->hardened = moved < allowed ? moved : allowed;
}

static double softer_k(double limit_c, double warmest_c, double soft_k, double hardened)
{
    double room_k = warmest_c > limit_c ? warmest_c - limit_c : 0.0;
    return (soft_k < room_k ? soft_k : room_k) * (1.0 - clamp01(hardened));
}

ow_limit ow_limit_now(const ow_limit *limit, double soft_k, double hardened)
{
    ow_limit now = *limit;
    if (limit->set) {
        now.damaged_c += softer_k(limit->damaged_c, OW_SOFT_DAMAGED_C, soft_k, hardened);
        now.killed_c += softer_k(limit->killed_c, OW_SOFT_KILLED_C, soft_k, hardened);
        now.killed_c = fmin(now.killed_c, now.damaged_c);
    }
    return now;
}
