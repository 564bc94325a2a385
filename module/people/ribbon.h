/* SPDX-License-Identifier: MIT */
/*
 * The next 72 hours of a plant as a ribbon: its height above the line is the distance to the limit
 * (0 to 10 K), a full block where the limit is passed; ice hangs below the line like icicles.
 */
#ifndef OVERWINTER_PEOPLE_RIBBON_H
#define OVERWINTER_PEOPLE_RIBBON_H

#include <stdio.h>

#include "judgement/reason.h"
#include "judgement/track.h"

enum { OW_RIBBON_H = 72 };

/* Draws from now_s on over 72 hours into x, y, width, height in pixels. */
void ow_ribbon_draw(FILE *file, const ow_track *track, ow_utc_s now_s, const ow_local *local,
                    double x, double y, double width, double height);

/* The least margin within the 72 hours and when its point begins; NAN: none known. */
double ow_ribbon_least_k(const ow_track *track, ow_utc_s now_s, ow_utc_s *at_s);

#endif
