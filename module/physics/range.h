/* SPDX-License-Identifier: MIT */
/*
 * How far published tables disagree about a number: the factors on the table's own value between
 * which nine out of ten published or measured ones lie.
 */
#ifndef OVERWINTER_PHYSICS_RANGE_H
#define OVERWINTER_PHYSICS_RANGE_H

typedef struct ow_range {
    double low, high; /* 0 < low <= 1 <= high */
} ow_range;

/*
 * The factor at a standard normal deviate: 1 at 0, low at -1.645, high at 1.645 (a twentieth lies
 * beyond each), by ratio between; held within 2.5 deviations.
 */
double ow_range_at(ow_range range, double normal);

#endif
