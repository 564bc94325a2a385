/* SPDX-License-Identifier: MIT */
/*
 * Hardening in autumn and softening in spring.
 *
 * The hardened share, 0..1, never exceeds what the season allows: 0 in summer, rising from
 * 1 September to 1 December as days shorten, 1 until 1 March, falling to 0 by 15 May with growth
 * (six months later south of the equator). Short days alone give half of it; the other half wants
 * cool air: all of it with a three-day mean of 8 C or colder, none at 12 C or warmer. The share
 * moves towards that at 1/30 a day (some weeks of cool days harden a plant); it falls at 1/30 a day
 * before midwinter and at 1/10 a day after it, when a warm spell starts growth.
 * The shape is a plain reading of freezing tests: leaves of seedlings went from above -5 C to -14 C
 * in 50 days of cool nights (Harwood 1981, Aust. J. Bot. 29:209); evergreens are back at -1 to
 * -5 C in summer (Warrington & Stanley 1987, NZ J. Exp. Agric. 15:357). The dates and rates are
 * ours.
 */
#ifndef OVERWINTER_PLANTS_SEASON_H
#define OVERWINTER_PLANTS_SEASON_H

#include <stdbool.h>

#include "physics/calendar.h"
#include "plants/tolerance.h"

/* Nothing soft is taken to be harmed, killed above these (Metrosideros, the warmest in summer). */
#define OW_SOFT_DAMAGED_C (-1.0)
#define OW_SOFT_KILLED_C (-2.0)

typedef struct ow_hardening {
    double hardened; /* 0 soft .. 1 fully hardened */
    double mean_c;   /* running mean of the air, three-day time constant */
    bool south;      /* southern hemisphere */
    bool spring;     /* the last time seen was between midwinter and midsummer */
} ow_hardening;

/* The share that the date allows; latitude_deg < 0 is south. */
double ow_hardening_allowed(ow_utc_s time_s, double latitude_deg);

/*
 * Starts from a date alone: as hard as the season allows (mid-January 1, mid-October about a
 * half, July 0 in the north), the days before taken as cool.
 */
void ow_hardening_start(ow_hardening *hardening, ow_utc_s time_s, double latitude_deg);

/* What date and length of a step say, the same for all plants; [0] north, [1] south. */
typedef struct ow_season {
    double allowed[2]; /* ow_hardening_allowed at the step's end */
    bool spring[2];    /* that lies between midwinter and midsummer */
    double days;       /* the step's length */
    double follows;    /* of the way to the step's air that the running mean goes, 0..1 */
} ow_season;

/* The season of a step of dt_s (up to a day) that ends at time_s. */
ow_season ow_season_at(ow_utc_s time_s, double dt_s);

/*
 * One step with the mean air_c of the step at the plant. A NAN air_c leaves the running mean as it
 * was.
 */
void ow_hardening_step(ow_hardening *hardening, const ow_season *season, double air_c);

/*
 * The limit as it is now, warmed by (1 - hardened) of what the plant is softer in summer: soft_k,
 * but no more than brings damaged_c to OW_SOFT_DAMAGED_C and killed_c to OW_SOFT_KILLED_C; a limit
 * that is warmer than that already stays. Exactly the limit itself when fully hardened. What a
 * reason says ("not yet hardened: 2.1 K warmer") is the difference to the limit.
 */
ow_limit ow_limit_now(const ow_limit *limit, double soft_k, double hardened);

#endif
