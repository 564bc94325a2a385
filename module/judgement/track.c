/* SPDX-License-Identifier: MIT */
#include "judgement/track.h"

#include <math.h>
#include <string.h>

void ow_track_start(ow_track *track)
{
    track->n = 0;
}

static ow_track_point nothing(void)
{
    ow_track_point p = {.root_c = NAN, .ice_share = NAN, .margin_k = NAN};
    for (int i = 0; i < OW_PARTS; i++) {
        p.part_c[i] = p.limit_c[i] = NAN;
    }
    return p;
}

static void append(ow_track *t)
{
    if (t->n == OW_TRACK_POINTS) {
        memmove(t->point, t->point + 1, sizeof t->point - sizeof t->point[0]);
        t->from_s += OW_TRACK_POINT_S;
        t->n--;
    }
    t->point[t->n++] = nothing();
}

/* The point that a step ending at end_s falls into; NULL: none. */
static ow_track_point *point_at(ow_track *t, ow_utc_s end_s, bool rolls)
{
    ow_utc_s begin_s = (end_s - 1) - (end_s - 1) % OW_TRACK_POINT_S;
    ow_utc_s week_s = (ow_utc_s)OW_TRACK_POINTS * OW_TRACK_POINT_S;
    if (t->n == 0 || (rolls && begin_s - t->from_s >= 2 * week_s)) {
        t->n = 0;
        t->from_s = begin_s;
    }
    ow_utc_s index = (begin_s - t->from_s) / OW_TRACK_POINT_S;
    if (index < t->n - 1 || (!rolls && index >= OW_TRACK_POINTS)) {
        return NULL;
    }
    while (t->from_s + (ow_utc_s)t->n * OW_TRACK_POINT_S <= begin_s) {
        append(t);
    }
    return &t->point[t->n - 1];
}

void ow_track_note(ow_track *t, const ow_actor *a, const ow_tolerance *stands, ow_utc_s end_s,
                   bool rolls)
{
    ow_track_point *p = point_at(t, end_s, rolls);
    if (p == NULL) {
        return;
    }
    p->root_c = (float)a->sense.root.mean_c;
    p->ice_share = (float)a->sense.root.ice_share;
    for (int i = 0; i < OW_PARTS; i++) {
        ow_limit limit = ow_condition_limit(&a->condition, stands, (ow_part)i);
        double compared_c = a->condition.compared_c[i];
        if (isnan(compared_c)) {
            continue;
        }
        p->part_c[i] = fminf(p->part_c[i], (float)compared_c);
        if (limit.set) {
            p->limit_c[i] = (float)limit.damaged_c;
            p->margin_k = fminf(p->margin_k, (float)(compared_c - limit.damaged_c));
        }
    }
}

void ow_track_pack(ow_track *t, ow_pack *pack)
{
    const unsigned char *bytes = (const unsigned char *)t->point;
    size_t point = sizeof t->point[0], size = (size_t)t->n * point;
    ow_pack_time(pack, &t->from_s);
    ow_pack_bytes(pack, &bytes, &size);
    if (!pack->reading || pack->status != OW_OK) {
        return;
    }
    bool fits =
        size % point == 0 && size / point <= OW_TRACK_POINTS && t->from_s % OW_TRACK_POINT_S == 0;
    t->n = fits ? (int)(size / point) : 0;
    memcpy(t->point, bytes, (size_t)t->n * point);
}
