/* SPDX-License-Identifier: MIT */
#include "judgement/inquiry.h"

#include <math.h>
#include <string.h>

/* Longest hole in the air's readings that the model may still vouch for. */
static const double STALE_S = 6.0 * OW_HOUR_S;

/* Mild: nothing within the outlook, which reaches this far, comes colder than this. */
static const double MILD_C = 2.0, STILL_MILD_K = 0.5;
static const ow_utc_s MILD_AHEAD_S = 24 * OW_HOUR_S;

/* A survey of the same threat is made anew after this. */
static const ow_utc_s SURVEY_LASTS_S = 6 * OW_HOUR_S;
static const double SAME_C = 0.05, SAME_SHARE = 0.1, SAME = 1e-9;

enum { TRIALS, STARTS, MILD, GIVES, DONE };

/* Latest starts are sought of this many ways at most: two lanes each. */
enum { MOST_SOUGHT = 8 };

static const ow_actor *actor_of(const ow_inquiry *q)
{
    return &q->scene->cast->actor[q->question.plant];
}

static const ow_plant *plant_of(const ow_inquiry *q)
{
    return &q->scene->garden->plants[q->question.plant];
}

/* The expected hours: how frozen roots thaw is read from them, all else from q->course. */
static const ow_course *expected(const ow_inquiry *q)
{
    return &q->outlook->course[q->question.plant];
}

static bool foresees(const ow_inquiry *q)
{
    return q->outlook->steps > 0;
}

static void find(ow_survey *s, ow_state state)
{
    s->found[s->findings++] = (ow_finding){.state = state, .act_by_s = OW_NEVER};
}

/* Asks the n trials that stand in the question, where nothing but a thaw is asked for of the
 * expected hours. */
static ow_status ask(ow_inquiry *q, int stage, int n)
{
    bool thaw_only = q->survey->thaw && !q->survey->threat.any && stage != MILD;
    q->stage = stage;
    q->question.among = q->among && !thaw_only;
    q->question.member = q->member;
    q->question.n = n;
    q->asking = true;
    return ow_question_begin(&q->question, q->outlook, q->scene);
}

/* ---- what threatens -------------------------------------------------------------------------- */

static bool has_been_harmed(const ow_condition *c)
{
    for (int p = 0; p < OW_PARTS; p++) {
        if (c->watch[p].damaged || c->watch[p].killed) {
            return true;
        }
    }
    return false;
}

static bool roots_are_shut(const ow_actor *a)
{
    return a->condition.drought.frozen_through || a->condition.drought.running;
}

static bool thaw_is_needed(const ow_inquiry *q, ow_utc_s *by_s)
{
    const ow_actor *a = actor_of(q);
    double suffers_days = plant_of(q)->tolerance.suffers_days;
    if (!roots_are_shut(a) || isnan(suffers_days)) {
        return false;
    }
    if (ow_drought_clock_days(&a->condition.drought) >= suffers_days) {
        *by_s = q->outlook->start_s;
        return true;
    }
    /* The course knows its thaws: a ball that thaws for a day sets the clock back before that. */
    *by_s = foresees(q) ? expected(q)->suffers_s : OW_NEVER;
    return *by_s != OW_NEVER;
}

/* Roots that have not frozen yet but will, and for too long within the outlook. */
static ow_threat threat_of(const ow_inquiry *q)
{
    const ow_course *c = q->course;
    ow_threat t = ow_threat_of(c, &actor_of(q)->condition);
    if (!t.any && !actor_of(q)->condition.drought.was_frozen && c->suffers_s != OW_NEVER) {
        t = (ow_threat){.any = true,
                        .dry = true,
                        .part = OW_ROOTS,
                        .kills = c->may_die_s != OW_NEVER,
                        .at_s = c->suffers_s,
                        .lowest_c = c->lowest_c[OW_ROOTS],
                        .lowest_s = c->lowest_s[OW_ROOTS],
                        .limit_c = c->limit_c[OW_ROOTS]};
    }
    return t;
}

static void look_at_now(ow_inquiry *q, ow_survey *s, double air_gap_s)
{
    const ow_actor *a = actor_of(q);
    if (air_gap_s > STALE_S && q->scene->garden->places[a->place].kind != OW_PLACE_INDOORS) {
        find(s, OW_STATE_NO_READING);
    }
    if (ow_drought_thawing(&a->condition.drought)) {
        find(s, OW_STATE_THAWING);
    }
    if (has_been_harmed(&a->condition)) {
        find(s, OW_STATE_WAIT_AND_SEE);
    }
}

/* What lies ahead: the expected hours, or the member at which the risk is enough to act. */
static void choose_course(ow_inquiry *q, ow_survey *s)
{
    const ow_ensemble *e = q->outlook->ensemble;
    int plant = q->question.plant;
    q->among = foresees(q) && e != NULL && e->steps > 0;
    q->course = foresees(q) ? expected(q) : NULL;
    if (q->among) {
        q->member = ow_ensemble_member_at(e, plant, ow_act_from_risk(plant_of(q)->value));
        q->course = &e->course[plant * OW_MEMBERS + q->member];
        s->passed = e->risk[plant].damaged;
    }
    s->runs = q->among ? OW_MEMBERS : foresees(q);
}

static void look_ahead(ow_inquiry *q, ow_survey *s)
{
    choose_course(q, s);
    s->thaw = thaw_is_needed(q, &s->thaw_by_s);
    if (!foresees(q)) {
        return;
    }
    const ow_course *c = expected(q);
    s->threat = threat_of(q);
    s->passed = q->among ? s->passed : s->threat.any && !s->threat.dry;
    s->share = s->passed > 0 ? (double)s->passed / s->runs : 1.0;
    s->leave =
        ow_loss_of(s->threat.any ? q->course : c, &actor_of(q)->condition, plant_of(q), s->share);
    s->leave_wait = s->thaw ? ow_thaw_wait(q->outlook, c->open_s) : 0.0;
    s->spare_k = ow_course_margin_k(q->course);
    s->thaw_s = c->open_s;
    s->half_s = c->half_s;
    s->gone_s = c->gone_s;
    s->reset_s = c->reset_s;
}

/* ---- the same question as before ------------------------------------------------------------- */

/* An act whose last moment has gone by must be looked at again. */
static bool in_time(const ow_survey *s, ow_utc_s now)
{
    for (int i = 0; i < s->ways; i++) {
        bool had = s->way[i].loss.sure < s->leave.sure - SAME;
        if (had && s->way[i].latest_s <= now) {
            return false;
        }
    }
    return true;
}

static bool still_stands(const ow_survey *before, const ow_survey *s, ow_utc_s now)
{
    const ow_threat *a = &before->threat, *b = &s->threat;
    bool same = before->made && before->ways > 0 && now - before->made_s < SURVEY_LASTS_S &&
                before->thaw == s->thaw && fabs(before->leave.sure - s->leave.sure) < SAME &&
                fabs(before->share - s->share) < SAME_SHARE;
    bool alike = a->any == b->any &&
                 (!a->any || (a->part == b->part && a->dry == b->dry && a->kills == b->kills &&
                              a->at_s == b->at_s && !(fabs(a->lowest_c - b->lowest_c) >= SAME_C)));
    return same && alike && in_time(before, now);
}

static void keep_ways(ow_survey *s, const ow_survey *before)
{
    s->made = before->made;
    s->made_s = before->made_s;
    s->ways = before->ways;
    memcpy(s->way, before->way, sizeof s->way);
}

/* ---- trials ---------------------------------------------------------------------------------- */

static ow_status ask_more(ow_inquiry *q)
{
    int n = q->trials - q->asked;
    n = n < OW_LANES ? n : OW_LANES;
    memcpy(q->question.trial, q->trial + q->asked, (size_t)n * sizeof q->trial[0]);
    q->asked += n;
    return ask(q, TRIALS, n);
}

static void list_trials(ow_inquiry *q)
{
    const ow_survey *s = q->survey;
    ow_utc_s now = q->scene->now_s;
    q->trials = ow_trials_of(q->scene->garden, actor_of(q), now, q->trial, OW_TRIALS_MOST / 2);
    q->trials = ow_trials_later(q->trial, q->trials, OW_TRIALS_MOST, now,
                                s->threat.any ? s->threat.at_s : OW_NEVER);
}

static void take_trials(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    for (int i = 0; i < k->n; i++) {
        ow_survey_note(q->survey, &k->trial[i], &k->answer[i], actor_of(q), q->scene->garden,
                       q->outlook);
    }
}

/* ---- the latest useful starts ---------------------------------------------------------------- */

static ow_utc_s steps_between(const ow_inquiry *q, int way)
{
    return (q->bad_s[way] - q->good_s[way]) / ow_question_step_s(&q->question, q->outlook);
}

/* A way that passes no limit less has no latest start: it is as good at once as ever. */
static void open_search(ow_inquiry *q)
{
    const ow_survey *s = q->survey;
    for (int i = 0; i < s->ways; i++) {
        bool gains = s->way[i].loss.sure < s->leave.sure - SAME;
        q->good_s[i] = s->way[i].act.at_s;
        q->bad_s[i] = gains ? ow_outlook_end_s(q->outlook) : q->good_s[i];
    }
}

/* The lanes are shared by all ways whose latest start is not known to a step. False: all known. */
static bool ask_starts(ow_inquiry *q, ow_status *status)
{
    int n = 0, seeking = 0;
    for (int i = 0; i < q->survey->ways; i++) {
        if (steps_between(q, i) > 1) {
            q->seeking[seeking++] = i;
        }
    }
    if (seeking == 0) {
        return false;
    }
    q->probes = OW_LANES / seeking;
    for (int i = 0; i < seeking; i++) {
        int way = q->seeking[i];
        ow_utc_s steps = steps_between(q, way);
        for (int k = 1; k <= q->probes; k++) {
            q->question.trial[n] = q->survey->way[way].act;
            q->question.trial[n++].at_s =
                q->good_s[way] +
                steps * k / (q->probes + 1) * ow_question_step_s(&q->question, q->outlook);
        }
    }
    *status = ask(q, STARTS, n);
    return true;
}

/* Narrows to the last start before it helps less. */
static void take_starts(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    for (int i = 0; i < k->n; i++) {
        int way = q->seeking[i / q->probes];
        ow_utc_s at = k->trial[i].at_s;
        ow_loss loss =
            ow_loss_of(&k->answer[i], &actor_of(q)->condition, plant_of(q), q->survey->share);
        bool good = loss.sure <= q->survey->way[way].loss.sure + SAME;
        if (good && at < q->bad_s[way]) {
            q->good_s[way] = at > q->good_s[way] ? at : q->good_s[way];
        } else if (!good && at < q->bad_s[way]) {
            q->bad_s[way] = at;
        }
    }
    for (int i = 0; i < q->survey->ways; i++) {
        q->survey->way[i].latest_s = q->good_s[i];
    }
}

/* ---- mildness -------------------------------------------------------------------------------- */

/* Covers off, or back to its own place, when it stays mild. */
static int mild_trials(const ow_inquiry *q, ow_trial *trial)
{
    const ow_actor *a = actor_of(q);
    int home = plant_of(q)->place.at, n = 0;
    ow_utc_s now = q->scene->now_s;
    bool mild = foresees(q) && !q->survey->threat.any &&
                ow_outlook_end_s(q->outlook) - now >= MILD_AHEAD_S &&
                q->outlook->lowest_air_c >= MILD_C - (q->was_mild ? STILL_MILD_K : 0.0);
    if (mild && a->dress.n > 0) {
        trial[n++] = (ow_trial){.place = -1, .bare = true, .at_s = now};
    }
    if (mild && a->place != home) {
        trial[n++] = (ow_trial){.place = home, .home = true, .at_s = now};
    }
    return n;
}

static void take_mild(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    ow_survey *s = q->survey;
    for (int i = 0; i < k->n; i++) {
        if (!ow_threat_of(&k->answer[i], &actor_of(q)->condition).any) {
            find(s, k->trial[i].bare ? OW_STATE_UNCOVER : OW_STATE_CARRY_OUT);
            s->found[s->findings - 1].act = k->trial[i];
            s->found[s->findings - 1].asks = true;
        }
    }
}

/* ---- the order of things --------------------------------------------------------------------- */

static ow_status then_mild(ow_inquiry *q)
{
    int n = mild_trials(q, q->question.trial);
    q->stage = DONE;
    return n > 0 ? ask(q, MILD, n) : OW_OK;
}

static ow_status then_starts(ow_inquiry *q)
{
    ow_status status = OW_OK;
    return ask_starts(q, &status) ? status : then_mild(q);
}

static ow_status after_trials(ow_inquiry *q)
{
    if (q->asked < q->trials) {
        return ask_more(q);
    }
    ow_survey_thin(q->survey, q->scene->garden, MOST_SOUGHT);
    open_search(q);
    return then_starts(q);
}

ow_status ow_inquiry_begin(ow_inquiry *q, ow_survey *survey, ow_outlook *outlook,
                           const ow_scene *scene, int plant, const ow_verdict *before,
                           double air_gap_s)
{
    *q = (ow_inquiry){.survey = survey, .outlook = outlook, .scene = scene};
    q->question.plant = plant;
    q->was_mild = before->state == OW_STATE_UNCOVER || before->state == OW_STATE_CARRY_OUT;
    ow_survey fresh = {.threat.at_s = OW_NEVER,
                       .thaw_s = OW_NEVER,
                       .half_s = OW_NEVER,
                       .gone_s = OW_NEVER,
                       .reset_s = OW_NEVER,
                       .rooted = plant_of(q)->bed.given};
    look_at_now(q, &fresh, air_gap_s);
    look_ahead(q, &fresh);
    if (still_stands(survey, &fresh, scene->now_s)) {
        keep_ways(&fresh, survey);
        *survey = fresh;
        return then_mild(q);
    }
    *survey = fresh;
    if (!foresees(q) || !(fresh.threat.any || fresh.thaw)) {
        return then_mild(q);
    }
    survey->made = true;
    survey->made_s = scene->now_s;
    list_trials(q);
    return after_trials(q);
}

/* ---- what others want ------------------------------------------------------------------------ */

static void take_gives(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    for (int i = 0; i < k->n; i++) {
        ow_survey_note_give(q->survey, &k->trial[i], &k->answer[i],
                            k->among ? q->course : expected(q), actor_of(q), q->scene->garden,
                            q->outlook);
    }
}

ow_status ow_inquiry_give(ow_inquiry *q, ow_survey *survey, ow_outlook *outlook,
                          const ow_scene *scene, int plant, const bool *cover_short,
                          const bool *room_short)
{
    *q = (ow_inquiry){.survey = survey, .outlook = outlook, .scene = scene, .stage = DONE};
    q->question.plant = plant;
    survey->gives = 0;
    if (!foresees(q)) {
        return OW_OK;
    }
    ow_survey same = *survey;
    choose_course(q, &same);
    int n = ow_trials_give(scene->garden, actor_of(q), scene->now_s, cover_short, room_short,
                           q->question.trial, OW_GIVES);
    return n > 0 ? ask(q, GIVES, n) : OW_OK;
}

ow_status ow_inquiry_answer(ow_inquiry *q)
{
    q->asking = false;
    switch (q->stage) {
    case TRIALS:
        take_trials(q);
        return after_trials(q);
    case STARTS:
        take_starts(q);
        return then_starts(q);
    case MILD:
        take_mild(q);
        q->stage = DONE;
        return OW_OK;
    case GIVES:
        take_gives(q);
        q->stage = DONE;
        return OW_OK;
    default:
        return OW_BAD_INPUT;
    }
}
