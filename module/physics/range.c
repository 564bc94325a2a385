/* SPDX-License-Identifier: MIT */
#include "physics/range.h"

#include <math.h>

#include "physics/ow_math.h"

static const double MOST = 2.5;

double ow_range_at(ow_range range, double normal)
{
    double share = fmin(fabs(normal), MOST) / OW_RANGE_HIGH;
    return normal == 0.0 ? 1.0 : ow_exp(share * ow_log(normal < 0.0 ? range.low : range.high));
}

double ow_range_spread(ow_range range)
{
    return ow_log(range.high / range.low) / (OW_RANGE_HIGH - OW_RANGE_LOW);
}
