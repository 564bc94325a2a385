/* SPDX-License-Identifier: MIT */
/* How long a plant holds out in a steady frost, bare and under each cover at hand for it. */
#ifndef OVERWINTER_JUDGEMENT_STEADY_FROST_H
#define OVERWINTER_JUDGEMENT_STEADY_FROST_H

#include "garden/garden.h"
#include "garden/spot.h"
#include "physics/calendar.h"
#include "status.h"

/* An overcast windy night without end, after a mild day. */
#define OW_FROST_C (-5.0)
#define OW_FROST_WIND_MS 3.0
#define OW_FROST_CLOUD_PCT 100.0
#define OW_FROST_START_C 4.0
#define OW_FROST_DAYS 21

enum { OW_FROST_STEP_S = 1800 };

/* When it begins: midwinter of the garden's half of the earth. */
ow_utc_s ow_frost_from_s(const ow_garden *garden);

/* What a place offers in it, a plant under glass or indoors as in the open; with another wind and
 * another sky than those of the frost above. */
ow_spot ow_frost_spot(const ow_garden *garden, const ow_place *home, double wind_ms,
                      double cloud_pct);

enum { OW_FROST_DRESSES = 8 }; /* bare, then the first covers of the plant's list */

/* Hours from the start of the frost; NAN: not within OW_FROST_DAYS. */
typedef struct ow_frost_course {
    double half_h, through_h; /* root ball half ice, and frozen through */
    double harm_h;            /* the first limit of harm is passed */
    ow_part part;             /* of that limit; valid when harm_h is a number */
} ow_frost_course;

/* How many courses ow_steady_frost gives of a plant: one bare, one for each cover. */
int ow_frost_dresses(const ow_plant *plant);

/*
 * Steps a plant of the garden through the frost where it stands; a plant under glass or indoors
 * as if it stood in the open. course[0] is bare, course[i] under the i-th cover. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_steady_frost(const ow_garden *garden, int plant,
                                   ow_frost_course course[OW_FROST_DRESSES]);

#endif
