/* SPDX-License-Identifier: MIT */
#include "judgement/chores.h"

#include <math.h>

#include "judgement/ways.h"

/* Numbers of common practice, no source. */
static const double SNOW_BREAKS_CM = 10.0, AIR_ABOVE_C = 5.0, RAIN_MM_H = 0.1;
static const double DARK_DAYS = 7.0, DIM_DAYS = 21.0, DAMP_DAYS = 5.0;
static const double DARK_SHARE = 0.5, DIM_SHARE = 0.3;
static const double BED_MAY_REACH_C = -4.0;
static const ow_utc_s SHADE_BEFORE_S = OW_HOUR_S;

const ow_chore_row *ow_chore_about(ow_chore chore)
{
    static const ow_chore_row rows[OW_CHORES] = {
#define OW_CHORE_ROW(name, word, minutes, what)                                                    \
    [name] = {word, what, "[[\"chore-" word "\"]]", minutes},
        OW_CHORE_LIST(OW_CHORE_ROW)
#undef OW_CHORE_ROW
    };
    return &rows[chore];
}

static void want(ow_chore_set *c, ow_chore chore, ow_utc_s by_s)
{
    c->set |= 1u << chore;
    c->by_s[chore] = by_s;
}

static bool has(const ow_plant *p, ow_trait trait)
{
    return (p->tolerance.traits & (unsigned)trait) != 0;
}

/* The first rain at a place ahead; OW_NEVER: none. */
static ow_utc_s first_rain_s(const ow_outlook *o, int place)
{
    for (int step = 0; step < o->steps; step++) {
        const ow_spot *spot =
            &o->spot[(size_t)step * (size_t)o->garden->place_count + (size_t)place];
        if (spot->rain_mm_h >= RAIN_MM_H) {
            return o->start_s + (ow_utc_s)step * o->step_s;
        }
    }
    return OW_NEVER;
}

static void shade(const ow_course *course, ow_chore_set *c)
{
    ow_utc_s first = OW_NEVER;
    for (int p = 0; p < OW_PARTS; p++) {
        first = course->quick_s[p] < first ? course->quick_s[p] : first;
    }
    if (first != OW_NEVER) {
        want(c, OW_CHORE_SHADE, first - SHADE_BEFORE_S);
    }
}

/* An evergreen in a dry pot, thawed now, whose roots will freeze. What rests dry stays dry. */
static void water(const ow_garden *g, const ow_plant *p, const ow_actor *a,
                  const ow_course *course, ow_chore_set *c)
{
    bool thawed = a->sense.root.ice_share < 0.01;
    bool dry = ow_actor_is_dry(g, a);
    if (dry && ow_drinks_in_winter(p) && thawed && course->frozen_s != OW_NEVER) {
        want(c, OW_CHORE_WATER, course->frost_s);
    }
}

static void empty_saucer(const ow_plant *p, const ow_actor *a, const ow_course *course,
                         ow_chore_set *c)
{
    if (a->has_tray && !has(p, OW_TRAIT_STANDS_WET) && course->frost_s != OW_NEVER) {
        want(c, OW_CHORE_EMPTY_SAUCER, course->frost_s);
    }
}

/* Crowns that hold water, under the open sky: rain and then frost. */
static void keep_rain_off(const ow_outlook *o, const ow_plant *p, const ow_actor *a,
                          const ow_course *course, ow_chore_set *c)
{
    bool crown = has(p, OW_TRAIT_OPEN_CROWN);
    ow_utc_s rain = crown && course->frost_s != OW_NEVER ? first_rain_s(o, a->place) : OW_NEVER;
    unsigned shut = 0; /* zones */
    for (size_t i = 0; i < a->dress.n; i++) {
        const ow_worn_cover *w = &a->dress.cover[i];
        shut |= ow_cover_spec_of(w->kind)->shut_rain >= 1.0 ? ow_cover_zones(w) : 0u;
    }
    if (rain != OW_NEVER && (shut & ~(unsigned)OW_ZONE_SIDE) == 0) {
        want(c, OW_CHORE_KEEP_RAIN_OFF, rain);
    }
}

static void clear_snow(const ow_plant *p, const ow_spot *spot, ow_chore_set *c)
{
    if (p->tolerance.leaves == OW_LEAVES_EVERGREEN && spot->snow_cm >= SNOW_BREAKS_CM) {
        want(c, OW_CHORE_CLEAR_SNOW, OW_NEVER);
    }
}

/* A film keeps damp in: opened on mild days between frosts. */
static void air(const ow_actor *a, const ow_course *course, ow_chore_set *c)
{
    bool film = false;
    for (size_t i = 0; i < a->dress.n; i++) {
        const ow_worn_cover *w = &a->dress.cover[i];
        film = film || (w->kind == OW_COVER_BUBBLE_FILM && ow_cover_zones(w) != 0);
    }
    bool day = a->sense.sun_wm2 > 0.0;
    if (film && day && a->sense.air_c >= AIR_ABOVE_C && course->frost_s != OW_NEVER) {
        want(c, OW_CHORE_AIR, OW_NEVER);
    }
}

static void lay_again(const ow_actor *a, ow_chore_set *c)
{
    for (size_t i = 0; i < a->dress.n; i++) {
        if (a->dress.cover[i].state.blown_off) {
            want(c, OW_CHORE_LAY_AGAIN, OW_NEVER);
        }
    }
}

/* Leaves without a limit of their own are taken as soft. */
static bool is_blackened(const ow_plant *p, const ow_actor *a)
{
    const ow_harm_watch *w = &a->condition.watch[OW_FOLIAGE];
    bool soft = !p->tolerance.limit[OW_FOLIAGE].set;
    return w->damaged || (soft && w->lowest_c < OW_SOFT_DAMAGED_C);
}

/* Tubers and rhizomes in a bed that may become too cold for them: after the first frost that
 * blackens the leaves, while ten centimetres can still be dug, and by when they no longer can. */
static void lift(const ow_outlook *o, const ow_scene *scene, const ow_plant *p, const ow_actor *a,
                 ow_chore_set *c)
{
    const ow_course *course = &o->course[a->plant];
    ow_utc_s harmed_s = course->damaged_s[OW_STORAGE_ORGAN], shut_s = o->bed_shut_s[a->plant];
    const ow_limit *organ = &p->tolerance.limit[OW_STORAGE_ORGAN];
    bool tender = harmed_s != OW_NEVER || organ->damaged_c >= BED_MAY_REACH_C;
    bool open = !(ow_cast_bed_c(scene->cast, a->plant, OW_DIG_M) < 0.0);
    bool lives = !a->condition.watch[OW_STORAGE_ORGAN].damaged;
    if (p->bed.given && organ->set && tender && lives && open && is_blackened(p, a)) {
        want(c, OW_CHORE_LIFT, shut_s < harmed_s ? shut_s : harmed_s);
    }
}

/* Bananas: the leaves are gone, the stem can be kept. */
static void cut_and_wrap(const ow_plant *p, const ow_actor *a, const ow_course *course,
                         ow_chore_set *c)
{
    bool lives = !a->condition.watch[OW_GROWING_POINT].damaged;
    if (has(p, OW_TRAIT_STEM_KEPT) && is_blackened(p, a) && lives && a->dress.n == 0) {
        want(c, OW_CHORE_CUT_AND_WRAP, course->damaged_s[OW_GROWING_POINT]);
    }
}

void ow_chores_of(const ow_outlook *o, const ow_scene *scene, int plant, ow_chore_set *c)
{
    const ow_plant *p = &scene->garden->plants[plant];
    const ow_actor *a = &scene->cast->actor[plant];
    const ow_course *course = &o->course[plant];
    c->set = 0;
    lay_again(a, c);
    clear_snow(p, &scene->spot[a->place], c);
    if (o->steps > 0) {
        shade(course, c);
        water(scene->garden, p, a, course, c);
        empty_saucer(p, a, course, c);
        keep_rain_off(o, p, a, course, c);
        air(a, course, c);
        lift(o, scene, p, a, c);
        cut_and_wrap(p, a, course, c);
    }
}

ow_stay ow_covers_stay(const ow_dress *dress, const ow_tolerance *stands)
{
    ow_stay stay = {INFINITY, false};
    for (size_t i = 0; i < dress->n; i++) {
        const ow_worn_cover *w = &dress->cover[i];
        const ow_cover_spec *spec = ow_cover_spec_of(w->kind);
        unsigned on = ow_cover_zones(w);
        bool leaves = (on & OW_ZONE_FOLIAGE) != 0 && stands->leaves != OW_LEAVES_NONE;
        bool crown = (on & (OW_ZONE_FOLIAGE | OW_ZONE_GROWING_POINT)) != 0;
        double dark = !leaves                          ? INFINITY
                      : spec->shut_light >= DARK_SHARE ? DARK_DAYS
                      : spec->shut_light >= DIM_SHARE  ? DIM_DAYS
                                                       : INFINITY;
        double damp = crown && spec->shut_rain >= 1.0 ? DAMP_DAYS : INFINITY;
        if (fmin(dark, damp) < stay.days) {
            stay = (ow_stay){fmin(dark, damp), damp < dark};
        }
    }
    return stay;
}
