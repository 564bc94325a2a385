/* SPDX-License-Identifier: MIT */
#include "garden/units.h"

#include <math.h>
#include <string.h>

/* What a unit measures; the first unit of each is the base that the table counts in. */
typedef enum dimension { TEMPERATURE, SHARE, SPEED, RADIATION, LENGTH, POWER } dimension;

/* base = (value + shift) * up / down: whole factors keep 32 F at exactly 0 C. */
static const struct unit {
    dimension of;
    double shift, up, down;
} table[] = {
    [OW_UNIT_C] = {TEMPERATURE, 0, 1, 1},       [OW_UNIT_F] = {TEMPERATURE, -32, 5, 9},
    [OW_UNIT_K] = {TEMPERATURE, -273.15, 1, 1}, [OW_UNIT_PERCENT] = {SHARE, 0, 1, 1},
    [OW_UNIT_SHARE] = {SHARE, 0, 100, 1},       [OW_UNIT_OKTA] = {SHARE, 0, 100, 8},
    [OW_UNIT_M_S] = {SPEED, 0, 1, 1},           [OW_UNIT_KM_H] = {SPEED, 0, 1000, 3600},
    [OW_UNIT_MPH] = {SPEED, 0, 1609.344, 3600}, [OW_UNIT_KNOT] = {SPEED, 0, 1852, 3600},
    [OW_UNIT_W_M2] = {RADIATION, 0, 1, 1},      [OW_UNIT_MM] = {LENGTH, 0, 1, 1},
    [OW_UNIT_INCH] = {LENGTH, 0, 25.4, 1},      [OW_UNIT_CM] = {LENGTH, 0, 10, 1},
    [OW_UNIT_M] = {LENGTH, 0, 1000, 1},         [OW_UNIT_W] = {POWER, 0, 1, 1},
    [OW_UNIT_KW] = {POWER, 0, 1000, 1},
};

static const struct {
    const char *name;
    ow_unit unit;
} senml[] = {
    {"Cel", OW_UNIT_C},     {"K", OW_UNIT_K},       {"%RH", OW_UNIT_PERCENT},
    {"%", OW_UNIT_PERCENT}, {"/", OW_UNIT_SHARE},   {"/100", OW_UNIT_PERCENT},
    {"m/s", OW_UNIT_M_S},   {"km/h", OW_UNIT_KM_H}, {"W/m2", OW_UNIT_W_M2},
    {"m", OW_UNIT_M},       {"cm", OW_UNIT_CM},     {"mm", OW_UNIT_MM},
    {"W", OW_UNIT_W},       {"kW", OW_UNIT_KW},
};

bool ow_unit_fits(ow_unit from, ow_unit to)
{
    return table[from].of == table[to].of;
}

double ow_unit_convert(double value, ow_unit from, ow_unit to)
{
    const struct unit *f = &table[from], *t = &table[to];
    if (from == to) {
        return value;
    }
    if (f->of != t->of) {
        return NAN;
    }
    return (value + f->shift) * f->up / f->down * t->down / t->up - t->shift;
}

bool ow_unit_of_senml(const char *name, ow_unit *unit)
{
    for (size_t i = 0; i < sizeof senml / sizeof senml[0]; i++) {
        if (strcmp(name, senml[i].name) == 0) {
            *unit = senml[i].unit;
            return true;
        }
    }
    return false;
}
