/* SPDX-License-Identifier: MIT */
#include "garden/bridge.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "garden/climate.h"
#include "physics/ow_math.h"

static const double RELAX_S = OW_RELAX_H * OW_HOUR_S;

static ow_weather unknown_weather(double air_c)
{
    return (ow_weather){air_c, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
}

/* The first row later than t that knows the air; NULL: none. */
static const ow_weather_at *next_known(const ow_forcing *f, ow_utc_s t)
{
    for (size_t i = 0; f != NULL && i < f->rows; i++) {
        if (f->row[i].utc_s > t && !isnan(f->row[i].weather.air_c)) {
            return &f->row[i];
        }
    }
    return NULL;
}

/* How much one end of a gap counts at a point that is `other_s` from the other end:
 * sinh(other/relax) / sinh(whole/relax), with nothing in it that grows. */
static double pull(double other_s, double whole_s)
{
    double fall = ow_exp(-other_s / RELAX_S), all = ow_exp(-whole_s / RELAX_S);
    return all / fall * (1.0 - fall * fall) / (1.0 - all * all);
}

/*
 * Mean of air that returns to the normal at a steady rate, given the last air and, when there is
 * one, the next. Each step leans on the one before, which makes no difference in such a process.
 */
static double guess_air_c(const ow_scene *s, const ow_forcing *measured)
{
    const ow_site *site = &s->garden->site;
    ow_utc_s half = s->step_s / 2, at = s->now_s + half, last = s->now_s - half;
    const ow_weather_at *next = next_known(measured, at);
    double off_k = s->outdoors.weather.air_c - ow_normal_air_c(site, last);
    double normal = ow_normal_air_c(site, at);
    if (next == NULL) {
        return normal + off_k * ow_exp(-(double)(at - last) / RELAX_S);
    }
    double whole = (double)(next->utc_s - last), ahead = (double)(next->utc_s - at);
    double next_off_k = next->weather.air_c - ow_normal_air_c(site, next->utc_s);
    return normal + off_k * pull(ahead, whole) + next_off_k * pull(whole - ahead, whole);
}

/* Rows are not held back over what was before the first of them: a guess leads up to it. */
static bool is_known(const ow_forcing *f, const ow_scene *s, ow_weather *weather)
{
    return f != NULL && f->rows > 0 && f->row[0].utc_s <= s->now_s + s->step_s / 2 &&
           ow_forcing_mean(f, s->now_s, s->now_s + s->step_s, weather) <= OW_BRIDGE_S &&
           !isnan(weather->air_c);
}

/* What was seen of the limits, set aside while a guess is stepped. */
typedef struct seen {
    ow_harm_watch watch[OW_PARTS];
    ow_thaw_watch thaw[OW_PARTS];
} seen;

static void set_aside(const ow_cast *cast, seen *kept)
{
    for (int i = 0; i < cast->actors; i++) {
        memcpy(kept[i].watch, cast->actor[i].condition.watch, sizeof kept[i].watch);
        memcpy(kept[i].thaw, cast->actor[i].condition.thaw, sizeof kept[i].thaw);
    }
}

static void put_back(ow_cast *cast, const seen *kept)
{
    for (int i = 0; i < cast->actors; i++) {
        memcpy(cast->actor[i].condition.watch, kept[i].watch, sizeof kept[i].watch);
        memcpy(cast->actor[i].condition.thaw, kept[i].thaw, sizeof kept[i].thaw);
    }
}

static void step_guessed(ow_scene *s, const ow_forcing *measured, seen *kept)
{
    ow_weather weather = unknown_weather(guess_air_c(s, measured));
    set_aside(s->cast, kept);
    ow_scene_step(s, &weather);
    put_back(s->cast, kept);
}

ow_status ow_scene_bridge(ow_scene *s, const ow_forcing *measured, const ow_forcing *forecast,
                          ow_utc_s until_s, ow_bridge *bridge)
{
    ow_weather weather;
    if (until_s < s->now_s || until_s - s->now_s > OW_GAP_MOST_S) {
        return OW_BAD_INPUT;
    }
    seen *kept = calloc((size_t)s->cast->actors, sizeof *kept);
    if (kept == NULL) {
        return OW_NO_MEMORY;
    }
    while (s->now_s + s->step_s <= until_s) {
        if (is_known(measured, s, &weather)) {
            ow_scene_step(s, &weather);
            bridge->measured_s += s->step_s;
        } else if (is_known(forecast, s, &weather)) {
            ow_scene_step(s, &weather);
            bridge->foreseen_s += s->step_s;
        } else {
            step_guessed(s, measured, kept);
            bridge->guessed_s += s->step_s;
        }
    }
    free(kept);
    return OW_OK;
}
