/* SPDX-License-Identifier: MIT */
/*
 * Units of what is measured. The factors are exact by definition: ISO 80000-3 (length, speed),
 * ISO 80000-5 (temperatures), NIST SP 811 appendix B (inch 25.4 mm, mile 1609.344 m, nautical mile
 * 1852 m); an okta is an eighth of the sky.
 */
#ifndef OVERWINTER_GARDEN_UNITS_H
#define OVERWINTER_GARDEN_UNITS_H

#include "garden/garden.h"

#include <stdbool.h>

/* False: the two measure different things. A length stays a length: rain and snow share theirs. */
bool ow_unit_fits(ow_unit from, ow_unit to);

/* `value` in another unit; NAN when the two do not fit each other. */
double ow_unit_convert(double value, ow_unit from, ow_unit to);

/* The unit that a SenML name (RFC 8428 section 12.1, RFC 8798) stands for. False: none of ours. */
bool ow_unit_of_senml(const char *name, ow_unit *unit);

#endif
