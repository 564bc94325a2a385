/* SPDX-License-Identifier: MIT */
#include "physics/range.h"

#include <math.h>

#include "physics/ow_math.h"

/* A twentieth of the normal distribution lies beyond the first. */
static const double TWENTIETH = 1.6448536269514722, MOST = 2.5;

double ow_range_at(ow_range range, double normal)
{
    double share = fmin(fabs(normal), MOST) / TWENTIETH;
    return normal == 0.0 ? 1.0 : ow_exp(share * ow_log(normal < 0.0 ? range.low : range.high));
}
