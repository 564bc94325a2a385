/* SPDX-License-Identifier: MIT */
#include "judgement/ensemble.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "judgement/guide.h"
#include "judgement/loss.h"
#include "physics/ow_math.h"
#include "physics/surface.h"

/*
 * Errors of a forecast beside that of the air (our judgement): wind by a third either way, a
 * quarter of the sky; where the sky's long-wave is told, 15 W/m2 of it (what its formulas leave at
 * Hamburg, see physics/sky.h). An error is forgotten in half a day: wind's and sky's to 1/e, while
 * the air's is smooth and correlates by (1 + x) exp(-x) over x quarters of a day, which is as much
 * in all. One that is not smooth changes more from hour to hour than the weather's departures from
 * its normal do (0.8 K of 2 K against 0.7 K at Hamburg and Col de Porte, October to April), and
 * makes the members' nights a kelvin too cold.
 */
static const double WIND_SD = 0.30, CLOUD_SD_PCT = 25.0, LONGWAVE_SD_WM2 = 15.0;
static const double MEMORY_S = 12.0 * OW_HOUR_S;

/* Long-wave of the sky follows the air below it (emissivity of a half-clouded sky). */
static const double SKY_EMISSIVITY = 0.85;

/* Seeds: any will do, as long as they stay. */
enum { SEED_AIR = 1, SEED_WIND = 2, SEED_SKY = 3 };

/* ---- building -------------------------------------------------------------------------------- */

static int shape_of(const ow_plant *plant)
{
    return 2 * ow_root_grid(plant) + plant->trunk.given;
}

/* A cast for each shape in the garden; plants of one shape take turns in it. */
static ow_status build_casts(ow_ensemble *e, ow_utc_s utc_s)
{
    int same[OW_MEMBERS];
    double start_c[OW_MEMBERS] = {0}; /* overwritten by the copy of the living plant */
    ow_status status = OW_OK;
    for (int i = 0; status == OW_OK && i < e->garden->plant_count; i++) {
        ow_cast **cast = &e->cast[shape_of(&e->garden->plants[i])];
        for (int m = 0; m < OW_MEMBERS; m++) {
            same[m] = i;
        }
        if (*cast == NULL) {
            status = ow_cast_new(e->garden, same, OW_MEMBERS, start_c, utc_s, cast);
        }
    }
    return status;
}

static ow_status build(ow_ensemble *e, const ow_scene *scene)
{
    const ow_garden *g = e->garden;
    size_t plants = (size_t)g->plant_count, places = (size_t)g->place_count;
    e->course = calloc(plants * OW_MEMBERS, sizeof *e->course);
    e->risk = calloc(plants, sizeof *e->risk);
    e->house_of = calloc(places, sizeof *e->house_of);
    e->spot = calloc(places * OW_MEMBERS, sizeof *e->spot);
    if (e->course == NULL || e->risk == NULL || e->house_of == NULL || e->spot == NULL) {
        return OW_NO_MEMORY;
    }
    for (int p = 0; p < g->place_count; p++) {
        e->house_of[p] = g->places[p].kind == OW_PLACE_GLASSHOUSE ? e->houses++ : -1;
    }
    e->glazing = calloc((size_t)e->houses * OW_MEMBERS + 1, sizeof *e->glazing);
    if (e->glazing == NULL) {
        return OW_NO_MEMORY;
    }
    for (int p = 0; p < g->place_count; p++) {
        if (e->house_of[p] >= 0) {
            ow_draw_glazing(g->places[p].id, e->glazing + e->house_of[p] * OW_MEMBERS);
        }
    }
    ow_status status =
        ow_scene_new(g, scene->now_s, e->step_s, scene->outdoors.weather.air_c, &e->lead);
    return status == OW_OK ? build_casts(e, scene->now_s) : status;
}

ow_status ow_ensemble_new(const ow_scene *scene, ow_ensemble **out)
{
    ow_ensemble *e = calloc(1, sizeof *e);
    if (e == NULL) {
        return OW_NO_MEMORY;
    }
    e->garden = scene->garden;
    e->step_s = 2 * scene->step_s <= OW_HOUR_S ? 2 * scene->step_s : scene->step_s;
    ow_status status = build(e, scene);
    if (status != OW_OK) {
        ow_ensemble_free(e);
        return status;
    }
    *out = e;
    return OW_OK;
}

void ow_ensemble_free(ow_ensemble *e)
{
    if (e == NULL) {
        return;
    }
    for (int i = 0; i < OW_SHAPES; i++) {
        ow_cast_free(e->cast[i]);
    }
    ow_scene_free(e->lead);
    free(e->course);
    free(e->risk);
    free(e->house_of);
    free(e->spot);
    free(e->glazing);
    free(e->out);
    free(e->house);
    free(e->warm);
    free(e->floor_c);
    free(e->under_c);
    free(e->band);
    free(e);
}

static void *grown(void *memory, size_t n, size_t size, bool *whole)
{
    void *more = realloc(memory, n * size + 1); /* nothing at all is room for one byte */
    *whole = *whole && more != NULL;
    return more != NULL ? more : memory;
}

static ow_status make_room(ow_ensemble *e, int steps)
{
    size_t n = (size_t)steps, houses = (size_t)e->houses, plants = (size_t)e->garden->plant_count;
    bool whole = true;
    if (n <= e->room) {
        return OW_OK;
    }
    e->out = grown(e->out, n * OW_MEMBERS, sizeof *e->out, &whole);
    e->house = grown(e->house, n * OW_MEMBERS * houses, sizeof *e->house, &whole);
    e->warm = grown(e->warm, n * OW_MEMBERS * houses, sizeof *e->warm, &whole);
    e->floor_c = grown(e->floor_c, n * houses, sizeof *e->floor_c, &whole);
    e->under_c = grown(e->under_c, n * (size_t)e->garden->place_count, sizeof *e->under_c, &whole);
    e->band = grown(e->band, n * plants * OW_BANDS, sizeof *e->band, &whole);
    e->room = whole ? n : 0;
    return whole ? OW_OK : OW_NO_MEMORY;
}

ow_status ow_ensemble_begin(ow_ensemble *e, const ow_scene *now, const ow_forcing *forecast,
                            double hours, ow_spread spread)
{
    e->steps = e->wanted = e->looked = e->plant = 0;
    e->varied = -1;
    e->start_s = now->now_s;
    e->now = now;
    e->spread = spread;
    int steps = (int)(ow_forcing_ahead_s(forecast, e->start_s, hours) / e->step_s);
    ow_status status = make_room(e, steps);
    if (status == OW_OK) {
        e->wanted = steps;
        ow_scene_copy(e->lead, now);
    }
    return status;
}

/* ---- the weather of all members -------------------------------------------------------------- */

static ow_weather off_weather(const ow_ensemble *e, const ow_weather *mean, int m, double sd_k)
{
    ow_weather w = *mean;
    double off_k = sd_k * e->air.at[m];
    double wind_ms = isnan(mean->wind_ms) ? OW_DEFAULT_WIND_MS : mean->wind_ms;
    w.air_c += off_k;
    w.wind_ms = wind_ms * ow_exp(WIND_SD * e->wind[m]);
    w.longwave_wm2 += LONGWAVE_SD_WM2 * e->sky[m] +
                      off_k * SKY_EMISSIVITY * ow_radiative_black(mean->air_c);
    w.cloud_pct = isnan(mean->cloud_pct)
                      ? NAN
                      : fmin(fmax(mean->cloud_pct + CLOUD_SD_PCT * e->sky[m], 0.0), 100.0);
    return w;
}

static double off_guess_pct(const ow_ensemble *e, int m)
{
    double guess = ow_scene_cloud_guess_pct(e->lead);
    guess = isnan(guess) ? OW_DEFAULT_CLOUD_PCT : guess;
    return fmin(fmax(guess + CLOUD_SD_PCT * e->sky[m], 0.0), 100.0);
}

/* What a member's weather makes of the outdoors; ground and snow are the median's. */
static void look_outdoors(ow_ensemble *e, const ow_weather *mean, int m, double sd_k)
{
    size_t at = (size_t)e->looked * OW_MEMBERS + (size_t)m;
    ow_outdoors *o = &e->out[at];
    double before_c = e->looked > 0 ? e->out[at - OW_MEMBERS].wall_c : e->now->outdoors.wall_c;
    *o = e->lead->outdoors;
    if (!e->spread.weather || m == 0) {
        return;
    }
    o->weather = off_weather(e, mean, m, sd_k);
    o->sky = ow_sky_of(&o->weather, &e->garden->site, e->lead->now_s - e->step_s / 2,
                       off_guess_pct(e, m));
    o->wall_c = ow_scene_wall_c(e->lead, before_c, o->weather.air_c);
}

/* The same air with the heaters turned up. */
static void look_warmed(ow_ensemble *e, int m, int place, double glazing_normal)
{
    size_t step = (size_t)e->looked * OW_MEMBERS + (size_t)m, houses = (size_t)e->houses;
    size_t at = step * houses + (size_t)e->house_of[place];
    double most_c = ow_guide_most_c(e->garden, place);
    ow_glasshouse_out *air = &e->warm[at];
    *air = e->house[at];
    if (!isnan(most_c)) {
        air->air_c = e->looked > 0 ? e->warm[at - OW_MEMBERS * houses].air_c
                                   : e->now->glass[place].air_c;
        ow_scene_air_kept(e->lead, place, &e->out[step], glazing_normal, most_c, air);
    }
}

static void look_under_glass(ow_ensemble *e, int m)
{
    size_t at = (size_t)e->looked * OW_MEMBERS + (size_t)m, houses = (size_t)e->houses;
    for (int p = 0; p < e->garden->place_count; p++) {
        int h = e->house_of[p];
        if (h < 0) {
            continue;
        }
        ow_glasshouse_out *air = &e->house[at * houses + (size_t)h];
        *air = e->lead->glass[p];
        double normal = e->spread.materials && m > 0 ? e->glazing[h * OW_MEMBERS + m] : 0.0;
        if ((e->spread.weather || e->spread.materials) && m > 0) {
            air->air_c = e->looked > 0 ? e->house[(at - OW_MEMBERS) * houses + (size_t)h].air_c
                                       : e->now->glass[p].air_c;
            ow_scene_air_beside(e->lead, p, &e->out[at], normal, air);
        }
        look_warmed(e, m, p, normal);
        e->floor_c[(size_t)e->looked * houses + (size_t)h] = ow_scene_floor_c(e->lead, p);
    }
}

/* What nobody foresees asks for nothing: past the end of what is known the spread stays as it is
 * there, or a garden without a forecast would be told to carry in all winter. */
static void weather_step(ow_ensemble *e, const ow_forcing *forecast)
{
    ow_weather mean;
    ow_scene *s = e->lead;
    double keeps = ow_exp(-e->step_s / MEMORY_S);
    double lead_h = ((double)(s->now_s - e->start_s) + 0.5 * e->step_s) / OW_HOUR_S;
    double known_h = e->spread.skill != NULL ? e->spread.skill->horizon_h : INFINITY;
    double sd_k = ow_forecast_error_sd_k(e->spread.skill, fmin(lead_h, known_h));
    (void)ow_forcing_mean(forecast, s->now_s, s->now_s + e->step_s, &mean);
    ow_scene_step(s, &mean);
    if (e->spread.weather) {
        ow_draw_drift(SEED_AIR, e->looked, keeps * keeps, &e->air);
        ow_draw_wander(SEED_WIND, e->looked, keeps, e->wind);
        ow_draw_wander(SEED_SKY, e->looked, keeps, e->sky);
    }
    for (int m = 0; m < OW_MEMBERS; m++) {
        look_outdoors(e, &mean, m, sd_k);
        look_under_glass(e, m);
    }
    for (int p = 0; p < e->garden->place_count; p++) {
        e->under_c[e->looked * e->garden->place_count + p] = s->spot[p].under_c;
    }
    e->looked++;
}

static void spot_in(const ow_ensemble *e, int m, int step, int place,
                    const ow_glasshouse_out *house, ow_spot *spot)
{
    size_t at = (size_t)step * OW_MEMBERS + (size_t)m, houses = (size_t)e->houses;
    int h = e->house_of[place];
    ow_utc_s mid_s = e->start_s + (ow_utc_s)step * e->step_s + e->step_s / 2;
    ow_scene_spot(e->lead, place, &e->out[at], h < 0 ? NULL : &house[at * houses + (size_t)h],
                  h < 0 ? NAN : e->floor_c[(size_t)step * houses + (size_t)h], mid_s, spot);
    /* The top of the ground follows the air. */
    double off_k = e->out[at].sky.air_c - e->out[at - (size_t)m].sky.air_c;
    spot->under_c = e->under_c[step * e->garden->place_count + place] + off_k;
}

ow_spot ow_ensemble_warm_spot(const ow_ensemble *e, int m, int step, int place)
{
    ow_spot spot;
    spot_in(e, m, step, place, e->warm, &spot);
    return spot;
}

void ow_ensemble_spots(const ow_ensemble *e, int m, int step, ow_spot *spot)
{
    for (int p = 0; p < e->garden->place_count; p++) {
        spot_in(e, m, step, p, e->house, &spot[p]);
    }
}

/* ---- one plant in all members ---------------------------------------------------------------- */

static ow_cast *cast_of(const ow_ensemble *e, const ow_many *many)
{
    return e->cast[shape_of(&e->garden->plants[many->plant])];
}

/* The draws of a plant's members; kept, since one plant is asked after with many acts. */
static ow_status draw_variants(ow_ensemble *e, int plant)
{
    double normal[OW_MEMBERS][OW_UNKNOWNS];
    const ow_plant *of = &e->garden->plants[plant];
    ow_status status = OW_OK;
    if (e->varied == plant) {
        return OW_OK;
    }
    e->varied = -1;
    ow_draw_plant(of->id, normal);
    for (int m = 1; status == OW_OK && m < OW_MEMBERS; m++) {
        status = ow_variant_of(of, normal[m], &e->variant[m]);
    }
    e->varied = status == OW_OK ? plant : -1;
    return status;
}

ow_status ow_many_begin(ow_many *many, ow_ensemble *e)
{
    ow_cast *cast = cast_of(e, many);
    ow_status status = e->spread.materials ? draw_variants(e, many->plant) : OW_OK;
    many->step = 0;
    cast->apart = e->garden->place_count;
    for (int m = 0; status == OW_OK && m < OW_MEMBERS; m++) {
        ow_cast_copy(cast, m, e->now->cast, many->plant);
        if (e->spread.materials && m > 0) {
            ow_cast_vary(cast, m, &e->variant[m]);
        }
        ow_course_start(&many->course[m], &cast->actor[m]);
    }
    return status;
}

static void many_step(ow_many *many, ow_ensemble *e, ow_cast *cast)
{
    ow_utc_s start = e->start_s + (ow_utc_s)many->step * e->step_s, end = start + e->step_s;
    ow_utc_s at = many->trial.at_s > e->start_s ? many->trial.at_s : e->start_s;
    for (int m = 0; m < OW_MEMBERS; m++) {
        ow_actor *a = &cast->actor[m];
        if (many->acts && at >= start && at < end) {
            ow_trial_play(&many->trial, cast, m);
        }
        spot_in(e, m, many->step, a->place, e->house, &e->spot[m * cast->apart + a->place]);
    }
    ow_cast_step(cast, e->spot, start, e->step_s);
    for (int m = 0; m < OW_MEMBERS; m++) {
        ow_course_step(&many->course[m], &cast->actor[m],
                       &e->garden->plants[many->plant].tolerance, end);
    }
    many->step++;
}

bool ow_many_some(ow_many *many, ow_ensemble *e, int steps)
{
    ow_cast *cast = cast_of(e, many);
    for (; steps > 0 && many->step < e->looked; steps--) {
        many_step(many, e, cast);
    }
    bool done = many->step >= e->looked;
    for (int m = 0; done && m < OW_MEMBERS; m++) {
        ow_course_end(&many->course[m], &cast->actor[m]);
    }
    return done;
}

/* ---- what it comes to ------------------------------------------------------------------------ */

typedef struct fate {
    int member;
    double weight, margin_k;
} fate;

static int worse_first(const void *a, const void *b)
{
    const fate *x = a, *y = b;
    if (x->weight != y->weight) {
        return x->weight > y->weight ? -1 : 1;
    }
    if (x->margin_k != y->margin_k) {
        return x->margin_k < y->margin_k ? -1 : 1;
    }
    return x->member - y->member;
}

static int earlier(const void *a, const void *b)
{
    const ow_utc_s *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

double ow_many_part_risk(const ow_many *many, const ow_ensemble *e, ow_part part, bool killed)
{
    const ow_harm_watch *w = &e->now->cast->actor[many->plant].condition.watch[part];
    int passed = 0;
    for (int m = 0; m < OW_MEMBERS; m++) {
        const ow_course *c = &many->course[m];
        ow_utc_s at = killed ? c->killed_s[part] : c->damaged_s[part];
        passed += at != OW_NEVER && !(killed ? w->killed : w->damaged);
    }
    return (double)passed / OW_MEMBERS;
}

void ow_many_risk(const ow_many *many, const ow_ensemble *e, ow_risk *risk)
{
    fate fates[OW_MEMBERS];
    ow_utc_s at[OW_MEMBERS];
    const ow_condition *condition = &e->now->cast->actor[many->plant].condition;
    *risk = (ow_risk){.runs = OW_MEMBERS,
                      .early_s = OW_NEVER, .median_s = OW_NEVER, .late_s = OW_NEVER};
    for (int m = 0; m < OW_MEMBERS; m++) {
        ow_threat t = ow_threat_of(&many->course[m], condition);
        fates[m] = (fate){m, t.weight, ow_course_margin_k(&many->course[m])};
        if (t.any) {
            at[risk->damaged++] = t.at_s;
            risk->killed += t.kills;
        }
    }
    qsort(fates, OW_MEMBERS, sizeof fates[0], worse_first);
    for (int m = 0; m < OW_MEMBERS; m++) {
        risk->order[m] = fates[m].member;
    }
    if (risk->damaged > 0) {
        int last = risk->damaged - 1;
        qsort(at, (size_t)risk->damaged, sizeof at[0], earlier);
        risk->early_s = at[last / 10];
        risk->median_s = at[last / 2];
        risk->late_s = at[last - last / 10];
    }
}

static int rising(const void *a, const void *b)
{
    const float *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

/* Between two members where it falls between them. */
static float quantile(const float *sorted, double share)
{
    double at = share * (OW_MEMBERS - 1);
    int below = (int)at;
    int above = below < OW_MEMBERS - 1 ? below + 1 : below;
    return (float)(sorted[below] + (at - below) * (sorted[above] - sorted[below]));
}

static ow_band band_of(const ow_cast *cast, int which)
{
    float c[OW_MEMBERS];
    for (int m = 0; m < OW_MEMBERS; m++) {
        const ow_actor *a = &cast->actor[m];
        c[m] = (float)(which == OW_BAND_ROOT_MEAN ? a->sense.root.mean_c
                                                  : a->condition.compared_c[which]);
        if (isnan(c[m])) {
            return (ow_band){NAN, NAN, NAN};
        }
    }
    qsort(c, OW_MEMBERS, sizeof c[0], rising);
    return (ow_band){quantile(c, OW_BAND_LOW_PCT / 100.0), quantile(c, 0.5),
                     quantile(c, OW_BAND_HIGH_PCT / 100.0)};
}

static void note_bands(ow_ensemble *e)
{
    size_t at = ((size_t)e->plant * e->room + (size_t)e->many.step - 1) * OW_BANDS;
    for (int which = 0; which < OW_BANDS; which++) {
        e->band[at + (size_t)which] = band_of(cast_of(e, &e->many), which);
    }
}

ow_band ow_ensemble_band(const ow_ensemble *e, int plant, int step, int which)
{
    return e->band[((size_t)plant * e->room + (size_t)step) * OW_BANDS + (size_t)which];
}

/* One step of the plant whose turn it is; true when that was its last. */
static bool plant_step(ow_ensemble *e)
{
    ow_many *many = &e->many;
    if (many->step < 0) {
        many->plant = e->plant;
        many->acts = false;
        if (ow_many_begin(many, e) != OW_OK) {
            many->step = e->looked; /* a medium without a law was refused with the garden */
            return true;
        }
    }
    bool done = ow_many_some(many, e, 1);
    note_bands(e);
    return done;
}

static void end_plant(ow_ensemble *e)
{
    memcpy(e->course + (size_t)e->plant * OW_MEMBERS, e->many.course, sizeof e->many.course);
    ow_many_risk(&e->many, e, &e->risk[e->plant]);
    e->plant++;
    e->many.step = -1;
}

bool ow_ensemble_some(ow_ensemble *e, const ow_forcing *forecast, int steps)
{
    for (; steps > 0 && e->looked < e->wanted; steps--) {
        weather_step(e, forecast);
        e->many.step = -1;
    }
    for (; steps > 0 && e->looked > 0 && e->plant < e->garden->plant_count; steps--) {
        if (plant_step(e)) {
            end_plant(e);
        }
    }
    bool all = e->looked == 0 || e->plant >= e->garden->plant_count;
    bool complete = e->looked >= e->wanted && all;
    e->steps = complete ? e->looked : 0;
    return complete;
}

double ow_ensemble_risk(const ow_ensemble *e, int plant)
{
    return e->steps > 0 ? (double)e->risk[plant].damaged / OW_MEMBERS : NAN;
}

int ow_ensemble_member_at(const ow_ensemble *e, int plant, double share)
{
    int nth = (int)ceil(share * OW_MEMBERS);
    nth = nth < 1 ? 1 : nth > OW_MEMBERS ? OW_MEMBERS : nth;
    return e->risk[plant].order[nth - 1];
}
