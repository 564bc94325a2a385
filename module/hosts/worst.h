/* SPDX-License-Identifier: MIT */
/* What a plant first asked for and the worst it went through, as far as the views showed it. */
#ifndef OVERWINTER_HOSTS_WORST_H
#define OVERWINTER_HOSTS_WORST_H

#include "overwinter.h"

#define OW_ASKED_TEXT 16

typedef struct ow_worst {
    double root_coldest_c, ice_share, frozen_days; /* NAN: has no root ball */
    int nearest_part;                              /* -1: no part has a limit */
    double nearest_k;                              /* least margin above damaged_c */
    char asked[OW_ASKED_TEXT]; /* the first state that asked for something; empty: none did */
    int64_t asked_by_s;        /* act_by of that state as it was first given; INT64_MIN: none */
    bool asked_late;           /* it had passed already */
} ow_worst;

/* Before the first view. */
ow_worst ow_worst_none(void);

/* Takes a view in. */
void ow_worst_note(ow_worst *worst, const ow_plant_view *view);

#endif
