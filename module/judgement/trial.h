/* SPDX-License-Identifier: MIT */
/* An act that is tried on a plant ahead of time. */
#ifndef OVERWINTER_JUDGEMENT_TRIAL_H
#define OVERWINTER_JUDGEMENT_TRIAL_H

#include "garden/cast.h"

/* Another way for a plant: from at_s on it wears `covers` more, or fewer, stands elsewhere, is
 * watered, or the air of the glasshouse that it stands in is kept warmer. */
enum { OW_TRIAL_COVERS = 2 };
typedef struct ow_trial {
    int place;                    /* index; -1: stays */
    int covers;                   /* how many of `cover` go on */
    int cover[OW_TRIAL_COVERS];   /* indices in garden.covers */
    bool point;                   /* they go round the growing point only */
    bool bare;                    /* all covers come off first */
    bool home;                    /* the place is its own again */
    bool sheds;                   /* the cover `shed` comes off, for another plant */
    int shed;
    bool wet;                     /* a dry pot is watered through */
    bool warm;                    /* its glasshouse is kept at ow_guide_most_c */
    ow_utc_s at_s;
} ow_trial;

/* Changes where an actor stands and what it wears as a trial says. Covers that no longer fit on are
 * left away. */
void ow_trial_apply(const ow_trial *trial, const ow_garden *garden, ow_actor *actor);
/* All of it on an actor of a cast; the air of a house is the caller's. */
void ow_trial_play(const ow_trial *trial, ow_cast *cast, int actor);

/* The same act, whatever its hour. */
bool ow_trial_same(const ow_trial *a, const ow_trial *b);

#endif
