/* SPDX-License-Identifier: MIT */
/* When a harmed part can show what lived. */
#ifndef OVERWINTER_PLANTS_LOOKBACK_H
#define OVERWINTER_PLANTS_LOOKBACK_H

#include "physics/calendar.h"
#include "plants/parts.h"

/*
 * The day to look again after a part was harmed (common practice, no source): foliage after four
 * weeks; buds and roots on 1 May; a storage organ, when it should have sprouted, on 15 June; a
 * growing point well into growth, on 1 July; half a year later south of the equator.
 */
ow_utc_s ow_look_again_s(ow_part part, ow_utc_s harmed_s, double latitude_deg);

#endif
