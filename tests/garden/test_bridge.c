/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "garden/bridge.h"
#include "garden/climate.h"
#include "garden/snapshot.h"
#include "stage.h"

#define DECK "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
#define POT "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}"
static const char garden_text[] =
    STAGE_SITE DECK "\"plants\":[{\"id\":\"pot\",\"place\":\"deck\",\"limits\":{\"foliage\":"
                    "{\"damaged_c\":-3,\"killed_c\":-9}}," POT "}]}";

/* A scene that stands at midwinter and has had three hours of air at -6 C. */
static stage after_cold(void)
{
    stage s = stage_open(garden_text, -6.0);
    ow_weather w = stage_dull(-6.0, 2.0);
    stage_run(&s, &w, 3);
    memset(s.scene->cast->actor[0].condition.watch, 0,
           sizeof s.scene->cast->actor[0].condition.watch);
    return s;
}

static void add_row(ow_forcing *f, ow_utc_s at, double air_c)
{
    ow_weather_at row = {.utc_s = at, .weather = stage_dull(air_c, 2.0)};
    assert_int_equal(ow_forcing_add(f, &row, 1), OW_OK);
}

static ow_forcing hourly(ow_utc_s from, int hours, double air_c)
{
    ow_forcing f = {0};
    for (int h = 0; h <= hours; h++) {
        add_row(&f, from + h * OW_HOUR_S, air_c + 0.1 * h);
    }
    return f;
}

static void check_same(const stage *a, const stage *b)
{
    unsigned char *x, *y;
    size_t xs, ys;
    assert_int_equal(ow_snapshot_write(a->scene, 0, NULL, 0, &x, &xs), OW_OK);
    assert_int_equal(ow_snapshot_write(b->scene, 0, NULL, 0, &y, &ys), OW_OK);
    assert_int_equal(xs, ys);
    assert_memory_equal(x, y, xs);
    free(x);
    free(y);
}

static void a_measured_gap_is_stepped_as_if_lived(void **state)
{
    (void)state;
    stage one = after_cold(), two = after_cold();
    ow_utc_s start = one.scene->now_s, until = start + 10 * OW_HOUR_S;
    ow_forcing f = hourly(start, 10, -8.0);
    ow_bridge b = {0};
    assert_int_equal(ow_scene_bridge(one.scene, &f, NULL, until + 100, &b), OW_OK);
    while (two.scene->now_s < until) {
        ow_weather w;
        ow_forcing_mean(&f, two.scene->now_s, two.scene->now_s + STAGE_STEP_S, &w);
        ow_scene_step(two.scene, &w);
    }
    check_close("measured", b.measured_s, 10 * OW_HOUR_S, 0, 0);
    check_close("guessed", b.guessed_s, 0, 0, 0);
    check_same(&one, &two);
    assert_true(stage_actor(&one, 0)->condition.watch[OW_FOLIAGE].damaged);
    ow_forcing_free(&f);
    stage_close(&one);
    stage_close(&two);
}

static void air_relaxes_to_the_season_when_nothing_is_known(void **state)
{
    (void)state;
    stage s = after_cold();
    ow_utc_s start = s.scene->now_s;
    double off_k = -6.0 - ow_normal_air_c(&s.garden->site, start);
    ow_bridge b = {0};
    assert_int_equal(ow_scene_bridge(s.scene, NULL, NULL, start + STAGE_STEP_S, &b), OW_OK);
    check_close("at first", s.scene->outdoors.weather.air_c, -6.0, 0.02 * fabs(off_k), 0.0);
    assert_int_equal(ow_scene_bridge(s.scene, NULL, NULL, start + 2 * OW_DAY_S, &b), OW_OK);
    double normal = ow_normal_air_c(&s.garden->site, s.scene->now_s);
    check_close("after two days a third is left", s.scene->outdoors.weather.air_c,
                normal + off_k * exp(-1.0), 0.02 * fabs(off_k), 0.0);
    assert_int_equal(ow_scene_bridge(s.scene, NULL, NULL, start + 20 * OW_DAY_S, &b), OW_OK);
    normal = ow_normal_air_c(&s.garden->site, s.scene->now_s);
    check_close("in the end", s.scene->outdoors.weather.air_c, normal, 0.01, 0.0);
    check_close("guessed", b.guessed_s, 20.0 * OW_DAY_S, 0, 0);
    assert_true(b.guessed_s > OW_GUESSED_MOST_S);
    stage_close(&s);
}

static void a_guess_meets_the_first_air_after_the_gap(void **state)
{
    (void)state;
    stage s = after_cold();
    ow_utc_s start = s.scene->now_s, back = start + 30 * OW_HOUR_S;
    ow_forcing f = hourly(back, 4, 9.0);
    ow_bridge b = {0};
    double before = -6.0;
    while (s.scene->now_s < back) {
        assert_int_equal(ow_scene_bridge(s.scene, &f, NULL, s.scene->now_s + STAGE_STEP_S, &b),
                         OW_OK);
        double now = s.scene->outdoors.weather.air_c;
        assert_true(now - before < 1.0 && now > before - 1.0); /* no leap at either end */
        before = now;
    }
    check_close("meets it", before, 9.0, 0.2, 0.0);
    check_close("all is guessed", b.guessed_s, 30 * OW_HOUR_S, 0, 0);
    assert_int_equal(ow_scene_bridge(s.scene, &f, NULL, back + 12 * OW_HOUR_S, &b), OW_OK);
    check_close("rows, and the last one for three hours", b.measured_s, 7 * OW_HOUR_S,
                STAGE_STEP_S, 0.0);
    ow_forcing_free(&f);
    stage_close(&s);
}

static void slices_give_what_one_go_gives(void **state)
{
    (void)state;
    stage one = after_cold(), two = after_cold();
    ow_utc_s start = one.scene->now_s, until = start + 40 * OW_HOUR_S;
    ow_forcing f = hourly(start + 20 * OW_HOUR_S, 20, 4.0);
    ow_bridge a = {0}, b = {0};
    assert_int_equal(ow_scene_bridge(one.scene, &f, NULL, until, &a), OW_OK);
    for (ow_utc_s t = start + 1000; t < until + 5000; t += 5000) {
        assert_int_equal(ow_scene_bridge(two.scene, &f, NULL, t < until ? t : until, &b), OW_OK);
    }
    check_same(&one, &two);
    check_close("guessed", a.guessed_s, b.guessed_s, 0, 0);
    ow_forcing_free(&f);
    stage_close(&one);
    stage_close(&two);
}

static void a_forecast_stands_in_and_is_no_guess(void **state)
{
    (void)state;
    stage s = after_cold();
    ow_utc_s start = s.scene->now_s;
    ow_forcing f = hourly(start, 6, 2.0);
    ow_bridge b = {0};
    assert_int_equal(ow_scene_bridge(s.scene, NULL, &f, start + 6 * OW_HOUR_S, &b), OW_OK);
    check_close("foreseen", b.foreseen_s, 6 * OW_HOUR_S, 0, 0);
    check_close("air", s.scene->outdoors.weather.air_c, 2.575, 1e-9, 0.0); /* mean 5:30 to 6:00 */
    ow_forcing_free(&f);
    stage_close(&s);
}

static void a_guess_passes_no_limit(void **state)
{
    (void)state;
    stage s = after_cold();
    ow_bridge b = {0};
    assert_int_equal(ow_scene_bridge(s.scene, NULL, NULL, s.scene->now_s + 3 * OW_HOUR_S, &b),
                     OW_OK);
    assert_true(s.scene->cast->actor[0].sense.leaf_air_c < -3.0); /* it would have */
    assert_false(s.scene->cast->actor[0].condition.watch[OW_FOLIAGE].damaged);
    stage_close(&s);
}

static void time_that_runs_back_or_far_is_refused(void **state)
{
    (void)state;
    stage s = after_cold(), same = after_cold();
    ow_bridge b = {0};
    ow_utc_s now = s.scene->now_s;
    assert_int_equal(ow_scene_bridge(s.scene, NULL, NULL, now - 1, &b), OW_BAD_INPUT);
    assert_int_equal(ow_scene_bridge(s.scene, NULL, NULL, now + OW_GAP_MOST_S + 1, &b),
                     OW_BAD_INPUT);
    check_same(&s, &same);
    stage_close(&s);
    stage_close(&same);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_measured_gap_is_stepped_as_if_lived),
        cmocka_unit_test(air_relaxes_to_the_season_when_nothing_is_known),
        cmocka_unit_test(a_guess_meets_the_first_air_after_the_gap),
        cmocka_unit_test(slices_give_what_one_go_gives),
        cmocka_unit_test(a_forecast_stands_in_and_is_no_guess),
        cmocka_unit_test(a_guess_passes_no_limit),
        cmocka_unit_test(time_that_runs_back_or_far_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
