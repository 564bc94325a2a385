/* SPDX-License-Identifier: MIT */
/* The word lists of garden.h as the table of keys wants them: words in the enum's order. */
#ifndef OVERWINTER_GARDEN_WORDS_H
#define OVERWINTER_GARDEN_WORDS_H

#include <stddef.h>

/* *n gets the number of words. Constant, last for ever. */
const char *const *ow_light_names(size_t *n);
const char *const *ow_value_names(size_t *n);
const char *const *ow_limit_of_names(size_t *n);
const char *const *ow_measures_names(size_t *n);
const char *const *ow_output_kind_names(size_t *n);
const char *const *ow_hears_names(size_t *n);
const char *const *ow_announced_names(size_t *n);

/* The media that a pot or bed may hold: ow_medium_names without trunks and bare water. */
const char *const *ow_soil_names(size_t *n);

/* The units of one quantity; each list is a run of ow_unit, from the value named here on. */
const char *const *ow_temperature_units(size_t *n); /* from OW_UNIT_C */
const char *const *ow_share_units(size_t *n);       /* from OW_UNIT_PERCENT */
const char *const *ow_cloud_units(size_t *n);       /* from OW_UNIT_PERCENT */
const char *const *ow_speed_units(size_t *n);       /* from OW_UNIT_M_S */
const char *const *ow_radiation_units(size_t *n);   /* from OW_UNIT_W_M2 */
const char *const *ow_rain_units(size_t *n);        /* from OW_UNIT_MM */
const char *const *ow_depth_units(size_t *n);       /* from OW_UNIT_MM */
const char *const *ow_power_units(size_t *n);       /* from OW_UNIT_W */

#endif
