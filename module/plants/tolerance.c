/* SPDX-License-Identifier: MIT */
#include "plants/tolerance.h"

#include <math.h>
#include <stddef.h>

void ow_tolerance_own(ow_tolerance *tolerance)
{
    *tolerance = (ow_tolerance){.leaves = OW_LEAVES_EVERGREEN,
                                .suffers_days = 21.0,
                                .may_die_days = 42.0,
                                .soft_k = 2.0,
                                .kind = "own limits"};
}

ow_limit ow_limit_own(double damaged_c, double killed_c, bool of_air)
{
    return (ow_limit){.set = true,
                      .damaged_c = damaged_c,
                      .killed_c = killed_c,
                      .of_air = of_air,
                      .minutes = OW_LIMIT_MINUTES,
                      .grade = 'O',
                      .source = "own",
                      .meaning = "stated by the grower"};
}

double ow_limit_compared_c(const ow_limit *limit, double part_c, double air_c)
{
    if (!limit->of_air && !isnan(part_c)) {
        return part_c;
    }
    return part_c > air_c || isnan(air_c) ? part_c : air_c; /* a NAN is left out */
}
