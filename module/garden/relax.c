/* SPDX-License-Identifier: MIT */
#include "garden/relax.h"

#include <math.h>
#include <stdbool.h>

#include "garden/climate.h"
#include "physics/ow_math.h"

enum { DAY_H = 24 };

/* Weather about an instant: from the rows where they cover it, else as measured, else what the
 * first row says. */
static ow_weather about(const ow_forcing *rows, const ow_forcing *measured, ow_utc_s utc_s)
{
    ow_weather w;
    ow_utc_s from_s = utc_s - OW_HOUR_S / 2, to_s = utc_s + OW_HOUR_S / 2;
    bool covered = utc_s >= rows->row[0].utc_s;
    if (covered || !(ow_forcing_mean(measured, from_s, to_s, &w) <= OW_BRIDGE_S)) {
        (void)ow_forcing_mean(rows, from_s, to_s, &w);
    }
    w.rain_mm = NAN;
    return w;
}

/* The day that ends with the last row, hour by hour, and the mean of its air. */
static double last_day(const ow_forcing *rows, const ow_forcing *measured, ow_weather day[DAY_H])
{
    ow_utc_s end_s = rows->row[rows->rows - 1].utc_s;
    double sum_c = 0.0;
    for (int h = 0; h < DAY_H; h++) {
        day[h] = about(rows, measured, end_s - (ow_utc_s)(DAY_H - 1 - h) * OW_HOUR_S);
        sum_c += day[h].air_c;
    }
    return sum_c / DAY_H;
}

size_t ow_relax_on(const ow_site *site, const ow_forcing *measured, ow_weather_at *rows, size_t n,
                   size_t room, ow_utc_s until_s)
{
    ow_weather day[DAY_H];
    ow_forcing known = {.row = rows, .rows = n};
    ow_utc_s end_s = rows[n - 1].utc_s;
    double mean_c = last_day(&known, measured, day);
    double off_k = mean_c - ow_normal_air_c(site, end_s - OW_DAY_S / 2);
    for (int h = 1; n < room && end_s + (ow_utc_s)h * OW_HOUR_S <= until_s; h++, n++) {
        ow_weather_at *row = &rows[n];
        *row = (ow_weather_at){.utc_s = end_s + (ow_utc_s)h * OW_HOUR_S,
                               .weather = day[(h - 1) % DAY_H]};
        row->weather.air_c += ow_normal_air_c(site, row->utc_s) - mean_c +
                              off_k * ow_exp(-h / OW_RELAX_H);
    }
    return n;
}
