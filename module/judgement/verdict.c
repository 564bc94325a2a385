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
static const ow_utc_s MILD_AHEAD_S = 48 * OW_HOUR_S;

/* What a part's loss weighs when acts are compared; the one growing point is the plant. */
static const double weight[OW_PARTS] = {[OW_FOLIAGE] = 1.0,
                                        [OW_BUDS] = 1.0,
                                        [OW_ROOTS] = 3.0,
                                        [OW_GROWING_POINT] = 4.0,
                                        [OW_STORAGE_ORGAN] = 4.0};
static const double KILLED_WEIGHS = 10.0;

const char *ow_state_word(ow_state state)
{
    static const char *const words[] = {
#define OW_STATE_WORD(name, word) word,
        OW_STATE_LIST(OW_STATE_WORD)
#undef OW_STATE_WORD
    };
    return (unsigned)state < OW_STATES ? words[state] : "?";
}

void ow_verdict_start(ow_verdict *v)
{
    *v = (ow_verdict){.state = OW_STATE_HOLD,
                      .act_by_s = OW_NEVER,
                      .eased_c = NAN,
                      .thaw_s = OW_NEVER,
                      .milder_since_s = OW_NEVER};
}

ow_threat ow_threat_of(const ow_course *course, const ow_condition *condition)
{
    ow_threat t = {.at_s = OW_NEVER};
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_harm_watch *w = &condition->watch[p];
        bool killed = course->killed_s[p] != OW_NEVER && !w->killed;
        bool damaged = course->damaged_s[p] != OW_NEVER && !w->damaged;
        ow_utc_s at = damaged ? course->damaged_s[p] : killed ? course->killed_s[p] : OW_NEVER;
        t.weight += weight[p] * ((damaged ? 1.0 : 0.0) + (killed ? KILLED_WEIGHS : 0.0));
        t.kills |= killed;
        if (at < t.at_s) {
            t.any = true;
            t.at_s = at;
            t.part = (ow_part)p;
            t.lowest_c = course->lowest_c[p];
            t.lowest_s = course->lowest_s[p];
            t.limit_c = course->limit_c[p];
        }
    }
    return t;
}

/* ---- acts open to a plant ----------------------------------------------------------------- */

static bool can_wear(const ow_actor *a, const ow_moment *m, int cover)
{
    return m->cover_left[cover] > 0 && !ow_dress_has(&a->dress, cover) &&
           a->dress.n < OW_WORN_MAX;
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
                trial[n++] =
                    (ow_trial){.place = -1, .covers = 2, .cover = {one, two}, .at_s = now};
            }
        }
    }
    return n;
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
                ow_scene_crowd(s, p) < place->room_for) {
                trial[n++] = (ow_trial){.place = p, .at_s = now};
            }
        }
    }
    return n;
}

/* The first trial that leaves the least. */
static int least(const ow_course *course, const ow_condition *condition, int n, ow_threat *left)
{
    int best = -1;
    for (int i = 0; i < n; i++) {
        ow_threat t = ow_threat_of(&course[i], condition);
        if (best < 0 || t.weight < left->weight) {
            best = i;
            *left = t;
        }
    }
    return best;
}

/* ---- the latest useful time ---------------------------------------------------------------- */

/* Of sixteen starts even in time over [from, to], the last one before prevention fails. */
static ow_status search_start(ow_outlook *o, const ow_scene *s, int plant, const ow_trial *act,
                              double most_weight, ow_utc_s *from, ow_utc_s *to)
{
    const ow_condition *condition = &s->cast->actor[plant].condition;
    ow_trial trial[OW_LANES];
    ow_course course[OW_LANES];
    ow_utc_s span = (*to - *from) / o->step_s, start = *from;
    for (int i = 0; i < OW_LANES; i++) {
        trial[i] = *act;
        trial[i].at_s = start + span * i / (OW_LANES - 1) * o->step_s;
    }
    ow_status status = ow_outlook_try(o, s, plant, trial, OW_LANES, course);
    for (int i = 1; status == OW_OK && i < OW_LANES; i++) {
        *to = trial[i].at_s;
        if (ow_threat_of(&course[i], condition).weight > most_weight) {
            break;
        }
        *from = trial[i].at_s;
    }
    return status;
}

static ow_status latest_start(ow_outlook *o, const ow_scene *s, int plant, const ow_trial *act,
                              double most_weight, ow_utc_s harm_s, ow_utc_s *latest_s)
{
    ow_utc_s from = s->now_s, to = harm_s;
    ow_status status = search_start(o, s, plant, act, most_weight, &from, &to);
    if (status == OW_OK && to - from > o->step_s) {
        status = search_start(o, s, plant, act, most_weight, &from, &to);
    }
    *latest_s = from;
    return status;
}

/* ---- states -------------------------------------------------------------------------------- */

/* A finding: state, act, and what is left; the caller keeps the worst. */
typedef struct finding {
    ow_state state;
    ow_trial act;
    bool asks, prevents;
    ow_utc_s act_by_s;
    double eased_c;
} finding;

static finding plain(ow_state state)
{
    return (finding){.state = state, .act_by_s = OW_NEVER, .eased_c = NAN};
}

static double part_lowest_c(const ow_course *course, ow_part part)
{
    return course->lowest_c[part];
}

/* The best of covers, then of places; one that prevents all wins over one that does not. */
static ow_status answer_threat(ow_outlook *o, const ow_scene *s, int plant, const ow_moment *m,
                               const ow_threat *threat, finding *f)
{
    const ow_actor *a = &s->cast->actor[plant];
    ow_trial trial[2][OW_LANES];
    ow_course course[OW_LANES];
    ow_threat left[2] = {*threat, *threat};
    double eased[2] = {NAN, NAN};
    int best[2] = {-1, -1};
    int n[2] = {cover_trials(s->garden, a, m, s->now_s, trial[0]),
                place_trials(s, a, s->now_s, trial[1])};
    *f = plain(OW_STATE_CARRY_IN);
    f->act_by_s = threat->at_s;
    for (int way = 0; way < 2; way++) {
        if (n[way] == 0 || (way == 1 && best[0] >= 0 && !left[0].any)) {
            continue;
        }
        ow_status status = ow_outlook_try(o, s, plant, trial[way], n[way], course);
        if (status != OW_OK) {
            return status;
        }
        best[way] = least(course, &a->condition, n[way], &left[way]);
        eased[way] = part_lowest_c(&course[best[way]], threat->part);
    }
    bool covered = best[0] >= 0 && left[0].weight <= left[1].weight;
    int way = covered ? 0 : 1;
    if (best[way] < 0 || left[way].weight >= threat->weight) {
        return OW_OK; /* nothing at hand helps */
    }
    f->state = covered && !left[0].any ? OW_STATE_COVER_SOON : OW_STATE_CARRY_IN;
    f->act = trial[way][best[way]];
    f->asks = true;
    f->prevents = !left[way].any;
    f->eased_c = eased[way];
    return latest_start(o, s, plant, &f->act, left[way].weight, threat->at_s, &f->act_by_s);
}

/* The same question as before, with its answer still open: no need to ask again. */
static bool still_stands(const ow_verdict *v, const ow_threat *t, ow_utc_s now,
                         const ow_moment *m)
{
    bool same = v->threat.any && v->asks && v->threat.part == t->part &&
                v->threat.kills == t->kills && v->threat.at_s == t->at_s &&
                fabs(v->threat.lowest_c - t->lowest_c) < 0.05 && v->threat.weight == t->weight;
    for (int i = 0; same && i < v->act.covers; i++) {
        same = m->cover_left[v->act.cover[i]] > 0;
    }
    return same && v->act_by_s > now && (v->state == OW_STATE_COVER_SOON ||
                                         v->state == OW_STATE_CARRY_IN);
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
    *by_s = o->steps > 0 ? course->suffers_s : OW_NEVER;
    return *by_s != OW_NEVER && course->open_s > *by_s;
}

/* A warm place for a frozen pot: the first with room where water moves soonest. */
static ow_status answer_frost(ow_outlook *o, const ow_scene *s, int plant, finding *f)
{
    const ow_actor *a = &s->cast->actor[plant];
    ow_trial trial[OW_LANES];
    ow_course course[OW_LANES];
    int n = place_trials(s, a, s->now_s, trial), best = -1;
    if (n == 0 || o->steps == 0) {
        return OW_OK;
    }
    ow_status status = ow_outlook_try(o, s, plant, trial, n, course);
    for (int i = 0; status == OW_OK && i < n; i++) {
        if (course[i].open_s != OW_NEVER && (best < 0 || course[i].open_s < course[best].open_s)) {
            best = i;
        }
    }
    if (status == OW_OK && best >= 0) {
        f->asks = true;
        f->act = trial[best];
    }
    return status;
}

/* Covers off, or back to its own place, when that does no harm and it stays mild. */
static ow_status answer_mild(ow_outlook *o, const ow_scene *s, int plant, finding *off,
                             finding *back)
{
    const ow_actor *a = &s->cast->actor[plant];
    int home = s->garden->plants[plant].place.at;
    ow_trial trial[2];
    ow_course course[2];
    finding *to[2];
    int n = 0;
    *off = *back = plain(OW_STATE_HOLD);
    if (ow_outlook_end_s(o) - s->now_s < MILD_AHEAD_S || !(o->lowest_air_c >= MILD_C)) {
        return OW_OK;
    }
    if (a->dress.n > 0) {
        to[n] = off;
        trial[n++] = (ow_trial){.place = -1, .bare = true, .at_s = s->now_s};
    }
    if (a->place != home) {
        to[n] = back;
        trial[n++] = (ow_trial){.place = home, .at_s = s->now_s};
    }
    ow_status status = n > 0 ? ow_outlook_try(o, s, plant, trial, n, course) : OW_OK;
    for (int i = 0; status == OW_OK && i < n; i++) {
        if (!ow_threat_of(&course[i], &a->condition).any) {
            to[i]->state = to[i] == off ? OW_STATE_UNCOVER : OW_STATE_CARRY_OUT;
            to[i]->act = trial[i];
            to[i]->asks = true;
        }
    }
    return status;
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

/* How far the plant's nearest part stays above its limit ahead, K. */
static double margin_k(const ow_course *course)
{
    double margin = INFINITY;
    for (int p = 0; p < OW_PARTS; p++) {
        if (!isnan(course->limit_c[p]) && !isnan(course->lowest_c[p])) {
            margin = fmin(margin, course->lowest_c[p] - course->limit_c[p]);
        }
    }
    return margin;
}

/* A milder state is believed after two hours, or at once with half a kelvin to spare. */
static bool stays_put(ow_verdict *before, ow_state next, double spare_k, ow_utc_s now)
{
    if (next <= before->state) {
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

enum { FINDINGS = 8 };

static void settle(ow_verdict *v, const finding *found, int n, const ow_threat *threat,
                   double spare_k, ow_utc_s now)
{
    const finding *worst = &found[0];
    unsigned all = 0;
    for (int i = 0; i < n; i++) {
        all |= 1u << found[i].state;
        worst = found[i].state < worst->state ? &found[i] : worst;
    }
    if (stays_put(v, worst->state, spare_k, now)) {
        v->also = all & ~(1u << v->state) & ~(1u << OW_STATE_HOLD);
        v->late = v->act_by_s < now;
        return;
    }
    /* An act that once would have prevented the harm and no longer does is late, not new. */
    bool late = v->asks && v->prevents && !worst->prevents && threat->any && v->threat.any &&
                v->threat.part == threat->part && v->act_by_s <= now &&
                (worst->state == OW_STATE_CARRY_IN || worst->state == OW_STATE_COVER_SOON);
    ow_utc_s by = late ? v->act_by_s : worst->act_by_s;
    v->prevents = late ? v->prevents : worst->prevents;
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

ow_status ow_verdict_judge(ow_verdict *v, ow_outlook *o, const ow_scene *s, int plant,
                           const ow_moment *m)
{
    const ow_actor *a = &s->cast->actor[plant];
    const ow_tolerance *stands = &s->garden->plants[plant].tolerance;
    const ow_course *course = &o->course[plant];
    finding found[FINDINGS] = {plain(OW_STATE_HOLD)};
    ow_threat threat = {.at_s = OW_NEVER};
    ow_status status = OW_OK;
    ow_utc_s by;
    int n = 1;
    if (m->air_gap_s > STALE_S && s->spot[a->place].open_air) {
        found[n++] = plain(OW_STATE_NO_READING);
    }
    if (o->steps > 0) {
        threat = ow_threat_of(course, &a->condition);
    }
    if (threat.any && still_stands(v, &threat, s->now_s, m)) {
        found[n++] = (finding){v->state, v->act, v->asks, v->prevents, v->act_by_s, v->eased_c};
    } else if (threat.any) {
        status = answer_threat(o, s, plant, m, &threat, &found[n++]);
    }
    if (status == OW_OK && thaw_is_needed(a, stands, course, o, &by)) {
        found[n] = plain(OW_STATE_THAW_NEEDED);
        found[n].act_by_s = by;
        status = answer_frost(o, s, plant, &found[n++]);
    }
    if (ow_drought_thawing(&a->condition.drought)) {
        found[n++] = plain(OW_STATE_THAWING);
    }
    if (has_been_harmed(&a->condition)) {
        found[n++] = plain(OW_STATE_WAIT_AND_SEE);
    }
    if (status == OW_OK && !threat.any && o->steps > 0) {
        status = answer_mild(o, s, plant, &found[n], &found[n + 1]);
        n += 2;
    }
    if (status == OW_OK) {
        v->thaw_s = o->steps > 0 ? course->open_s : OW_NEVER;
        settle(v, found, n, &threat, o->steps > 0 ? margin_k(course) : 0.0, s->now_s);
    }
    return status;
}
