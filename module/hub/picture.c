/* SPDX-License-Identifier: MIT */
#include "hub/picture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "hub/jobs.h"
#include "hub/live.h"
#include "people/tile.h"

/* ---- the tile -------------------------------------------------------------------------------- */

static ow_tile_output output_of(const ow_engine *e, int i)
{
    const ow_output *o = &e->garden->outputs[i];
    ow_tile_output shown = {.name = o->name};
    if (e->live == NULL) {
        shown.does = e->heating[i] ? "would be on" : "would be off";
        return shown;
    }
    const ow_switch *w = &e->live->switches->item[i];
    shown.does = w->sent;
    if (w->blocked != 0) {
        shown.blocked = ow_block_text(ow_blocks_first(w->blocked));
    }
    return shown;
}

/* What the picture is made of beside the engine's own structs. */
typedef struct props {
    ow_state *state;
    ow_job *job;
    ow_tile_job *shown;
    ow_tile_output *output;
} props;

static bool props_of(const ow_engine *e, props *p, int *jobs)
{
    size_t plants = (size_t)e->garden->plant_count, outputs = (size_t)e->garden->output_count;
    size_t most = plants * (1 + OW_CHORES) + 1;
    *p = (props){calloc(plants, sizeof *p->state), calloc(most, sizeof *p->job),
                 calloc(most, sizeof *p->shown), calloc(outputs + 1, sizeof *p->output)};
    if (p->state == NULL || p->job == NULL || p->shown == NULL || p->output == NULL) {
        return false;
    }
    *jobs = ow_jobs_all(e, p->job, (int)most);
    for (int i = 0; i < (int)plants; i++) {
        bool judged = e->judged[i].reason[0] != '\0';
        p->state[i] = judged ? e->judged[i].verdict.state : OW_STATE_NO_READING;
    }
    for (int i = 0; i < *jobs; i++) {
        const ow_job *job = &p->job[i];
        p->shown[i] = (ow_tile_job){.name = ow_job_name(e, job),
                                    .of_garden = job->plant < 0,
                                    .action = {job->what, job->code},
                                    .by_s = job->by_s,
                                    .late = job->late,
                                    .minutes = job->minutes};
    }
    for (int i = 0; i < (int)outputs; i++) {
        p->output[i] = output_of(e, i);
    }
    return true;
}

ow_status ow_picture_tile(const ow_engine *e, char **svg)
{
    props p;
    int jobs = 0;
    ow_status status = OW_NO_MEMORY;
    if (props_of(e, &p, &jobs)) {
        const ow_tile tile = {.garden = e->garden,
                              .cast = e->scene != NULL ? e->scene->cast : NULL,
                              .outlook = e->outlook,
                              .state = p.state,
                              .local = &e->local,
                              .now_s = e->scene != NULL  ? e->scene->now_s
                                       : e->live != NULL ? e->live->now.utc_ms / 1000
                                                         : 0,
                              .job = p.shown,
                              .jobs = jobs,
                              .output = p.output,
                              .outputs = e->garden->output_count};
        status = ow_tile_draw(&tile, svg);
    }
    free(p.state);
    free(p.job);
    free(p.shown);
    free(p.output);
    return status;
}

/* ---- courses --------------------------------------------------------------------------------- */

/* Points of the past until the outlook begins, then the outlook's. */
typedef struct stretch {
    int plant;
    const ow_track *past, *ahead; /* either may be NULL */
    const ow_ensemble *ensemble;  /* NULL: the hours ahead were run once only */
    ow_utc_s from_s;
    int n;
} stretch;

static ow_utc_s end_of(const ow_track *t)
{
    return t->from_s + (ow_utc_s)t->n * OW_TRACK_POINT_S;
}

static stretch stretch_of(const ow_engine *e, int plant)
{
    stretch s = {.plant = plant};
    if (e->live != NULL && e->live->past[plant].n > 0) {
        s.past = &e->live->past[plant];
    }
    if (e->outlook != NULL && e->outlook->steps > 0) {
        s.ahead = &e->outlook->track[plant];
        s.ensemble = e->ensemble != NULL && e->ensemble->steps > 0 ? e->ensemble : NULL;
    }
    if (s.past != NULL || s.ahead != NULL) {
        const ow_track *first = s.past != NULL ? s.past : s.ahead;
        const ow_track *last = s.ahead != NULL ? s.ahead : s.past;
        s.from_s = first->from_s;
        s.n = (int)((end_of(last) - s.from_s) / OW_TRACK_POINT_S);
    }
    return s;
}

static const ow_track_point *point_in(const ow_track *t, ow_utc_s at_s)
{
    bool within = t != NULL && at_s >= t->from_s && at_s < end_of(t);
    return within ? &t->point[(at_s - t->from_s) / OW_TRACK_POINT_S] : NULL;
}

static const ow_track_point *point_of(const stretch *s, int i)
{
    ow_utc_s at_s = s->from_s + (ow_utc_s)i * OW_TRACK_POINT_S;
    const ow_track_point *ahead = point_in(s->ahead, at_s);
    return ahead != NULL ? ahead : point_in(s->past, at_s);
}

/* A number with so many decimals, without the binary tail that cJSON would print. */
static void add_number(cJSON *list, double value, int decimals)
{
    char text[32];
    snprintf(text, sizeof text, "%.*f", decimals, value);
    cJSON_AddItemToArray(list, isfinite(value) ? cJSON_CreateRaw(text) : cJSON_CreateNull());
}

static double root_of(const ow_track_point *p, int part)
{
    (void)part;
    return (double)p->root_c;
}

static double ice_of(const ow_track_point *p, int part)
{
    (void)part;
    return (double)p->ice_share;
}

static double part_of(const ow_track_point *p, int part)
{
    return (double)p->part_c[part];
}

static double limit_of(const ow_track_point *p, int part)
{
    return (double)p->limit_c[part];
}

static void add_list(cJSON *to, const char *key, const stretch *s,
                     double (*value)(const ow_track_point *, int), int part, int decimals)
{
    cJSON *list = cJSON_AddArrayToObject(to, key);
    for (int i = 0; list != NULL && i < s->n; i++) {
        const ow_track_point *p = point_of(s, i);
        add_number(list, p != NULL ? value(p, part) : (double)NAN, decimals);
    }
}

/* The band of a point, from the steps that end within it: of the root ball at its end; of a part
 * the least, as its line is. */
static ow_band band_of(const stretch *s, int i, int which)
{
    const ow_ensemble *n = s->ensemble;
    ow_band least = {NAN, NAN, NAN};
    ow_utc_s begin_s = s->from_s + (ow_utc_s)i * OW_TRACK_POINT_S - n->start_s;
    ow_utc_s end_s = begin_s + OW_TRACK_POINT_S, all_s = (ow_utc_s)n->steps * n->step_s;
    int end = (int)((end_s < all_s ? end_s : all_s) / n->step_s);
    int first = begin_s > 0 ? (int)(begin_s / n->step_s) : 0;
    for (int step = which == OW_BAND_ROOT_MEAN && end > first ? end - 1 : first; step < end;
         step++) {
        ow_band b = ow_ensemble_band(n, s->plant, step, which);
        least.low_c = fminf(least.low_c, b.low_c);
        least.high_c = fminf(least.high_c, b.high_c);
    }
    return least;
}

static void add_band(cJSON *to, const char *low_key, const char *high_key, const stretch *s,
                     int which)
{
    cJSON *low = s->ensemble != NULL ? cJSON_AddArrayToObject(to, low_key) : NULL;
    cJSON *high = low != NULL ? cJSON_AddArrayToObject(to, high_key) : NULL;
    for (int i = 0; high != NULL && i < s->n; i++) {
        ow_band b = band_of(s, i, which);
        add_number(low, (double)b.low_c, 1);
        add_number(high, (double)b.high_c, 1);
    }
}

static bool has_limit(const stretch *s, int part)
{
    for (int i = 0; i < s->n; i++) {
        const ow_track_point *p = point_of(s, i);
        if (p != NULL && !isnan(p->limit_c[part])) {
            return true;
        }
    }
    return false;
}

cJSON *ow_picture_course(const ow_engine *e, int plant)
{
    char time[OW_TIME_TEXT];
    stretch s = stretch_of(e, plant);
    cJSON *o = s.n > 0 ? cJSON_CreateObject() : NULL;
    if (o == NULL) {
        return NULL;
    }
    cJSON_AddStringToObject(o, "from", ow_time_format(s.from_s, time));
    cJSON_AddStringToObject(o, "now", ow_time_format(e->scene->now_s, time));
    cJSON_AddNumberToObject(o, "step_h", OW_TRACK_POINT_S / OW_HOUR_S);
    add_list(o, "root", &s, root_of, 0, 1);
    add_list(o, "ice", &s, ice_of, 0, 2);
    if (s.ensemble != NULL) {
        const int share[] = {OW_BAND_LOW_PCT, OW_BAND_HIGH_PCT};
        cJSON_AddItemToObject(o, "band_pct", cJSON_CreateIntArray(share, 2));
        add_band(o, "root_low", "root_high", &s, OW_BAND_ROOT_MEAN);
    }
    cJSON *parts = cJSON_AddObjectToObject(o, "parts");
    for (int p = 0; parts != NULL && p < OW_PARTS; p++) {
        cJSON *part =
            has_limit(&s, p) ? cJSON_AddObjectToObject(parts, ow_part_name((ow_part)p)) : NULL;
        if (part != NULL) {
            add_list(part, "c", &s, part_of, p, 1);
            add_list(part, "limit", &s, limit_of, p, 1);
            add_band(part, "low", "high", &s, p);
        }
    }
    return o;
}
