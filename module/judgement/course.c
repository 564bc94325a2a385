/* SPDX-License-Identifier: MIT */
#include "judgement/course.h"

#include <math.h>

/* Ice shares at which half of a thaw is done, and all of it. */
static const double HALF = 0.5, GONE = 0.01;

void ow_course_start(ow_course *c, ow_actor *actor)
{
    *c = (ow_course){.suffers_s = OW_NEVER,
                     .may_die_s = OW_NEVER,
                     .frost_s = OW_NEVER,
                     .frozen_s = OW_NEVER,
                     .open_s = OW_NEVER,
                     .half_s = OW_NEVER,
                     .gone_s = OW_NEVER,
                     .reset_s = OW_NEVER,
                     .lowest_air_c = INFINITY};
    for (int p = 0; p < OW_PARTS; p++) { /* what was passed already is not news */
        ow_harm_watch_start(&actor->condition.watch[p]);
        actor->condition.thaw[p].too_quick = false;
        c->limit_c[p] = NAN;
    }
}

static void note_first(ow_utc_s *at, bool now, ow_utc_s end_s)
{
    if (now && *at == OW_NEVER) {
        *at = end_s;
    }
}

void ow_course_step(ow_course *c, const ow_actor *a, const ow_tolerance *stands, ow_utc_s end_s)
{
    const ow_condition *k = &a->condition;
    double days = ow_drought_clock_days(&k->drought);
    bool open = a->sense.root.open_share >= OW_OPEN_VOLUME;
    note_first(&c->suffers_s, days >= stands->suffers_days, end_s);
    note_first(&c->may_die_s, days >= stands->may_die_days, end_s);
    note_first(&c->frost_s, a->sense.air_c < 0.0, end_s);
    note_first(&c->frozen_s, k->drought.frozen_through, end_s);
    note_first(&c->open_s, open && k->drought.was_frozen, end_s);
    note_first(&c->half_s, k->drought.was_frozen && open && a->sense.root.ice_share < HALF, end_s);
    note_first(&c->gone_s, c->half_s != OW_NEVER && a->sense.root.ice_share <= GONE, end_s);
    note_first(&c->reset_s, !k->drought.was_frozen, end_s);
    c->lowest_air_c = a->sense.air_c < c->lowest_air_c ? a->sense.air_c : c->lowest_air_c;
    for (int p = 0; p < OW_PARTS; p++) {
        if (stands->limit[p].set && k->watch[p].lowest_at == end_s) {
            c->limit_c[p] = ow_condition_limit(k, stands, (ow_part)p).damaged_c;
        }
    }
}

void ow_course_end(ow_course *c, const ow_actor *a)
{
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_harm_watch *w = &a->condition.watch[p];
        c->damaged_s[p] = w->damaged ? w->damaged_at : OW_NEVER;
        c->killed_s[p] = w->killed ? w->killed_at : OW_NEVER;
        c->lowest_c[p] = w->lowest_c;
        c->lowest_s[p] = w->lowest_at;
        const ow_thaw_watch *thaw = &a->condition.thaw[p];
        c->quick_s[p] = thaw->too_quick ? thaw->too_quick_at : OW_NEVER;
    }
    c->clock_days = ow_drought_clock_days(&a->condition.drought);
}

double ow_course_margin_k(const ow_course *course)
{
    double margin = INFINITY;
    for (int p = 0; p < OW_PARTS; p++) { /* fmin passes over the NAN of what is not known */
        margin = fmin(margin, course->lowest_c[p] - course->limit_c[p]);
    }
    return margin;
}
