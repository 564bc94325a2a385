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

/* The standard normal deviates of the two ends: a twentieth of the distribution lies beyond each. */
#define OW_RANGE_LOW (-1.6448536269514722)
#define OW_RANGE_HIGH 1.6448536269514722

/*
 * The factor at a standard normal deviate: 1 at 0, the ends at OW_RANGE_LOW and OW_RANGE_HIGH, by
 * ratio between; held within 2.5 deviations.
 */
double ow_range_at(ow_range range, double normal);

/* One standard deviation of the factor's natural logarithm. */
double ow_range_spread(ow_range range);

#endif
