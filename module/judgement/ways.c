/* SPDX-License-Identifier: MIT */
#include "judgement/ways.h"

#include <math.h>

#include "judgement/guide.h"

static const double COVER_MIN = 5.0, POINT_MIN = 4.0, CARRY_MIN = 10.0, WATER_MIN = 3.0;

static const double WAIT_BEYOND_H = 24.0;
static const double HASTY_COSTS = 0.05;

static const double SAME = 1e-9;

double ow_act_minutes(const ow_trial *act)
{
    double each = act->point ? POINT_MIN : COVER_MIN;
    return act->covers * each + (act->bare || act->sheds ? COVER_MIN : 0.0) +
           (act->place >= 0 ? CARRY_MIN : 0.0) + (act->wet ? WATER_MIN : 0.0);
}

double ow_thaw_wait(const ow_outlook *o, ow_utc_s open_s)
{
    bool never = open_s == OW_NEVER;
    ow_utc_s until = never ? ow_outlook_end_s(o) : open_s;
    return OW_WAIT_PER_H *
           ((double)(until - o->start_s) / OW_HOUR_S + (never ? WAIT_BEYOND_H : 0.0));
}

/* ---- what could be done ---------------------------------------------------------------------- */

typedef struct tries {
    const ow_garden *garden;
    const ow_actor *actor;
    const ow_refs *at_hand;
    ow_utc_s now_s;
    ow_trial *trial;
    int n, room;
} tries;

static void try(tries *t, ow_trial trial)
{
    trial.at_s = t->now_s;
    if (t->n < t->room) {
        t->trial[t->n++] = trial;
    }
}

/* One more, or one that the wind took, laid again. */
static bool can_wear(const tries *t, int cover, size_t more)
{
    const ow_dress *dress = &t->actor->dress;
    return ow_dress_has(dress, cover) ? ow_dress_blown(dress, cover)
                                      : dress->n + more <= OW_WORN_MAX;
}

static void try_covers(tries *t)
{
    for (int i = 0; i < t->at_hand->count; i++) {
        int one = t->at_hand->item[i].at;
        if (can_wear(t, one, 1)) {
            try(t, (ow_trial){.place = -1, .covers = 1, .cover = {one}});
        }
    }
}

static void try_pairs(tries *t)
{
    const ow_cover *covers = t->garden->covers;
    for (int i = 0; i < t->at_hand->count; i++) {
        for (int k = i + 1; k < t->at_hand->count; k++) {
            int one = t->at_hand->item[i].at, two = t->at_hand->item[k].at;
            bool alike = covers[one].kind == covers[two].kind;
            if (!alike && can_wear(t, one, 2) && can_wear(t, two, 2)) {
                try(t, (ow_trial){.place = -1, .covers = 2, .cover = {one, two}});
            }
        }
    }
}

/* A trunk's growing point alone can be wrapped; the rest keeps its light and air. */
static void try_growing_point(tries *t)
{
    bool has_trunk = t->garden->plants[t->actor->plant].trunk.given;
    for (int i = 0; has_trunk && i < t->at_hand->count; i++) {
        int one = t->at_hand->item[i].at;
        bool only = t->garden->covers[one].on == OW_ZONE_GROWING_POINT;
        if (!only && !ow_dress_has(&t->actor->dress, one) && can_wear(t, one, 1)) {
            try(t, (ow_trial){.place = -1, .covers = 1, .cover = {one}, .point = true});
        }
    }
}

static bool can_stand(const tries *t, int place)
{
    const ow_place *p = &t->garden->places[place];
    return p->kind != OW_PLACE_OPEN_SKY && place != t->actor->place && p->room_for > 0;
}

bool ow_drinks_in_winter(const ow_plant *p)
{
    bool rests = (p->tolerance.traits & (unsigned)OW_TRAIT_RESTS_DRY) != 0;
    return p->tolerance.leaves == OW_LEAVES_EVERGREEN && !rests;
}

/* A wet ball gives off more heat before it is frozen through. Watered is what is thawed. */
static void try_water(tries *t)
{
    const ow_actor *a = t->actor;
    if (ow_actor_is_dry(t->garden, a) && a->sense.root.ice_share < 0.01 &&
        ow_drinks_in_winter(&t->garden->plants[a->plant])) {
        try(t, (ow_trial){.place = -1, .wet = true});
    }
}

static bool can_be_warmed(const tries *t, int place)
{
    return !isnan(ow_guide_most_c(t->garden, place));
}

/* The least change first; with a cover too where covers are of use. */
static void try_places(tries *t, bool with_cover)
{
    const ow_garden *g = t->garden;
    for (int kind = 0; kind < OW_PLACE_KIND_COUNT; kind++) {
        for (int p = 0; p < g->place_count; p++) {
            if ((int)g->places[p].kind != kind || !can_stand(t, p)) {
                continue;
            }
            if (!with_cover) {
                try(t, (ow_trial){.place = p});
            }
            if (!with_cover && can_be_warmed(t, p)) {
                try(t, (ow_trial){.place = p, .warm = true});
            }
            for (int i = 0; with_cover && kind != OW_PLACE_INDOORS && i < t->at_hand->count; i++) {
                int one = t->at_hand->item[i].at;
                if (can_wear(t, one, 1)) {
                    try(t, (ow_trial){.place = p, .covers = 1, .cover = {one}});
                }
            }
        }
    }
}

static tries begin_tries(const ow_garden *g, const ow_actor *a, ow_utc_s now_s, ow_trial *trial,
                         int room)
{
    return (tries){.garden = g,
                   .actor = a,
                   .at_hand = &g->plants[a->plant].covers,
                   .now_s = now_s,
                   .trial = trial,
                   .room = room};
}

int ow_trials_of(const ow_garden *g, const ow_actor *a, ow_utc_s now_s, ow_trial *trial, int room)
{
    tries t = begin_tries(g, a, now_s, trial, room);
    if (can_be_warmed(&t, t.actor->place)) {
        try(&t, (ow_trial){.place = -1, .warm = true});
    }
    try_growing_point(&t);
    try_covers(&t);
    try_water(&t);
    try_pairs(&t);
    if (g->plants[a->plant].pot.given) {
        try_places(&t, false);
        try_places(&t, true);
    }
    return t.n;
}

/* Back home from a room that others want, alone and with a cover. */
static void try_leaving(tries *t)
{
    int home = t->garden->plants[t->actor->plant].place.at;
    try(t, (ow_trial){.place = home, .home = true});
    for (int i = 0; i < t->at_hand->count; i++) {
        int one = t->at_hand->item[i].at;
        if (can_wear(t, one, 1)) {
            try(t, (ow_trial){.place = home, .home = true, .covers = 1, .cover = {one}});
        }
    }
}

int ow_trials_give(const ow_garden *g, const ow_actor *a, ow_utc_s now_s, const bool *cover_short,
                   const bool *room_short, ow_trial *trial, int room)
{
    tries t = begin_tries(g, a, now_s, trial, room);
    const ow_dress *dress = &a->dress;
    if (room_short[a->place] && a->place != g->plants[a->plant].place.at) {
        try_leaving(&t);
    }
    for (size_t i = 0; i < dress->n; i++) {
        int worn = dress->item[i];
        if (cover_short[worn] && !ow_dress_blown(dress, worn)) {
            try(&t, (ow_trial){.place = -1, .sheds = true, .shed = worn});
        }
    }
    return t.n;
}

int ow_trials_later(ow_trial *trial, int n, int room, ow_utc_s now_s, ow_utc_s threat_s)
{
    ow_utc_s late = threat_s - OW_HOUR_S;
    ow_utc_s halfway = now_s + (threat_s - now_s) / 2 / OW_HOUR_S * OW_HOUR_S;
    const ow_utc_s starts[] = {late, halfway};
    int all = n;
    for (int k = 0; threat_s != OW_NEVER && k < 2; k++) {
        for (int i = 0; i < n && all < room && starts[k] > now_s; i++) {
            if (trial[i].place < 0) {
                trial[all] = trial[i];
                trial[all++].at_s = starts[k];
            }
        }
    }
    return all;
}

/* ---- what it was found to do ----------------------------------------------------------------- */

static double cost_of(const ow_way *w)
{
    return w->loss.expected + w->wait + OW_MINUTE_COSTS * ow_act_minutes(&w->act);
}

/* A limit less is passed, or a thaw that is needed comes sooner by more than carrying costs. */
static bool helps(const ow_survey *s, const ow_way *w)
{
    double gained = s->leave.expected + s->leave_wait - cost_of(w);
    return w->loss.sure < s->leave.sure - SAME ||
           (s->thaw && w->loss.sure <= s->leave.sure + SAME && w->wait < s->leave_wait &&
            gained > 0.0);
}

/* Of equals the last. */
static int dearest(const ow_survey *s)
{
    int worst = 0;
    for (int i = 1; i < s->ways; i++) {
        worst = cost_of(&s->way[i]) >= cost_of(&s->way[worst]) ? i : worst;
    }
    return worst;
}

/* Where a way is kept: over the same act, at the end, or over the worst; -1: nowhere. */
static int slot_for(const ow_survey *s, const ow_way *w)
{
    for (int i = 0; i < s->ways; i++) {
        if (ow_trial_same(&s->way[i].act, &w->act)) {
            bool better = w->loss.expected < s->way[i].loss.expected - SAME;
            return better ? i : -1;
        }
    }
    if (s->ways < OW_WAYS) {
        return s->ways;
    }
    int worst = dearest(s);
    return cost_of(w) < cost_of(&s->way[worst]) - SAME ? worst : -1;
}

static bool is_hasty(const ow_survey *s, const ow_garden *g, int place)
{
    return s->thaw && place >= 0 && g->places[place].kind == OW_PLACE_INDOORS &&
           g->places[place].air_c > OW_THAW_ROOM_C;
}

void ow_survey_note(ow_survey *s, const ow_trial *trial, const ow_course *course,
                    const ow_actor *actor, const ow_garden *g, const ow_outlook *outlook)
{
    ow_way w = {.act = *trial,
                .loss = ow_loss_of(course, &actor->condition, &g->plants[actor->plant], s->share),
                .prevents = !ow_threat_of(course, &actor->condition).any,
                .eased_c = s->threat.any ? course->lowest_c[s->threat.part] : NAN,
                .latest_s = trial->at_s,
                .open_s = course->open_s,
                .half_s = course->half_s,
                .gone_s = course->gone_s,
                .reset_s = course->reset_s,
                .hasty = is_hasty(s, g, trial->place)};
    w.wait = s->thaw ? ow_thaw_wait(outlook, course->open_s) + (w.hasty ? HASTY_COSTS : 0.0) : 0.0;
    int at = helps(s, &w) ? slot_for(s, &w) : -1;
    if (at >= 0) {
        s->way[at] = w;
        s->ways += at == s->ways;
    }
}

void ow_survey_note_give(ow_survey *s, const ow_trial *trial, const ow_course *course,
                         const ow_course *kept, const ow_actor *actor, const ow_garden *g,
                         const ow_outlook *outlook)
{
    const ow_plant *plant = &g->plants[actor->plant];
    ow_loss with = ow_loss_of(kept, &actor->condition, plant, 1.0);
    ow_give give = {
        .act = *trial,
        .loss = ow_loss_of(course, &actor->condition, plant, 1.0),
        .wait = s->thaw ? ow_thaw_wait(outlook, course->open_s) : 0.0,
        .spare_k = ow_course_margin_k(course)};
    give.harms = give.loss.sure > with.sure + SAME;
    give.loss.expected = s->leave.expected + fmax(give.loss.expected - with.expected, 0.0);
    if (s->gives < OW_GIVES) {
        s->give[s->gives++] = give;
    }
}

/* ---- thinning -------------------------------------------------------------------------------- */

/* Room for as many as anyone has is no shared thing. */
enum { ROOM_FOR_ALL = 1000 };

static bool takes_cover(const ow_way *w, int cover)
{
    for (int i = 0; i < w->act.covers; i++) {
        if (w->act.cover[i] == cover) {
            return true;
        }
    }
    return false;
}

static bool takes_no_more(const ow_way *a, const ow_way *b, const ow_garden *g)
{
    bool carries_no_more = (a->act.place < 0 || b->act.place >= 0) && (!a->act.warm || b->act.warm);
    bool scarce = a->act.place >= 0 && g->places[a->act.place].room_for < ROOM_FOR_ALL;
    bool less = carries_no_more && (!scarce || a->act.place == b->act.place);
    for (int i = 0; less && i < a->act.covers; i++) {
        less = takes_cover(b, a->act.cover[i]);
    }
    return less;
}

static void drop(ow_survey *s, int at)
{
    for (int i = at + 1; i < s->ways; i++) {
        s->way[i - 1] = s->way[i];
    }
    s->ways--;
}

/* Of equals the earlier one stays. */
static bool is_outdone(const ow_survey *s, int at, const ow_garden *g)
{
    const ow_way *w = &s->way[at];
    for (int i = 0; i < s->ways; i++) {
        double more = cost_of(w) - cost_of(&s->way[i]);
        bool as_good = i < at ? more >= -SAME : more > SAME;
        if (i != at && as_good && takes_no_more(&s->way[i], w, g)) {
            return true;
        }
    }
    return false;
}

void ow_survey_thin(ow_survey *s, const ow_garden *g, int most)
{
    for (int i = s->ways - 1; i >= 0; i--) {
        if (is_outdone(s, i, g)) {
            drop(s, i);
        }
    }
    while (s->ways > most) {
        drop(s, dearest(s));
    }
}
