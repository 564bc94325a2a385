/* SPDX-License-Identifier: MIT */
#include "garden/scene.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "garden/climate.h"
#include "garden/column.h"
#include "physics/materials.h"
#include "physics/surface.h"

static const ow_grid ground_grid = {.nr = 1, .nz = OW_COLUMN_CELLS, .upper_rows = 0};
enum { GROUND_LANE = 0 };

/* The ground that pots feel out of doors and under glass. */
static const double UNDER_POTS_M = 0.15;

/* Floor of a glasshouse to its air: convection and radiation of a level face (ISO 6946, 1/0.17). */
static const double FLOOR_W_M2K = 5.9;
static const double FLOOR_ABSORBS = 0.7;

/* Benches, pots' walls and the like that follow the air, J/K per m2 of floor (our judgement). */
static const double STAGING_J_M2K = 2e4;

/* Masonry follows the air by a day and is warmed a little by the house (our judgement). */
static const double WALL_MEMORY_S = 86400.0, WALL_WARMTH_K = 1.0;

/* What daylight told of the sky is believed through the following night. */
static const ow_utc_s CLOUD_MEMORY_S = 18 * OW_HOUR_S;

/*
 * Panes: a third roof that sees nearly all of the sky, two thirds walls that see its lower half,
 * which is the warmer one (our judgement).
 */
static const double GLASS_VIEW = 0.5, GLASS_EMISSIVITY = 0.9;

static int floor_lane(const ow_garden *g, int place)
{
    int lane = GROUND_LANE;
    for (int i = 0; i <= place; i++) {
        lane += g->places[i].kind == OW_PLACE_GLASSHOUSE;
    }
    return lane;
}

static ow_status put_ground(ow_scene *s, int lane, ow_medium_kind kind, double surface_c)
{
    ow_medium medium;
    ow_law law;
    ow_status status = ow_medium_of(kind, OW_MOISTURE_MOIST, &medium);
    if (status == OW_OK) {
        status = ow_law_of_medium(&medium, OW_HINGES, &law);
    }
    return status == OW_OK ? ow_column_put(&s->ground, lane, &law, &s->garden->site, s->now_s,
                                           surface_c, NAN)
                           : status;
}

static ow_status build_ground(ow_scene *s, double air_c)
{
    const ow_garden *g = s->garden;
    s->ground_memory = aligned_alloc(64, (ow_block_bytes(&ground_grid) + 63) / 64 * 64);
    if (s->ground_memory == NULL) {
        return OW_NO_MEMORY;
    }
    ow_status status = ow_block_init(&s->ground, &ground_grid, s->ground_memory);
    if (status == OW_OK) {
        status = put_ground(s, GROUND_LANE, OW_MEDIUM_LOAM, air_c);
    }
    if (status == OW_OK) {
        /* Slabs on sand conduct as sand does. */
        status = put_ground(s, OW_PAVED_LANE, OW_MEDIUM_SAND, air_c);
    }
    for (int p = 0; status == OW_OK && p < g->place_count; p++) {
        if (g->places[p].kind == OW_PLACE_GLASSHOUSE) {
            int lane = floor_lane(g, p);
            status = lane < OW_PAVED_LANE ? put_ground(s, lane, OW_MEDIUM_LOAM, air_c)
                                          : OW_BAD_INPUT;
        }
    }
    return status;
}

static double start_air_c(const ow_place *place, double air_c)
{
    return place->kind == OW_PLACE_INDOORS ? place->air_c : air_c;
}

static ow_status build_cast(ow_scene *s, double air_c)
{
    const ow_garden *g = s->garden;
    size_t n = (size_t)g->plant_count;
    int *plant = calloc(n, sizeof *plant);
    double *start = calloc(n, sizeof *start);
    ow_status status = OW_NO_MEMORY;
    if (plant != NULL && start != NULL) {
        for (int i = 0; i < g->plant_count; i++) {
            plant[i] = i;
            start[i] = start_air_c(&g->places[g->plants[i].place.at], air_c);
        }
        status = ow_cast_new(g, plant, g->plant_count, start, s->now_s, &s->cast);
    }
    free(plant);
    free(start);
    return status;
}

ow_status ow_scene_new(const ow_garden *garden, ow_utc_s utc_s, int step_s, double air_c,
                       ow_scene **out)
{
    ow_scene *s = calloc(1, sizeof *s);
    if (s == NULL) {
        return OW_NO_MEMORY;
    }
    s->garden = garden;
    s->now_s = utc_s;
    s->step_s = step_s;
    s->outdoors.wall_c = air_c;
    s->topsoil = ow_topsoil_at(OW_TEXTURE_FINE, OW_MOISTURE_MOIST); /* loam, as the ground */
    s->outdoors.weather = (ow_weather){.air_c = air_c};
    s->cloud_memory_pct = s->guessed_cloud_pct = NAN;
    s->spot = calloc((size_t)garden->place_count, sizeof *s->spot);
    s->glass = calloc((size_t)garden->place_count, sizeof *s->glass);
    s->heater_j = calloc((size_t)garden->output_count + 1, sizeof *s->heater_j);
    s->heater_w = calloc((size_t)garden->output_count + 1, sizeof *s->heater_w);
    s->own_air_k = calloc((size_t)garden->place_count, sizeof *s->own_air_k);
    s->set_c = calloc((size_t)garden->place_count, sizeof *s->set_c);
    bool whole = s->spot != NULL && s->glass != NULL && s->heater_j != NULL &&
                 s->heater_w != NULL && s->own_air_k != NULL && s->set_c != NULL;
    ow_status status = whole ? build_ground(s, air_c) : OW_NO_MEMORY;
    if (status == OW_OK) {
        status = build_cast(s, air_c);
    }
    for (int p = 0; whole && p < garden->place_count; p++) {
        s->glass[p].air_c = start_air_c(&garden->places[p], air_c);
        s->own_air_k[p] = s->set_c[p] = NAN;
    }
    if (status != OW_OK) {
        ow_scene_free(s);
        return status;
    }
    *out = s;
    return OW_OK;
}

void ow_scene_free(ow_scene *s)
{
    if (s != NULL) {
        ow_cast_free(s->cast);
        free(s->ground_memory);
        free(s->spot);
        free(s->glass);
        free(s->heater_j);
        free(s->heater_w);
        free(s->own_air_k);
        free(s->set_c);
        free(s);
    }
}

void ow_scene_copy(ow_scene *to, const ow_scene *from)
{
    const ow_garden *g = from->garden;
    size_t places = (size_t)g->place_count, outputs = (size_t)g->output_count;
    to->now_s = from->now_s;
    to->outdoors = from->outdoors;
    to->topsoil = from->topsoil;
    to->cloud_memory_pct = from->cloud_memory_pct;
    to->cloud_seen_s = from->cloud_seen_s;
    to->sky_assumed = from->sky_assumed;
    to->snow_cm = from->snow_cm;
    to->place_bias = from->place_bias;
    memcpy(to->spot, from->spot, places * sizeof *to->spot);
    memcpy(to->glass, from->glass, places * sizeof *to->glass);
    memcpy(to->heater_j, from->heater_j, outputs * sizeof *to->heater_j);
    memcpy(to->heater_w, from->heater_w, outputs * sizeof *to->heater_w);
    memcpy(to->set_c, from->set_c, places * sizeof *to->set_c);
    for (int l = 0; l < OW_LANES; l++) {
        ow_block_copy(&to->ground, l, &from->ground, l);
    }
    for (int i = 0; i < from->cast->actors; i++) {
        ow_cast_copy(to->cast, i, from->cast, i);
    }
}

int ow_scene_crowd(const ow_scene *s, int place)
{
    int crowd = 0;
    for (int i = 0; i < s->cast->actors; i++) {
        crowd += s->cast->actor[i].place == place;
    }
    return crowd;
}

/* ---- a step ---------------------------------------------------------------------------------- */

double ow_scene_cloud_guess_pct(const ow_scene *s)
{
    bool fresh = s->now_s - s->cloud_seen_s <= CLOUD_MEMORY_S;
    if (!isnan(s->guessed_cloud_pct)) {
        return s->guessed_cloud_pct;
    }
    return fresh ? s->cloud_memory_pct : NAN;
}

double ow_scene_wall_c(const ow_scene *s, double before_c, double air_c)
{
    return before_c + s->step_s / WALL_MEMORY_S * (air_c + WALL_WARMTH_K - before_c);
}

static void look_outdoors(ow_scene *s, const ow_weather *weather)
{
    ow_outdoors *o = &s->outdoors;
    double snow_m = isnan(weather->snow_cm) ? 0.0 : weather->snow_cm / 100.0;
    o->weather = *weather;
    o->sky = ow_sky_of(weather, &s->garden->site, s->now_s + s->step_s / 2,
                       ow_scene_cloud_guess_pct(s));
    s->sky_assumed = o->sky.sky_from == OW_ORIGIN_ASSUMED;
    if (o->sky.sky_from == OW_ORIGIN_DERIVED) {
        s->cloud_memory_pct = o->sky.cloud_pct;
        s->cloud_seen_s = s->now_s;
    }
    o->wall_c = ow_scene_wall_c(s, o->wall_c, weather->air_c);
    o->snow_age_days =
        ow_snow_age_days(o->snow_age_days, s->snow_cm / 100.0, snow_m, s->step_s);
    s->snow_cm = snow_m * 100.0;
    o->ground_c = o->paved_c = weather->ground_c;
    if (isnan(weather->ground_c)) {
        o->ground_c = ow_block_axis_c(&s->ground, GROUND_LANE, UNDER_POTS_M);
        o->paved_c = ow_block_axis_c(&s->ground, OW_PAVED_LANE, UNDER_POTS_M);
    }
}

/* The heaters of a house act as one: together their watts, the highest set point; kept_c over it,
 * unless NAN. */
static void heaters_of(const ow_scene *s, int place, double kept_c, double *watts, double *set_c)
{
    const ow_garden *g = s->garden;
    *watts = 0.0;
    *set_c = -INFINITY;
    for (int i = 0; i < g->output_count; i++) {
        const ow_output *o = &g->outputs[i];
        if (o->kind == OW_OUTPUT_HEATER && o->place.at == place) {
            *watts += o->watts;
            *set_c = fmax(*set_c, o->keep_air_above_c);
        }
    }
    *set_c = isnan(kept_c) ? *set_c : kept_c;
    *set_c = *watts > 0.0 ? *set_c : 0.0;
}

static void note_heat(ow_scene *s, int place, double given_w, double watts)
{
    const ow_garden *g = s->garden;
    for (int i = 0; i < g->output_count; i++) {
        const ow_output *o = &g->outputs[i];
        if (o->kind == OW_OUTPUT_HEATER && o->place.at == place) {
            s->heater_w[i] = watts > 0.0 ? given_w * o->watts / watts : 0.0;
            s->heater_j[i] += s->heater_w[i] * s->step_s;
        }
    }
}

/* The panes' outer film: ISO 6946's 4 + 4 v with the wind at 2 m, which the tables' U rest on. */
static ow_boundary glass_outside(const ow_sky *sky)
{
    double wind_ms = ow_wind_at_2m(sky->wind_ms, 10.0);
    double h = ow_convection_iso6946(wind_ms) + GLASS_EMISSIVITY * ow_radiative_black(sky->air_c);
    double net_wm2 = GLASS_EMISSIVITY * GLASS_VIEW *
                     (sky->longwave_wm2 - ow_black_body_wm2(sky->air_c));
    return (ow_boundary){.te_c = sky->air_c + net_wm2 / h, .h_w_m2k = h};
}

static ow_glasshouse_in house_of(const ow_scene *s, int place, const ow_outdoors *out,
                                 double before_c)
{
    const ow_place *p = &s->garden->places[place];
    double floor_c = ow_block_axis_c(&s->ground, floor_lane(s->garden, place), 0.0);
    ow_glasshouse_in in = {.glazing = ow_glazing_of(p->glazing),
                           .glazing_m2 = p->glazing_m2,
                           .floor_m2 = p->floor_m2,
                           .volume_m3 = p->volume_m3,
                           .air_changes_per_h = p->air_changes_per_h,
                           .outside = glass_outside(&out->sky),
                           .outside_c = out->sky.air_c,
                           .sky_c = out->sky.sky_c,
                           .sun_wm2 = out->sky.global_wm2,
                           .floor_c = floor_c,
                           .floor_w_m2k = FLOOR_W_M2K,
                           .extra_j_k = STAGING_J_M2K * p->floor_m2,
                           .before_c = before_c,
                           .dt_s = s->step_s};
    ow_cast_exchange(s->cast, place, &in.bodies_w_k, &in.bodies_w);
    return in;
}

static ow_status house_air(const ow_scene *s, int place, const ow_outdoors *out,
                           double glazing_normal, double kept_c, ow_glasshouse_out *air)
{
    ow_glasshouse_in in = house_of(s, place, out, air->air_c);
    in.extra_u = ow_range_at(in.glazing->range, glazing_normal) - 1.0;
    heaters_of(s, place, kept_c, &in.heater_max_w, &in.heater_set_c);
    return ow_glasshouse_step(&in, air);
}

static void air_under_glass(ow_scene *s, int place)
{
    double watts, set_c;
    double kept_c = s->set_c[place];
    if (house_air(s, place, &s->outdoors, 0.0, kept_c, &s->glass[place]) == OW_OK) {
        heaters_of(s, place, kept_c, &watts, &set_c);
        note_heat(s, place, s->glass[place].heater_w, watts);
    }
}

void ow_scene_air_beside(const ow_scene *s, int place, const ow_outdoors *out,
                         double glazing_normal, ow_glasshouse_out *air)
{
    ow_scene_air_kept(s, place, out, glazing_normal, s->set_c[place], air);
}

void ow_scene_air_kept(const ow_scene *s, int place, const ow_outdoors *out,
                       double glazing_normal, double set_c, ow_glasshouse_out *air)
{
    /* A house that cannot be solved keeps its air. */
    (void)!house_air(s, place, out, glazing_normal, set_c, air);
}

double ow_scene_glass_c(const ow_scene *s, int place, double heater_w)
{
    static const double NEVER_REACHED_C = 1000.0;
    ow_glasshouse_out out;
    bool stepped = s->outdoors.sky.longwave_wm2 > 0.0;
    if (!stepped || s->garden->places[place].kind != OW_PLACE_GLASSHOUSE) {
        return NAN;
    }
    ow_glasshouse_in in = house_of(s, place, &s->outdoors, 0.0);
    in.dt_s = 0.0;
    in.heater_max_w = heater_w;
    in.heater_set_c = NEVER_REACHED_C;
    return ow_glasshouse_step(&in, &out) == OW_OK ? out.air_c : NAN;
}

static void lay_floor(ow_scene *s, int place)
{
    const ow_glasshouse_out *air = &s->glass[place];
    double te = air->air_c + FLOOR_ABSORBS * air->sun_floor_wm2 / FLOOR_W_M2K;
    ow_block_boundary(&s->ground, floor_lane(s->garden, place), OW_TOP,
                      (ow_boundary){.te_c = te, .h_w_m2k = FLOOR_W_M2K});
}

double ow_scene_floor_c(const ow_scene *s, int place)
{
    return ow_block_axis_c(&s->ground, floor_lane(s->garden, place), UNDER_POTS_M);
}

/* How much warmer than the open site's a place out of doors is: measured, or learned. */
static double warmer_k(const ow_scene *s, int place, const ow_outdoors *out, ow_utc_s mid_s)
{
    if (!isnan(s->own_air_k[place])) {
        return s->own_air_k[place];
    }
    return s->place_bias == NULL ? 0.0
                                 : ow_bias_k(&s->place_bias[place], &s->garden->site, mid_s,
                                             out->sky.cloud_pct);
}

static void spot_outdoors(const ow_scene *s, int place, const ow_outdoors *out, ow_utc_s mid_s,
                          ow_spot *spot)
{
    double by_k = warmer_k(s, place, out, mid_s);
    ow_spot_outdoors(&s->garden->places[place], out, spot);
    if (by_k != 0.0) {
        ow_spot_warm(spot, by_k);
    }
}

void ow_scene_spot(const ow_scene *s, int place, const ow_outdoors *out,
                   const ow_glasshouse_out *air, double floor_c, ow_utc_s mid_s, ow_spot *spot)
{
    const ow_place *p = &s->garden->places[place];
    switch (p->kind) {
    case OW_PLACE_GLASSHOUSE:
        ow_spot_under_glass(p, out, air, floor_c, spot);
        break;
    case OW_PLACE_INDOORS:
        ow_spot_indoors(p, s->garden->site.elevation_m, spot);
        break;
    case OW_PLACE_OPEN_SKY:
    case OW_PLACE_HEDGE:
    case OW_PLACE_UNDER_EAVES:
    case OW_PLACE_WALL:
    case OW_PLACE_KIND_COUNT:
        spot_outdoors(s, place, out, mid_s, spot);
        break;
    }
}

static void look_round(ow_scene *s)
{
    const ow_garden *g = s->garden;
    for (int p = 0; p < g->place_count; p++) {
        double floor_c = NAN;
        if (g->places[p].kind == OW_PLACE_GLASSHOUSE) {
            air_under_glass(s, p);
            lay_floor(s, p);
            floor_c = ow_scene_floor_c(s, p);
        }
        ow_scene_spot(s, p, &s->outdoors, &s->glass[p], floor_c, s->now_s + s->step_s / 2,
                      &s->spot[p]);
    }
}

static void step_ground(ow_scene *s)
{
    double deep = ow_normal_ground_c(&s->garden->site, s->now_s, OW_COLUMN_M);
    ow_block_boundary(&s->ground, GROUND_LANE, OW_TOP,
                      ow_ground_exposure(&s->outdoors, &s->topsoil));
    ow_block_boundary(&s->ground, OW_PAVED_LANE, OW_TOP, ow_ground_exposure(&s->outdoors, NULL));
    for (int l = 0; l < OW_LANES; l++) {
        ow_block_boundary(&s->ground, l, OW_BASE, (ow_boundary){.te_c = deep, .h_w_m2k = 1e5});
    }
    ow_block_step(&s->ground, s->step_s, (uint64_t)(s->now_s / s->step_s));
    if (!isnan(s->outdoors.weather.rain_mm)) {
        double surface_c = ow_block_face_c(&s->ground, GROUND_LANE, OW_TOP);
        ow_topsoil_step(&s->topsoil, surface_c, s->outdoors.sky.air_c,
                        s->outdoors.weather.rain_mm * s->step_s / OW_HOUR_S, s->step_s);
    }
}

/* Under the open sky leaves see the top of the ground, or of the snow on it, below them. */
static void look_down(ow_scene *s)
{
    double soil_c = ow_block_face_c(&s->ground, GROUND_LANE, OW_TOP);
    double into_soil_wm2 = (double)s->ground.face_h[OW_TOP][GROUND_LANE] *
                           ((double)s->ground.te_c[OW_TOP][GROUND_LANE] - soil_c);
    for (int p = 0; p < s->garden->place_count; p++) {
        ow_place_kind kind = s->garden->places[p].kind;
        if (kind == OW_PLACE_OPEN_SKY || kind == OW_PLACE_HEDGE) {
            s->spot[p].under_c = soil_c + into_soil_wm2 * s->spot[p].snow_r_m2k_w;
        }
    }
}

void ow_scene_step(ow_scene *s, const ow_weather *weather)
{
    look_outdoors(s, weather);
    look_round(s);
    step_ground(s);
    look_down(s);
    ow_cast_step(s->cast, s->spot, s->now_s, s->step_s);
    s->now_s += s->step_s;
}
