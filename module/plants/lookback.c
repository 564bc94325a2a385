/* SPDX-License-Identifier: MIT */
#include "plants/lookback.h"

static const struct {
    int days; /* after the harm; 0: a date */
    int month, day;
} looks[OW_PARTS] = {
    [OW_FOLIAGE] = {.days = 28},
    [OW_BUDS] = {.month = 5, .day = 1},
    [OW_ROOTS] = {.month = 5, .day = 1},
    [OW_GROWING_POINT] = {.month = 7, .day = 1},
    [OW_STORAGE_ORGAN] = {.month = 6, .day = 15},
};

ow_utc_s ow_look_again_s(ow_part part, ow_utc_s harmed_s, double latitude_deg)
{
    if (looks[part].days > 0) {
        return harmed_s + (ow_utc_s)looks[part].days * OW_DAY_S;
    }
    ow_date date = {.year = ow_date_of(harmed_s).year,
                    .month = (looks[part].month - 1 + (latitude_deg < 0.0 ? 6 : 0)) % 12 + 1,
                    .day = looks[part].day};
    while (ow_time_of(&date) <= harmed_s) {
        date.year++;
    }
    return ow_time_of(&date);
}
