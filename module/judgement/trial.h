/* SPDX-License-Identifier: MIT */
/* An act that is tried on a plant ahead of time. */
#ifndef OVERWINTER_JUDGEMENT_TRIAL_H
#define OVERWINTER_JUDGEMENT_TRIAL_H

#include "garden/cast.h"

/* Another way for a plant: from at_s on it wears `covers` more, or fewer, or stands elsewhere. */
enum { OW_TRIAL_COVERS = 2 };
typedef struct ow_trial {
    int place;                    /* index; -1: stays */
    int covers;                   /* how many of `cover` go on */
    int cover[OW_TRIAL_COVERS];   /* indices in garden.covers */
    bool point;                   /* they go round the growing point only */
    bool bare;                    /* all covers come off first */
    bool home;                    /* the place is its own again */
    ow_utc_s at_s;
} ow_trial;

/* Changes an actor as a trial says. Covers that no longer fit on are left away. */
void ow_trial_apply(const ow_trial *trial, const ow_garden *garden, ow_actor *actor);

/* The same act, whatever its hour. */
bool ow_trial_same(const ow_trial *a, const ow_trial *b);

#endif
