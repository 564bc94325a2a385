/* SPDX-License-Identifier: MIT */
/*
 * Quiet hours: a span of the local day, which may pass midnight.
 *
 * Each span is one unbroken stretch of time, also in the nights when clocks change. Where the clock
 * goes back and an end falls into the hour that happens twice, the span begins the first time and
 * ends the last. Where it goes forward and an end falls into the hour that does not exist, that end
 * is the moment of the change.
 */
#ifndef OVERWINTER_PEOPLE_QUIET_H
#define OVERWINTER_PEOPLE_QUIET_H

#include <stdbool.h>

#include "garden/garden.h"
#include "judgement/reason.h"

/* Whether it is quiet at an instant. Hours left out, or with equal ends, are never quiet. */
bool ow_is_quiet(ow_hours hours, const ow_local *local, ow_utc_s utc_s);

/* The first and the last instant at which local clocks show `local_s` (seconds of local time since
 * 1970); in an hour that does not exist both are the moment of the change. */
ow_utc_s ow_local_first_s(const ow_local *local, int64_t local_s);
ow_utc_s ow_local_last_s(const ow_local *local, int64_t local_s);

#endif
