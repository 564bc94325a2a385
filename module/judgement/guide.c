/* SPDX-License-Identifier: MIT */
#include "judgement/guide.h"

#include <math.h>
#include <stdlib.h>

/* Runs ahead: keep, early, low, then halving between them three times. */
enum { RUNS = 6 };

/* What is warmed beforehand stays this far below too warm (heater bands of module/outputs). */
static const double BELOW_TOO_WARM_K = 1.5;

/* Less ahead than this tells nothing of a night (ours). */
static const double LEAST_S = 12.0 * OW_HOUR_S;

/* ---- houses ---------------------------------------------------------------------------------- */

/* The heaters of a house act as one: the highest that any keeps, and no lower than each allows. */
static void count_heater(ow_guided *h, const ow_output *o)
{
    double low_c = isnan(o->set_back_c) ? o->keep_air_above_c : o->set_back_c;
    h->low_c = h->heated ? fmax(h->low_c, low_c) : low_c;
    h->keep_c = h->heated ? fmax(h->keep_c, o->keep_air_above_c) : o->keep_air_above_c;
    double high_c = o->too_warm_c - BELOW_TOO_WARM_K;
    h->high_c = h->heated ? fmin(h->high_c, high_c) : high_c;
    h->set_c = h->keep_c;
    h->heated = true;
}

static ow_guided house_of(const ow_garden *g, int place)
{
    ow_guided h = {0};
    for (int i = 0; i < g->output_count; i++) {
        const ow_output *o = &g->outputs[i];
        if (o->kind == OW_OUTPUT_HEATER && o->place.at == place &&
            g->places[place].kind == OW_PLACE_GLASSHOUSE) {
            count_heater(&h, o);
        }
    }
    return h;
}

/* What it may be warmed to beforehand; what it keeps where no more is allowed. */
static double early_c(const ow_guided *h)
{
    return fmax(h->keep_c, fmin(h->keep_c + OW_GUIDE_EARLY_K, h->high_c));
}

double ow_guide_most_c(const ow_garden *g, int place)
{
    ow_guided h = house_of(g, place);
    return h.heated && early_c(&h) > h.keep_c ? early_c(&h) : (double)NAN;
}

ow_status ow_guide_new(const ow_scene *scene, ow_guide **out)
{
    const ow_garden *g = scene->garden;
    ow_guide *guide = calloc(1, sizeof *guide);
    if (guide == NULL) {
        return OW_NO_MEMORY;
    }
    guide->garden = g;
    guide->house = calloc((size_t)g->place_count, sizeof *guide->house);
    guide->course = calloc((size_t)g->plant_count, sizeof *guide->course);
    ow_status status = guide->house != NULL && guide->course != NULL ? OW_OK : OW_NO_MEMORY;
    for (int p = 0; status == OW_OK && p < g->place_count; p++) {
        guide->house[p] = house_of(g, p);
        guide->houses += guide->house[p].heated;
    }
    if (status == OW_OK && guide->houses > 0) {
        status = ow_scene_new(g, scene->now_s, scene->step_s, scene->outdoors.weather.air_c,
                              &guide->ahead);
    }
    if (status != OW_OK) {
        ow_guide_free(guide);
        return status;
    }
    *out = guide;
    return OW_OK;
}

void ow_guide_free(ow_guide *guide)
{
    if (guide != NULL) {
        ow_scene_free(guide->ahead);
        free(guide->house);
        free(guide->course);
        free(guide);
    }
}

/* ---- a run ----------------------------------------------------------------------------------- */

/* Low and between go together; what is not heated tries nothing. */
static bool takes_part(const ow_guide *guide, const ow_guided *h)
{
    bool lower = h->trying == OW_TRY_LOW || h->trying == OW_TRY_BETWEEN;
    return guide->trying == OW_TRY_LOW ? lower : h->trying == guide->trying;
}

static void begin_run(ow_guide *guide)
{
    guide->step = 0;
    guide->trying = guide->run == 0 ? OW_TRY_KEEP : OW_TRY_LOW;
    for (int p = 0; p < guide->garden->place_count; p++) {
        if (guide->house[p].trying == OW_TRY_EARLY) {
            guide->trying = OW_TRY_EARLY; /* under the same weather as keep: by itself */
        }
    }
    ow_scene_copy(guide->ahead, guide->now);
    for (int i = 0; i < guide->garden->plant_count; i++) {
        ow_course_start(&guide->course[i], &guide->ahead->cast->actor[i]);
    }
    for (int p = 0; p < guide->garden->place_count; p++) {
        const ow_guided *h = &guide->house[p];
        if (h->heated) {
            guide->ahead->set_c[p] = takes_part(guide, h) ? h->try_c : h->good_c;
        }
    }
}

static void note_air(ow_guided *h, const ow_glasshouse_out *house, ow_utc_s ahead_s, ow_utc_s at_s)
{
    double air_c = house->air_c;
    if (h->trying != OW_TRY_KEEP) {
        return;
    }
    bool soon = ahead_s > OW_GUIDE_CHEAP_S && ahead_s <= OW_GUIDE_CHEAP_S + OW_GUIDE_DEAR_S;
    h->heated_soon = h->heated_soon || (soon && house->heater_w > 0.0);
    if (!(air_c >= h->falls_to_c)) {
        h->falls_to_c = air_c;
        h->falls_s = at_s;
    }
    if (h->short_s == OW_NEVER && air_c < h->keep_c - OW_GUIDE_SHORT_K) {
        h->short_s = at_s;
    }
}

static void run_step(ow_guide *guide, const ow_forcing *forecast)
{
    ow_scene *s = guide->ahead;
    ow_weather weather;
    (void)ow_forcing_mean(forecast, s->now_s, s->now_s + s->step_s, &weather);
    weather.air_c -= guide->trying == OW_TRY_LOW ? OW_GUIDE_COLDER_K : 0.0;
    ow_scene_step(s, &weather);
    for (int i = 0; i < s->cast->actors; i++) {
        ow_course_step(&guide->course[i], &s->cast->actor[i], &guide->garden->plants[i].tolerance,
                       s->now_s);
    }
    for (int p = 0; p < guide->garden->place_count; p++) {
        note_air(&guide->house[p], &s->glass[p], s->now_s - guide->start_s, s->now_s);
    }
    guide->step++;
}

/* Nothing is known of how near a plant without a limit is, nor of roots that stay frozen. */
static double plant_margin_k(const ow_course *course)
{
    double margin_k = ow_course_margin_k(course);
    return isinf(margin_k) || course->suffers_s != OW_NEVER ? -INFINITY : margin_k;
}

static void end_courses(ow_guide *guide)
{
    for (int p = 0; p < guide->garden->place_count; p++) {
        guide->house[p].margin_k = INFINITY;
    }
    for (int i = 0; i < guide->garden->plant_count; i++) {
        ow_actor *actor = &guide->ahead->cast->actor[i];
        ow_guided *h = &guide->house[actor->place];
        ow_course_end(&guide->course[i], actor);
        h->margin_k = fmin(h->margin_k, plant_margin_k(&guide->course[i]));
    }
}

/* ---- the search ------------------------------------------------------------------------------ */

static void try_next(ow_guided *h, ow_guide_try what, double at_c)
{
    h->trying = what;
    h->try_c = at_c;
}

static void after_keep(ow_guided *h, ow_utc_s now_s)
{
    bool safe = h->margin_k >= OW_GUIDE_MARGIN_K;
    bool soon = h->short_s <= now_s + OW_GUIDE_EARLY_S;
    h->keep_margin_k = h->margin_k;
    if (safe && h->low_c < h->keep_c) {
        try_next(h, OW_TRY_LOW, h->low_c);
    } else if (!safe && soon && early_c(h) > h->keep_c) {
        try_next(h, OW_TRY_EARLY, early_c(h));
    } else {
        h->trying = OW_TRY_NOTHING;
    }
}

static void narrow(ow_guided *h)
{
    bool safe = h->margin_k >= OW_GUIDE_MARGIN_K;
    h->good_c = safe ? h->try_c : h->good_c;
    h->bad_c = safe ? h->bad_c : h->try_c;
    if (safe && h->trying == OW_TRY_LOW) {
        h->trying = OW_TRY_NOTHING;
    } else {
        try_next(h, OW_TRY_BETWEEN, 0.5 * (h->bad_c + h->good_c));
    }
}

static void after_run(ow_guided *h, ow_utc_s now_s)
{
    switch (h->trying) {
    case OW_TRY_NOTHING:
        return;
    case OW_TRY_KEEP:
        after_keep(h, now_s);
        return;
    case OW_TRY_LOW:
    case OW_TRY_BETWEEN:
        narrow(h);
        return;
    case OW_TRY_EARLY:
        h->good_c = h->margin_k > h->keep_margin_k + OW_GUIDE_LIFT_K ? h->try_c : h->keep_c;
        h->trying = OW_TRY_NOTHING;
        return;
    }
}

static bool found(const ow_guide *guide)
{
    bool searching = false;
    for (int p = 0; p < guide->garden->place_count; p++) {
        searching |= guide->house[p].trying != OW_TRY_NOTHING;
    }
    return !searching || guide->run == RUNS || guide->steps == 0;
}

void ow_guide_begin(ow_guide *guide, const ow_scene *now, const ow_forcing *forecast)
{
    guide->now = now;
    guide->start_s = now->now_s;
    guide->run = guide->step = guide->steps = 0;
    for (int p = 0; p < guide->garden->place_count; p++) {
        ow_guided *h = &guide->house[p];
        h->good_c = h->keep_c;
        h->heated_soon = false;
        h->falls_to_c = NAN;
        h->falls_s = h->short_s = OW_NEVER;
        try_next(h, h->heated ? OW_TRY_KEEP : OW_TRY_NOTHING, h->keep_c);
    }
    if (guide->houses > 0) {
        double ahead_s = ow_forcing_ahead_s(forecast, guide->start_s, OW_GUIDE_HOURS);
        guide->steps = ahead_s < LEAST_S ? 0 : (int)(ahead_s / now->step_s);
        begin_run(guide);
    }
}

/* Until now heaters went by what was found before. */
static void give(ow_guide *guide)
{
    for (int p = 0; p < guide->garden->place_count; p++) {
        guide->house[p].set_c = guide->house[p].good_c;
        guide->house[p].heats = guide->house[p].heated_soon;
    }
}

bool ow_guide_some(ow_guide *guide, const ow_forcing *forecast, int steps)
{
    while (steps > 0 && !found(guide)) {
        if (guide->step < guide->steps) {
            run_step(guide, forecast);
            steps--;
            continue;
        }
        end_courses(guide);
        for (int p = 0; p < guide->garden->place_count; p++) {
            if (takes_part(guide, &guide->house[p])) {
                after_run(&guide->house[p], guide->start_s);
            }
        }
        guide->run++;
        begin_run(guide);
    }
    bool done = found(guide);
    if (done) {
        give(guide);
    }
    return done;
}

/* ---- what was found -------------------------------------------------------------------------- */

bool ow_guide_pays(double price_now, double price_later)
{
    return price_later > price_now && price_later >= OW_GUIDE_DEAR_TIMES * price_now;
}

static double house_set_c(const ow_guided *h, bool cheap)
{
    bool warms = cheap && h->heats && h->set_c == h->keep_c;
    return warms ? early_c(h) : h->set_c;
}

void ow_guide_heaters(const ow_guide *guide, bool raised, ow_scene *scene)
{
    for (int p = 0; p < scene->garden->place_count; p++) {
        bool guided = guide != NULL && guide->house[p].heated;
        scene->set_c[p] = !guided  ? (double)NAN
                          : raised ? ow_guide_kept_c(guide, p)
                                   : house_set_c(&guide->house[p], guide->cheap);
    }
}

void ow_guide_raise(ow_guide *guide, int place, bool raised)
{
    ow_guided *h = &guide->house[place];
    h->raised = raised && early_c(h) > h->keep_c;
}

double ow_guide_kept_c(const ow_guide *guide, int place)
{
    const ow_guided *h = &guide->house[place];
    return !h->heated  ? (double)NAN
           : h->raised ? early_c(h)
                       : house_set_c(h, guide->cheap);
}

double ow_guide_set_c(const ow_guide *guide, const ow_output *heater)
{
    bool is_heater = heater->kind == OW_OUTPUT_HEATER;
    const ow_guided *h = is_heater ? &guide->house[heater->place.at] : NULL;
    return h != NULL && h->heated ? heater->keep_air_above_c +
                                        (ow_guide_kept_c(guide, heater->place.at) - h->keep_c)
                                  : (double)NAN;
}
