/* SPDX-License-Identifier: MIT */
#include "hub/engine.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/json_text.h"
#include "judgement/watch_list.h"

static const ow_utc_s JUDGE_EVERY_S = OW_HOUR_S;
static const double CLEAR_PCT = 0.0, SHUT_PCT = 100.0;

static void tell(ow_engine *e, const char *subject, const char *event, const char *detail)
{
    e->host.event(e->host.self, e->scene->now_s, subject, event, detail);
}

/* ---- start ----------------------------------------------------------------------------------- */

static ow_status new_scene(const ow_engine *e, double guess_pct, ow_scene **scene)
{
    const ow_weather_at *first = &e->measured.row[0];
    double air = isnan(e->settings.start_air_c) ? first->weather.air_c : e->settings.start_air_c;
    ow_status status = ow_scene_new(e->garden, first->utc_s, e->settings.step_s, air, scene);
    if (status == OW_OK) {
        (*scene)->guessed_cloud_pct = guess_pct;
    }
    return status;
}

void ow_engine_drop(ow_engine *e)
{
    ow_schedule_free(e->schedule);
    ow_outlook_free(e->outlook);
    ow_guide_free(e->guide);
    ow_ensemble_free(e->ensemble);
    ow_scene_free(e->scene);
    e->schedule = NULL;
    e->outlook = NULL;
    e->guide = NULL;
    e->ensemble = NULL;
    e->scene = NULL;
    for (int k = 0; k < OW_SHADOWS; k++) {
        ow_scene_free(e->shadow[k]);
        e->shadow[k] = NULL;
    }
}

ow_status ow_engine_foresee(ow_engine *e)
{
    bool spreads = e->settings.spread_weather || e->settings.spread_materials;
    ow_status status = ow_outlook_new(e->scene, &e->outlook);
    if (status == OW_OK) {
        status = ow_guide_new(e->scene, &e->guide);
    }
    if (status == OW_OK && spreads) {
        status = ow_ensemble_new(e->scene, &e->ensemble);
        e->outlook->ensemble = e->ensemble;
    }
    if (status == OW_OK) {
        status = ow_schedule_new(e->garden, &e->schedule);
    }
    if (status != OW_OK) {
        ow_engine_drop(e);
        return status;
    }
    for (int i = 0; i < e->garden->plant_count; i++) {
        ow_verdict_start(&e->judged[i].verdict);
    }
    return OW_OK;
}

ow_spread ow_engine_spread(const ow_engine *e)
{
    return (ow_spread){.weather = e->settings.spread_weather,
                       .materials = e->settings.spread_materials};
}

ow_status ow_engine_start(ow_engine *e)
{
    if (e->scene != NULL) {
        return OW_OK;
    }
    if (e->measured.rows == 0) {
        return OW_BAD_INPUT;
    }
    ow_status status = new_scene(e, NAN, &e->scene);
    if (status == OW_OK) {
        status = new_scene(e, CLEAR_PCT, &e->shadow[OW_SHADOW_CLEAR]);
    }
    if (status == OW_OK) {
        status = new_scene(e, SHUT_PCT, &e->shadow[OW_SHADOW_SHUT]);
    }
    if (status != OW_OK) {
        ow_engine_drop(e);
        return status;
    }
    e->judged_s = INT64_MIN;
    return ow_engine_foresee(e);
}

/* ---- hands ----------------------------------------------------------------------------------- */

void ow_engine_count_covers(ow_engine *e)
{
    for (int c = 0; c < e->garden->cover_count; c++) {
        e->cover_left[c] = e->garden->covers[c].count;
        for (int i = 0; i < e->scene->cast->actors; i++) {
            e->cover_left[c] -= ow_dress_has(&e->scene->cast->actor[i].dress, c);
        }
    }
}

bool ow_engine_stock_allows(const ow_engine *e, const ow_trial *act, int plant)
{
    for (int i = 0; i < act->covers; i++) {
        bool worn = ow_dress_has(&e->scene->cast->actor[plant].dress, act->cover[i]);
        if (!worn && e->cover_left[act->cover[i]] < 1) {
            return false;
        }
    }
    int place = act->place;
    return place < 0 || e->scene->cast->actor[plant].place == place ||
           ow_scene_crowd(e->scene, place) < e->garden->places[place].room_for;
}

static void do_job(ow_engine *e, int plant)
{
    ow_judged *j = &e->judged[plant];
    ow_trial_play(&j->verdict.act, e->scene->cast, plant);
    for (int k = 0; k < OW_SHADOWS; k++) {
        ow_trial_play(&j->verdict.act, e->shadow[k]->cast, plant);
    }
    tell(e, e->garden->plants[plant].id, "done", j->action);
    ow_engine_judge_anew(e, plant);
    ow_engine_count_covers(e);
}

/* Hands that are there by daylight do it then; what has no time is done at once. */
static bool is_due(const ow_engine *e, const ow_verdict *v)
{
    bool planned = ow_pick_asks(&v->pick);
    ow_utc_s by = planned ? v->pick.do_by_s : v->act_by_s;
    return by == OW_NEVER ? !planned : by <= e->scene->now_s;
}

/* Each job at its time, at once if that is past or there is none; what is worth most comes first,
 * should covers or room be short. True: something was done. */
static bool obey(ow_engine *e)
{
    bool done = false;
    for (int value = OW_VALUE_IRREPLACEABLE; value >= OW_VALUE_ORDINARY; value--) {
        for (int i = 0; i < e->garden->plant_count; i++) {
            const ow_verdict *v = &e->judged[i].verdict;
            if ((int)e->garden->plants[i].value == value && v->asks && is_due(e, v) &&
                ow_engine_stock_allows(e, &v->act, i)) {
                do_job(e, i);
                done = true;
            }
        }
    }
    return done;
}

/* ---- verdicts -------------------------------------------------------------------------------- */

static void list(char text[OW_LIST_TEXT], const char *word)
{
    size_t used = strlen(text);
    snprintf(text + used, OW_LIST_TEXT - used, "%s%s", used > 0 ? ", " : "", word);
}

static void write_texts(ow_engine *e, int plant)
{
    ow_judged *j = &e->judged[plant];
    const ow_dress *dress = &e->scene->cast->actor[plant].dress;
    ow_speech reason = ow_speech_begin(&e->local, " ", j->reason, sizeof j->reason, j->reason_code,
                                       sizeof j->reason_code);
    ow_speech action = ow_speech_begin(&e->local, OW_ACTION_JOINT, j->action, sizeof j->action,
                                       j->action_code, sizeof j->action_code);
    ow_reason(&j->verdict, e->outlook, e->scene, plant,
              ow_schedule_give(e->schedule, plant, &j->verdict), &reason);
    if (j->verdict.state == OW_STATE_HOLD && ow_harden_is_due(&j->harden, e->scene, plant)) {
        OW_SPEAK(&reason, OW_SAY_HARDENING, ow_blank_number(j->harden.days, 0),
                 ow_blank_number(OW_HARDEN_DAYS, 0));
    }
    ow_action(&j->verdict, e->garden, &action);
    j->also[0] = j->wearing[0] = '\0';
    for (int s = 0; s < OW_STATES; s++) {
        if (j->verdict.also & (1u << s)) {
            list(j->also, ow_state_word((ow_state)s));
        }
    }
    for (size_t i = 0; i < dress->n; i++) {
        list(j->wearing, e->garden->covers[dress->item[i]].name);
    }
    char *const cut[] = {j->reason, j->action, j->also, j->wearing};
    for (size_t i = 0; i < sizeof cut / sizeof cut[0]; i++) {
        ow_utf8_mend(cut[i]);
    }
}

/* A job that changes while its cause stays says what it takes the place of. */
static void tell_job(ow_engine *e, int plant, const ow_verdict *before)
{
    const ow_judged *j = &e->judged[plant];
    const ow_verdict *v = &j->verdict;
    char detail[OW_REASON_TEXT + OW_ACTION_TEXT], when[OW_WHEN_TEXT], was[OW_ACTION_TEXT];
    bool same = before->asks && before->state == v->state && ow_trial_same(&before->act, &v->act);
    if (!v->asks || same) {
        return;
    }
    int used = snprintf(detail, sizeof detail, "%s", j->action);
    if (v->act_by_s != OW_NEVER) {
        used += snprintf(detail + used, sizeof detail - (size_t)used, " by %s%s",
                         ow_when(&e->local, v->act_by_s, when), v->late ? ", late" : "");
    }
    if (before->asks && before->threat.any && v->threat.any) {
        ow_action_text(before, e->garden, was);
        snprintf(detail + used, sizeof detail - (size_t)used, ", no longer: %s", was);
    }
    tell(e, e->garden->plants[plant].id, "job", detail);
}

/* A plant that would have a job and does not get it. */
static void tell_left_off(ow_engine *e, int plant, const ow_verdict *before)
{
    const ow_pick *now = &e->judged[plant].verdict.pick, *was = &before->pick;
    bool left = now->way < 0 && now->wanted >= 0 && now->bar > OW_BAR_BETTER;
    bool same = was->way < 0 && was->bar == now->bar && was->item == now->item &&
                was->who == now->who;
    if (left && !same) {
        tell(e, e->garden->plants[plant].id, "left off", ow_bar_words(now->bar));
    }
}

static void tell_verdict(ow_engine *e, int plant, const ow_verdict *before, bool first)
{
    const ow_judged *j = &e->judged[plant];
    write_texts(e, plant);
    const char *id = e->garden->plants[plant].id;
    char detail[OW_REASON_TEXT + OW_ACTION_TEXT];
    if (first || before->state != j->verdict.state) {
        snprintf(detail, sizeof detail, "%s: %s", ow_state_word(j->verdict.state), j->reason);
        tell(e, id, "state", detail);
    }
    tell_job(e, plant, before);
    tell_left_off(e, plant, before);
}

/* ---- chores ---------------------------------------------------------------------------------- */

static void find_chores(ow_engine *e, int plant)
{
    ow_judged *j = &e->judged[plant];
    unsigned before = j->chores.set;
    char detail[OW_REASON_TEXT], when[OW_WHEN_TEXT];
    ow_chores_of(e->outlook, e->scene, plant, &j->chores);
    const ow_trial *act = &j->verdict.act;
    bool asks = j->verdict.asks;
    /* It will stand or be covered otherwise. */
    if (asks && !act->bare && !act->sheds && !act->wet) {
        j->chores.set &= ~(1u << OW_CHORE_SHADE);
    }
    if (asks && act->wet) {
        j->chores.set &= ~(1u << OW_CHORE_WATER);
    }
    ow_harden_ask(&j->harden, e->outlook, e->scene, plant, &j->chores);
    j->chores_done &= j->chores.set;
    for (int c = 0; c < OW_CHORES; c++) {
        if (j->chores.set & ~before & 1u << c) {
            bool timed = j->chores.by_s[c] != OW_NEVER;
            snprintf(detail, sizeof detail, "%s%s%s", ow_chore_about((ow_chore)c)->what,
                     timed ? " by " : "",
                     timed ? ow_when(&e->local, j->chores.by_s[c], when) : "");
            tell(e, e->garden->plants[plant].id, "job", detail);
        }
    }
}

/* A day out counts, and the next one is asked for by itself. */
static void harden_done(ow_judged *j)
{
    ow_harden_done(&j->harden);
    j->chores.set &= ~(1u << OW_CHORE_HARDEN);
}

/* Hands that obey stand it out each day that is asked for, or it would never go home. */
static void obey_hardening(ow_engine *e, int plant)
{
    ow_judged *j = &e->judged[plant];
    bool asked = (j->chores.set & 1u << OW_CHORE_HARDEN) != 0;
    if (e->settings.hands_obey && asked && j->chores.by_s[OW_CHORE_HARDEN] <= e->scene->now_s) {
        tell(e, e->garden->plants[plant].id, "done", ow_chore_about(OW_CHORE_HARDEN)->what);
        harden_done(j);
    }
}

void ow_engine_chore_done(ow_engine *e, int plant, ow_chore chore)
{
    ow_dress *dress = &e->scene->cast->actor[plant].dress;
    if (chore == OW_CHORE_HARDEN) {
        harden_done(&e->judged[plant]);
        return;
    }
    e->judged[plant].chores_done |= 1u << chore;
    for (size_t i = 0; chore == OW_CHORE_LAY_AGAIN && i < dress->n; i++) {
        (void)ow_dress_lay_again(dress, dress->item[i]);
    }
    if (chore == OW_CHORE_WATER) {
        ow_cast_water(e->scene->cast, plant);
    }
}

static void guide_heaters(ow_engine *e)
{
    ow_guide_begin(e->guide, e->scene, &e->forecast);
    (void)ow_guide_some(e->guide, &e->forecast, INT_MAX);
    ow_guide_heaters(e->guide, false, e->scene);
    for (int k = 0; k < OW_SHADOWS; k++) {
        ow_guide_heaters(e->guide, false, e->shadow[k]);
    }
}

static ow_status look_ahead(ow_engine *e)
{
    double hours = e->forecast.rows > 0 ? e->settings.foresight_h : 0.0;
    guide_heaters(e);
    ow_status status = ow_outlook_begin(e->outlook, e->scene, &e->forecast, hours);
    if (status == OW_OK) {
        (void)ow_outlook_some(e->outlook, &e->forecast, INT_MAX);
    }
    if (status == OW_OK && e->ensemble != NULL) {
        status = ow_ensemble_begin(e->ensemble, e->scene, &e->forecast, hours, ow_engine_spread(e));
        (void)ow_ensemble_some(e->ensemble, &e->forecast, status == OW_OK ? INT_MAX : 0);
    }
    return status;
}

void ow_engine_judge_anew(ow_engine *e, int plant)
{
    ow_verdict_start(&e->judged[plant].verdict);
    if (e->schedule != NULL) { /* not before the first reading */
        ow_schedule_forget(e->schedule, plant);
    }
}

static ow_status ask_all(ow_engine *e)
{
    ow_inquiry *q = &e->inquiry;
    ow_status status = OW_OK;
    while (status == OW_OK && q->asking) {
        (void)ow_question_some(&q->question, e->outlook, INT_MAX);
        status = ow_inquiry_answer(q);
    }
    return status;
}

static ow_status survey(ow_engine *e, int plant)
{
    ow_status status =
        ow_inquiry_begin(&e->inquiry, &e->schedule->survey[plant], e->outlook, e->scene, plant,
                         &e->judged[plant].verdict, e->air_gap_s);
    return status == OW_OK ? ask_all(e) : status;
}

static ow_status survey_giving(ow_engine *e, int plant)
{
    const ow_schedule *s = e->schedule;
    ow_status status = ow_inquiry_give(&e->inquiry, &s->survey[plant], e->outlook, e->scene, plant,
                                       s->cover_short, s->room_short);
    return status == OW_OK ? ask_all(e) : status;
}

void ow_engine_find_short(ow_engine *e)
{
    ow_engine_count_covers(e);
    ow_schedule_find_short(e->schedule, e->scene, e->cover_left);
}

static void tell_raised(ow_engine *e, int place, bool raised)
{
    char detail[OW_LIST_TEXT];
    if (raised != e->raised[place]) {
        e->raised[place] = raised;
        snprintf(detail, sizeof detail, raised ? "turned up to %.1f C for its plants"
                                               : "no longer turned up; %.1f C are kept",
                 ow_tenth_c(ow_guide_kept_c(e->guide, place)));
        tell(e, e->garden->places[place].id, "heat", detail);
    }
}

/* From the hour before the latest useful time on, judged again every hour; a house that is warm is
 * not let cool down for less than that many hours. */
static void turn_up(ow_engine *e)
{
    static const ow_utc_s STAYS_S = 6 * OW_HOUR_S;
    for (int p = 0; p < e->garden->place_count; p++) {
        ow_utc_s ahead_s = e->raised[p] ? STAYS_S : JUDGE_EVERY_S;
        bool raised = e->schedule->warm_from_s[p] <= e->scene->now_s + ahead_s;
        if (!e->guide->house[p].heated) {
            continue;
        }
        ow_guide_raise(e->guide, p, raised);
        if (raised) {
            e->scene->set_c[p] = ow_guide_kept_c(e->guide, p);
        }
        for (int k = 0; raised && k < OW_SHADOWS && e->shadow[k] != NULL; k++) {
            e->shadow[k]->set_c[p] = e->scene->set_c[p];
        }
        tell_raised(e, p, raised);
    }
}

ow_status ow_engine_plan(ow_engine *e)
{
    ow_engine_count_covers(e);
    ow_status status =
        ow_schedule_plan(e->schedule, e->scene, e->outlook, &e->local, e->cover_left);
    if (status == OW_OK) {
        turn_up(e);
    }
    return status;
}

void ow_engine_settle(ow_engine *e, int plant, bool first)
{
    ow_verdict before = e->judged[plant].verdict;
    ow_harden *harden = &e->judged[plant].harden;
    ow_harden_note(harden, e->scene, plant);
    ow_harden_hold(harden, e->scene, plant, &e->schedule->survey[plant]);
    ow_schedule_settle(e->schedule, plant, &e->judged[plant].verdict, e->scene->now_s);
    const ow_condition *condition = &e->scene->cast->actor[plant].condition;
    e->judged[plant].look_due =
        ow_watch_look_s(condition, &e->garden->plants[plant].tolerance,
                        e->garden->site.latitude_deg) <= e->scene->now_s;
    tell_verdict(e, plant, &before, first);
    find_chores(e, plant);
    obey_hardening(e, plant);
}

static bool is_threatened(const ow_verdict *v)
{
    return v->threat.any || v->state == OW_STATE_THAW_NEEDED;
}

static void tell_winter(ow_engine *e, ow_winter_news news, int threatened)
{
    char detail[OW_LIST_TEXT], when[OW_WHEN_TEXT];
    if (news == OW_WINTER_OPENS) {
        snprintf(detail, sizeof detail, "opens with the first risk, to %.100s",
                 e->garden->plants[threatened].name);
        tell(e, "garden", "season", detail);
    } else if (news == OW_WINTER_CLOSES) {
        snprintf(detail, sizeof detail, "closes; the last risk was on %s",
                 ow_when(&e->local, e->winter.last_risk_s, when));
        tell(e, "garden", "season", detail);
    }
}

static void tell_drain(ow_engine *e, ow_utc_s before_s)
{
    char detail[OW_LIST_TEXT], when[OW_WHEN_TEXT];
    if (before_s == OW_NEVER && e->drain_s != OW_NEVER) {
        snprintf(detail, sizeof detail, "%s by %s", ow_saying_english(OW_SAY_DRAIN),
                 ow_when(&e->local, e->drain_s, when));
        tell(e, "garden", "job", detail);
    }
}

void ow_engine_drained(ow_engine *e)
{
    e->winter.drained = true;
    e->drain_s = OW_NEVER;
}

void ow_engine_note_winter(ow_engine *e)
{
    int threatened = e->garden->plant_count - 1;
    while (threatened >= 0 && !is_threatened(&e->judged[threatened].verdict)) {
        threatened--;
    }
    ow_utc_s before_s = e->drain_s, now_s = e->scene->now_s;
    bool frost = e->outlook->steps > 0 && e->outlook->hard_frost_s != OW_NEVER;
    ow_winter_news news = ow_winter_note(&e->winter, threatened >= 0 || frost, now_s,
                                         e->garden->site.latitude_deg);
    if (news == OW_WINTER_OPENS && threatened < 0) {
        tell(e, "garden", "season", "opens with the first hard frost");
    } else {
        tell_winter(e, news, threatened);
    }
    e->drain_s = ow_winter_drain_s(&e->winter, e->outlook);
    tell_drain(e, before_s);
    if (e->settings.hands_obey && e->drain_s != OW_NEVER) {
        tell(e, "garden", "done", ow_saying_english(OW_SAY_DRAIN));
        ow_engine_drained(e);
    }
}

static ow_status judge(ow_engine *e)
{
    bool first = e->judged_s == INT64_MIN;
    ow_status status = look_ahead(e);
    for (int i = 0; status == OW_OK && i < e->garden->plant_count; i++) {
        status = survey(e, i);
    }
    if (status == OW_OK) {
        ow_engine_find_short(e);
    }
    for (int i = 0; status == OW_OK && i < e->garden->plant_count; i++) {
        status = survey_giving(e, i);
    }
    if (status == OW_OK) {
        status = ow_engine_plan(e);
    }
    for (int i = 0; status == OW_OK && i < e->garden->plant_count; i++) {
        ow_engine_settle(e, i, first);
    }
    if (status == OW_OK) {
        ow_engine_note_winter(e);
    }
    e->judged_s = e->scene->now_s;
    return status;
}

/* Whom another left without cover or room is judged again, and helped, within the same step. */
static ow_status attend(ow_engine *e, bool due)
{
    enum { ROUNDS = 4 };
    ow_status status = due ? judge(e) : OW_OK;
    bool busy = e->settings.hands_obey;
    for (int round = 0; status == OW_OK && busy && round < ROUNDS; round++) {
        busy = obey(e);
        status = busy ? judge(e) : OW_OK;
    }
    return status;
}

/* ---- what happened in a step ----------------------------------------------------------------- */

static void tell_harm(ow_engine *e, int plant)
{
    ow_judged *j = &e->judged[plant];
    const ow_condition *c = &e->scene->cast->actor[plant].condition;
    char detail[OW_LIST_TEXT];
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_harm_watch *w = &c->watch[p];
        bool harmed = w->damaged && !j->harmed[p], killed = w->killed && !j->killed[p];
        if (harmed || killed) {
            snprintf(detail, sizeof detail, "%s %s, lowest so far %.1f C", ow_part_name((ow_part)p),
                     killed ? "killed" : "harmed", ow_tenth_c(w->lowest_c));
            tell(e, e->garden->plants[plant].id, "limit passed", detail);
        }
        j->harmed[p] = w->damaged;
        j->killed[p] = w->killed;
    }
}

static void tell_frost(ow_engine *e, int plant)
{
    ow_judged *j = &e->judged[plant];
    const ow_drought *d = &e->scene->cast->actor[plant].condition.drought;
    char detail[OW_LIST_TEXT];
    if (d->frozen_through == j->frozen_through) {
        return;
    }
    j->frozen_through = d->frozen_through;
    snprintf(detail, sizeof detail, "root ball, drought clock at %.1f days",
             ow_drought_clock_days(d));
    tell(e, e->garden->plants[plant].id,
         d->frozen_through ? "frozen through" : "no longer frozen through", detail);
}

void ow_engine_told_already(ow_engine *e)
{
    for (int i = 0; i < e->garden->plant_count; i++) {
        const ow_condition *c = &e->scene->cast->actor[i].condition;
        e->judged[i].frozen_through = c->drought.frozen_through;
        for (int p = 0; p < OW_PARTS; p++) {
            e->judged[i].harmed[p] = c->watch[p].damaged;
            e->judged[i].killed[p] = c->watch[p].killed;
        }
    }
}

static void tell_heat(ow_engine *e)
{
    char detail[OW_LIST_TEXT];
    for (int i = 0; i < e->garden->output_count; i++) {
        bool on = e->scene->heater_w[i] > 0.0;
        if (on != e->heating[i]) {
            e->heating[i] = on;
            snprintf(detail, sizeof detail, "%s, %.0f W wanted", on ? "on" : "off",
                     e->scene->heater_w[i]);
            tell(e, e->garden->outputs[i].id, "would switch", detail);
        }
    }
}

void ow_engine_tell_step(ow_engine *e)
{
    for (int i = 0; i < e->garden->plant_count; i++) {
        tell_harm(e, i);
        tell_frost(e, i);
    }
}

static ow_status step(ow_engine *e)
{
    ow_weather weather;
    ow_utc_s start = e->scene->now_s, end = start + e->settings.step_s;
    e->air_gap_s = ow_forcing_mean(&e->measured, start, end, &weather);
    ow_scene_step(e->scene, &weather);
    for (int k = 0; k < OW_SHADOWS; k++) {
        ow_scene_step(e->shadow[k], &weather);
    }
    e->steps++;
    e->assumed_steps += e->scene->sky_assumed;
    ow_engine_tell_step(e);
    tell_heat(e);
    return attend(e, end / JUDGE_EVERY_S != start / JUDGE_EVERY_S);
}

/* Sixteen days of rows are kept: more than any mean looks back on. */
static const ow_utc_s KEEP_S = 16 * OW_DAY_S;

static bool may_advance(const ow_engine *e, int64_t until_s)
{
    if (e->measured.rows == 0) {
        return false;
    }
    ow_utc_s now = e->scene != NULL ? e->scene->now_s : e->measured.row[0].utc_s;
    return until_s >= now && until_s <= e->measured.row[e->measured.rows - 1].utc_s &&
           (until_s - now) % e->settings.step_s == 0;
}

ow_status ow_engine_advance(ow_engine *e, int64_t until_s)
{
    ow_status status = may_advance(e, until_s) ? ow_engine_start(e) : OW_BAD_INPUT;
    if (status != OW_OK) {
        return status;
    }
    if (e->judged_s == INT64_MIN) {
        status = attend(e, true);
    }
    while (status == OW_OK && e->scene->now_s < until_s) {
        status = step(e);
    }
    ow_forcing_forget(&e->measured, e->scene->now_s - KEEP_S);
    return status;
}
