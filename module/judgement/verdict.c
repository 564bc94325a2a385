/* SPDX-License-Identifier: MIT */
#include "judgement/verdict.h"

#include <math.h>

static const ow_utc_s STAY_S = 2 * OW_HOUR_S;
static const double STAY_K = 0.5;
static const double SAME = 1e-9;

const char *ow_state_word(ow_state state)
{
    static const char *const words[] = {
#define OW_STATE_WORD(name, word) word,
        OW_STATE_LIST(OW_STATE_WORD)
#undef OW_STATE_WORD
    };
    return (unsigned)state < OW_STATES ? words[state] : "?";
}

ow_pick ow_pick_none(void)
{
    return (ow_pick){.way = -1,
                     .wanted = -1,
                     .item = -1,
                     .who = -1,
                     .kg = NAN,
                     .do_by_s = OW_NEVER,
                     .turn_s = OW_NEVER,
                     .turn_after = -1,
                     .give = -1,
                     .to = -1,
                     .from = -1,
                     .from_cover = -1,
                     .give_by_s = OW_NEVER};
}

bool ow_pick_asks(const ow_pick *pick)
{
    return pick->way >= 0 || pick->give >= 0;
}

void ow_verdict_start(ow_verdict *v)
{
    *v = (ow_verdict){.state = OW_STATE_HOLD,
                      .act_by_s = OW_NEVER,
                      .eased_c = NAN,
                      .thaw_s = OW_NEVER,
                      .risk = NAN,
                      .half_s = OW_NEVER,
                      .gone_s = OW_NEVER,
                      .pick = ow_pick_none(),
                      .milder_since_s = OW_NEVER};
}

/* A finding that may rest on one of the survey's ways. */
typedef struct proposal {
    ow_state state;
    ow_trial act;
    bool asks, prevents;
    ow_utc_s act_by_s;
    double eased_c;
    const ow_way *way;
} proposal;

enum { PROPOSALS = OW_FINDINGS + 3 }; /* hold, a threat and a thaw besides */

static proposal of_way(ow_state state, const ow_way *way, ow_utc_s by_s)
{
    proposal p = {.state = state, .act_by_s = by_s, .eased_c = NAN, .way = way};
    if (way != NULL) {
        p.act = way->act;
        p.asks = true;
        p.prevents = way->prevents;
        p.eased_c = way->eased_c;
    }
    return p;
}

static bool is_prevented_in_place(const ow_survey *s)
{
    for (int i = 0; i < s->ways; i++) {
        if (s->way[i].act.place < 0 && s->way[i].prevents) {
            return true;
        }
    }
    return false;
}

/* In place is `cover soon` when it prevents the harm, or when there is nothing else to be had: what
 * is rooted or too heavy is not carried. What waits for hands keeps the state of its way. */
static ow_state state_of_threat(const ow_survey *s, const ow_pick *pick, const ow_way *way)
{
    bool stuck = pick->bar == OW_BAR_HEAVY || pick->bar == OW_BAR_FROZEN_DOWN;
    bool hands = pick->bar == OW_BAR_HANDS || pick->bar == OW_BAR_NO_HANDS;
    const ow_way *meant = way == NULL && hands && pick->wanted >= 0 ? &s->way[pick->wanted] : way;
    bool for_thaw = s->thaw && meant != NULL && meant->act.place >= 0;
    bool stays = for_thaw        ? is_prevented_in_place(s)
                 : meant == NULL ? s->rooted
                                 : meant->act.place < 0 && (meant->prevents || s->rooted || stuck);
    return stays ? OW_STATE_COVER_SOON : OW_STATE_CARRY_IN;
}

/* What can still be prevented has its latest start; what cannot is late. */
static ow_utc_s thaw_by(const ow_survey *s, const ow_way *way)
{
    if (way == NULL || way->open_s == OW_NEVER) {
        return s->thaw_by_s;
    }
    return way->loss.sure < s->leave.sure - SAME ? way->latest_s
                                                 : s->thaw_by_s - (way->open_s - way->act.at_s);
}

/* What it holds goes to another. */
static proposal of_give(ow_state state, const ow_give *give, ow_utc_s by_s)
{
    proposal p = of_way(state, NULL, by_s);
    p.act = give->act;
    p.asks = true;
    return p;
}

/* Heat where it stands asks nothing of anybody. */
static bool is_heat_alone(const ow_way *way)
{
    return way != NULL && way->act.warm && way->act.place < 0;
}

static proposal of_threat(const ow_survey *s, const ow_pick *pick, const ow_way *way)
{
    ow_state state = state_of_threat(s, pick, way);
    if (pick->give >= 0) {
        return of_give(state, &s->give[pick->give], pick->give_by_s);
    }
    proposal p = of_way(state, way, way != NULL ? way->latest_s : s->threat.at_s);
    if (is_heat_alone(way)) {
        p.asks = false;
        p.state = way->prevents ? OW_STATE_HOLD : state;
    }
    return p;
}

static int propose(const ow_survey *s, const ow_pick *pick, proposal *p)
{
    const ow_way *way = pick->way >= 0 ? &s->way[pick->way] : NULL;
    int n = 0;
    p[n++] = pick->give >= 0
                 ? of_give(OW_STATE_HOLD, &s->give[pick->give], pick->give_by_s)
                 : of_way(OW_STATE_HOLD, NULL, OW_NEVER);
    for (int i = 0; i < s->findings; i++) {
        const ow_finding *f = &s->found[i];
        p[n] = of_way(f->state, NULL, f->act_by_s);
        p[n].act = f->act;
        p[n++].asks = f->asks;
    }
    if (s->threat.any) {
        proposal threat = of_threat(s, pick, way);
        p[threat.state == OW_STATE_HOLD ? 0 : n++] = threat; /* heat sees to it */
    }
    if (s->thaw) {
        p[n++] = of_way(OW_STATE_THAW_NEEDED, way, thaw_by(s, way));
    }
    return n;
}

static bool is_threatened(ow_state state)
{
    return state == OW_STATE_CARRY_IN || state == OW_STATE_COVER_SOON;
}

/* A milder state is believed after two hours, or at once with half a kelvin to spare. */
static bool stays_put(ow_verdict *before, const proposal *to, double spare_k, ow_utc_s now)
{
    ow_state next = to->state;
    /* Uncovering is never held on to: it asks for less shelter, and mildness has its own margin. */
    bool bares = before->state == OW_STATE_UNCOVER || before->state == OW_STATE_CARRY_OUT;
    /* Whether it is covered or carried is the plan's choice, which holds on to what it chose. */
    bool chosen = is_threatened(before->state) && (is_threatened(next) || spare_k >= STAY_K);
    if (next <= before->state || bares || chosen || is_heat_alone(to->way)) {
        return false;
    }
    if (before->milder_since_s == OW_NEVER) {
        before->milder_since_s = now;
    }
    return now - before->milder_since_s < STAY_S;
}

/* The worst; one who waits and sees, or thaws, may still lose covers and go home. */
static proposal worst_of(const proposal *p, int n)
{
    proposal worst = p[0];
    for (int i = 1; i < n; i++) {
        worst = p[i].state < worst.state ? p[i] : worst;
    }
    bool waits = worst.state == OW_STATE_WAIT_AND_SEE || worst.state == OW_STATE_THAWING;
    for (int i = 1; waits && !worst.asks && i < n; i++) {
        if (p[i].asks) {
            ow_state state = worst.state;
            worst = p[i];
            worst.state = state;
        }
    }
    return worst;
}

/* An act that once would have prevented the harm and no longer does is late, not new. */
static bool has_become_late(const ow_verdict *v, const proposal *p, const ow_threat *threat,
                            ow_utc_s now)
{
    bool could = v->late || (v->asks && v->prevents);
    return could && !p->prevents && is_threatened(p->state) && v->threat.any &&
           v->threat.part == threat->part && v->act_by_s <= now;
}

static void take(ow_verdict *v, const proposal *p, const ow_survey *s, const ow_pick *pick,
                 ow_utc_s now)
{
    bool late = has_become_late(v, p, &s->threat, now);
    ow_utc_s by = late ? v->act_by_s : p->act_by_s;
    v->prevents = p->prevents;
    v->state = p->state;
    v->act = p->act;
    v->asks = p->asks;
    v->act_by_s = by;
    v->late = late || by < now;
    v->eased_c = p->eased_c;
    v->threat = s->threat;
    v->half_s = p->way != NULL ? p->way->half_s : s->half_s;
    v->gone_s = p->way != NULL ? p->way->gone_s : s->gone_s;
    v->hasty = p->way != NULL && p->way->hasty;
    v->pick = *pick;
    v->milder_since_s = OW_NEVER;
}

void ow_verdict_settle(ow_verdict *v, const ow_survey *s, const ow_pick *pick, ow_utc_s now)
{
    proposal found[PROPOSALS];
    int n = propose(s, pick, found);
    unsigned all = 0;
    for (int i = 1; i < n; i++) { /* the first is hold, which is no news */
        all |= 1u << found[i].state;
    }
    proposal worst = worst_of(found, n);
    v->thaw_s = s->thaw_s;
    v->runs = s->runs;
    v->passed = s->passed;
    v->risk = s->runs > 0 ? (double)s->passed / s->runs : NAN;
    if (stays_put(v, &worst, s->spare_k, now)) {
        v->late = v->act_by_s < now;
    } else {
        take(v, &worst, s, pick, now);
    }
    v->also = all & ~(1u << v->state);
}
