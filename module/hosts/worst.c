/* SPDX-License-Identifier: MIT */
#include "hosts/worst.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The other states leave hands free, even where an act could still ease what comes. */
static bool asks(const char *state)
{
    static const char *const asking[] = {"cover soon", "carry in", "thaw needed", "uncover",
                                         "carry out"};
    for (size_t i = 0; state != NULL && i < sizeof asking / sizeof asking[0]; i++) {
        if (strcmp(state, asking[i]) == 0) {
            return true;
        }
    }
    return false;
}

ow_worst ow_worst_none(void)
{
    return (ow_worst){.root_coldest_c = NAN,
                      .ice_share = NAN,
                      .frozen_days = NAN,
                      .nearest_part = -1,
                      .nearest_k = NAN,
                      .asked_by_s = INT64_MIN};
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
    if (worst->asked[0] == '\0' && asks(view->state)) {
        snprintf(worst->asked, sizeof worst->asked, "%s", view->state);
        worst->asked_by_s = view->act_by_s;
        worst->asked_late = view->late;
    }
}
