/* SPDX-License-Identifier: MIT */
#include "garden/quantity.h"

#include <math.h>

#define ANY INFINITY

/*
 * Common practice, no source: wide enough for every garden's winter and summer, narrow enough to
 * catch a broken wire (a usual probe says 85 or -127 C), a slip of the unit, or a counter.
 */
static const ow_quantity table[] = {
    [OW_MEASURES_AIR] = {"an air temperature", OW_UNIT_C, -60, 60, -60, 60, 3, 1, 6, 3},
    [OW_MEASURES_HUMIDITY] = {"a relative humidity", OW_UNIT_PERCENT, 0, 105, 0, 100, 20, 10, ANY,
                              20},
    [OW_MEASURES_WIND] = {"a wind speed", OW_UNIT_M_S, 0, 75, 0, 75, 20, 20, 24, 5},
    [OW_MEASURES_CLOUD] = {"a cloud cover", OW_UNIT_PERCENT, 0, 102, 0, 100, ANY, 0, ANY, 40},
    [OW_MEASURES_SOLAR] = {"a solar radiation", OW_UNIT_W_M2, -20, 1500, 0, 1500, ANY, 0, 30, 250},
    [OW_MEASURES_RAIN] = {"rain since the message before", OW_UNIT_MM, 0, 100, 0, 100, ANY, 0, ANY,
                          ANY},
    [OW_MEASURES_SNOW] = {"a depth of snow", OW_UNIT_CM, -2, 1000, 0, 1000, 15, 0.5, ANY, 10},
    [OW_MEASURES_GROUND] = {"a ground temperature", OW_UNIT_C, -40, 70, -40, 70, 3, 1, ANY, 3},
    [OW_MEASURES_ROOT_BALL] = {"a root ball's temperature", OW_UNIT_C, -40, 60, -40, 60, 2, 0.5,
                               ANY, 3},
    [OW_MEASURES_TRUNK] = {"a trunk's temperature", OW_UNIT_C, -40, 60, -40, 60, 2, 0.5, ANY, 3},
    [OW_MEASURES_CONTACT] = {"a contact", OW_UNIT_SHARE, 0, 1, 0, 1, ANY, 0, ANY, 0.5},
    [OW_MEASURES_POWER] = {"a power", OW_UNIT_W, -50, 100000, 0, 100000, ANY, 0, ANY, ANY},
};

const ow_quantity *ow_quantity_of(ow_measures measures)
{
    return &table[measures];
}
