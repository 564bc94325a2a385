/* SPDX-License-Identifier: MIT */
#include "judgement/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PRICED_LEVELS = 6, PRICE_ROUNDS = 80 };

/* Differences smaller than this are rounding. */
static const double LITTLE = 1e-9;

const char *ow_bar_words(ow_bar bar)
{
    static const char *const words[] = {
#define OW_BAR_WORDS(name, text) text,
        OW_BAR_LIST(OW_BAR_WORDS)
#undef OW_BAR_WORDS
    };
    return (unsigned)bar < OW_BARS ? words[bar] : "?";
}

static double cost_of(const ow_plan_way *w)
{
    return w->loss + w->effort - w->stay;
}

static bool is_open(const ow_plan_way *w, unsigned knobs)
{
    return w->bar == OW_BAR_NONE && (w->knob < 0 || (knobs >> w->knob & 1u) != 0);
}

static const ow_plan_way *chosen(const ow_plan_task *t, const int *choice, int plant)
{
    return &t->plant[plant].way[choice[plant]];
}

static double heat_cost(const ow_plan_task *t, unsigned knobs)
{
    double sum = 0.0;
    for (int k = 0; k < t->knobs; k++) {
        sum += knobs >> k & 1u ? t->knob_cost[k] : 0.0;
    }
    return sum;
}

static bool gives(const ow_plan_task *t, const ow_plan_way *w, int thing)
{
    return (w->gives_cover && w->given_cover == thing) ||
           (w->gives_room && t->covers + w->given_place == thing);
}

/* ---- the search's things ------------------------------------------------------------------- */

/* Shared things in a row: covers, places, then levels of hands (minutes until a time). */
typedef struct search {
    const ow_plan_task *task;
    unsigned knobs;
    int levels, things;
    double *level;     /* rising, one a level */
    double *left;      /* one a thing */
    double *price;     /* one a thing */
    double *use;       /* work: one a thing */
    double *hope;      /* one a thing: what plants further down the tree may give back */
    bool *priced;      /* one a thing */
    double *best_from; /* [i]: sum over order[i..] of the least priced cost */
    double *free_from; /* [i]: the same at no price */
    int *order;        /* plants, those with most at stake first */
    int *now, *best;   /* choice by plant */
    int *sorted;       /* [plant * most + k]: its ways, cheapest first */
    int most;          /* ways of the plant with most */
    double best_cost, root;
    long nodes, most_nodes;
    bool cut;
    bool giving; /* some way gives something back */
    char *memory;
} search;

/* The first level that a way counts for, or would come before. */
static int first_level(const search *s, const ow_plan_way *w)
{
    int l = 0;
    while (l < s->levels && s->level[l] < w->hands_min) {
        l++;
    }
    return l;
}

static void add_level(search *s, const ow_plan_way *w)
{
    int l = first_level(s, w);
    if (l == s->levels || s->level[l] > w->hands_min) {
        memmove(s->level + l + 1, s->level + l, (size_t)(s->levels - l) * sizeof *s->level);
        s->level[l] = w->hands_min;
        s->levels++;
    }
}

/* The times by which hands must be done: every finite hands_min, once. */
static void list_levels(search *s)
{
    for (int i = 0; i < s->task->plants; i++) {
        for (int w = 0; w < s->task->plant[i].ways; w++) {
            if (isfinite(s->task->plant[i].way[w].hands_min)) {
                add_level(s, &s->task->plant[i].way[w]);
            }
        }
    }
}

/* Takes what a way uses (sign 1), or gives it back (-1). */
static void take(const search *s, const ow_plan_way *w, double *left, double sign)
{
    const ow_plan_task *t = s->task;
    for (int k = 0; k < w->covers; k++) {
        left[w->cover[k]] -= sign;
    }
    if (w->place >= 0) {
        left[t->covers + w->place] -= sign;
    }
    if (w->gives_cover) {
        left[w->given_cover] += sign;
    }
    if (w->gives_room) {
        left[t->covers + w->given_place] += sign;
    }
    for (int l = first_level(s, w); l < s->levels; l++) {
        left[t->covers + t->places + l] -= sign * w->minutes;
    }
}

static bool fits(const search *s, const ow_plan_way *w, const double *left)
{
    const ow_plan_task *t = s->task;
    int room = t->covers + w->place;
    bool fit = w->place < 0 || left[room] + s->hope[room] >= 1.0;
    for (int k = 0; fit && k < w->covers; k++) {
        fit = left[w->cover[k]] + s->hope[w->cover[k]] >= 1.0;
    }
    for (int l = first_level(s, w); fit && l < s->levels; l++) {
        fit = left[t->covers + t->places + l] >= w->minutes - LITTLE;
    }
    return fit;
}

static void fill_left(const search *s, double *left)
{
    const ow_plan_task *t = s->task;
    for (int c = 0; c < t->covers; c++) {
        left[c] = t->stock[c];
    }
    for (int p = 0; p < t->places; p++) {
        left[t->covers + p] = t->room[p];
    }
    for (int l = 0; l < s->levels; l++) {
        left[t->covers + t->places + l] = s->level[l];
    }
}

/* ---- prices -------------------------------------------------------------------------------- */

static double priced(const search *s, const ow_plan_way *w)
{
    const ow_plan_task *t = s->task;
    double cost = cost_of(w);
    for (int k = 0; k < w->covers; k++) {
        cost += s->price[w->cover[k]];
    }
    cost += w->place >= 0 ? s->price[t->covers + w->place] : 0.0;
    cost -= w->gives_cover ? s->price[w->given_cover] : 0.0;
    cost -= w->gives_room ? s->price[t->covers + w->given_place] : 0.0;
    for (int l = first_level(s, w); l < s->levels; l++) {
        cost += s->price[t->covers + t->places + l] * w->minutes;
    }
    return cost;
}

/* The way that a plant would take at the prices; to leave it costs none. */
static int cheapest(const search *s, int plant, double *cost)
{
    int best = 0;
    *cost = cost_of(&s->task->plant[plant].way[0]);
    for (int w = 1; w < s->task->plant[plant].ways; w++) {
        const ow_plan_way *way = &s->task->plant[plant].way[w];
        double c = is_open(way, s->knobs) ? priced(s, way) : INFINITY;
        if (c < *cost) {
            *cost = c;
            best = w;
        }
    }
    return best;
}

/* What no plan can go below, at the prices; `use` gets what would be used of each thing. */
static double bound_at_prices(search *s)
{
    double sum = 0.0, cost;
    fill_left(s, s->use);
    for (int r = 0; r < s->things; r++) {
        sum -= s->price[r] * s->use[r];
    }
    for (int i = 0; i < s->task->plants; i++) {
        int w = cheapest(s, i, &cost);
        sum += cost;
        take(s, &s->task->plant[i].way[w], s->use, 1.0);
    }
    return sum;
}

/* All covers and places have a price, of the levels of hands a few. */
static void choose_priced(search *s)
{
    int first = s->task->covers + s->task->places;
    for (int r = 0; r < s->things; r++) {
        s->priced[r] = r < first;
    }
    for (int k = 0; k < PRICED_LEVELS && s->levels > 0; k++) {
        s->priced[first + (s->levels - 1) * k / (PRICED_LEVELS - 1)] = true;
    }
}

/* Subgradient steps from no price; the best prices stay. `kept` has room for one a thing. */
static void find_prices(search *s, double *kept)
{
    double share = 1.0, best = -INFINITY;
    for (int round = 0; round < PRICE_ROUNDS; round++) {
        double bound = bound_at_prices(s), norm = 0.0;
        if (bound > best + LITTLE) {
            best = bound;
            memcpy(kept, s->price, (size_t)s->things * sizeof *kept);
        } else {
            share *= 0.9;
        }
        for (int r = 0; r < s->things; r++) {
            norm += s->priced[r] && (s->use[r] < 0.0 || s->price[r] > 0.0) ? s->use[r] * s->use[r]
                                                                           : 0.0;
        }
        if (norm < LITTLE || s->best_cost - bound < LITTLE) {
            break;
        }
        for (int r = 0; r < s->things; r++) {
            double step = share * (s->best_cost - bound) / norm;
            s->price[r] = s->priced[r] ? fmax(0.0, s->price[r] - step * s->use[r]) : 0.0;
        }
    }
    memcpy(s->price, kept, (size_t)s->things * sizeof *kept);
    s->root = best;
}

/* ---- order, a first plan, the search --------------------------------------------------------- */

static double cheapest_free(const search *s, int plant)
{
    double least = INFINITY;
    for (int w = 0; w < s->task->plant[plant].ways; w++) {
        const ow_plan_way *way = &s->task->plant[plant].way[w];
        least = is_open(way, s->knobs) ? fmin(least, cost_of(way)) : least;
    }
    return least;
}

static double stake(const search *s, int plant)
{
    return cost_of(&s->task->plant[plant].way[0]) - cheapest_free(s, plant);
}

/* Insertion keeps equals in the garden file's order. */
static void put_in_order(search *s)
{
    const ow_plan_task *t = s->task;
    for (int i = 0; i < t->plants; i++) {
        int k = i;
        for (; k > 0 && stake(s, s->order[k - 1]) < stake(s, i) - LITTLE; k--) {
            s->order[k] = s->order[k - 1];
        }
        s->order[k] = i;
        int *sorted = s->sorted + (size_t)i * (size_t)s->most;
        for (int w = 0; w < t->plant[i].ways; w++) {
            int j = w;
            double cost = cost_of(&t->plant[i].way[w]);
            for (; j > 0 && cost_of(&t->plant[i].way[sorted[j - 1]]) > cost + LITTLE; j--) {
                sorted[j] = sorted[j - 1];
            }
            sorted[j] = w;
        }
    }
}

static int sorted_way(const search *s, int plant, int k)
{
    return s->sorted[(size_t)plant * (size_t)s->most + (size_t)k];
}

static void keep_if_better(search *s, double cost)
{
    if (cost < s->best_cost - LITTLE) {
        s->best_cost = cost;
        memcpy(s->best, s->now, (size_t)s->task->plants * sizeof *s->best);
    }
}

/* Each in turn takes the best that is left; with `standing`, what stood before comes first. */
static void greedy(search *s, bool standing)
{
    double cost = 0.0;
    fill_left(s, s->left);
    for (int i = 0; i < s->task->plants; i++) {
        int plant = s->order[i], pick = 0;
        const ow_plan_way *ways = s->task->plant[plant].way;
        for (int k = s->task->plant[plant].ways - 1; k >= 0; k--) {
            int w = sorted_way(s, plant, k);
            bool open = is_open(&ways[w], s->knobs) && fits(s, &ways[w], s->left);
            bool keeps = standing && ways[pick].stay > 0.0 && ways[w].stay <= 0.0;
            pick = open && !keeps ? w : pick;
        }
        s->now[plant] = pick;
        take(s, &ways[pick], s->left, 1.0);
        cost += cost_of(&ways[pick]);
    }
    keep_if_better(s, cost);
}

static void sum_bounds(search *s)
{
    int n = s->task->plants;
    s->best_from[n] = s->free_from[n] = 0.0;
    for (int i = n - 1; i >= 0; i--) {
        double cost;
        (void)cheapest(s, s->order[i], &cost);
        s->best_from[i] = s->best_from[i + 1] + cost;
        s->free_from[i] = s->free_from[i + 1] + cheapest_free(s, s->order[i]);
    }
}

static double bound_from(const search *s, int depth)
{
    double at_prices = s->best_from[depth];
    for (int r = 0; r < s->things; r++) {
        at_prices -= s->price[r] * s->left[r];
    }
    return fmax(at_prices, s->free_from[depth]);
}

/* Counts, or takes off, what a plant may give back of each thing: one at most. */
static void hope_of(search *s, int plant, double sign)
{
    const ow_plan_plant *p = &s->task->plant[plant];
    for (int r = 0; s->giving && r < s->task->covers + s->task->places; r++) {
        for (int w = 0; w < p->ways; w++) {
            if (gives(s->task, &p->way[w], r) && is_open(&p->way[w], s->knobs)) {
                s->hope[r] += sign;
                break;
            }
        }
    }
}

/* Something was taken that nobody can give any more. */
static bool is_overdrawn(const search *s)
{
    for (int r = 0; s->giving && r < s->task->covers + s->task->places; r++) {
        if (s->left[r] + s->hope[r] < -0.5) {
            return true;
        }
    }
    return false;
}

static void branch(search *s, int depth, double cost);

static void try_ways(search *s, int depth, double cost)
{
    int plant = s->order[depth];
    for (int k = 0; k < s->task->plant[plant].ways && !s->cut; k++) {
        int w = sorted_way(s, plant, k);
        const ow_plan_way *way = &s->task->plant[plant].way[w];
        if (is_open(way, s->knobs) && fits(s, way, s->left)) {
            s->now[plant] = w;
            take(s, way, s->left, 1.0);
            branch(s, depth + 1, cost + cost_of(way));
            take(s, way, s->left, -1.0);
        }
    }
}

static void branch(search *s, int depth, double cost)
{
    if (is_overdrawn(s)) {
        return;
    }
    if (depth == s->task->plants) {
        keep_if_better(s, cost);
        return;
    }
    if (cost + bound_from(s, depth) >= s->best_cost - LITTLE) {
        return;
    }
    if (s->nodes >= s->most_nodes) {
        s->cut = true;
        return;
    }
    s->nodes++;
    hope_of(s, s->order[depth], -1.0);
    try_ways(s, depth, cost);
    hope_of(s, s->order[depth], 1.0);
}

static void solve_with(search *s, unsigned knobs)
{
    s->knobs = knobs;
    s->best_cost = INFINITY;
    s->cut = false;
    memset(s->price, 0, (size_t)s->things * sizeof *s->price);
    put_in_order(s);
    greedy(s, false);
    greedy(s, true);
    find_prices(s, s->left);
    sum_bounds(s);
    fill_left(s, s->left);
    for (int i = 0; i < s->task->plants; i++) {
        hope_of(s, i, 1.0);
    }
    branch(s, 0, 0.0);
    memset(s->hope, 0, (size_t)s->things * sizeof *s->hope);
}

/* ---- the door ------------------------------------------------------------------------------- */

static ow_status prove(const ow_plan_task *t, int *ways, int *most)
{
    *ways = 0;
    *most = 1;
    bool well = t->knobs <= OW_PLAN_KNOBS;
    for (int i = 0; well && i < t->plants; i++) {
        const ow_plan_way *leave = t->plant[i].way;
        well = t->plant[i].ways > 0 && leave->covers == 0 && leave->place < 0 && leave->knob < 0 &&
               leave->minutes == 0.0 && leave->bar == OW_BAR_NONE && !leave->gives_cover &&
               !leave->gives_room;
        *ways += t->plant[i].ways;
        *most = t->plant[i].ways > *most ? t->plant[i].ways : *most;
    }
    return well ? OW_OK : OW_BAD_INPUT;
}

/* The next piece of the memory; while there is none it is only measured. */
static void *cut_off(const search *s, size_t *used, size_t n, size_t size)
{
    void *piece = s->memory != NULL ? s->memory + *used : NULL;
    *used += (n * size + 15) / 16 * 16;
    return piece;
}

static size_t lay_out(search *s, size_t n, size_t all)
{
    size_t used = 0;
    s->level = cut_off(s, &used, all, sizeof(double));
    s->left = cut_off(s, &used, all, sizeof(double));
    s->price = cut_off(s, &used, all, sizeof(double));
    s->use = cut_off(s, &used, all, sizeof(double));
    s->hope = cut_off(s, &used, all, sizeof(double));
    s->priced = cut_off(s, &used, all, sizeof(bool));
    s->best_from = cut_off(s, &used, n + 1, sizeof(double));
    s->free_from = cut_off(s, &used, n + 1, sizeof(double));
    s->order = cut_off(s, &used, n, sizeof(int));
    s->now = cut_off(s, &used, n, sizeof(int));
    s->best = cut_off(s, &used, n, sizeof(int));
    s->sorted = cut_off(s, &used, n * (size_t)s->most, sizeof(int));
    return used;
}

static ow_status search_new(const ow_plan_task *t, search *s)
{
    int ways;
    *s = (search){.task = t};
    ow_status status = prove(t, &ways, &s->most);
    if (status != OW_OK) {
        return status;
    }
    size_t n = (size_t)t->plants, all = (size_t)(t->covers + t->places + ways);
    s->memory = calloc(1, lay_out(s, n, all));
    if (s->memory == NULL) {
        return OW_NO_MEMORY;
    }
    (void)lay_out(s, n, all);
    list_levels(s);
    s->things = t->covers + t->places + s->levels;
    for (int i = 0; i < t->plants; i++) {
        for (int w = 0; w < t->plant[i].ways; w++) {
            s->giving |= t->plant[i].way[w].gives_cover || t->plant[i].way[w].gives_room;
        }
    }
    choose_priced(s);
    return OW_OK;
}

ow_status ow_plan_solve(const ow_plan_task *t, long most_nodes, ow_plan *plan)
{
    search s;
    ow_status status = search_new(t, &s);
    if (status != OW_OK) {
        return status;
    }
    double total = INFINITY, bound = INFINITY;
    plan->exact = true;
    for (unsigned knobs = 0; knobs < 1u << t->knobs; knobs++) {
        double heat = heat_cost(t, knobs);
        s.most_nodes = s.nodes + most_nodes / (1 << t->knobs);
        solve_with(&s, knobs);
        plan->exact = plan->exact && !s.cut;
        bound = fmin(bound, heat + (s.cut ? fmin(s.root, s.best_cost) : s.best_cost));
        if (heat + s.best_cost < total - LITTLE) {
            total = heat + s.best_cost;
            plan->knobs = knobs;
            memcpy(plan->choice, s.best, (size_t)t->plants * sizeof *s.best);
        }
    }
    plan->total = total;
    plan->bound = fmin(bound, total);
    plan->nodes = s.nodes;
    free(s.memory);
    return OW_OK;
}

/* ---- questions about a plan ------------------------------------------------------------------ */

/* Minutes of all that is due no later than `until_min` minutes of hands, one plant left out. */
static double minutes_due(const ow_plan_task *t, const int *choice, double until_min, int without)
{
    double sum = 0.0;
    for (int i = 0; i < t->plants; i++) {
        const ow_plan_way *w = chosen(t, choice, i);
        sum += i != without && w->hands_min <= until_min ? w->minutes : 0.0;
    }
    return sum;
}

/* Whether the hands reach for a plant's way beside what the others do. */
static bool hands_reach(const ow_plan_task *t, const int *choice, int plant, const ow_plan_way *w)
{
    for (int i = -1; i < t->plants && w->minutes > 0.0; i++) {
        double until = i < 0 ? w->hands_min : i == plant ? NAN : chosen(t, choice, i)->hands_min;
        bool due = isfinite(until) && until >= w->hands_min;
        if (due && minutes_due(t, choice, until, plant) + w->minutes > until + LITTLE) {
            return false;
        }
    }
    return true;
}

static int used_cover(const ow_plan_task *t, const int *choice, int cover, int without, int *who)
{
    int used = 0;
    for (int i = 0; i < t->plants; i++) {
        const ow_plan_way *w = chosen(t, choice, i);
        used -= i != without && gives(t, w, cover);
        for (int k = 0; i != without && k < w->covers; k++) {
            if (w->cover[k] == cover) {
                used++;
                *who = *who < 0 ? i : *who;
            }
        }
    }
    return used;
}

static int used_room(const ow_plan_task *t, const int *choice, int place, int without, int *who)
{
    int used = 0;
    for (int i = 0; i < t->plants; i++) {
        used -= i != without && gives(t, chosen(t, choice, i), t->covers + place);
        if (i != without && chosen(t, choice, i)->place == place) {
            used++;
            *who = *who < 0 ? i : *who;
        }
    }
    return used;
}

/* What of the shared things a way lacks beside what the others do. */
static ow_bar lacks(const ow_plan_task *t, const int *choice, int plant, const ow_plan_way *w,
                    int *item, int *who)
{
    *item = *who = -1;
    for (int k = 0; k < w->covers; k++) {
        int has = -1;
        if (used_cover(t, choice, w->cover[k], plant, &has) >= t->stock[w->cover[k]]) {
            *item = w->cover[k];
            *who = has;
            return OW_BAR_STOCK;
        }
    }
    int has = -1;
    if (w->place >= 0 && used_room(t, choice, w->place, plant, &has) >= t->room[w->place]) {
        *item = w->place;
        *who = has;
        return OW_BAR_ROOM;
    }
    return hands_reach(t, choice, plant, w) ? OW_BAR_NONE : OW_BAR_HANDS;
}

static bool takes(const ow_plan_way *w, int cover, int place)
{
    bool has = place >= 0 && w->place == place;
    for (int k = 0; cover >= 0 && k < w->covers; k++) {
        has |= w->cover[k] == cover;
    }
    return has;
}

int ow_plan_handings(const ow_plan_task *t, const int *choice, int cover, int place,
                     ow_handing *handing, int room)
{
    int free_left = cover >= 0 ? t->stock[cover] : t->room[place], giver = -1, n = 0;
    int thing = cover >= 0 ? cover : t->covers + place;
    for (int i = 0; i < t->plants; i++) {
        if (!takes(chosen(t, choice, i), cover, place) || free_left-- > 0) {
            continue;
        }
        do {
            giver++;
        } while (giver < t->plants && !gives(t, chosen(t, choice, giver), thing));
        if (giver < t->plants && n < room) {
            handing[n++] = (ow_handing){.taker = i, .giver = giver};
        }
    }
    return n;
}

ow_bar ow_plan_why(const ow_plan_task *t, const ow_plan *plan, int plant, int way, int *item,
                   int *who)
{
    const ow_plan_way *w = &t->plant[plant].way[way];
    *item = *who = -1;
    if (plan->choice[plant] == way) {
        return OW_BAR_NONE;
    }
    if (w->bar != OW_BAR_NONE) {
        return w->bar;
    }
    ow_bar bar = lacks(t, plan->choice, plant, w, item, who);
    return bar != OW_BAR_NONE ? bar : OW_BAR_BETTER;
}
