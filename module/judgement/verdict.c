/* SPDX-License-Identifier: MIT */
#include "judgement/verdict.h"

#include <math.h>
#include <string.h>

static const ow_utc_s STAY_S = 2 * OW_HOUR_S;
static const double STAY_K = 0.5;

/* Longest hole in the air's readings that the model may still vouch for. */
static const double STALE_S = 6.0 * OW_HOUR_S;

/* Mild: nothing within the outlook, which reaches this far, comes colder than this. */
static const double MILD_C = 2.0;
static const ow_utc_s MILD_AHEAD_S = 24 * OW_HOUR_S;

const char *ow_state_word(ow_state state)
{
    static const char *const words[] = {
#define OW_STATE_WORD(name, word) word,
        OW_STATE_LIST(OW_STATE_WORD)
#undef OW_STATE_WORD
    };
    return (unsigned)state < OW_STATES ? words[state] : "?";
}

double ow_act_from_risk(ow_value value)
{
    static const double from[] = {
        [OW_VALUE_ORDINARY] = 0.25, [OW_VALUE_TREASURED] = 0.10, [OW_VALUE_IRREPLACEABLE] = 0.03};
    return (unsigned)value <= OW_VALUE_IRREPLACEABLE ? from[value] : from[OW_VALUE_ORDINARY];
}

void ow_verdict_start(ow_verdict *v)
{
    *v = (ow_verdict){.state = OW_STATE_HOLD,
                      .act_by_s = OW_NEVER,
                      .eased_c = NAN,
                      .thaw_s = OW_NEVER,
                      .risk = NAN,
                      .milder_since_s = OW_NEVER};
}

/* ---- acts open to a plant -------------------------------------------------------------------- */

/* One more from the stock, or one that the wind took, laid again. */
static bool can_wear(const ow_actor *a, const ow_moment *m, int cover)
{
    if (ow_dress_has(&a->dress, cover)) {
        return ow_dress_blown(&a->dress, cover);
    }
    return m->cover_left[cover] > 0 && a->dress.n < OW_WORN_MAX;
}

/* Each cover at hand alone, then each pair, fewest first. */
static int cover_trials(const ow_garden *g, const ow_actor *a, const ow_moment *m, ow_utc_s now,
                        ow_trial *trial)
{
    const ow_refs *at_hand = &g->plants[a->plant].covers;
    int n = 0;
    for (int i = 0; i < at_hand->count && n < OW_LANES; i++) {
        int one = at_hand->item[i].at;
        if (can_wear(a, m, one)) {
            trial[n++] = (ow_trial){.place = -1, .covers = 1, .cover = {one}, .at_s = now};
        }
    }
    for (int i = 0; i < at_hand->count; i++) {
        for (int k = i + 1; k < at_hand->count && n < OW_LANES; k++) {
            int one = at_hand->item[i].at, two = at_hand->item[k].at;
            bool room = a->dress.n + 2 <= OW_WORN_MAX;
            if (room && can_wear(a, m, one) && can_wear(a, m, two)) {
                trial[n++] = (ow_trial){.place = -1, .covers = 2, .cover = {one, two}, .at_s = now};
            }
        }
    }
    return n;
}

static bool has_room(const ow_scene *s, int place)
{
    return ow_scene_crowd(s, place) < s->garden->places[place].room_for;
}

/*
 * The same covers laid later too, halfway to the threat and an hour before it, as far as lanes go:
 * laid before rain or a gale a cover may be worth nothing when the frost comes.
 */
static int later_trials(ow_trial *trial, int n, ow_utc_s now, ow_utc_s threat_s)
{
    ow_utc_s late = threat_s - OW_HOUR_S, halfway = now + (threat_s - now) / 2;
    const ow_utc_s starts[] = {late, halfway};
    int all = n;
    for (size_t k = 0; k < sizeof starts / sizeof starts[0]; k++) {
        for (int i = 0; i < n && all + n - i <= OW_LANES && starts[k] > now; i++) {
            trial[all] = trial[i];
            trial[all++].at_s = starts[k];
        }
    }
    return all;
}

static bool shelters(ow_place_kind kind)
{
    return kind != OW_PLACE_OPEN_SKY;
}

/* Each other sheltered place with room, the least change first. */
static int place_trials(const ow_scene *s, const ow_actor *a, ow_utc_s now, ow_trial *trial)
{
    const ow_garden *g = s->garden;
    int n = 0;
    if (!g->plants[a->plant].pot.given) {
        return 0;
    }
    for (int kind = 0; kind < OW_PLACE_KIND_COUNT; kind++) {
        for (int p = 0; p < g->place_count && n < OW_LANES; p++) {
            const ow_place *place = &g->places[p];
            if ((int)place->kind == kind && shelters(place->kind) && p != a->place &&
                has_room(s, p)) {
                trial[n++] = (ow_trial){.place = p, .at_s = now};
            }
        }
    }
    return n;
}

/* The first trial that leaves the least; what was asked before wins a tie. */
static int least(const ow_trial *trial, const ow_course *course, int n,
                 const ow_condition *condition, const ow_verdict *before, ow_threat *left)
{
    int best = -1;
    for (int i = 0; i < n; i++) {
        ow_threat t = ow_threat_of(&course[i], condition);
        bool asked = before->asks && ow_trial_same(&before->act, &trial[i]);
        bool same_hour = best >= 0 && trial[i].at_s == trial[best].at_s;
        if (best < 0 || t.weight < left->weight ||
            (asked && same_hour && t.weight <= left->weight)) {
            best = i;
            *left = t;
        }
    }
    return best;
}

/* ---- findings -------------------------------------------------------------------------------- */

static ow_finding plain(ow_state state)
{
    return (ow_finding){.state = state, .act_by_s = OW_NEVER, .eased_c = NAN};
}

/* The same question as before, with its answer still open: no need to ask again. */
static bool still_stands(const ow_verdict *v, const ow_threat *t, const ow_scene *s,
                         const ow_moment *m)
{
    bool same = v->threat.any && v->asks && v->threat.part == t->part &&
                v->threat.kills == t->kills && v->threat.at_s == t->at_s &&
                fabs(v->threat.lowest_c - t->lowest_c) < 0.05 && v->threat.weight == t->weight;
    for (int i = 0; same && i < v->act.covers; i++) {
        same = m->cover_left[v->act.cover[i]] > 0;
    }
    same = same && (v->act.place < 0 || has_room(s, v->act.place));
    return same && v->act_by_s > s->now_s &&
           (v->state == OW_STATE_COVER_SOON || v->state == OW_STATE_CARRY_IN);
}

static bool thaw_is_needed(const ow_actor *a, const ow_tolerance *stands, const ow_course *course,
                           const ow_outlook *o, ow_utc_s *by_s)
{
    const ow_drought *d = &a->condition.drought;
    bool shut = d->frozen_through || d->running;
    if (!shut || isnan(stands->suffers_days)) {
        return false;
    }
    if (ow_drought_clock_days(d) >= stands->suffers_days) {
        *by_s = o->start_s;
        return true;
    }
    /* The course knows its thaws: a ball that thaws for a day sets the clock back before that. */
    *by_s = o->steps > 0 ? course->suffers_s : OW_NEVER;
    return *by_s != OW_NEVER;
}

static bool has_been_harmed(const ow_condition *c)
{
    for (int p = 0; p < OW_PARTS; p++) {
        if (c->watch[p].damaged || c->watch[p].killed) {
            return true;
        }
    }
    return false;
}

/* A milder state is believed after two hours, or at once with half a kelvin to spare. */
static bool stays_put(ow_verdict *before, ow_state next, double spare_k, ow_utc_s now)
{
    /* Uncovering is never held on to: it asks for less shelter, and mildness has its own margin. */
    bool bares = before->state == OW_STATE_UNCOVER || before->state == OW_STATE_CARRY_OUT;
    if (next <= before->state || bares) {
        before->milder_since_s = OW_NEVER;
        return false;
    }
    bool threatened = before->state == OW_STATE_CARRY_IN || before->state == OW_STATE_COVER_SOON;
    if (threatened && spare_k >= STAY_K) {
        return false;
    }
    if (before->milder_since_s == OW_NEVER) {
        before->milder_since_s = now;
    }
    return now - before->milder_since_s < STAY_S;
}

static void settle(ow_verdict *v, const ow_finding *found, int n, const ow_threat *threat,
                   double spare_k, ow_utc_s now)
{
    const ow_finding *worst = &found[0];
    unsigned all = 0;
    for (int i = 0; i < n; i++) {
        all |= 1u << found[i].state;
        worst = found[i].state < worst->state ? &found[i] : worst;
    }
    /* One who waits and sees, or thaws, may still lose covers and go home. */
    bool waits = worst->state == OW_STATE_WAIT_AND_SEE || worst->state == OW_STATE_THAWING;
    ow_finding with_act;
    for (int i = 0; waits && !worst->asks && i < n; i++) {
        if (found[i].asks) {
            with_act = found[i];
            with_act.state = worst->state;
            worst = &with_act;
        }
    }
    if (stays_put(v, worst->state, spare_k, now)) {
        v->also = all & ~(1u << v->state) & ~(1u << OW_STATE_HOLD);
        v->late = v->act_by_s < now;
        return;
    }
    /* An act that once would have prevented the harm and no longer does is late, not new. */
    bool could = v->late || (v->asks && v->prevents);
    bool late = could && !worst->prevents && threat->any && v->threat.any &&
                v->threat.part == threat->part && v->act_by_s <= now &&
                (worst->state == OW_STATE_CARRY_IN || worst->state == OW_STATE_COVER_SOON);
    ow_utc_s by = late ? v->act_by_s : worst->act_by_s;
    v->prevents = worst->prevents;
    v->state = worst->state;
    v->also = all & ~(1u << v->state) & ~(1u << OW_STATE_HOLD);
    v->act = worst->act;
    v->asks = worst->asks;
    v->act_by_s = by;
    v->late = late || (by != OW_NEVER && by < now);
    v->eased_c = worst->eased_c;
    v->threat = *threat;
    v->milder_since_s = OW_NEVER;
}

/* ---- the inquiry ----------------------------------------------------------------------------- */

enum { COVERS, PLACES, START_WIDE, START_FINE, FROST, MILD, DONE };

/* Water moving sooner by less than this is no reason to change the place asked for. */
static const ow_utc_s THAW_TIE_S = 6 * OW_HOUR_S;

static const ow_actor *actor_of(const ow_inquiry *q)
{
    return &q->scene->cast->actor[q->question.plant];
}

static ow_finding *add_finding(ow_inquiry *q, ow_finding finding)
{
    q->found[q->findings] = finding;
    return &q->found[q->findings++];
}

static bool foresees(const ow_inquiry *q)
{
    return q->outlook->steps > 0;
}

/* Asks the n trials that stand in the question, if there are any. How frozen roots thaw is asked of
 * the expected hours, everything else of those that the verdict rests on. */
static ow_status ask(ow_inquiry *q, int stage, int n)
{
    q->stage = stage;
    q->question.n = n;
    q->question.among = q->among && stage != FROST;
    q->question.member = q->member;
    q->asking = n > 0;
    return n > 0 ? ow_question_begin(&q->question, q->outlook, q->scene) : OW_OK;
}

/* Sixteen starts of the chosen act, even in time over [from, to]. */
static ow_status ask_start(ow_inquiry *q, int stage)
{
    ow_utc_s step_s = ow_question_step_s(&q->question, q->outlook), span = (q->to_s - q->from_s) / step_s;
    ow_trial act = q->found[q->findings - 1].act;
    for (int i = 0; i < OW_LANES; i++) {
        q->question.trial[i] = act;
        q->question.trial[i].at_s = q->from_s + span * i / (OW_LANES - 1) * step_s;
    }
    return ask(q, stage, OW_LANES);
}

static ow_status ask_covers(ow_inquiry *q)
{
    ow_utc_s now = q->scene->now_s;
    ow_trial *trial = q->question.trial;
    int n = cover_trials(q->scene->garden, actor_of(q), &q->moment, now, trial);
    return ask(q, COVERS, later_trials(trial, n, now, q->threat.at_s));
}

static ow_status ask_places(ow_inquiry *q, int stage)
{
    return ask(q, stage, place_trials(q->scene, actor_of(q), q->scene->now_s, q->question.trial));
}

/* Covers off, or back to its own place, when it stays mild. */
static ow_status ask_mild(ow_inquiry *q)
{
    const ow_actor *a = actor_of(q);
    ow_trial *trial = q->question.trial;
    int home = q->scene->garden->plants[q->question.plant].place.at, n = 0;
    bool was_mild =
        q->verdict->state == OW_STATE_UNCOVER || q->verdict->state == OW_STATE_CARRY_OUT;
    bool mild = foresees(q) && !q->threat.any &&
                ow_outlook_end_s(q->outlook) - q->scene->now_s >= MILD_AHEAD_S &&
                q->outlook->lowest_air_c >= MILD_C - (was_mild ? STAY_K : 0.0);
    if (mild && a->dress.n > 0) {
        trial[n++] = (ow_trial){.place = -1, .bare = true, .at_s = q->scene->now_s};
    }
    if (mild && a->place != home) {
        trial[n++] = (ow_trial){.place = home, .home = true, .at_s = q->scene->now_s};
    }
    return ask(q, MILD, n);
}

static void take_way(ow_inquiry *q, int way)
{
    ow_question *k = &q->question;
    ow_threat left = q->threat;
    int best = least(k->trial, k->answer, k->n, &actor_of(q)->condition, q->verdict, &left);
    q->helps[way] = left.weight < q->threat.weight;
    q->left[way] = left;
    q->best[way] = k->trial[best];
    q->eased_c[way] = k->answer[best].lowest_c[q->threat.part];
}

/* The better of the two ways becomes the finding; covers win a tie. False: nothing helps. */
static bool choose_way(ow_inquiry *q)
{
    int way = q->helps[0] && (!q->helps[1] || q->left[0].weight <= q->left[1].weight) ? 0 : 1;
    ow_finding *f = add_finding(q, plain(OW_STATE_CARRY_IN));
    /* What is rooted in a bed cannot be carried: the cover that does most is what there is. */
    bool rooted = q->scene->garden->plants[q->question.plant].bed.given;
    f->act_by_s = q->threat.at_s;
    f->state = rooted ? OW_STATE_COVER_SOON : OW_STATE_CARRY_IN;
    if (!q->helps[way]) {
        return false;
    }
    f->asks = true;
    f->act = q->best[way];
    f->prevents = !q->left[way].any;
    f->state = way == 0 && (f->prevents || rooted) ? OW_STATE_COVER_SOON : OW_STATE_CARRY_IN;
    f->eased_c = q->eased_c[way];
    q->most_weight = q->left[way].weight;
    q->from_s = f->act.at_s;
    q->to_s = q->threat.at_s;
    return true;
}

/* Narrows [from, to] to the last start before prevention fails. */
static void take_start(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    for (int i = 1; i < k->n; i++) {
        q->to_s = k->trial[i].at_s;
        if (ow_threat_of(&k->answer[i], &actor_of(q)->condition).weight > q->most_weight) {
            break;
        }
        q->from_s = k->trial[i].at_s;
    }
    q->found[q->findings - 1].act_by_s = q->from_s;
}

/* The place where water moves soonest; it must gain on staying, or a late plant would be carried
 * from one warm place to the next. */
static void take_frost(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    ow_finding *f = &q->found[q->findings - 1];
    ow_utc_s staying = q->outlook->course[k->plant].open_s;
    int best = -1;
    ow_utc_s soonest = OW_NEVER;
    for (int i = 0; i < k->n; i++) {
        bool asked = q->verdict->asks && ow_trial_same(&q->verdict->act, &k->trial[i]);
        ow_utc_s open = k->answer[i].open_s;
        bool gains = open != OW_NEVER && open < staying - THAW_TIE_S;
        open -= asked && gains ? THAW_TIE_S : 0;
        if (gains && open < soonest) {
            soonest = open;
            best = i;
        }
    }
    if (best >= 0) {
        f->asks = true;
        f->act = k->trial[best];
        f->act_by_s -= k->answer[best].open_s - q->scene->now_s;
    }
}

static void take_mild(ow_inquiry *q)
{
    const ow_question *k = &q->question;
    for (int i = 0; i < k->n; i++) {
        if (!ow_threat_of(&k->answer[i], &actor_of(q)->condition).any) {
            ow_state state = k->trial[i].bare ? OW_STATE_UNCOVER : OW_STATE_CARRY_OUT;
            ow_finding *f = add_finding(q, plain(state));
            f->act = k->trial[i];
            f->asks = true;
        }
    }
}

static void tell_risk(ow_inquiry *q)
{
    ow_verdict *v = q->verdict;
    v->runs = q->among ? OW_MEMBERS : foresees(q);
    v->passed = q->among ? q->outlook->ensemble->risk[q->question.plant].damaged : q->threat.any;
    v->risk = v->runs > 0 ? (double)v->passed / v->runs : NAN;
}

static ow_status conclude(ow_inquiry *q)
{
    int plant = q->question.plant;
    q->asking = false;
    q->stage = DONE;
    q->verdict->thaw_s = foresees(q) ? q->outlook->course[plant].open_s : OW_NEVER;
    settle(q->verdict, q->found, q->findings, &q->threat,
           foresees(q) ? ow_course_margin_k(q->course) : 0.0, q->scene->now_s);
    tell_risk(q);
    return OW_OK;
}

/* What comes when the threat has its answer: frozen roots, then mildness, then the verdict. */
static ow_status after_threat(ow_inquiry *q)
{
    const ow_actor *a = actor_of(q);
    ow_utc_s by;
    if (ow_drought_thawing(&a->condition.drought)) {
        (void)add_finding(q, plain(OW_STATE_THAWING));
    }
    if (has_been_harmed(&a->condition)) {
        (void)add_finding(q, plain(OW_STATE_WAIT_AND_SEE));
    }
    const ow_tolerance *stands = &q->scene->garden->plants[q->question.plant].tolerance;
    if (thaw_is_needed(a, stands, &q->outlook->course[q->question.plant], q->outlook, &by)) {
        add_finding(q, plain(OW_STATE_THAW_NEEDED))->act_by_s = by;
        ow_status status = foresees(q) ? ask_places(q, FROST) : OW_OK;
        if (status != OW_OK || q->asking) {
            return status;
        }
    }
    ow_status status = ask_mild(q);
    return status != OW_OK || q->asking ? status : conclude(q);
}

static ow_status after_ways(ow_inquiry *q)
{
    return choose_way(q) ? ask_start(q, START_WIDE) : after_threat(q);
}

static ow_status after_covers(ow_inquiry *q)
{
    if (q->helps[0] && !q->left[0].any) {
        return after_ways(q);
    }
    ow_status status = ask_places(q, PLACES);
    return status != OW_OK || q->asking ? status : after_ways(q);
}

/* What lies ahead: the expected hours, or the member at which the risk is enough to act. */
static void look_at(ow_inquiry *q, const ow_outlook *o, int plant)
{
    const ow_ensemble *e = o->ensemble;
    double share = ow_act_from_risk(q->scene->garden->plants[plant].value);
    q->among = foresees(q) && e != NULL && e->steps > 0;
    if (q->among) {
        q->member = ow_ensemble_member_at(e, plant, share);
        q->course = &e->course[plant * OW_MEMBERS + q->member];
    } else if (foresees(q)) {
        q->course = &o->course[plant];
    }
}

ow_status ow_inquiry_begin(ow_inquiry *q, ow_verdict *v, ow_outlook *o, const ow_scene *s,
                           int plant, const ow_moment *m)
{
    const ow_actor *a = &s->cast->actor[plant];
    *q = (ow_inquiry){.verdict = v, .outlook = o, .scene = s, .moment = *m};
    q->question.plant = plant;
    q->threat.at_s = OW_NEVER;
    (void)add_finding(q, plain(OW_STATE_HOLD));
    if (m->air_gap_s > STALE_S && s->garden->places[a->place].kind != OW_PLACE_INDOORS) {
        (void)add_finding(q, plain(OW_STATE_NO_READING));
    }
    look_at(q, o, plant);
    if (q->course != NULL) {
        q->threat = ow_threat_of(q->course, &a->condition);
    }
    if (!q->threat.any) {
        return after_threat(q);
    }
    if (still_stands(v, &q->threat, s, m)) {
        (void)add_finding(
            q, (ow_finding){v->state, v->act, v->asks, v->prevents, v->act_by_s, v->eased_c});
        return after_threat(q);
    }
    ow_status status = ask_covers(q);
    return status != OW_OK || q->asking ? status : after_covers(q);
}

ow_status ow_inquiry_answer(ow_inquiry *q)
{
    q->asking = false;
    switch (q->stage) {
    case COVERS:
        take_way(q, 0);
        return after_covers(q);
    case PLACES:
        take_way(q, 1);
        return after_ways(q);
    case START_WIDE:
        take_start(q);
        return q->to_s - q->from_s > ow_question_step_s(&q->question, q->outlook)
                   ? ask_start(q, START_FINE)
                   : after_threat(q);
    case START_FINE:
        take_start(q);
        return after_threat(q);
    case FROST: {
        take_frost(q);
        ow_status status = ask_mild(q);
        return status != OW_OK || q->asking ? status : conclude(q);
    }
    case MILD:
        take_mild(q);
        return conclude(q);
    default:
        return OW_BAD_INPUT;
    }
}
