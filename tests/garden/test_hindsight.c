/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/climate.h"
#include "garden/hindsight.h"
#include "live.h"

static const ow_site site = {50.0, 0.0, 0.0};
enum { DAYS = 60, AHEAD_H = 120 };

static ow_hindsight h, other;

/* Roughly normal, deviation 1 (twelve even ones). */
static double normal(unsigned *seed)
{
    double sum = -6.0;
    for (int i = 0; i < 12; i++) {
        sum += (double)(next_random(seed) % 10001) / 10000.0;
    }
    return sum;
}

static double true_c(ow_utc_s t)
{
    double hour = (double)(t - T0) / OW_HOUR_S;
    return 2.0 - 4.0 * cos(hour * 3.14159265358979 / 12.0) + 3.0 * sin(hour / 30.0);
}

/* The hollow is 3 K colder from dusk to dawn when the sky is clear; every third day is. */
static double cloud_pct(ow_utc_s t)
{
    return (t - T0) / OW_DAY_S % 3 == 0 ? 0.0 : 100.0;
}

static double hollow_k(ow_utc_s t)
{
    double hour = (double)((t - T0) % OW_DAY_S) / OW_HOUR_S;
    return cloud_pct(t) < 50.0 && (hour < 6.0 || hour >= 18.0) ? -3.0 : 0.0;
}

typedef struct world {
    ow_forcing measured;
    unsigned seed;
    double spread_k; /* of the forecast's error at a day ahead, growing with the root of the lead */
    int every_h;     /* between the hours of a forecast */
    double told_k;   /* spread it tells */
    bool deaf;       /* the sensor reads 80 C */
} world;

static void issue(world *w, ow_hindsight *to, ow_utc_s now_s)
{
    ow_weather_at rows[AHEAD_H];
    size_t n = 0;
    for (int k = 0; k < AHEAD_H; k += w->every_h) {
        ow_utc_s t = now_s + k * OW_HOUR_S;
        double off_k = w->spread_k * sqrt(k / 24.0) * normal(&w->seed);
        rows[n++] = (ow_weather_at){.utc_s = t,
                                    .weather = {.air_c = true_c(t) + off_k,
                                                .cloud_pct = cloud_pct(t)},
                                    .air_sd_k = w->told_k};
    }
    ow_hindsight_note(to, rows, n, now_s);
}

static void measure(world *w, ow_utc_s t)
{
    ow_weather_at row = {.utc_s = t,
                         .weather = {.air_c = w->deaf ? 80.0 : true_c(t) + hollow_k(t)}};
    assert_int_equal(ow_forcing_add(&w->measured, &row, 1), OW_OK);
}

/* Half hour by half hour; a forecast every `issues_h`. */
static int play(world *w, ow_hindsight *to, int from_day, int days, int issues_h)
{
    int taught = 0;
    for (int i = from_day * 48; i < (from_day + days) * 48; i++) {
        ow_utc_s t = T0 + (ow_utc_s)i * OW_HOUR_S / 2;
        measure(w, t);
        if (i % (2 * issues_h) == 0) {
            issue(w, to, t);
        }
        taught += ow_hindsight_learn(to, &site, &w->measured, t, false);
        ow_forcing_forget(&w->measured, t - 2 * OW_DAY_S);
    }
    return taught;
}

static double learned(const ow_hindsight *from, int hour, double cloud)
{
    return ow_bias_k(&from->bias, &site, T0 + hour * OW_HOUR_S, cloud);
}

static void prior_grows_with_the_lead(void **state)
{
    (void)state;
    double before = 0.0;
    for (double lead = 0.0; lead < 400.0; lead += 1.0) {
        double sd = ow_forecast_error_sd_k(NULL, lead);
        assert_true(sd >= before);
        before = sd;
    }
    check_between("a day", ow_forecast_error_sd_k(NULL, 24.0), 1.5, 2.5);
    check_between("ten days", ow_forecast_error_sd_k(NULL, 240.0), 4.0, 6.0);
}

static void beyond_its_end_it_grows_to_the_climate(void **state)
{
    (void)state;
    ow_forecast_skill s;
    ow_weather_at rows[2] = {{.utc_s = T0}, {.utc_s = T0 + 48 * OW_HOUR_S}};
    ow_forecast_skill_init(&s);
    double end_k = ow_forecast_error_sd_k(&s, 48.0), before = end_k;
    ow_forecast_skill_use(&s, rows, 2, T0);
    check_close("horizon", s.horizon_h, 48.0, 0.0, 0.0);
    check_close("within", ow_forecast_error_sd_k(&s, 48.0), end_k, 1e-12, 0.0);
    for (double lead = 49.0; lead < 400.0; lead += 1.0) {
        double sd = ow_forecast_error_sd_k(&s, lead);
        assert_true(sd > before);
        before = sd;
    }
    check_close("in the end", before, OW_CLIMATE_SD_K, 0.01, 0.0);
    ow_forecast_skill_use(&s, NULL, 0, T0); /* no forecast: only what is now */
    double day_k = ow_forecast_error_sd_k(&s, 24.0);
    check_between("a day over again errs more", day_k, 2.5, OW_CLIMATE_SD_K);
}

static void habit_and_spread_are_found(void **state)
{
    (void)state;
    world w = {.seed = 11, .spread_k = 1.5, .every_h = 1};
    ow_hindsight_init(&h);
    int taught = play(&w, &h, 0, DAYS, 6);
    assert_in_range(taught, DAYS * 8 - 3, DAYS * 8);
    check_close("clear night", learned(&h, 3, 0.0), -3.0, 0.6, 0.0);
    check_close("clear evening", learned(&h, 21, 0.0), -3.0, 0.6, 0.0);
    check_close("clear noon", learned(&h, 12, 0.0), 0.0, 0.6, 0.0);
    check_close("cloudy night", learned(&h, 3, 100.0), 0.0, 0.6, 0.0);
    double near_k = ow_forecast_error_sd_k(&h.skill, 18.0);
    double far_k = ow_forecast_error_sd_k(&h.skill, 72.0);
    check_close("spread at 18 h", near_k, 1.5 * sqrt(18.0 / 24.0), 0.3, 0.0);
    check_close("spread at 72 h", far_k, 1.5 * sqrt(72.0 / 24.0), 0.5, 0.0);
    ow_forcing_free(&w.measured);
}

static void three_hourly_and_late_forecasts_teach_too(void **state)
{
    (void)state;
    world w = {.seed = 12, .spread_k = 1.0, .every_h = 3};
    ow_hindsight_init(&h);
    play(&w, &h, 0, DAYS, 36); /* most do not come */
    check_close("clear night", learned(&h, 3, 0.0), -3.0, 0.8, 0.0);
    check_close("cloudy night", learned(&h, 3, 100.0), 0.0, 0.6, 0.0);
    ow_forcing_free(&w.measured);
}

static void hours_far_apart_and_nothing_measured_teach_nothing(void **state)
{
    (void)state;
    world w = {.seed = 12, .spread_k = 1.0, .every_h = 12};
    ow_hindsight_init(&h);
    assert_int_equal(play(&w, &h, 0, 4, 6), 0);
    w.every_h = 1;
    for (int i = 0; i < 20; i++) { /* no readings: forecasts only */
        issue(&w, &h, T0 + 5 * OW_DAY_S + i * 6 * OW_HOUR_S);
        assert_int_equal(ow_hindsight_learn(&h, &site, &w.measured,
                                            T0 + 5 * OW_DAY_S + i * 6 * OW_HOUR_S, false),
                         0);
    }
    ow_forcing_clear(&w.measured);
    measure(&w, T0 + 20 * OW_DAY_S);
    issue(&w, &h, T0 + 20 * OW_DAY_S);
    measure(&w, T0 + 20 * OW_DAY_S + 7 * OW_HOUR_S); /* readings seven hours apart */
    assert_int_equal(
        ow_hindsight_learn(&h, &site, &w.measured, T0 + 20 * OW_DAY_S + 8 * OW_HOUR_S, false), 0);
    check_close("nothing", learned(&h, 0, 0.0), 0.0, 0.0, 0.0);
    ow_forcing_free(&w.measured);
}

static void doubtful_and_broken_readings_teach_no_nonsense(void **state)
{
    (void)state;
    world w = {.seed = 13, .spread_k = 1.0, .every_h = 1, .deaf = true};
    ow_hindsight_init(&h);
    play(&w, &h, 0, 20, 6);
    for (int hour = 0; hour < 24; hour++) {
        check_close("80 C", learned(&h, hour, 0.0), 0.0, 0.0, 0.0);
    }
    check_between("spread is bounded", ow_forecast_error_sd_k(&h.skill, 72.0), 0.5, 8.0);
    ow_hindsight_init(&h);
    w.deaf = false;
    issue(&w, &h, T0 + 30 * OW_DAY_S);
    for (int i = 0; i <= 24; i++) {
        measure(&w, T0 + 30 * OW_DAY_S + i * OW_HOUR_S);
    }
    assert_int_equal(ow_hindsight_learn(&h, &site, &w.measured, T0 + 31 * OW_DAY_S, true), 0);
    assert_int_equal(ow_hindsight_learn(&h, &site, &w.measured, T0 + 31 * OW_DAY_S, false), 0);
    ow_forcing_free(&w.measured);
}

static void a_spread_told_is_scaled_by_how_true_it_was(void **state)
{
    (void)state;
    world w = {.seed = 14, .spread_k = 2.0, .every_h = 1, .told_k = 1.0};
    ow_weather_at rows[2] = {{.utc_s = T0, .air_sd_k = 0.5},
                             {.utc_s = T0 + 12 * OW_HOUR_S, .air_sd_k = 0.9}};
    ow_hindsight_init(&h);
    ow_forecast_skill_use(&h.skill, rows, 2, T0);
    check_close("believed at first", ow_forecast_error_sd_k(&h.skill, 12.0), 0.9, 1e-9, 0.0);
    play(&w, &h, 0, DAYS, 12);
    double scaled = ow_forecast_error_sd_k(&h.skill, 12.0);
    check_between("too narrow so far", scaled, 1.3 * 0.9, 3.0 * 0.9);
    check_between("not told: by its class", ow_forecast_error_sd_k(&h.skill, 7.0), 0.5, 2.5);
    ow_forcing_free(&w.measured);
}

static void applied_to_a_forecast(void **state)
{
    (void)state;
    ow_weather_at row = {.utc_s = T0, .weather = {.air_c = -1.0, .rh_pct = 70.0, .cloud_pct = 0.0}};
    ow_hindsight_init(&h);
    for (int i = 0; i < 60; i++) {
        ow_bias_learn(&h.bias, &site, T0 + i * OW_DAY_S, 0.0, -2.0, 1.0);
    }
    ow_hindsight_apply(&h, &site, &row, 1);
    check_close("colder", row.weather.air_c, -3.0, 0.2, 0.0);
    check_between("moister", row.weather.rh_pct, 78.0, 84.0);
}

static void survives_a_restart_and_goes_on_alike(void **state)
{
    (void)state;
    world w = {.seed = 15, .spread_k = 1.5, .every_h = 1};
    ow_hindsight_init(&h);
    ow_hindsight_init(&other);
    play(&w, &h, 0, 10, 6);
    ow_pack out = ow_pack_writing();
    ow_hindsight_pack(&h, &out);
    assert_true(out.size < 20000);
    ow_pack in = ow_pack_reading(out.out, out.size);
    ow_hindsight_pack(&other, &in);
    assert_int_equal(in.status, OW_OK);
    assert_int_equal(in.at, in.size);
    world again = w;
    again.measured = (ow_forcing){0}; /* readings are not kept: the last hour's mark is lost */
    h.checked_s = other.checked_s = T0 + 10 * OW_DAY_S;
    play(&w, &h, 10, 10, 6);
    play(&again, &other, 10, 10, 6);
    assert_memory_equal(&h.bias, &other.bias, sizeof h.bias);
    assert_memory_equal(h.skill.variance_k2, other.skill.variance_k2, sizeof h.skill.variance_k2);
    for (size_t i = 0; i < out.size; i += 97) { /* cut short, it begins anew */
        ow_pack cut = ow_pack_reading(out.out, i);
        ow_hindsight_pack(&other, &cut);
        assert_int_equal(cut.status, OW_BAD_INPUT);
        assert_int_equal(other.bias.seen, 0);
    }
    ow_pack_free(&out);
    ow_forcing_free(&w.measured);
    ow_forcing_free(&again.measured);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(prior_grows_with_the_lead),
        cmocka_unit_test(beyond_its_end_it_grows_to_the_climate),
        cmocka_unit_test(habit_and_spread_are_found),
        cmocka_unit_test(three_hourly_and_late_forecasts_teach_too),
        cmocka_unit_test(hours_far_apart_and_nothing_measured_teach_nothing),
        cmocka_unit_test(doubtful_and_broken_readings_teach_no_nonsense),
        cmocka_unit_test(a_spread_told_is_scaled_by_how_true_it_was),
        cmocka_unit_test(applied_to_a_forecast),
        cmocka_unit_test(survives_a_restart_and_goes_on_alike),
    };
    return cmocka_run_group_tests_name("hindsight", tests, NULL, NULL);
}
