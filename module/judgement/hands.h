/* SPDX-License-Identifier: MIT */
/*
 * Hands: when members of the household are free for jobs, what they can lift, and until when it is
 * light. A garden without a household has hands at any hour, for any weight.
 *
 * A member's `hands` are its free hours of each local day; without them it is free at any hour, in
 * its `quiet` ones only when there is no other time. Two lift together when both are free. Light is
 * a sun less than 6 degrees below the horizon (civil twilight).
 */
#ifndef OVERWINTER_JUDGEMENT_HANDS_H
#define OVERWINTER_JUDGEMENT_HANDS_H

#include "garden/garden.h"
#include "judgement/outlook.h"
#include "judgement/reason.h"

#define OW_HANDS_SLOT_S 600
enum { OW_HANDS_SLOTS = 11 * 24 * 6 }; /* eleven days */

typedef struct ow_hands {
    bool limited; /* false: no household is named */
    ow_utc_s start_s;
    int slots;
    unsigned char free[OW_HANDS_SLOTS];  /* members free in a slot */
    unsigned char awake[OW_HANDS_SLOTS]; /* those of them outside their quiet hours */
    bool light[OW_HANDS_SLOTS];
    double one_kg, two_kg; /* what the strongest moves alone, and the two strongest together */
} ow_hands;

/* Looks from now_s to until_s (at most eleven days). */
void ow_hands_look(ow_hands *hands, const ow_garden *garden, const ow_local *local, ow_utc_s now_s,
                   ow_utc_s until_s);

/* People that a weight wants: 1, 2, or 0 when nobody can move it. NAN kg wants one. */
int ow_hands_to_lift(const ow_hands *hands, double kg);

/* Minutes of hands until by_s, summed over people: INFINITY without a household. With `light`, by
 * daylight only; with people 2, of pairs (each counts both). */
double ow_hands_minutes(const ow_hands *hands, ow_utc_s by_s, int people, bool light);

/*
 * The latest time for a job that has to be done by by_s: while it is light, if there are hands
 * then; else, for a job that can be done by torch, before quiet hours begin, or when the hands end.
 * OW_NEVER for a by_s of OW_NEVER; INT64_MIN when there are no hands in time. A by_s that is past
 * comes back as it is, and so does every by_s without a household.
 */
ow_utc_s ow_hands_last_s(const ow_hands *hands, ow_utc_s by_s, int people, bool torch);

/*
 * Names of the members who could do a job at at_s (OW_NEVER: at any time): free then, strong enough
 * where one does it alone. Joined by "or", by "and" for a job of two; empty when none is named.
 */
void ow_hands_who(const ow_garden *garden, const ow_local *local, ow_utc_s at_s, int people,
                  double kg, char *text, size_t room);

/* The first time from now on that such a job can be begun; OW_NEVER: not as far as was looked. */
ow_utc_s ow_hands_first_s(const ow_hands *hands, int people, bool torch);

#endif
