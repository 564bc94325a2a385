/* SPDX-License-Identifier: MIT */
#include "judgement/outlook.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "judgement/guide.h"

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
    o->track = calloc((size_t)g->plant_count, sizeof *o->track);
    o->trial = calloc((size_t)g->plant_count, sizeof *o->trial);
    o->member_spot = calloc((size_t)g->place_count * OW_LANES, sizeof *o->member_spot);
    o->warm_c = calloc((size_t)g->place_count, sizeof *o->warm_c);
    o->warm_j = calloc((size_t)g->place_count, sizeof *o->warm_j);
    o->warm = calloc((size_t)g->place_count, sizeof *o->warm);
    o->bed_shut_s = calloc((size_t)g->plant_count, sizeof *o->bed_shut_s);
    bool whole = o->bed_shut_s != NULL && o->course != NULL && o->track != NULL &&
                 o->trial != NULL &&
                 o->member_spot != NULL && o->warm_c != NULL && o->warm_j != NULL &&
                 o->warm != NULL;
    for (int p = 0; whole && p < g->place_count; p++) {
        o->warm_c[p] = ow_guide_most_c(g, p);
    }
    ow_status status = whole ? OW_OK : OW_NO_MEMORY;
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
    free(o->track);
    free(o->spot);
    free(o->warm_spot);
    free(o->warm_c);
    free(o->warm_j);
    free(o->warm);
    free(o->bed_shut_s);
    free(o->member_spot);
    free(o);
}

ow_utc_s ow_outlook_end_s(const ow_outlook *o)
{
    return o->start_s + (ow_utc_s)o->steps * o->step_s;
}

static ow_status make_room(ow_outlook *o, int steps)
{
    size_t spots = (size_t)steps * (size_t)o->garden->place_count + 1; /* never none */
    ow_spot *spot = realloc(o->spot, spots * sizeof *spot);
    o->spot = spot != NULL ? spot : o->spot;
    ow_spot *warm = realloc(o->warm_spot, spots * sizeof *warm);
    o->warm_spot = warm != NULL ? warm : o->warm_spot;
    return spot != NULL && warm != NULL ? OW_OK : OW_NO_MEMORY;
}

/* What heated houses would be with their heaters turned up. */
static void look_warm(ow_outlook *o, int step)
{
    const ow_scene *s = o->ahead;
    for (int p = 0; p < o->garden->place_count; p++) {
        if (isnan(o->warm_c[p])) {
            continue;
        }
        ow_scene_air_kept(s, p, &s->outdoors, 0.0, o->warm_c[p], &o->warm[p]);
        o->warm_j[p] += fmax(o->warm[p].heater_w - s->glass[p].heater_w, 0.0) * o->step_s;
        ow_scene_spot(s, p, &s->outdoors, &o->warm[p], ow_scene_floor_c(s, p),
                      s->now_s - o->step_s / 2,
                      &o->warm_spot[step * o->garden->place_count + p]);
    }
}

static void look_step(ow_outlook *o, int step, const ow_forcing *forecast)
{
    ow_scene *s = o->ahead;
    ow_weather weather;
    size_t places = (size_t)o->garden->place_count;
    (void)ow_forcing_mean(forecast, s->now_s, s->now_s + o->step_s, &weather);
    ow_scene_step(s, &weather);
    memcpy(o->spot + (size_t)step * places, s->spot, places * sizeof *s->spot);
    look_warm(o, step);
    if (weather.air_c < o->lowest_air_c) {
        o->lowest_air_c = weather.air_c;
        o->lowest_air_s = s->now_s;
    }
    if (weather.air_c <= OW_HARD_FROST_C && o->hard_frost_s == OW_NEVER) {
        o->hard_frost_s = s->now_s - o->step_s;
    }
    for (int i = 0; i < s->cast->actors; i++) {
        const ow_tolerance *stands = &o->garden->plants[i].tolerance;
        ow_course_step(&o->course[i], &s->cast->actor[i], stands, s->now_s);
        ow_track_note(&o->track[i], &s->cast->actor[i], stands, s->now_s, false);
        if (o->bed_shut_s[i] == OW_NEVER && ow_cast_bed_c(s->cast, i, OW_DIG_M) < 0.0) {
            o->bed_shut_s[i] = s->now_s - o->step_s;
        }
    }
}

ow_status ow_outlook_begin(ow_outlook *o, const ow_scene *now, const ow_forcing *forecast,
                           double hours)
{
    o->steps = o->looked = o->wanted = 0;
    o->start_s = now->now_s;
    o->lowest_air_c = INFINITY;
    o->lowest_air_s = o->hard_frost_s = OW_NEVER;
    int steps = (int)(ow_forcing_ahead_s(forecast, o->start_s, hours) / o->step_s);
    ow_status status = make_room(o, steps);
    if (status != OW_OK) {
        return status;
    }
    o->wanted = steps;
    ow_scene_copy(o->ahead, now);
    for (int p = 0; p < o->garden->place_count; p++) {
        o->warm[p] = now->glass[p];
        o->warm_j[p] = 0.0;
    }
    for (int i = 0; i < o->garden->plant_count; i++) {
        ow_course_start(&o->course[i], &o->ahead->cast->actor[i]);
        ow_track_start(&o->track[i]);
        o->bed_shut_s[i] = OW_NEVER;
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
        ow_course_end(&o->course[i], &o->ahead->cast->actor[i]);
    }
    o->steps = o->wanted;
    return true;
}

/* ---- trials ---------------------------------------------------------------------------------- */

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
    ow_cast *cast = o->trial[q->plant];
    const ow_plant *plant = &o->garden->plants[q->plant];
    double normal[OW_MEMBERS][OW_UNKNOWNS];
    ow_variant variant;
    bool drawn = q->among && o->ensemble->spread.materials; /* member 0 draws nought */
    if (status == OW_OK && drawn) {
        ow_draw_plant(plant->id, normal);
        status = ow_variant_of(plant, normal[q->member], &variant);
    }
    q->step = 0;
    for (int i = 0; status == OW_OK && i < q->n; i++) {
        ow_cast_copy(cast, i, now->cast, q->plant);
        if (drawn) {
            ow_cast_vary(cast, i, &variant);
        }
        ow_course_start(&q->answer[i], &cast->actor[i]);
    }
    return status;
}

int ow_question_step_s(const ow_question *q, const ow_outlook *o)
{
    return q->among ? o->ensemble->step_s : o->step_s;
}

static ow_spot warm_spot_of(const ow_question *q, const ow_outlook *o, int place)
{
    return q->among ? ow_ensemble_warm_spot(o->ensemble, q->member, q->step, place)
                    : o->warm_spot[q->step * o->garden->place_count + place];
}

static const ow_spot *spots_of(const ow_question *q, const ow_outlook *o)
{
    if (!q->among) {
        return o->spot + (size_t)q->step * (size_t)o->garden->place_count;
    }
    ow_ensemble_spots(o->ensemble, q->member, q->step, o->member_spot);
    return o->member_spot;
}

/* Where some lane's house is kept warmer, each lane has its own spot. */
static const ow_spot *spots_by_lane(const ow_question *q, ow_outlook *o, ow_cast *cast)
{
    ow_utc_s start = o->start_s + (ow_utc_s)q->step * ow_question_step_s(q, o);
    const ow_spot *all = spots_of(q, o);
    bool apart = false;
    for (int i = 0; i < q->n; i++) {
        apart |= q->trial[i].warm;
    }
    cast->apart = apart ? o->garden->place_count : 0;
    for (int i = q->n - 1; apart && i >= 0; i--) { /* `all` may lie where lane 0's are */
        int place = cast->actor[i].place;
        bool warm = q->trial[i].warm && q->trial[i].at_s <= start && !isnan(o->warm_c[place]);
        o->member_spot[i * cast->apart + place] = warm ? warm_spot_of(q, o, place) : all[place];
    }
    return apart ? o->member_spot : all;
}

static void question_step(ow_question *q, ow_outlook *o, ow_cast *cast)
{
    int step_s = ow_question_step_s(q, o);
    ow_utc_s start = o->start_s + (ow_utc_s)q->step * step_s, end = start + step_s;
    for (int i = 0; i < q->n; i++) {
        ow_utc_s at = q->trial[i].at_s > o->start_s ? q->trial[i].at_s : o->start_s;
        if (at >= start && at < end) {
            ow_trial_play(&q->trial[i], cast, i);
        }
    }
    ow_cast_step(cast, spots_by_lane(q, o, cast), start, step_s);
    for (int i = 0; i < q->n; i++) {
        ow_course_step(&q->answer[i], &cast->actor[i], &o->garden->plants[q->plant].tolerance, end);
    }
    q->step++;
}

bool ow_question_some(ow_question *q, ow_outlook *o, int steps)
{
    ow_cast *cast = o->trial[q->plant];
    int last = q->among ? o->ensemble->steps : o->steps;
    cast->actors = q->n; /* idle lanes are stepped, but not looked at */
    for (; steps > 0 && q->step < last; steps--) {
        question_step(q, o, cast);
    }
    bool answered = q->step >= last;
    for (int i = 0; answered && i < q->n; i++) {
        ow_course_end(&q->answer[i], &cast->actor[i]);
    }
    return answered;
}
