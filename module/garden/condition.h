/* SPDX-License-Identifier: MIT */
/*
 * How one plant has fared so far: limits watched, quick thaw, drought clock, hardening, and the
 * marks of freezing and thawing. Fed once a step with what the model sensed.
 */
#ifndef OVERWINTER_GARDEN_CONDITION_H
#define OVERWINTER_GARDEN_CONDITION_H

#include "physics/calendar.h"
#include "physics/solver.h"
#include "plants/drought.h"
#include "plants/harm.h"
#include "plants/season.h"
#include "plants/tolerance.h"

/* What the model says of one plant at the end of a step. NAN: it has no such part. */
typedef struct ow_sense {
    ow_inside root;       /* the root ball; of a bed the top OW_ROOT_ZONE_M */
    double part_c[OW_PARTS]; /* roots: the coldest of the root ball */
    double air_c;         /* of the place */
    double leaf_air_c;    /* at the leaves, covers counted */
    double sun_wm2;       /* on the leaves */
    double wind_ms;       /* at the plant */
} ow_sense;

#define OW_ROOT_ZONE_M 0.3

typedef struct ow_marks {
    double half_s, nine_tenths_s;       /* first at that ice share, UTC s; NAN: not yet */
    double thaw_half_s, thaw_gone_s;    /* later, first down to 0.5 and 0.01 */
    double last_ice;                    /* NAN before the first step */
} ow_marks;

typedef struct ow_condition {
    ow_harm_watch watch[OW_PARTS];
    ow_thaw_watch thaw[OW_PARTS]; /* foliage and buds only */
    ow_drought drought;
    ow_hardening hardening;
    ow_marks marks;
    double frozen_through_s;
    double compared_c[OW_PARTS]; /* what was held against the limits last; NAN: nothing */
} ow_condition;

void ow_condition_start(ow_condition *condition, ow_utc_s utc_s, double latitude_deg);

/* One step of dt_s that ended at end_s, in that season (ow_season_at). */
void ow_condition_step(ow_condition *condition, const ow_tolerance *tolerance,
                       const ow_sense *sense, const ow_season *season, ow_utc_s end_s, double dt_s);

/* The limit of a part as hardening leaves it now. */
ow_limit ow_condition_limit(const ow_condition *condition, const ow_tolerance *tolerance,
                            ow_part part);

/* The part that is nearest its limit as held against it last, and how far above damaged_c it is, K
 * (negative: below). -1, and INFINITY, when no part has a limit. */
int ow_condition_nearest(const ow_condition *condition, const ow_tolerance *tolerance,
                         double *margin_k);

#endif
