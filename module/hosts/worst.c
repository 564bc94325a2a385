/* SPDX-License-Identifier: MIT */
#include "hosts/worst.h"

#include <math.h>

ow_worst ow_worst_none(void)
{
    return (ow_worst){NAN, NAN, NAN, -1, NAN};
}

void ow_worst_note(ow_worst *worst, const ow_plant_view *view)
{
    worst->root_coldest_c = fmin(worst->root_coldest_c, view->root_coldest_c);
    worst->ice_share = fmax(worst->ice_share, view->ice_share);
    worst->frozen_days = fmax(worst->frozen_days, view->frozen_days);
    if (view->nearest_part >= 0 && !(view->nearest_k >= worst->nearest_k)) {
        worst->nearest_part = view->nearest_part;
        worst->nearest_k = view->nearest_k;
    }
}
