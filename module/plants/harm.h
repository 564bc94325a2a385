/* SPDX-License-Identifier: MIT */
/* Watchers that see a limit passed for long enough, and a frozen part thawed too quickly. */
#ifndef OVERWINTER_PLANTS_HARM_H
#define OVERWINTER_PLANTS_HARM_H

#include <stdbool.h>

#include "physics/calendar.h"
#include "plants/tolerance.h"

typedef struct ow_harm_watch {
    double below_damaged_s; /* without a break until now */
    double below_killed_s;
    bool damaged, killed;           /* passed, and never unpassed */
    ow_utc_s damaged_at, killed_at; /* when it had lasted long enough; valid when passed */
    double lowest_c;                /* NAN before the first step */
    ow_utc_s lowest_at;
} ow_harm_watch;

void ow_harm_watch_start(ow_harm_watch *watch);

/*
 * One step of dt_s ending at time_s with the temperature that held (see ow_limit_compared_c)
 * against the limit as it is now (see ow_limit_now). Colder than the limit for limit->minutes
 * without a break passes it. A limit that is not set only records the lowest. A NAN temperature
 * breaks nothing and adds nothing.
 */
void ow_harm_watch_step(ow_harm_watch *watch, const ow_limit *limit, double compared_c,
                        ow_utc_s time_s, double dt_s);

/*
 * Quick thaw: buds and frozen evergreen leaves that the morning sun thaws in a hurry are harmed
 * by it (common practice, no source; the three numbers are ours).
 */
#define OW_THAW_FROZEN_C (-2.0) /* colder than this when the sun reaches it: frozen */
#define OW_THAW_SUN_WM2 50.0    /* this much sun on the part counts as sun */
#define OW_THAW_QUICK_K_H 4.0   /* warming faster than this while still below 0 C is too quick */

typedef struct ow_thaw_watch {
    double last_c;         /* NAN before the first step */
    bool in_sun;           /* at the last step */
    bool frozen_at_sun;    /* was frozen when the sun reached it, and has not thawed since */
    bool too_quick;        /* thawed too quickly, once or more */
    ow_utc_s too_quick_at; /* the first time; valid when too_quick */
} ow_thaw_watch;

/* Whether quick thaw harms this part of a plant with such leaves. */
bool ow_thaw_harms(ow_part part, ow_leaves leaves);

void ow_thaw_watch_start(ow_thaw_watch *watch);

/* One step of dt_s ending at time_s: the part at part_c, that much sun on it (after shade). */
void ow_thaw_watch_step(ow_thaw_watch *watch, double part_c, double sun_wm2, ow_utc_s time_s,
                        double dt_s);

#endif
