/* SPDX-License-Identifier: MIT */
#include "judgement/outlook.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- courses --------------------------------------------------------------------------------- */

/* Ice shares at which half of a thaw is done, and all of it. */
static const double HALF = 0.5, GONE = 0.01;

static void course_start(ow_course *c, ow_actor *actor)
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

static void course_step(ow_course *c, const ow_actor *a, const ow_tolerance *stands, ow_utc_s end_s)
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
    c->lowest_air_c = fmin(c->lowest_air_c, a->sense.air_c);
    for (int p = 0; p < OW_PARTS; p++) {
        if (stands->limit[p].set && k->watch[p].lowest_at == end_s) {
            c->limit_c[p] = ow_condition_limit(k, stands, (ow_part)p).damaged_c;
        }
    }
}

static void course_end(ow_course *c, const ow_actor *a)
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

/* ---- the garden ahead ------------------------------------------------------------------------ */

ow_status ow_outlook_new(const ow_scene *scene, ow_outlook **out)
{
    const ow_garden *g = scene->garden;
    ow_outlook *o = calloc(1, sizeof *o);
    if (o == NULL) {
        return OW_NO_MEMORY;
    }
    o->garden = g;
    o->step_s = scene->step_s;
    o->course = calloc((size_t)g->plant_count, sizeof *o->course);
    o->trial = calloc((size_t)g->plant_count, sizeof *o->trial);
    ow_status status = o->course != NULL && o->trial != NULL ? OW_OK : OW_NO_MEMORY;
    if (status == OW_OK) {
        status =
            ow_scene_new(g, scene->now_s, scene->step_s, scene->outdoors.weather.air_c, &o->ahead);
    }
    if (status != OW_OK) {
        ow_outlook_free(o);
        return status;
    }
    *out = o;
    return OW_OK;
}

void ow_outlook_free(ow_outlook *o)
{
    if (o == NULL) {
        return;
    }
    for (int i = 0; o->trial != NULL && i < o->garden->plant_count; i++) {
        ow_cast_free(o->trial[i]);
    }
    ow_scene_free(o->ahead);
    free(o->trial);
    free(o->course);
    free(o->spot);
    free(o);
}

ow_utc_s ow_outlook_end_s(const ow_outlook *o)
{
    return o->start_s + (ow_utc_s)o->steps * o->step_s;
}

static ow_status make_room(ow_outlook *o, int steps)
{
    size_t need = (size_t)steps * (size_t)o->garden->place_count;
    if (need > o->room) {
        ow_spot *grown = realloc(o->spot, need * sizeof *grown);
        if (grown == NULL) {
            return OW_NO_MEMORY;
        }
        o->spot = grown;
        o->room = need;
    }
    return OW_OK;
}

static int steps_ahead(const ow_outlook *o, const ow_forcing *forecast, double hours)
{
    ow_utc_s end = o->start_s + (ow_utc_s)(hours * OW_HOUR_S);
    ow_utc_s last = forecast->rows ? forecast->row[forecast->rows - 1].utc_s : o->start_s;
    ow_utc_s until = end < last ? end : last;
    return until > o->start_s ? (int)((until - o->start_s) / o->step_s) : 0;
}

static void look_step(ow_outlook *o, int step, const ow_forcing *forecast)
{
    ow_scene *s = o->ahead;
    ow_weather weather;
    size_t places = (size_t)o->garden->place_count;
    (void)ow_forcing_mean(forecast, s->now_s, s->now_s + o->step_s, &weather);
    ow_scene_step(s, &weather);
    memcpy(o->spot + (size_t)step * places, s->spot, places * sizeof *s->spot);
    if (weather.air_c < o->lowest_air_c) {
        o->lowest_air_c = weather.air_c;
        o->lowest_air_s = s->now_s;
    }
    for (int i = 0; i < s->cast->actors; i++) {
        course_step(&o->course[i], &s->cast->actor[i], &o->garden->plants[i].tolerance, s->now_s);
    }
}

ow_status ow_outlook_begin(ow_outlook *o, const ow_scene *now, const ow_forcing *forecast,
                           double hours)
{
    o->steps = o->looked = o->wanted = 0;
    o->start_s = now->now_s;
    o->lowest_air_c = INFINITY;
    o->lowest_air_s = OW_NEVER;
    int steps = steps_ahead(o, forecast, hours);
    ow_status status = make_room(o, steps);
    if (status != OW_OK) {
        return status;
    }
    o->wanted = steps;
    ow_scene_copy(o->ahead, now);
    for (int i = 0; i < o->garden->plant_count; i++) {
        course_start(&o->course[i], &o->ahead->cast->actor[i]);
    }
    return OW_OK;
}

bool ow_outlook_some(ow_outlook *o, const ow_forcing *forecast, int steps)
{
    for (; steps > 0 && o->looked < o->wanted; steps--) {
        look_step(o, o->looked++, forecast);
    }
    if (o->looked < o->wanted) {
        return false;
    }
    for (int i = 0; o->steps == 0 && i < o->garden->plant_count; i++) {
        course_end(&o->course[i], &o->ahead->cast->actor[i]);
    }
    o->steps = o->wanted;
    return true;
}

/* ---- trials ---------------------------------------------------------------------------------- */

void ow_trial_apply(const ow_trial *t, const ow_garden *garden, ow_actor *actor)
{
    if (t->place >= 0) {
        actor->place = t->place;
    }
    if (t->bare) {
        actor->dress.n = 0;
    }
    for (int i = 0; i < t->covers; i++) {
        if (ow_dress_lay_again(&actor->dress, t->cover[i])) {
            continue;
        }
        if (ow_dress_add(&actor->dress, garden, t->cover[i]) != OW_OK) {
            break;
        }
        if (t->point) {
            actor->dress.cover[actor->dress.n - 1].on = OW_ZONE_GROWING_POINT;
        }
    }
}

bool ow_trial_same(const ow_trial *a, const ow_trial *b)
{
    bool same = a->place == b->place && a->covers == b->covers && a->bare == b->bare &&
                a->point == b->point;
    for (int i = 0; same && i < a->covers; i++) {
        same = a->cover[i] == b->cover[i];
    }
    return same;
}

static ow_status trial_cast(ow_outlook *o, int plant)
{
    int same[OW_LANES];
    double start_c[OW_LANES];
    for (int i = 0; i < OW_LANES; i++) {
        same[i] = plant;
        start_c[i] = 0.0; /* overwritten by the copy of the living plant */
    }
    return o->trial[plant] != NULL
               ? OW_OK
               : ow_cast_new(o->garden, same, OW_LANES, start_c, o->start_s, &o->trial[plant]);
}

ow_status ow_question_begin(ow_question *q, ow_outlook *o, const ow_scene *now)
{
    ow_status status = trial_cast(o, q->plant);
    if (status != OW_OK) {
        return status;
    }
    ow_cast *cast = o->trial[q->plant];
    q->step = 0;
    for (int i = 0; i < q->n; i++) {
        ow_cast_copy(cast, i, now->cast, q->plant);
        course_start(&q->answer[i], &cast->actor[i]);
    }
    return OW_OK;
}

static void question_step(ow_question *q, ow_outlook *o, ow_cast *cast)
{
    ow_utc_s start = o->start_s + (ow_utc_s)q->step * o->step_s, end = start + o->step_s;
    for (int i = 0; i < q->n; i++) {
        ow_utc_s at = q->trial[i].at_s > o->start_s ? q->trial[i].at_s : o->start_s;
        if (at >= start && at < end) {
            ow_trial_apply(&q->trial[i], o->garden, &cast->actor[i]);
        }
    }
    ow_cast_step(cast, o->spot + (size_t)q->step * (size_t)o->garden->place_count, start,
                 o->step_s);
    for (int i = 0; i < q->n; i++) {
        course_step(&q->answer[i], &cast->actor[i], &o->garden->plants[q->plant].tolerance, end);
    }
    q->step++;
}

bool ow_question_some(ow_question *q, ow_outlook *o, int steps)
{
    ow_cast *cast = o->trial[q->plant];
    int all = cast->actors;
    cast->actors = q->n; /* idle lanes are stepped, but not looked at */
    for (; steps > 0 && q->step < o->steps; steps--) {
        question_step(q, o, cast);
    }
    bool answered = q->step >= o->steps;
    for (int i = 0; answered && i < q->n; i++) {
        course_end(&q->answer[i], &cast->actor[i]);
    }
    cast->actors = all;
    return answered;
}
