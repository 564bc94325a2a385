/* SPDX-License-Identifier: MIT */
#include "garden/persistence.h"

enum { DAY_H = 24 };

ow_status ow_persist(const ow_forcing *measured, ow_utc_s now_s, int hours, ow_weather_at *rows)
{
    ow_weather_at day[DAY_H];
    for (int h = 0; h < DAY_H; h++) {
        ow_weather hour_before;
        ow_utc_s t = now_s + (ow_utc_s)(h + 1 - DAY_H) * OW_HOUR_S;
        double gap_s =
            ow_forcing_mean(measured, t - OW_HOUR_S / 2, t + OW_HOUR_S / 2, &day[h].weather);
        if (!(gap_s <= OW_BRIDGE_S)) {
            return OW_NOT_FOUND;
        }
        (void)ow_forcing_mean(measured, t - OW_HOUR_S, t, &hour_before);
        day[h].weather.rain_mm = hour_before.rain_mm; /* mm an hour over the hour that ends here */
    }
    for (int h = 0; h < hours; h++) {
        rows[h].utc_s = now_s + (ow_utc_s)(h + 1) * OW_HOUR_S;
        rows[h].weather = day[h % DAY_H].weather;
        rows[h].air_sd_k = 0.0;
    }
    return OW_OK;
}
