/* SPDX-License-Identifier: MIT */
#include "outputs/set_point.h"

#include "outputs/heater.h"

int32_t ow_heater_set_mc(ow_set_point p)
{
    int64_t low = p.set_back_mc, high = (int64_t)p.keep_mc + OW_EARLY_MK, wanted = p.wanted_mc;
    int64_t warmest = (int64_t)p.too_warm_mc - OW_TOO_WARM_BAND_MK - OW_HEAT_BAND_MK;
    if (p.wanted_mc == OW_MILLI_NONE || warmest < p.keep_mc) {
        return p.keep_mc;
    }
    if (p.set_back_mc == OW_MILLI_NONE || low > p.keep_mc) {
        low = p.keep_mc;
    }
    high = high < warmest ? high : warmest;
    wanted = wanted < low ? low : wanted;
    return (int32_t)(wanted > high ? high : wanted);
}
