/* SPDX-License-Identifier: MIT */
/*
 * The air that a heater keeps for now. Whoever looks ahead may ask for less than the garden file
 * keeps, or for more before a night that its watts cannot hold; never for more or less than this
 * allows, whatever was asked.
 */
#ifndef OVERWINTER_OUTPUTS_SET_POINT_H
#define OVERWINTER_OUTPUTS_SET_POINT_H

#include <stdint.h>

/* So far above what is kept the air is warmed beforehand (ours). */
#define OW_EARLY_MK 3000

/* Thousandths of a degree Celsius; OW_MILLI_NONE for what is not said. */
typedef struct ow_set_point {
    int32_t keep_mc;     /* keep_air_above_c */
    int32_t set_back_mc; /* lowest; none, or above keep_mc: keep_mc */
    int32_t too_warm_mc;
    int32_t wanted_mc;   /* none: keep_mc */
} ow_set_point;

/* Between set_back_mc and OW_EARLY_MK above keep_mc, and warmed up with its bands below
 * too_warm_mc; settings that do not fit together: keep_mc, which no heater goes on with. */
int32_t ow_heater_set_mc(ow_set_point point);

#endif
