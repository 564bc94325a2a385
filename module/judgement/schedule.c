/* SPDX-License-Identifier: MIT */
#include "judgement/schedule.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "garden/weight.h"
#include "judgement/guide.h"

/* Higher than this, a trunk's top is wrapped from a ladder, and not by torch (ours). */
static const double LADDER_MM = 1800.0;

static const double SAME = 1e-9;

/* What one has is left to it unless another saves more than a quarter of a harmed leaf (ours). */
static const double GIVING_COSTS = 0.25;

/* A kilowatt-hour counts as five quarters of a minute of work, turning up as five minutes (ours). */
static const double KWH_COSTS = 0.005, TURNING_COSTS = 0.02;

/* ---- building ------------------------------------------------------------------------------ */

/* Zeroed room for n things; *whole: there was memory for all so far. */
static void *row(bool *whole, size_t n, size_t size)
{
    void *things = calloc(n, size);
    *whole = *whole && things != NULL;
    return things;
}

ow_status ow_schedule_new(const ow_garden *g, ow_schedule **out)
{
    size_t n = (size_t)g->plant_count;
    ow_schedule *s = calloc(1, sizeof *s);
    bool whole = true;
    if (s == NULL) {
        return OW_NO_MEMORY;
    }
    s->garden = g;
    s->survey = row(&whole, n, sizeof *s->survey);
    s->pick = row(&whole, n, sizeof *s->pick);
    s->standing = row(&whole, n, sizeof *s->standing);
    s->stands = row(&whole, n, sizeof *s->stands);
    s->way = row(&whole, n, sizeof *s->way);
    s->plant = row(&whole, n, sizeof *s->plant);
    s->choice = row(&whole, n, sizeof *s->choice);
    s->stock = row(&whole, (size_t)g->cover_count + 1, sizeof *s->stock);
    s->room = row(&whole, (size_t)g->place_count, sizeof *s->room);
    s->may_warm = row(&whole, (size_t)g->place_count, sizeof *s->may_warm);
    s->warm_from_s = row(&whole, (size_t)g->place_count, sizeof *s->warm_from_s);
    s->room_short = row(&whole, (size_t)g->place_count, sizeof *s->room_short);
    s->cover_short = row(&whole, (size_t)g->cover_count + 1, sizeof *s->cover_short);
    if (!whole) {
        ow_schedule_free(s);
        return OW_NO_MEMORY;
    }
    for (size_t i = 0; i < n; i++) {
        s->pick[i] = ow_pick_none();
    }
    for (int k = 0; k < g->place_count; k++) {
        s->may_warm[k] = true;
        s->warm_from_s[k] = OW_NEVER;
    }
    s->plan.choice = s->choice;
    *out = s;
    return OW_OK;
}

void ow_schedule_free(ow_schedule *s)
{
    if (s != NULL) {
        free(s->survey);
        free(s->pick);
        free(s->standing);
        free(s->stands);
        free(s->way);
        free(s->plant);
        free(s->choice);
        free(s->stock);
        free(s->room);
        free(s->may_warm);
        free(s->warm_from_s);
        free(s->room_short);
        free(s->cover_short);
        free(s);
    }
}

void ow_schedule_forget(ow_schedule *s, int plant)
{
    s->survey[plant].made = false;
    s->stands[plant] = false;
    s->pick[plant] = ow_pick_none();
}

void ow_schedule_stand(ow_schedule *s, int plant, const ow_verdict *verdict)
{
    s->stands[plant] = verdict->asks;
    s->standing[plant] = verdict->act;
}

/* ---- from ways to a task --------------------------------------------------------------------- */

enum { OW_HANDINGS = 64 };

typedef struct planning {
    ow_schedule *s;
    const ow_scene *scene;
    const ow_outlook *outlook;
} planning;

static const ow_actor *actor_of(const planning *p, int plant)
{
    return &p->scene->cast->actor[plant];
}

static double kg_of(const planning *p, int plant, const ow_trial *act)
{
    const ow_pot *pot = &p->s->garden->plants[plant].pot;
    return act->place >= 0 && pot->given ? ow_pot_kg(pot) : NAN;
}

static int people_of(const planning *p, int plant, const ow_trial *act)
{
    return act->place < 0 ? 1 : ow_hands_to_lift(&p->s->hands, kg_of(p, plant, act));
}

static bool by_torch(const planning *p, int plant, const ow_trial *act)
{
    const ow_trunk *trunk = &p->s->garden->plants[plant].trunk;
    return act->covers == 0 || !trunk->given || trunk->height_mm <= LADDER_MM;
}

/* The house that an act wants warmer; -1: none. */
static int warms(const planning *p, int plant, const ow_trial *act)
{
    return !act->warm ? -1 : act->place >= 0 ? act->place : actor_of(p, plant)->place;
}

static ow_bar bar_of(const planning *p, int plant, const ow_trial *act, const ow_plan_way *to)
{
    const ow_actor *a = actor_of(p, plant);
    const ow_plant *plants = p->s->garden->plants;
    if (act->warm && to->knob < 0) {
        return OW_BAR_HEATER;
    }
    if (act->place >= 0) {
        if (people_of(p, plant, act) == 0) {
            return OW_BAR_HEAVY;
        }
        if (ow_frozen_down(&plants[plant], a, &p->scene->spot[a->place])) {
            return OW_BAR_FROZEN_DOWN;
        }
    }
    return to->hands_min < to->minutes ? OW_BAR_NO_HANDS : OW_BAR_NONE;
}

/* What is late is done as soon as hands are free again. */
static ow_utc_s due(const planning *p, const ow_way *w)
{
    return w->latest_s > p->scene->now_s ? w->latest_s : ow_outlook_end_s(p->outlook);
}

/* What stood before is left for a quarter of a harmed leaf saved, or for six hours of a thaw. */
static double stay_of(const ow_survey *survey, const ow_plant *plant)
{
    return survey->threat.any ? 0.25 * survey->share * ow_value_counts(plant->value)
                              : 6.0 * OW_WAIT_PER_H;
}

static int knob_of(const ow_schedule *s, int place)
{
    int k = s->knobs - 1;
    while (k >= 0 && s->knob_place[k] != place) {
        k--;
    }
    return k;
}

/* What an act uses: covers, room, hands and heat. */
static ow_plan_way use_of(const planning *p, int plant, const ow_trial *act, ow_utc_s by_s)
{
    ow_schedule *s = p->s;
    int people = people_of(p, plant, act), house = warms(p, plant, act);
    people = people > 0 ? people : 1;
    ow_plan_way to = {.place = act->place, .knob = house >= 0 ? knob_of(s, house) : -1};
    for (int k = 0; k < act->covers; k++) {
        if (!ow_dress_has(&actor_of(p, plant)->dress, act->cover[k])) {
            to.cover[to.covers++] = act->cover[k];
        }
    }
    to.minutes = people * ow_act_minutes(act);
    to.effort = OW_MINUTE_COSTS * to.minutes;
    to.hands_min = to.minutes > 0.0
                       ? ow_hands_minutes(&s->hands, by_s, people, !by_torch(p, plant, act))
                       : INFINITY;
    bool stands = s->stands[plant] && ow_trial_same(&s->standing[plant], act);
    to.stay = stands ? stay_of(&s->survey[plant], &s->garden->plants[plant]) : 0.0;
    to.bar = bar_of(p, plant, act, &to);
    return to;
}

static void put_way(const planning *p, int plant, int index)
{
    const ow_way *w = &p->s->survey[plant].way[index];
    ow_plan_way *to = &p->s->way[plant][index + 1];
    *to = use_of(p, plant, &w->act, due(p, w));
    to->loss = w->loss.expected + w->wait;
}

/* By when it is given is not known before the plan: there must be hands by the outlook's end. */
static void put_give(const planning *p, int plant, int index)
{
    const ow_survey *from = &p->s->survey[plant];
    const ow_give *g = &from->give[index];
    ow_plan_way *to = &p->s->way[plant][1 + from->ways + index];
    *to = use_of(p, plant, &g->act, ow_outlook_end_s(p->outlook));
    to->loss = g->loss.expected + g->wait;
    to->effort += GIVING_COSTS;
    to->gives_cover = g->act.sheds;
    to->given_cover = g->act.shed;
    to->gives_room = g->act.home;
    to->given_place = actor_of(p, plant)->place;
}

static void put_plant(const planning *p, int plant)
{
    ow_schedule *s = p->s;
    const ow_survey *from = &s->survey[plant];
    s->way[plant][0] = (ow_plan_way){.loss = from->leave.expected + from->leave_wait,
                                     .place = -1,
                                     .knob = -1,
                                     .hands_min = INFINITY};
    for (int i = 0; i < from->ways; i++) {
        put_way(p, plant, i);
    }
    for (int i = 0; i < from->gives; i++) {
        put_give(p, plant, i);
    }
    s->plant[plant] = (ow_plan_plant){s->way[plant], 1 + from->ways + from->gives};
}

/* The houses that some plant would have warmer, as far as there are knobs. */
static void list_knobs(const planning *p)
{
    ow_schedule *s = p->s;
    s->knobs = 0;
    for (int i = 0; i < s->garden->plant_count; i++) {
        for (int w = 0; w < s->survey[i].ways; w++) {
            int house = warms(p, i, &s->survey[i].way[w].act);
            bool open = house >= 0 && s->may_warm[house] && knob_of(s, house) < 0;
            if (open && s->knobs < OW_PLAN_KNOBS) {
                double kwh = p->outlook->warm_j[house] / 3.6e6;
                s->knob_place[s->knobs] = house;
                s->knob_cost[s->knobs++] = TURNING_COSTS + KWH_COSTS * kwh;
            }
        }
    }
}

static void count_stock(ow_schedule *s, const ow_scene *scene, const int *cover_left)
{
    const ow_garden *g = s->garden;
    for (int c = 0; c < g->cover_count; c++) {
        s->stock[c] = cover_left[c] > 0 ? cover_left[c] : 0;
    }
    for (int k = 0; k < g->place_count; k++) {
        int free_room = g->places[k].room_for - ow_scene_crowd(scene, k);
        s->room[k] = free_room > 0 ? free_room : 0;
    }
}

static ow_plan_task make_task(const planning *p, const int *cover_left)
{
    ow_schedule *s = p->s;
    const ow_garden *g = s->garden;
    count_stock(s, p->scene, cover_left);
    list_knobs(p);
    for (int i = 0; i < g->plant_count; i++) {
        put_plant(p, i);
    }
    return (ow_plan_task){.plant = s->plant,
                          .plants = g->plant_count,
                          .stock = s->stock,
                          .covers = g->cover_count,
                          .room = s->room,
                          .places = g->place_count,
                          .knob_cost = s->knob_cost,
                          .knobs = s->knobs};
}

/* ---- what is short --------------------------------------------------------------------------- */

static bool wants_cover(const ow_schedule *s, const ow_scene *scene, int plant, int cover)
{
    const ow_survey *from = &s->survey[plant];
    for (int w = 0; w < from->ways; w++) {
        for (int k = 0; k < from->way[w].act.covers; k++) {
            if (from->way[w].act.cover[k] == cover) {
                return !ow_dress_has(&scene->cast->actor[plant].dress, cover);
            }
        }
    }
    return false;
}

static bool wants_room(const ow_schedule *s, int plant, int place)
{
    const ow_survey *from = &s->survey[plant];
    for (int w = 0; w < from->ways; w++) {
        if (from->way[w].act.place == place) {
            return true;
        }
    }
    return false;
}

void ow_schedule_find_short(ow_schedule *s, const ow_scene *scene, const int *cover_left)
{
    const ow_garden *g = s->garden;
    count_stock(s, scene, cover_left);
    for (int c = 0; c < g->cover_count; c++) {
        int wanted = 0;
        for (int i = 0; i < g->plant_count; i++) {
            wanted += wants_cover(s, scene, i, c);
        }
        s->cover_short[c] = wanted > s->stock[c];
    }
    for (int k = 0; k < g->place_count; k++) {
        int wanted = 0;
        for (int i = 0; i < g->plant_count; i++) {
            wanted += wants_room(s, i, k);
        }
        s->room_short[k] = wanted > s->room[k];
    }
}

/* ---- from the plan to picks --------------------------------------------------------------------
 */

/* The way a plant would have, were it alone in the garden. */
static int wanted_by(const ow_schedule *s, int plant)
{
    int best = 0;
    double least = s->way[plant][0].loss;
    for (int w = 1; w <= s->survey[plant].ways; w++) {
        double cost = s->way[plant][w].loss + s->way[plant][w].effort;
        if (cost < least - SAME) {
            least = cost;
            best = w;
        }
    }
    return best - 1;
}

static void say_effort(const planning *p, int plant, const ow_trial *act, ow_pick *pick)
{
    pick->kg = kg_of(p, plant, act);
    pick->people = people_of(p, plant, act);
    pick->minutes = p->s->way[plant][p->s->choice[plant]].minutes;
}

static void say_way(const planning *p, int plant, ow_pick *pick)
{
    const ow_survey *from = &p->s->survey[plant];
    const ow_way *w = &from->way[pick->way];
    say_effort(p, plant, &w->act, pick);
    pick->saves = from->leave.expected - w->loss.expected;
    bool torch = by_torch(p, plant, &w->act), late = w->latest_s <= p->scene->now_s;
    pick->do_by_s = late ? ow_hands_first_s(&p->s->hands, pick->people, torch)
                         : ow_hands_last_s(&p->s->hands, w->latest_s, pick->people, torch);
}

static void make_pick(const planning *p, const ow_plan_task *task, int plant)
{
    ow_schedule *s = p->s;
    ow_pick *pick = &s->pick[plant];
    int ways = s->survey[plant].ways;
    *pick = ow_pick_none();
    pick->way = s->choice[plant] <= ways ? s->choice[plant] - 1 : -1;
    pick->give = s->choice[plant] <= ways ? -1 : s->choice[plant] - ways - 1;
    pick->wanted = wanted_by(s, plant);
    if (pick->wanted >= 0) {
        pick->bar = ow_plan_why(task, &s->plan, plant, pick->wanted + 1, &pick->item, &pick->who);
    }
    if (pick->way >= 0) {
        say_way(p, plant, pick);
    } else if (pick->give >= 0) {
        say_effort(p, plant, &s->survey[plant].give[pick->give].act, pick);
    }
    s->minutes += pick->minutes;
}

/* ---- from one plant to another --------------------------------------------------------------- */

/* A giver gives one thing: a cover off, or its room. */
static void hand_over(const planning *p, const ow_handing *h, int cover)
{
    ow_pick *taker = &p->s->pick[h->taker], *giver = &p->s->pick[h->giver];
    if (taker->way < 0) {
        return; /* it gives something itself, and takes this to do so */
    }
    bool timed = taker->do_by_s != OW_NEVER && taker->do_by_s > p->scene->now_s;
    taker->from = h->giver;
    taker->from_cover = cover;
    giver->to = h->taker;
    giver->do_by_s = taker->do_by_s - (timed ? OW_HANDS_SLOT_S : 0);
    giver->give_by_s = p->s->survey[h->taker].way[taker->way].latest_s;
}

/* A giver's job comes just before the taker's. */
static void hand_all_over(const planning *p, const ow_plan_task *task)
{
    ow_handing handing[OW_HANDINGS];
    for (int thing = 0; thing < task->covers + task->places; thing++) {
        int cover = thing < task->covers ? thing : -1;
        int n = ow_plan_handings(task, p->s->choice, cover, thing - task->covers, handing,
                                 OW_HANDINGS);
        for (int k = 0; k < n; k++) {
            hand_over(p, &handing[k], cover);
        }
    }
}

static void note_heat(const planning *p)
{
    ow_schedule *s = p->s;
    for (int k = 0; k < s->garden->place_count; k++) {
        s->warm_from_s[k] = OW_NEVER;
    }
    for (int i = 0; i < s->garden->plant_count; i++) {
        const ow_way *w = s->pick[i].way >= 0 ? &s->survey[i].way[s->pick[i].way] : NULL;
        int house = w != NULL ? warms(p, i, &w->act) : -1;
        if (house >= 0 && w->latest_s < s->warm_from_s[house]) {
            s->warm_from_s[house] = w->latest_s;
        }
    }
}

/* ---- taking turns in a room ------------------------------------------------------------------ */

/* When a plant has thawed in a place and can leave it for another: its clock is back at nought. */
static ow_utc_s leaves_at(const planning *p, int plant, int place)
{
    const ow_survey *from = &p->s->survey[plant];
    const ow_pick *pick = &p->s->pick[plant];
    if (pick->way >= 0 && from->thaw && from->way[pick->way].act.place == place) {
        return from->way[pick->way].reset_s;
    }
    const ow_actor *a = actor_of(p, plant);
    bool guest = a->place == place && p->s->garden->plants[plant].place.at != place;
    return guest && a->condition.drought.was_frozen ? p->outlook->course[plant].reset_s : OW_NEVER;
}

static bool is_promised(const planning *p, int leaver)
{
    for (int i = 0; i < p->s->garden->plant_count; i++) {
        if (p->s->pick[i].turn_after == leaver) {
            return true;
        }
    }
    return false;
}

static void promise_turn(const planning *p, int plant)
{
    ow_pick *pick = &p->s->pick[plant];
    int place = p->s->survey[plant].way[pick->wanted].act.place;
    for (int i = 0; i < p->s->garden->plant_count; i++) {
        ow_utc_s at = i == plant ? OW_NEVER : leaves_at(p, i, place);
        if (at < pick->turn_s && !is_promised(p, i)) {
            pick->turn_s = at;
            pick->turn_after = i;
        }
    }
}

static bool waits_for_room(const planning *p, int plant)
{
    const ow_pick *pick = &p->s->pick[plant];
    return p->s->survey[plant].thaw && pick->way < 0 && pick->bar == OW_BAR_ROOM &&
           pick->turn_s == OW_NEVER;
}

/* Frozen pots that the room is short for take turns: whose time runs out first goes in next. */
static void rotate(const planning *p)
{
    int n = p->s->garden->plant_count;
    for (;;) {
        int first = -1;
        for (int i = 0; i < n; i++) {
            bool sooner = first < 0 || p->s->survey[i].thaw_by_s < p->s->survey[first].thaw_by_s;
            first = waits_for_room(p, i) && sooner ? i : first;
        }
        if (first < 0) {
            return;
        }
        promise_turn(p, first);
        if (p->s->pick[first].turn_s == OW_NEVER) {
            return; /* nobody leaves any more: those after it wait as well */
        }
    }
}

/* ---- the door ----------------------------------------------------------------------------------
 */

ow_status ow_schedule_plan(ow_schedule *s, const ow_scene *scene, const ow_outlook *outlook,
                           const ow_local *local, const int *cover_left)
{
    planning p = {s, scene, outlook};
    ow_hands_look(&s->hands, s->garden, local, scene->now_s, ow_outlook_end_s(outlook));
    ow_plan_task task = make_task(&p, cover_left);
    ow_status status = ow_plan_solve(&task, OW_PLAN_NODES, &s->plan);
    if (status != OW_OK) {
        return status;
    }
    s->minutes = 0.0;
    for (int i = 0; i < s->garden->plant_count; i++) {
        make_pick(&p, &task, i);
    }
    hand_all_over(&p, &task);
    note_heat(&p);
    rotate(&p);
    return OW_OK;
}

const ow_give *ow_schedule_give(const ow_schedule *s, int plant, const ow_verdict *v)
{
    const ow_survey *from = &s->survey[plant];
    return v->pick.give >= 0 && v->pick.give < from->gives ? &from->give[v->pick.give] : NULL;
}

void ow_schedule_settle(ow_schedule *s, int plant, ow_verdict *verdict, ow_utc_s now_s)
{
    const ow_pick *pick = &s->pick[plant];
    ow_verdict_settle(verdict, &s->survey[plant], pick, now_s);
    s->stands[plant] = ow_pick_asks(pick);
    if (pick->way >= 0) {
        s->standing[plant] = s->survey[plant].way[pick->way].act;
    } else if (pick->give >= 0) {
        s->standing[plant] = s->survey[plant].give[pick->give].act;
    }
}
