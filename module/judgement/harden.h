/* SPDX-License-Identifier: MIT */
/*
 * Hardening off: a plant that wintered in a room or under glass, and is soft, goes out by day and
 * in again at night before it goes back to its place for good.
 *
 * Common practice, no source: OW_HARDEN_DAYS days, in mild shade and out of the wind, on days whose
 * light hours stay at OW_HARDEN_AIR_C or above; days need not follow each other. It is asked of a
 * plant that has been in for OW_HARDEN_AFTER_S (ours) and is less than half hardened.
 */
#ifndef OVERWINTER_JUDGEMENT_HARDEN_H
#define OVERWINTER_JUDGEMENT_HARDEN_H

#include "garden/pack.h"
#include "judgement/chores.h"
#include "judgement/ways.h"

#define OW_HARDEN_AIR_C 8.0
#define OW_HARDEN_AFTER_S (14 * OW_DAY_S)
enum { OW_HARDEN_DAYS = 10 };

/* One plant's way out. */
typedef struct ow_harden {
    ow_utc_s in_since_s;  /* a guest in a room or under glass since then; 0: it is none */
    int days;             /* it was out on */
    int64_t last_day;     /* the last of these, in days of the sun since 1970 */
    int64_t asked_day;    /* the one asked for; 0: none */
} ow_harden;

/* Where it stands now: begins, goes on, or is over. */
void ow_harden_note(ow_harden *harden, const ow_scene *scene, int plant);

/* Whether it has to be hardened off before it goes home. */
bool ow_harden_is_due(const ow_harden *harden, const ow_scene *scene, int plant);

/*
 * Asks for the next day that is mild enough, today's or tomorrow's, as a chore by the hour at which
 * its light begins; a day that has begun wants four hours of light left. What the outlook does not
 * see is not asked for.
 */
void ow_harden_ask(ow_harden *harden, const ow_outlook *outlook, const ow_scene *scene, int plant,
                   ow_chore_set *chores);

/* Takes the home-coming out of a survey while hardening is due. */
void ow_harden_hold(const ow_harden *harden, const ow_scene *scene, int plant, ow_survey *survey);

/* It was out on the day that was asked for. */
void ow_harden_done(ow_harden *harden);

void ow_harden_pack(ow_harden *harden, ow_pack *pack);

#endif
