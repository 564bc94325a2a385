/* SPDX-License-Identifier: MIT */
#include "judgement/hands.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "physics/ow_math.h"
#include "physics/sky.h"

static const double DUSK_RAD = -6.0 * OW_PI / 180.0;

static bool within(ow_hours hours, int minute)
{
    return hours.from_min <= hours.until_min ? minute >= hours.from_min && minute < hours.until_min
                                             : minute >= hours.from_min || minute < hours.until_min;
}

/* Midnight to midnight, or both ends left out, is no span. */
static bool given(ow_hours hours)
{
    return hours.from_min != hours.until_min;
}

static bool is_free(const ow_member *m, int minute)
{
    return !given(m->hands) || within(m->hands, minute);
}

static bool is_awake(const ow_member *m, int minute)
{
    return given(m->hands) || !given(m->quiet) || !within(m->quiet, minute);
}

static int minute_of_day(const ow_local *local, ow_utc_s utc_s)
{
    ow_utc_s day_s = (utc_s + local->utc_offset_s(local->self, utc_s)) % OW_DAY_S;
    return (int)((day_s + OW_DAY_S) % OW_DAY_S / 60);
}

static double moves_kg(const ow_member *m)
{
    return m->trolley ? OW_TROLLEY_TIMES * m->lifts_kg : m->lifts_kg;
}

/* Two lift together what both can; a trolley alone may move more. */
static void weigh(ow_hands *h, const ow_garden *g)
{
    double first = 0.0, second = 0.0;
    for (int i = 0; i < g->household_count; i++) {
        const ow_member *m = &g->household[i];
        h->one_kg = fmax(h->one_kg, moves_kg(m));
        second = fmax(second, fmin(first, m->lifts_kg));
        first = fmax(first, m->lifts_kg);
    }
    h->two_kg = fmax(h->one_kg, first + second);
}

/* Whole slots of a span, at most so many. */
static int slots_between(ow_utc_s from_s, ow_utc_s until_s, int most)
{
    ow_utc_s slots = until_s > from_s ? (until_s - from_s) / OW_HANDS_SLOT_S : 0;
    return slots < most ? (int)slots : most;
}

void ow_hands_look(ow_hands *h, const ow_garden *g, const ow_local *local, ow_utc_s now_s,
                   ow_utc_s until_s)
{
    *h = (ow_hands){.limited = g->household_count > 0, .start_s = now_s};
    h->slots = slots_between(now_s, until_s + OW_HANDS_SLOT_S - 1, OW_HANDS_SLOTS);
    weigh(h, g);
    for (int i = 0; h->limited && i < h->slots; i++) {
        ow_utc_s at = now_s + i * OW_HANDS_SLOT_S;
        int minute = minute_of_day(local, at);
        h->light[i] = ow_sun_at(&g->site, at).altitude_rad > DUSK_RAD;
        for (int k = 0; k < g->household_count; k++) {
            const ow_member *m = &g->household[k];
            bool is = is_free(m, minute);
            h->free[i] = (unsigned char)(h->free[i] + is);
            h->awake[i] = (unsigned char)(h->awake[i] + (is && is_awake(m, minute)));
        }
    }
}

int ow_hands_to_lift(const ow_hands *h, double kg)
{
    if (!h->limited || isnan(kg) || kg <= h->one_kg) {
        return 1;
    }
    return kg <= h->two_kg ? 2 : 0;
}

/* How good a time it has to be. */
typedef enum want { BY_LIGHT, AWAKE, ANY_TIME } want;

static bool serves(const ow_hands *h, int slot, int people, want w)
{
    int count = w == AWAKE ? h->awake[slot] : h->free[slot];
    return count >= people && (w != BY_LIGHT || h->light[slot]);
}

static int slots_until(const ow_hands *h, ow_utc_s by_s)
{
    return slots_between(h->start_s, by_s, h->slots);
}

double ow_hands_minutes(const ow_hands *h, ow_utc_s by_s, int people, bool light)
{
    double sum = 0.0;
    for (int i = 0; i < slots_until(h, by_s); i++) {
        bool is = serves(h, i, people, light ? BY_LIGHT : ANY_TIME);
        sum += is ? h->free[i] * OW_HANDS_SLOT_S / 60.0 : 0.0;
    }
    return h->limited ? sum : INFINITY;
}

static ow_utc_s last_of(const ow_hands *h, ow_utc_s by_s, int people, want w)
{
    for (int i = slots_until(h, by_s) - 1; i >= 0; i--) {
        if (serves(h, i, people, w)) {
            return h->start_s + (i + 1) * (ow_utc_s)OW_HANDS_SLOT_S;
        }
    }
    return INT64_MIN;
}

ow_utc_s ow_hands_last_s(const ow_hands *h, ow_utc_s by_s, int people, bool torch)
{
    ow_utc_s last = INT64_MIN;
    if (!h->limited || by_s == OW_NEVER || by_s <= h->start_s) {
        return by_s;
    }
    for (int w = BY_LIGHT; w <= (torch ? ANY_TIME : BY_LIGHT) && last == INT64_MIN; w++) {
        last = last_of(h, by_s, people, (want)w);
    }
    return last;
}

ow_utc_s ow_hands_first_s(const ow_hands *h, int people, bool torch)
{
    for (int i = 0; h->limited && i < h->slots; i++) {
        if (serves(h, i, people, torch ? ANY_TIME : BY_LIGHT)) {
            return h->start_s + i * (ow_utc_s)OW_HANDS_SLOT_S;
        }
    }
    return h->limited ? OW_NEVER : h->start_s;
}

void ow_hands_who(const ow_garden *g, const ow_local *local, ow_utc_s at_s, int people, double kg,
                  char *text, size_t room)
{
    text[0] = '\0';
    for (int i = 0; i < g->household_count; i++) {
        const ow_member *m = &g->household[i];
        bool free = at_s == OW_NEVER || is_free(m, minute_of_day(local, at_s));
        bool able = people > 1 || isnan(kg) || moves_kg(m) >= kg;
        size_t used = strlen(text);
        if (free && able) {
            const char *joint = used == 0 ? "" : people > 1 ? " and " : " or ";
            snprintf(text + used, room - used, "%s%s", joint, m->name);
        }
    }
}
