/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>

#include "check.h"
#include "garden/forcing.h"

#define T0 ((ow_utc_s)1705276800)
#define H OW_HOUR_S

static ow_weather nothing(void)
{
    return (ow_weather){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
}

static void add(ow_forcing *f, double hour, double air_c, double rh_pct, double rain_mm)
{
    ow_weather_at row = {.utc_s = T0 + (ow_utc_s)(hour * H), .weather = nothing()};
    row.weather.air_c = air_c;
    row.weather.rh_pct = rh_pct;
    row.weather.rain_mm = rain_mm;
    assert_int_equal(ow_forcing_add(f, &row, 1), OW_OK);
}

static ow_weather mean(const ow_forcing *f, double from_h, double to_h)
{
    ow_weather w;
    (void)ow_forcing_mean(f, T0 + (ow_utc_s)(from_h * H), T0 + (ow_utc_s)(to_h * H), &w);
    return w;
}

static double gap_h(const ow_forcing *f, double from_h, double to_h)
{
    ow_weather w;
    return ow_forcing_mean(f, T0 + (ow_utc_s)(from_h * H), T0 + (ow_utc_s)(to_h * H), &w) / H;
}

static void linear_between_rows(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 0.0, 80, 0);
    add(&f, 1, 4.0, 60, 0);
    add(&f, 2, 4.0, 60, 0);
    check_close("whole hour", mean(&f, 0, 1).air_c, 2.0, 1e-12, 0);
    check_close("first half", mean(&f, 0, 0.5).air_c, 1.0, 1e-12, 0);
    check_close("second half", mean(&f, 0.5, 1).air_c, 3.0, 1e-12, 0);
    check_close("a step over a row", mean(&f, 0.5, 1.5).air_c, 0.5 * 3.0 + 0.5 * 4.0, 1e-12, 0);
    check_close("two hours", mean(&f, 0, 2).air_c, 3.0, 1e-12, 0);
    check_close("another column", mean(&f, 0, 1).rh_pct, 70.0, 1e-12, 0);
    assert_true(isnan(mean(&f, 0, 1).wind_ms));
    ow_forcing_free(&f);
}

static void irregular_rows_keep_the_integral(void **state)
{
    (void)state;
    const double hours[] = {0, 0.1, 0.7, 2.5, 2.9, 6.0}, air[] = {1, 3, -2, 5, 5, 0};
    ow_forcing f = {0};
    for (int i = 0; i < 6; i++) {
        add(&f, hours[i], air[i], 80, i);
    }
    double trapezoids = 0.0, by_steps = 0.0, rain = 0.0;
    for (int i = 1; i < 6; i++) {
        trapezoids += 0.5 * (air[i] + air[i - 1]) * (hours[i] - hours[i - 1]);
    }
    for (int i = 0; i < 12; i++) {
        ow_weather w = mean(&f, 0.5 * i, 0.5 * i + 0.5);
        by_steps += 0.5 * w.air_c;
        rain += 0.5 * w.rain_mm;
    }
    check_close("integral of the air", by_steps, trapezoids, 1e-9, 0);
    check_close("sum of the rain", rain, 1 + 2 + 3 + 4 + 5, 1e-9, 0);
    ow_forcing_free(&f);
}

static void rain_is_the_sum_of_the_period_that_ends(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 5, 80, 9.0); /* of a period that nobody knows */
    add(&f, 2, 5, 80, 3.0);
    add(&f, 3, 5, 80, 0.0);
    check_close("mm per hour", mean(&f, 0, 1).rain_mm, 1.5, 1e-12, 0);
    check_close("the second hour alike", mean(&f, 1, 2).rain_mm, 1.5, 1e-12, 0);
    check_close("over the end", mean(&f, 1.5, 2.5).rain_mm, 0.75, 1e-12, 0);
    check_close("dry", mean(&f, 2, 3).rain_mm, 0.0, 1e-12, 0);
    assert_true(isnan(mean(&f, 3, 4).rain_mm));
    assert_true(isnan(mean(&f, -1, 0).rain_mm));
    ow_forcing_free(&f);
}

static void short_gaps_are_bridged_long_ones_are_not(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 0, 80, 0);
    add(&f, 1, 1, NAN, 0);
    add(&f, 2, 2, NAN, 0);
    add(&f, 3, 3, 50, 0); /* three hours: bridged */
    add(&f, 4, 4, NAN, 0);
    add(&f, 6, 6, NAN, 0);
    add(&f, 7, 7, 90, 0); /* four: not */
    check_close("bridge", mean(&f, 1, 2).rh_pct, 65.0, 1e-12, 0);
    assert_true(isnan(mean(&f, 4, 5).rh_pct));
    assert_true(isnan(mean(&f, 3, 4).rh_pct)); /* partly within the gap */
    check_close("known again", mean(&f, 7, 7.5).rh_pct, 90.0, 1e-12, 0);
    ow_forcing_free(&f);
}

static void air_is_always_bridged_and_its_gap_told(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 2, 80, 0);
    add(&f, 1, NAN, 80, 0);
    add(&f, 20, NAN, 80, 0);
    add(&f, 24, -4, 80, 0);
    add(&f, 25, -4, 80, 0);
    check_close("half way", mean(&f, 11.5, 12.5).air_c, -1.0, 1e-12, 0);
    check_close("its gap", gap_h(&f, 11.5, 12.5), 24.0, 1e-12, 0);
    check_close("an ordinary hour's", gap_h(&f, 24, 24.5), 1.0, 1e-12, 0);
    ow_forcing_free(&f);
}

static void ends_hold_and_their_age_is_told(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 2, 70, 0);
    add(&f, 1, 6, 90, 0);
    check_close("before the first", mean(&f, -5, -4).air_c, 2.0, 1e-12, 0);
    check_close("after the last", mean(&f, 9, 10).air_c, 6.0, 1e-12, 0);
    check_close("how long after", gap_h(&f, 9, 10), 8.5, 1e-12, 0);
    check_close("how long before", gap_h(&f, -5, -4), 4.5, 1e-12, 0);
    check_close("others for three hours", mean(&f, 3, 4).rh_pct, 90.0, 1e-12, 0);
    assert_true(isnan(mean(&f, 4.5, 5).rh_pct));
    check_close("over the last row", mean(&f, 0, 2).air_c, 5.0, 1e-12, 0);
    ow_forcing_free(&f);
}

static void a_gap_at_the_start_is_a_gap(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 0, NAN, 0);
    add(&f, 5, 0, NAN, 0);
    add(&f, 10, 0, 80, 0);
    assert_true(isnan(mean(&f, 8, 9).rh_pct));
    ow_forcing_free(&f);
}

static void no_row_knows_nothing(void **state)
{
    (void)state;
    ow_forcing f = {0};
    ow_weather w;
    assert_true(isinf(ow_forcing_mean(&f, T0, T0 + H, &w)));
    assert_true(isnan(w.air_c) && isnan(w.surface_c));
    ow_forcing_forget(&f, T0);
    assert_int_equal(f.rows, 0);
    ow_forcing_free(&f);
}

static void rows_must_rise_and_begin_with_air(void **state)
{
    (void)state;
    ow_forcing f = {0};
    ow_weather_at rows[2] = {{T0, nothing(), 0}, {T0 + H, nothing(), 0}};
    assert_int_equal(ow_forcing_add(&f, rows, 2), OW_BAD_INPUT);
    rows[0].weather.air_c = 1.0;
    rows[1].utc_s = T0;
    assert_int_equal(ow_forcing_add(&f, rows, 2), OW_BAD_INPUT);
    assert_int_equal(f.rows, 0);
    rows[1].utc_s = T0 + 1;
    assert_int_equal(ow_forcing_add(&f, rows, 2), OW_OK);
    assert_int_equal(ow_forcing_add(&f, &rows[1], 1), OW_BAD_INPUT);
    assert_int_equal(f.rows, 2);
    ow_forcing_free(&f);
}

static void forgetting_changes_nothing_later(void **state)
{
    (void)state;
    /* Air is missing for two hours; humidity for three (bridged), later for ten (not). */
    for (int from = 18; from < 36; from++) {
        ow_forcing f = {0};
        for (int i = 0; i < 40; i++) {
            bool damp = (i >= 19 && i <= 20) || (i > 24 && i < 34);
            add(&f, i, i == 20 || i == 21 ? NAN : 0.3 * i * i, damp ? NAN : 50.0 + i, 0.1 * i);
        }
        ow_weather before = mean(&f, from + 0.5, from + 1);
        ow_forcing_forget(&f, T0 + from * H + H / 2);
        assert_true(f.rows < 40 - (size_t)from + 6);
        ow_weather after = mean(&f, from + 0.5, from + 1);
        assert_memory_equal(&before.air_c, &after.air_c, sizeof(double));
        assert_true(isnan(before.rh_pct) == isnan(after.rh_pct));
        assert_true(isnan(before.rh_pct) || before.rh_pct == after.rh_pct);
        assert_true(before.rain_mm == after.rain_mm);
        ow_forcing_free(&f);
    }
}

static void clearing_empties(void **state)
{
    (void)state;
    ow_forcing f = {0};
    add(&f, 0, 0, 80, 0);
    ow_forcing_clear(&f);
    assert_int_equal(f.rows, 0);
    ow_forcing_free(&f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(linear_between_rows),
        cmocka_unit_test(irregular_rows_keep_the_integral),
        cmocka_unit_test(rain_is_the_sum_of_the_period_that_ends),
        cmocka_unit_test(short_gaps_are_bridged_long_ones_are_not),
        cmocka_unit_test(air_is_always_bridged_and_its_gap_told),
        cmocka_unit_test(ends_hold_and_their_age_is_told),
        cmocka_unit_test(a_gap_at_the_start_is_a_gap),
        cmocka_unit_test(no_row_knows_nothing),
        cmocka_unit_test(rows_must_rise_and_begin_with_air),
        cmocka_unit_test(forgetting_changes_nothing_later),
        cmocka_unit_test(clearing_empties),
    };
    return cmocka_run_group_tests_name("forcing", tests, NULL, NULL);
}
