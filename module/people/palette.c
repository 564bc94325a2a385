/* SPDX-License-Identifier: MIT */
#include "people/palette.h"

#include <math.h>

int ow_palette_step(double value, double low, double high)
{
    if (isnan(value)) {
        return -1;
    }
    double share = (value - low) / (high - low);
    return (int)floor(fmin(fmax(share, 0.0), 0.999) * OW_PALETTE_STEPS);
}

int ow_palette_of_c(double t_c)
{
    return ow_palette_step(t_c, -10.0, 10.0);
}

int ow_palette_of_margin_k(double margin_k)
{
    return ow_palette_step(margin_k, 0.0, 10.0);
}
