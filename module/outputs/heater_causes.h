/* SPDX-License-Identifier: MIT */
/* What speaks against a heater being on, and what for it. Used by heater.c; open to tests. */
#ifndef OVERWINTER_OUTPUTS_HEATER_CAUSES_H
#define OVERWINTER_OUTPUTS_HEATER_CAUSES_H

#include "outputs/heater.h"

/* A meter may read this much off, and a heater this share off its watts, before it counts: the
 * mains may be a tenth high (power a fifth) and a heater a twentieth above its plate. Common
 * practice, no source. */
#define OW_POWER_SLACK_MW 5000u
#define OW_POWER_HIGH_PCT 130u
#define OW_POWER_LOW_PCT 50u
#define OW_POWER_IDLE_PCT 5u

#define OW_HEATER_WATTS_MAX 100000u
#define OW_POWER_MAX_MW 200000000

/* True when the settings make sense together. */
bool ow_heater_spec_sound(const ow_heater_spec *spec);

/* True when the air may be judged by. */
bool ow_heater_air_usable(const ow_heater_spec *spec, ow_sensed air);

/* True when the air is to be warmed: below what is kept, then until a band above it. */
bool ow_heater_wants(const ow_heater_spec *spec, ow_sensed air, bool wanted);

/* Every cause seen now, save the events that await a reading. */
ow_blocks ow_heater_causes(const ow_heater_spec *spec, const ow_heater *heater,
                           const ow_heater_inputs *in);

#endif
