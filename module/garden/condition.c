/* SPDX-License-Identifier: MIT */
#include "garden/condition.h"

#include <math.h>

void ow_condition_start(ow_condition *c, ow_utc_s utc_s, double latitude_deg)
{
    *c = (ow_condition){.marks = {NAN, NAN, NAN, NAN, NAN}};
    for (int p = 0; p < OW_PARTS; p++) {
        ow_harm_watch_start(&c->watch[p]);
        ow_thaw_watch_start(&c->thaw[p]);
        c->compared_c[p] = NAN;
    }
    ow_drought_start(&c->drought);
    ow_hardening_start(&c->hardening, utc_s, latitude_deg);
}

ow_limit ow_condition_limit(const ow_condition *c, const ow_tolerance *tolerance, ow_part part)
{
    return ow_limit_now(&tolerance->limit[part], tolerance->soft_k, c->hardening.hardened);
}

/* The same without a copy where none is needed; else in `room`. */
static const ow_limit *limit_now(const ow_condition *c, const ow_tolerance *tolerance, ow_part part,
                                 ow_limit *room)
{
    if (!tolerance->limit[part].set || c->hardening.hardened >= 1.0) {
        return &tolerance->limit[part];
    }
    *room = ow_condition_limit(c, tolerance, part);
    return room;
}

/* When a share crossed `level` within the step, linear in time. */
static void mark(double *at_s, double before, double now, double level, bool rising,
                 ow_utc_s end_s, double dt_s)
{
    bool crossed = rising ? before < level && now >= level : before > level && now <= level;
    if (isnan(*at_s) && crossed) {
        *at_s = (double)end_s - dt_s * (now - level) / (now - before);
    }
}

static void mark_ice(ow_marks *m, double ice, ow_utc_s end_s, double dt_s)
{
    double before = isnan(m->last_ice) ? ice : m->last_ice;
    mark(&m->half_s, before, ice, 0.5, true, end_s, dt_s);
    mark(&m->nine_tenths_s, before, ice, 0.9, true, end_s, dt_s);
    if (!isnan(m->half_s)) {
        mark(&m->thaw_half_s, before, ice, 0.5, false, end_s, dt_s);
        mark(&m->thaw_gone_s, before, ice, 0.01, false, end_s, dt_s);
    }
    m->last_ice = ice;
}

void ow_condition_step(ow_condition *c, const ow_tolerance *tolerance, const ow_sense *sense,
                       const ow_season *season, ow_utc_s end_s, double dt_s)
{
    ow_hardening_step(&c->hardening, season, sense->air_c);
    for (int p = 0; p < OW_PARTS; p++) {
        ow_part part = (ow_part)p;
        bool leafy = part == OW_FOLIAGE || part == OW_BUDS;
        double air = leafy ? sense->leaf_air_c : sense->air_c;
        c->compared_c[p] = NAN;
        if (!isnan(sense->part_c[p])) {
            ow_limit room;
            const ow_limit *limit = limit_now(c, tolerance, part, &room);
            c->compared_c[p] = ow_limit_compared_c(limit, sense->part_c[p], air);
            ow_harm_watch_step(&c->watch[p], limit, c->compared_c[p], end_s, dt_s);
        }
        if (ow_thaw_harms(part, tolerance->leaves)) {
            ow_thaw_watch_step(&c->thaw[p], sense->part_c[p], sense->sun_wm2, end_s, dt_s);
        }
    }
    double pace = ow_drought_pace(tolerance->leaves, false, sense->sun_wm2, sense->wind_ms);
    ow_drought_step(&c->drought, sense->root.least_relative_ice, sense->root.open_share, pace, dt_s);
    c->frozen_through_s += c->drought.frozen_through ? dt_s : 0.0;
    mark_ice(&c->marks, sense->root.ice_share, end_s, dt_s);
}

int ow_condition_nearest(const ow_condition *c, const ow_tolerance *tolerance, double *margin_k)
{
    int nearest = -1;
    *margin_k = INFINITY;
    for (int p = 0; p < OW_PARTS; p++) {
        ow_limit limit = ow_condition_limit(c, tolerance, (ow_part)p);
        double k = limit.set ? c->compared_c[p] - limit.damaged_c : NAN;
        if (k < *margin_k) {
            *margin_k = k;
            nearest = p;
        }
    }
    return nearest;
}
