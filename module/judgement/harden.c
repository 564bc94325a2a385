/* SPDX-License-Identifier: MIT */
#include "judgement/harden.h"

#include <math.h>

#include "physics/sky.h"

static const double HALF = 0.5;

static bool is_inside(const ow_garden *g, int place)
{
    ow_place_kind kind = g->places[place].kind;
    return kind == OW_PLACE_INDOORS || kind == OW_PLACE_GLASSHOUSE;
}

void ow_harden_note(ow_harden *h, const ow_scene *s, int plant)
{
    bool guest = is_inside(s->garden, s->cast->actor[plant].place) &&
                 !is_inside(s->garden, s->garden->plants[plant].place.at);
    if (!guest) {
        *h = (ow_harden){0};
    } else if (h->in_since_s == 0) {
        h->in_since_s = s->now_s;
    }
}

bool ow_harden_is_due(const ow_harden *h, const ow_scene *s, int plant)
{
    const ow_actor *a = &s->cast->actor[plant];
    const ow_hardening *state = &a->condition.hardening;
    bool long_in = h->in_since_s != 0 && s->now_s - h->in_since_s >= OW_HARDEN_AFTER_S;
    bool soft = state->spring && state->hardened < HALF && !isnan(a->sense.part_c[OW_FOLIAGE]);
    return long_in && soft && h->days < OW_HARDEN_DAYS;
}

/* ---- the next day ---------------------------------------------------------------------------- */

/* The light hours of a day, as far as the outlook sees them. */
typedef struct light {
    int64_t day;
    ow_utc_s from_s, until_s; /* OW_NEVER: none */
    double lowest_c;
} light;

/* Days begin at the middle of the night of the place's longitude. */
static int64_t day_of(const ow_site *site, ow_utc_s utc_s)
{
    double solar_s = (double)utc_s + site->longitude_deg / 360.0 * OW_DAY_S;
    return (int64_t)floor(solar_s / OW_DAY_S);
}

static light light_of(const ow_outlook *o, const ow_scene *s, int place, int64_t day)
{
    light l = {.day = day, .from_s = OW_NEVER, .until_s = OW_NEVER, .lowest_c = INFINITY};
    for (int step = 0; step < o->steps; step++) {
        ow_utc_s at_s = o->start_s + (ow_utc_s)step * o->step_s;
        bool bright = day_of(&s->garden->site, at_s) == day &&
                      ow_sun_at(&s->garden->site, at_s + o->step_s / 2).altitude_rad > 0.0;
        if (bright) {
            l.from_s = l.from_s == OW_NEVER ? at_s : l.from_s;
            l.until_s = at_s + o->step_s;
            l.lowest_c = fmin(l.lowest_c, o->spot[step * s->garden->place_count + place].sky.air_c);
        }
    }
    return l;
}

/* The first half of a day that has begun is not made up for. */
static bool is_worth_it(const light *l, ow_utc_s now_s)
{
    static const ow_utc_s LEAST_S = 4 * OW_HOUR_S;
    return l->from_s != OW_NEVER && l->lowest_c >= OW_HARDEN_AIR_C &&
           l->until_s - (l->from_s > now_s ? l->from_s : now_s) >= LEAST_S;
}

void ow_harden_ask(ow_harden *h, const ow_outlook *o, const ow_scene *s, int plant,
                   ow_chore_set *chores)
{
    int home = s->garden->plants[plant].place.at;
    int64_t today = day_of(&s->garden->site, s->now_s);
    h->asked_day = 0;
    for (int64_t day = today; day <= today + 1 && ow_harden_is_due(h, s, plant); day++) {
        light l = light_of(o, s, home, day);
        if (day != h->last_day && is_worth_it(&l, s->now_s)) {
            h->asked_day = day;
            chores->set |= 1u << OW_CHORE_HARDEN;
            chores->by_s[OW_CHORE_HARDEN] = l.from_s;
            return;
        }
    }
}

void ow_harden_hold(const ow_harden *h, const ow_scene *s, int plant, ow_survey *survey)
{
    int kept = 0;
    bool due = ow_harden_is_due(h, s, plant);
    for (int i = 0; i < survey->findings; i++) {
        if (!due || survey->found[i].state != OW_STATE_CARRY_OUT) {
            survey->found[kept++] = survey->found[i];
        }
    }
    survey->findings = kept;
}

void ow_harden_done(ow_harden *h)
{
    h->days += h->asked_day != 0 && h->asked_day != h->last_day;
    h->last_day = h->asked_day != 0 ? h->asked_day : h->last_day;
    h->asked_day = 0;
}

void ow_harden_pack(ow_harden *h, ow_pack *pack)
{
    ow_pack_time(pack, &h->in_since_s);
    ow_pack_int(pack, &h->days, 0, OW_HARDEN_DAYS);
    ow_pack_int64(pack, &h->last_day);
    ow_pack_int64(pack, &h->asked_day);
}
