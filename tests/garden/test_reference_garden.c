/* SPDX-License-Identifier: MIT */
/*
 * Pots solved finely elsewhere (36 cells across, Richardson extrapolated, CVODE), told through a
 * garden file and stepped by the scene as it is used: 8 x 8 cells, steps of half an hour.
 * Allowed are the errors that this grid reached on its prototype: mean heat 0.7 % of the latent
 * heat on average and 3.5 % at worst, half frozen 3 %, centre below -1 C 8 %, thaw 1 %.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "garden/forcing.h"
#include "garden/stage.h"

#define LATENT_MJ_M3 233.8
#define MOST_HOURS 17

static const char garden_text[] =
    STAGE_SITE
    "\"places\":[{\"id\":\"bench\",\"kind\":\"open sky\",\"film_w_m2k\":10}],"
    "\"covers\":[{\"id\":\"film\",\"kind\":\"bubble film\",\"r_m2k_w\":0.35,\"on\":\"side\"}],"
    "\"plants\":["
#define POT                                                                                        \
    "\"place\":\"bench\",\"start_c\":5," STAGE_LIMITS ",\"pot\":{\"diameter_mm\":260,"             \
    "\"depth_mm\":240,\"wall\":{\"r_m2k_w\":0.01},\"stands_on\":\"raised\","                       \
    "\"medium\":{\"thawed_w_mk\":0.5,\"frozen_w_mk\":1.5,\"thawed_j_m3k\":3.6e6,"                  \
    "\"frozen_j_m3k\":2.0e6,\"latent_j_m3\":2.338e8,\"freezing_c\":-0.1,\"curve_exponent\":0.8}}"
    "{\"id\":\"bare\"," POT "},"
    "{\"id\":\"wrapped\",\"covers\":[\"film\"],\"wearing\":[\"film\"]," POT "}]}";

enum { BARE, WRAPPED };

/* One run: the air as corners, hours at which the mean heat (MJ/m3) is known, and events (h). */
typedef struct run {
    int plant;
    int corners;
    double corner_h[3], corner_c[3];
    int hours;
    double hour[MOST_HOURS], heat_mj_m3[MOST_HOURS], surface_c[MOST_HOURS];
    double half_h, nine_tenths_h, thaw_half_h, thaw_gone_h, centre_h; /* NAN: none */
} run;

/* Case C02: raised pot, -6 C. */
static const run bare_pot = {
    BARE, 1, {0}, {-6}, 13,
    {2, 4, 6, 12, 18, 24, 36, 48, 72, 96, 120, 144, 168},
    {6.83724, -2.29601, -11.27166, -37.20933, -61.76034, -84.90523, -126.93209, -163.22768,
     -217.50936, -237.62775, -238.1325, -238.13693, -238.13697},
    {-0.34823, -0.63173, -0.83561, -1.36828, -1.81328, -2.20027, -2.85091, -3.39333, -4.43945,
     -5.90104, -5.99913, -5.99999, -6.0},
    33.5351, 71.8503, NAN, NAN, 82.9801};

/* Case C03: the same with 0.35 m2K/W round its side. */
static const run wrapped_pot = {
    WRAPPED, 1, {0}, {-6}, 17,
    {2, 4, 6, 12, 18, 24, 36, 48, 72, 96, 120, 144, 168, 192, 240, 288, 336},
    {11.59835, 6.39314, 1.43413, -12.50019, -25.87103, -38.847, -63.70929, -87.22385, -130.54857,
     -169.29125, -203.48383, -229.81384, -237.34978, -238.07258, -238.13656, -238.13696,
     -238.13697},
    {-0.19814, -0.32053, -0.45147, -0.72806, -0.97097, -1.18778, -1.5642, -1.88442, -2.41284,
     -2.84724, -3.28314, -4.4481, -5.82456, -5.98546, -5.9999, -6.0, -6.0},
    65.1259, 129.8461, NAN, NAN, 138.8911};

/* Case C09: -6 C for 96 h, then within an hour +6 C. */
static const run thawing_pot = {
    BARE, 3, {0, 96, 97}, {-6, -6, 6}, 17,
    {2, 4, 6, 12, 18, 24, 36, 48, 72, 96, 120, 144, 168, 192, 240, 288, 336},
    {6.83724, -2.29601, -11.27166, -37.20933, -61.76034, -84.90523, -126.93209, -163.22768,
     -217.50936, -237.62767, -125.16745, -54.24367, -10.87659, 13.28418, 21.5741, 21.59994, 21.6},
    {-0.34823, -0.63173, -0.83561, -1.36828, -1.81328, -2.20027, -2.85091, -3.39333, -4.43945,
     -5.89996, NAN, NAN, NAN, NAN, NAN, NAN, NAN},
    33.5351, 71.8503, 122.2323, 190.6263, 82.9801};

static ow_forcing air_of(const run *r)
{
    ow_forcing f = {0};
    for (int i = 0; i < r->corners; i++) {
        ow_weather_at row = {.utc_s = STAGE_MIDWINTER + (ow_utc_s)(r->corner_h[i] * OW_HOUR_S),
                             .weather = stage_unknown()};
        row.weather.air_c = r->corner_c[i];
        assert_int_equal(ow_forcing_add(&f, &row, 1), OW_OK);
    }
    return f;
}

static double hours_of(double utc_s)
{
    return (utc_s - STAGE_MIDWINTER) / OW_HOUR_S;
}

static double coldest_face_c(const stage *s, const ow_actor *a)
{
    const ow_block *b = &s->scene->cast->block[a->root_grid][a->root.block];
    double side = ow_block_face_c(b, a->root.lane, OW_SIDE);
    double top = ow_block_face_c(b, a->root.lane, OW_TOP);
    return fmin(fmin(side, top), ow_block_face_c(b, a->root.lane, OW_BASE));
}

/* The error is a share of the time since `since_h`. */
static void check_time(const char *what, double utc_s, double want_h, double since_h, double rel)
{
    if (isnan(want_h)) {
        assert_true(isnan(utc_s));
    } else {
        check_close(what, hours_of(utc_s) - since_h, want_h - since_h, 0.0, rel);
    }
}

static void check_run(const run *r)
{
    stage s = stage_open(garden_text, -6.0);
    ow_forcing air = air_of(r);
    const ow_actor *a = stage_actor(&s, r->plant);
    double sum = 0.0, centre_h = NAN, before_c = 5.0;
    for (int next = 0; next < r->hours;) {
        ow_weather w;
        (void)ow_forcing_mean(&air, s.scene->now_s, s.scene->now_s + STAGE_STEP_S, &w);
        ow_scene_step(s.scene, &w);
        double hour = hours_of((double)s.scene->now_s), c = a->sense.root.centre_c;
        if (isnan(centre_h) && c < -1.0) {
            centre_h = hour - 0.5 * (c + 1.0) / (c - before_c);
        }
        before_c = c;
        if (hour == r->hour[next]) {
            double off = fabs(a->sense.root.mean_h_j_m3 / 1e6 - r->heat_mj_m3[next]) / LATENT_MJ_M3;
            check_close("mean heat, share of the latent heat", off, 0.0, 0.035, 0.0);
            /* In the first hours the front stands in the cell at the rim, which is all of a face */
            if (hour >= 24.0 && !isnan(r->surface_c[next])) {
                check_close("coldest surface", coldest_face_c(&s, a), r->surface_c[next], 0.15, 0);
            }
            sum += off;
            next++;
        }
    }
    check_close("mean heat, on average", sum / r->hours, 0.0, 0.007, 0.0);
    const ow_marks *m = &a->condition.marks;
    double thaw_h = r->corner_h[r->corners > 1 ? 1 : 0];
    check_time("half frozen", m->half_s, r->half_h, 0.0, 0.03);
    check_time("nine tenths frozen", m->nine_tenths_s, r->nine_tenths_h, 0.0, 0.03);
    check_time("half thawed", m->thaw_half_s, r->thaw_half_h, thaw_h, 0.03);
    check_time("a hundredth of ice left", m->thaw_gone_s, r->thaw_gone_h, 0.0, 0.01);
    check_close("centre below -1 C, h", centre_h, r->centre_h, 0.0, 0.08);
    ow_forcing_free(&air);
    stage_close(&s);
}

static void a_bare_raised_pot(void **state)
{
    (void)state;
    check_run(&bare_pot);
}

static void a_wrapped_raised_pot(void **state)
{
    (void)state;
    check_run(&wrapped_pot);
}

static void a_pot_that_freezes_and_thaws(void **state)
{
    (void)state;
    check_run(&thawing_pot);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bare_raised_pot),
        cmocka_unit_test(a_wrapped_raised_pot),
        cmocka_unit_test(a_pot_that_freezes_and_thaws),
    };
    return cmocka_run_group_tests_name("reference pots by garden file", tests, NULL, NULL);
}
