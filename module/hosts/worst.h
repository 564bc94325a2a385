/* SPDX-License-Identifier: MIT */
/* The worst that a plant went through in a rehearsal, as far as the views showed it. */
#ifndef OVERWINTER_HOSTS_WORST_H
#define OVERWINTER_HOSTS_WORST_H

#include "overwinter.h"

typedef struct ow_worst {
    double root_coldest_c, ice_share, frozen_days; /* NAN: has no root ball */
    int nearest_part;                              /* -1: no part has a limit */
    double nearest_k;                              /* least margin above damaged_c */
} ow_worst;

/* Before the first view. */
ow_worst ow_worst_none(void);

/* Takes a view in. */
void ow_worst_note(ow_worst *worst, const ow_plant_view *view);

#endif
