/* SPDX-License-Identifier: MIT */
#include "plants/harm.h"

#include <math.h>

void ow_harm_watch_start(ow_harm_watch *watch)
{
    *watch = (ow_harm_watch){.lowest_c = NAN};
}

/* Counts time below one threshold; true in the step that makes it long enough the first time. */
static bool lasts(double *below_s, bool below, bool passed, double minutes, double dt_s)
{
    *below_s = below ? *below_s + dt_s : 0.0;
    return below && !passed && *below_s >= minutes * 60.0;
}

void ow_harm_watch_step(ow_harm_watch *watch, const ow_limit *limit, double compared_c,
                        ow_utc_s time_s, double dt_s)
{
    if (isnan(compared_c)) {
        return;
    }
    if (isnan(watch->lowest_c) || compared_c < watch->lowest_c) {
        watch->lowest_c = compared_c;
        watch->lowest_at = time_s;
    }
    if (!limit->set) {
        return;
    }
    if (lasts(&watch->below_damaged_s, compared_c < limit->damaged_c, watch->damaged,
              limit->minutes, dt_s)) {
        watch->damaged = true;
        watch->damaged_at = time_s;
    }
    if (lasts(&watch->below_killed_s, compared_c < limit->killed_c, watch->killed, limit->minutes,
              dt_s)) {
        watch->killed = true;
        watch->killed_at = time_s;
    }
}

bool ow_thaw_harms(ow_part part, ow_leaves leaves)
{
    return part == OW_BUDS || (part == OW_FOLIAGE && leaves == OW_LEAVES_EVERGREEN);
}

void ow_thaw_watch_start(ow_thaw_watch *watch)
{
    *watch = (ow_thaw_watch){.last_c = NAN};
}

void ow_thaw_watch_step(ow_thaw_watch *watch, double part_c, double sun_wm2, ow_utc_s time_s,
                        double dt_s)
{
    bool in_sun = sun_wm2 >= OW_THAW_SUN_WM2;
    if (in_sun && !watch->in_sun) { /* the sun warms within this step: frozen counts before it */
        watch->frozen_at_sun = watch->last_c < OW_THAW_FROZEN_C;
    }
    if (in_sun && watch->frozen_at_sun && dt_s > 0.0) {
        double warming_k_h = (part_c - watch->last_c) / dt_s * OW_HOUR_S;
        if (warming_k_h > OW_THAW_QUICK_K_H && !watch->too_quick) {
            watch->too_quick = true;
            watch->too_quick_at = time_s;
        }
    }
    if (!in_sun || part_c >= 0.0) {
        watch->frozen_at_sun = false;
    }
    watch->in_sun = in_sun;
    watch->last_c = part_c;
}
