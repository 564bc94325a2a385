/* SPDX-License-Identifier: MIT */
#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/json_text.h"
#include "hub/jobs.h"
#include "hub/live.h"
#include "hub/picture.h"

static const double WORTH_SAYING_K = 0.5; /* of what was learned against the forecast */
enum { BASIS_TEXT = 120 };

/* A value that could not be put for want of memory is put again at the next verdict. */
static void put(ow_engine *e, ow_node_kind kind, int index, ow_prop prop, const char *text)
{
    (void)!ow_tree_put(e->live->tree, (ow_slot){kind, index, prop}, text);
}

static void put_number(ow_engine *e, int plant, ow_prop prop, double value, int decimals)
{
    char text[40];
    snprintf(text, sizeof text, "%.*f", decimals, value);
    bool minus_zero = strtod(text, NULL) == 0.0 && text[0] == '-';
    put(e, OW_NODE_PLANT, plant, prop, isnan(value) ? NULL : text + minus_zero);
}

static void put_time(ow_engine *e, ow_node_kind kind, int index, ow_prop prop, ow_utc_s utc_s)
{
    char text[OW_TIME_TEXT];
    bool none = utc_s == OW_NEVER || utc_s == INT64_MIN;
    put(e, kind, index, prop, none ? NULL : ow_time_format(utc_s, text));
}

static void put_json(ow_engine *e, ow_node_kind kind, int index, ow_prop prop, cJSON *json)
{
    char *text = json != NULL ? cJSON_PrintUnformatted(json) : NULL;
    if (text != NULL) {
        put(e, kind, index, prop, text);
    }
    cJSON_free(text);
    cJSON_Delete(json);
}

/* Codes as in judgement/speech.h; empty: none. */
static void put_code(ow_engine *e, ow_node_kind kind, int index, ow_prop prop, const char *code)
{
    put(e, kind, index, prop, code[0] != '\0' ? code : NULL);
}

static void add_code(cJSON *to, const char *key, const char *code)
{
    if (code[0] != '\0') {
        cJSON_AddRawToObject(to, key, code);
    }
}

/* ---- plants ---------------------------------------------------------------------------------- */

/* A probe in the plant makes it measured; else it is as good as the air it is modelled from. */
static void put_quality(ow_engine *e, int plant)
{
    ow_live *l = e->live;
    double boot_s = (double)l->now.boot_ms / 1000.0;
    ow_observed probe = ow_station_measured(l->station, OW_MEASURES_ROOT_BALL, plant, boot_s);
    ow_observed air = ow_station_measured(l->station, OW_MEASURES_AIR, OW_AT_SITE, boot_s);
    bool probed = probe.quality == OW_QUALITY_MEASURED;
    const ow_observed *from = probed ? &probe : &air;
    const char *word = probed                               ? "measured"
                       : air.quality == OW_QUALITY_MEASURED ? "modelled"
                       : air.quality == OW_QUALITY_MISSING  ? "missing"
                                                            : "stale";
    put(e, OW_NODE_PLANT, plant, OW_PROP_QUALITY, word);
    bool timed = isfinite(from->age_s);
    put_time(e, OW_NODE_PLANT, plant, OW_PROP_MEASURED_AT,
             timed ? l->now.utc_ms / 1000 - (ow_utc_s)from->age_s : OW_NEVER);
}

static cJSON *worn_list(const ow_engine *e, const ow_dress *dress)
{
    cJSON *list = cJSON_CreateArray();
    for (size_t i = 0; list != NULL && i < dress->n; i++) {
        cJSON_AddItemToArray(list, cJSON_CreateString(e->garden->covers[dress->item[i]].id));
    }
    return list;
}

static void put_body(ow_engine *e, int plant)
{
    const ow_actor *a = &e->scene->cast->actor[plant];
    const ow_sense *s = &a->sense;
    bool began = !isnan(s->air_c); /* NAN before the first step */
    put_number(e, plant, OW_PROP_ROOT_MEAN, began ? s->root.mean_c : NAN, 2);
    put_number(e, plant, OW_PROP_ROOT_COLDEST, began ? s->root.coldest_c : NAN, 2);
    put_number(e, plant, OW_PROP_ICE_SHARE, began ? s->root.ice_share : NAN, 4);
    put_number(e, plant, OW_PROP_FROZEN_DAYS, ow_drought_frozen_days(&a->condition.drought), 2);
    put_number(e, plant, OW_PROP_FOLIAGE, began ? s->part_c[OW_FOLIAGE] : NAN, 2);
    put_number(e, plant, OW_PROP_GROWING_POINT, began ? s->part_c[OW_GROWING_POINT] : NAN, 2);
    put_number(e, plant, OW_PROP_STORAGE, began ? s->part_c[OW_STORAGE_ORGAN] : NAN, 2);
    put(e, OW_NODE_PLANT, plant, OW_PROP_PLACE, e->garden->places[a->place].id);
    put_json(e, OW_NODE_PLANT, plant, OW_PROP_WEARING, worn_list(e, &a->dress));
}

void ow_show_plant(ow_engine *e, int plant)
{
    const ow_judged *j = &e->judged[plant];
    const char *seen = e->live->told[plant].seen;
    put_quality(e, plant);
    put(e, OW_NODE_PLANT, plant, OW_PROP_SEEN, seen[0] != '\0' ? seen : NULL);
    if (e->scene == NULL || j->reason[0] == '\0') { /* nothing heard yet, or not judged yet */
        put(e, OW_NODE_PLANT, plant, OW_PROP_STATE, ow_state_word(OW_STATE_NO_READING));
        ow_spoken why = ow_saying_spoken(e->scene == NULL ? OW_SAY_NO_READING : OW_SAY_STARTED);
        put(e, OW_NODE_PLANT, plant, OW_PROP_REASON, why.text);
        put_code(e, OW_NODE_PLANT, plant, OW_PROP_REASON_CODE, why.code);
    }
    if (e->scene == NULL) {
        put(e, OW_NODE_PLANT, plant, OW_PROP_PLACE,
            e->garden->places[e->garden->plants[plant].place.at].id);
        return;
    }
    put_body(e, plant);
    if (j->reason[0] == '\0') {
        return;
    }
    put(e, OW_NODE_PLANT, plant, OW_PROP_STATE, ow_state_word(j->verdict.state));
    put(e, OW_NODE_PLANT, plant, OW_PROP_ALSO, j->also);
    put(e, OW_NODE_PLANT, plant, OW_PROP_REASON, j->reason);
    put_code(e, OW_NODE_PLANT, plant, OW_PROP_REASON_CODE, j->reason_code);
    put_time(e, OW_NODE_PLANT, plant, OW_PROP_ACT_BY, j->verdict.act_by_s);
    put_number(e, plant, OW_PROP_RISK, j->verdict.risk, 2);
    put_json(e, OW_NODE_PLANT, plant, OW_PROP_COURSE, ow_picture_course(e, plant));
}

/* ---- the garden ------------------------------------------------------------------------------ */

/* Whose cover or room it is, or who has it then. */
static void add_partner(cJSON *o, const char *key, const ow_engine *e, int plant)
{
    if (plant >= 0) {
        cJSON_AddStringToObject(o, key, e->garden->plants[plant].id);
    }
}

static cJSON *job_json(const ow_engine *e, const ow_job *job)
{
    char time[OW_TIME_TEXT];
    bool asked = job->chore < 0 && job->plant >= 0;
    cJSON *o = cJSON_CreateObject();
    if (o == NULL) {
        return NULL;
    }
    cJSON_AddStringToObject(o, "plant", ow_job_id(e, job));
    cJSON_AddStringToObject(o, "job", job->kind);
    cJSON_AddStringToObject(o, "what", job->what);
    add_code(o, "what_code", job->code);
    if (job->by_s != OW_NEVER) {
        cJSON_AddStringToObject(o, "by", ow_time_format(job->by_s, time));
    }
    if (job->last_s != OW_NEVER) {
        cJSON_AddStringToObject(o, "last", ow_time_format(job->last_s, time));
    }
    cJSON_AddBoolToObject(o, "late", job->late);
    cJSON_AddNumberToObject(o, "minutes", job->minutes);
    cJSON_AddNumberToObject(o, "people", job->people);
    if (!isnan(job->kg)) {
        cJSON_AddNumberToObject(o, "kg", floor(job->kg + 0.5));
    }
    if (job->saves > 0.0) {
        cJSON_AddNumberToObject(o, "saves", floor(10.0 * job->saves + 0.5) / 10.0);
    }
    if (asked) {
        add_partner(o, "from", e, e->judged[job->plant].verdict.pick.from);
        add_partner(o, "for", e, e->judged[job->plant].verdict.pick.to);
    }
    cJSON_AddStringToObject(o, "why", asked ? e->judged[job->plant].reason : job->what);
    add_code(o, "why_code", asked ? e->judged[job->plant].reason_code : job->code);
    return o;
}

/* What the lowest rests on, where it is more or less than the forecast. */
static void say_basis(const ow_engine *e, ow_speech *to)
{
    const ow_live *l = e->live;
    const ow_utc_s half_s = OW_HOUR_S / 2, at_s = e->outlook->lowest_air_s;
    ow_weather then;
    if (at_s > l->known_until_s) {
        ow_speak_plain(to, l->ahead_from == OW_AHEAD_FORECAST ? OW_SAY_ON_NORMAL_ENDS
                                                              : OW_SAY_ON_NORMAL);
    } else if (l->ahead_from == OW_AHEAD_PERSISTED) {
        ow_speak_plain(to, OW_SAY_ON_LAST_DAY);
    } else if (l->ahead_from == OW_AHEAD_NIGHT) {
        ow_speak_plain(to, OW_SAY_ON_CLEAR);
    } else if (l->ahead_from == OW_AHEAD_FORECAST) {
        (void)ow_forcing_mean(&e->forecast, at_s - half_s, at_s + half_s, &then);
        double k = ow_bias_k(&l->learned.hindsight.bias, &e->garden->site, at_s, then.cloud_pct);
        if (fabs(k) >= WORTH_SAYING_K) {
            OW_SPEAK(to, k < 0.0 ? OW_SAY_ON_BELOW : OW_SAY_ON_ABOVE, ow_blank_k(fabs(k)));
        }
    }
}

static void say_lowest(const ow_engine *e, ow_speech *to)
{
    const ow_outlook *o = e->outlook;
    char text[BASIS_TEXT], code[BASIS_TEXT];
    ow_speech basis = ow_speech_begin(&e->local, "", text, sizeof text, code, sizeof code);
    if (o->steps == 0) {
        ow_speak_plain(to, OW_SAY_UNKNOWN_AHEAD);
        return;
    }
    say_basis(e, &basis);
    OW_SPEAK(to, OW_SAY_LOWEST, ow_blank_c(o->lowest_air_c), ow_blank_at(o->lowest_air_s),
             ow_blank_speech(&basis));
}

static ow_blank blank_of_name(const ow_engine *e, const ow_job *job)
{
    const char *name = ow_job_name(e, job);
    return job->plant >= 0 ? ow_blank_name(name) : ow_blank_word("thing", name, name);
}

static void say_tonight(const ow_engine *e, const ow_job *jobs, int n, ow_speech *to)
{
    int minutes = 0;
    for (int i = 0; i < n; i++) {
        minutes += jobs[i].minutes;
    }
    say_lowest(e, to);
    if (n == 0) {
        ow_speak_plain(to, OW_SAY_NOTHING);
    } else if (jobs[0].by_s == OW_NEVER) {
        OW_SPEAK(to, OW_SAY_NOT_URGENT, ow_blank_number(minutes, 0));
    } else {
        OW_SPEAK(to, OW_SAY_FIRST, blank_of_name(e, &jobs[0]),
                 ow_blank_spoken((ow_spoken){jobs[0].what, jobs[0].code}),
                 ow_blank_at(jobs[0].by_s), ow_blank_number(minutes, 0));
    }
}

void ow_show_garden(ow_engine *e)
{
    char text[600], code[1500];
    ow_speech tonight = ow_speech_begin(&e->local, " ", text, sizeof text, code, sizeof code);
    ow_state worst = OW_STATE_HOLD;
    int room = e->garden->plant_count * (1 + OW_CHORES) + 1;
    ow_job *jobs = calloc((size_t)room, sizeof *jobs);
    if (jobs == NULL) {
        return;
    }
    int n = ow_jobs_all(e, jobs, room);
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; list != NULL && i < n; i++) {
        cJSON_AddItemToArray(list, job_json(e, &jobs[i]));
    }
    for (int i = 0; i < e->garden->plant_count; i++) {
        ow_state state = e->judged[i].verdict.state;
        worst = state < worst ? state : worst;
    }
    put(e, OW_NODE_GARDEN, 0, OW_PROP_STATE, ow_state_word(worst));
    put_json(e, OW_NODE_GARDEN, 0, OW_PROP_JOBS, list);
    say_tonight(e, jobs, n, &tonight);
    ow_utf8_mend(text);
    put(e, OW_NODE_GARDEN, 0, OW_PROP_TONIGHT, text);
    put_code(e, OW_NODE_GARDEN, 0, OW_PROP_TONIGHT_CODE, code);
    if (n > 0) {
        snprintf(text, sizeof text, "%s: %s", ow_job_name(e, &jobs[0]),
                 jobs[0].what);
        ow_utf8_mend(text);
    }
    put(e, OW_NODE_GARDEN, 0, OW_PROP_NEXT_JOB, n > 0 ? text : "");
    free(jobs);
}

/* Whether a stop by hand holds anything still. */
void ow_show_stop(ow_engine *e)
{
    put(e, OW_NODE_GARDEN, 0, OW_PROP_STOP,
        ow_switches_stopped(e->live->switches) ? "true" : "false");
}

/* Without memory for it the last one stands. */
void ow_show_tile(ow_engine *e)
{
    char *svg = NULL;
    if (ow_picture_tile(e, &svg) == OW_OK) {
        put(e, OW_NODE_GARDEN, 0, OW_PROP_TILE, svg);
        free(svg);
    }
}

/* ---- notices --------------------------------------------------------------------------------- */

/* What holds for whoever reads it. NULL: no memory. */
static cJSON *notice_json(const ow_engine *e, const ow_notice *n, int noticed_by)
{
    char time[OW_TIME_TEXT];
    cJSON *o = cJSON_CreateObject();
    if (o == NULL) {
        return NULL;
    }
    cJSON_AddStringToObject(o, "id", n->id);
    cJSON_AddStringToObject(o, "subject", n->subject);
    cJSON_AddStringToObject(o, "urgency", ow_hears_name(n->urgency));
    cJSON_AddStringToObject(o, "text", n->text);
    add_code(o, "code", n->code);
    cJSON_AddStringToObject(o, "raised", ow_time_format(n->raised_s, time));
    if (n->act_by_s != OW_NEVER) {
        cJSON_AddStringToObject(o, "act_by", ow_time_format(n->act_by_s, time));
    }
    if (noticed_by >= 0) {
        cJSON_AddStringToObject(o, "noticed_by", e->garden->household[noticed_by].id);
    }
    return o;
}

void ow_show_notice(ow_engine *e, const ow_delivery *d)
{
    if (d->empty) {
        put(e, OW_NODE_MEMBER, d->member, OW_PROP_NOTICE, NULL);
        return;
    }
    cJSON *o = notice_json(e, d->notice, d->noticed_by);
    if (o == NULL) {
        return;
    }
    cJSON_AddBoolToObject(o, "news", d->news); /* false: told before, and stands again */
    if (d->escalated) { /* it comes to this member since nobody noticed it in time */
        cJSON_AddTrueToObject(o, "escalated");
    }
    put_json(e, OW_NODE_MEMBER, d->member, OW_PROP_NOTICE, o);
}

void ow_show_notices(ow_engine *e)
{
    ow_standing open[OW_BOARD_OPEN];
    int n = ow_board_open(e->live->board, open);
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; list != NULL && i < n; i++) {
        cJSON_AddItemToArray(list, notice_json(e, open[i].notice, open[i].noticed_by));
    }
    put_json(e, OW_NODE_GARDEN, 0, OW_PROP_NOTICES, list);
}
