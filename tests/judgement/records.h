/* SPDX-License-Identifier: MIT */
/*
 * Invented winters, pots and probes for the tests of the fit: the truth is a plant whose side, top
 * and water differ from the tables, lived through by the garden's own scene; the record is what a
 * probe in it would show, with an error of its own and noise that remembers hours. Include it after
 * <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_JUDGEMENT_RECORDS_H
#define OVERWINTER_TESTS_JUDGEMENT_RECORDS_H

#include "garden/variants.h"
#include "judgement/fit.h"
#include "judgement/stage.h"

enum { RECORD_MOST_H = 30 * 24, RECORD_BEFORE_H = 72, RECORD_STEP_S = 3600 };

/* ---- chance, the same on every machine ------------------------------------------------------- */

typedef struct dice {
    uint64_t state;
} dice;

static inline double dice_share(dice *d)
{
    d->state = d->state * 6364136223846793005ull + 1442695040888963407ull;
    return ((double)(d->state >> 11) + 0.5) / 9007199254740992.0;
}

/* Twelve shares less six: near enough to a normal number for spreads up to three. */
static inline double dice_normal(dice *d)
{
    double sum = -6.0;
    for (int i = 0; i < 12; i++) {
        sum += dice_share(d);
    }
    return sum;
}

/* ---- weather --------------------------------------------------------------------------------- */

typedef struct winter {
    double mild_c, cold_c, swing_k; /* of the air: before and after, in the spell, day and night */
    double wind_ms;
} winter;

/* Mild for half a day, cold for most of the record, mild at its end. */
static inline double spell_c(const winter *w, int h, int hours)
{
    double in = fmin(fmax((h - 12) / 24.0, 0.0), 1.0);
    double out = fmin(fmax((h - hours + 30) / 18.0, 0.0), 1.0);
    return w->mild_c + (w->cold_c - w->mild_c) * (in - out);
}

/* Hours from RECORD_BEFORE_H before the record on. */
static inline void record_weather(const winter *w, int hours, dice *d, ow_forcing *forcing)
{
    double phase = 6.28 * dice_share(d), drift = 0.0;
    for (int h = -RECORD_BEFORE_H; h <= hours; h++) {
        double day = 6.2832 * (h - 14) / 24.0;
        drift = 0.98 * drift + 0.2 * dice_normal(d);
        ow_weather at = stage_unknown();
        at.air_c = spell_c(w, h, hours) + 0.5 * w->swing_k * cos(day) + drift;
        at.rh_pct = 80.0;
        at.wind_ms = w->wind_ms * (1.0 + 0.5 * cos(day + 1.0) + 0.3 * cos(0.05 * h));
        at.solar_wm2 = fmax(0.0, 220.0 * cos(day));
        at.longwave_wm2 = ow_black_body_wm2(at.air_c) - 60.0 - 30.0 * cos(0.07 * h + phase);
        at.rain_mm = at.snow_cm = 0.0;
        ow_weather_at row = {.utc_s = STAGE_MIDWINTER + (ow_utc_s)(RECORD_BEFORE_H + h) * OW_HOUR_S,
                             .weather = at};
        assert_int_equal(ow_forcing_add(forcing, &row, 1), OW_OK);
    }
}

/* ---- the record ------------------------------------------------------------------------------ */

typedef struct truth {
    double log_of[OW_FIT_PARTS]; /* of side, top and water over the tables */
    double probe_off_k, noise_k;
    double start_k; /* warmer at the start than the air of the first day */
    double depth_m;
} truth;

typedef struct record {
    ow_garden *garden;
    ow_forcing weather;
    ow_probe_at probe[RECORD_MOST_H];
    size_t n;
    truth truth;
    ow_fit fit;
} record;

static inline double table_water(const ow_garden *g)
{
    ow_plant plant = g->plants[0];
    const ow_soil *soil = ow_plant_soil(&plant);
    return ow_medium_water(soil->kind, soil->moisture);
}

static inline double standing_water(const ow_garden *g)
{
    ow_plant plant = g->plants[0];
    return ow_medium_water(ow_plant_soil(&plant)->kind, OW_MOISTURE_STANDING);
}

/* What the ball of plant 0 is like at each hour of the record. */
static inline void record_live(record *r, int hours, double *ball_c)
{
    static ow_variants v;
    ow_scene *scene = NULL;
    const double *log_of = r->truth.log_of;
    ow_variants_of(r->garden, 0, 1, &v);
    v.plant[0].pot.side_factor = exp(log_of[OW_FIT_SIDE]);
    v.plant[0].pot.top_factor = v.plant[0].bed.top_factor = exp(log_of[OW_FIT_TOP]);
    assert_int_equal(ow_variant_water(&v.plant[0], exp(log_of[OW_FIT_WATER])), OW_OK);
    ow_weather day;
    ow_forcing_mean(&r->weather, STAGE_MIDWINTER, STAGE_MIDWINTER + OW_DAY_S, &day);
    assert_int_equal(ow_scene_new(&v.garden, STAGE_MIDWINTER, RECORD_STEP_S,
                                  day.air_c + r->truth.start_k, &scene), OW_OK);
    for (int h = -RECORD_BEFORE_H; h < hours; h++) {
        ow_weather mean;
        if (h >= 0) {
            ball_c[h] = ow_cast_axis_c(scene->cast, 0, r->truth.depth_m);
        }
        ow_forcing_mean(&r->weather, scene->now_s, scene->now_s + RECORD_STEP_S, &mean);
        ow_scene_step(scene, &mean);
    }
    ow_scene_free(scene);
}

/* Noise of which 0.8 is left after an hour, and a little that is gone at once. */
static inline void record_make(record *r, const winter *w, int hours, dice *d)
{
    double ball_c[RECORD_MOST_H], slow = r->truth.noise_k * dice_normal(d);
    assert_in_range(hours, 1, RECORD_MOST_H);
    r->weather = (ow_forcing){0};
    record_weather(w, hours, d, &r->weather);
    record_live(r, hours, ball_c);
    for (int h = 0; h < hours; h++) {
        slow = 0.8 * slow + 0.6 * r->truth.noise_k * dice_normal(d);
        r->probe[h].utc_s = STAGE_MIDWINTER + (ow_utc_s)(RECORD_BEFORE_H + h) * OW_HOUR_S;
        r->probe[h].c = ball_c[h] + r->truth.probe_off_k + slow +
                        0.3 * r->truth.noise_k * dice_normal(d);
    }
    r->n = (size_t)hours;
}

static inline const ow_fit *record_fit(record *r)
{
    ow_fit_task task = {.garden = r->garden,
                        .plant = 0,
                        .depth_m = r->truth.depth_m,
                        .weather = &r->weather,
                        .probe = r->probe,
                        .probes = r->n,
                        .step_s = RECORD_STEP_S};
    assert_int_equal(ow_fit_run(&task, &r->fit), OW_OK);
    return &r->fit;
}

static inline void record_drop(record *r)
{
    ow_forcing_free(&r->weather);
    ow_garden_free(r->garden);
}

#endif
