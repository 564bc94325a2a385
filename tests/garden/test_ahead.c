/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/ahead.h"
#include "garden/climate.h"
#include "live.h"

static const ow_site site = {50.0, 0.0, 0.0};
static const ow_forecast_source source = {.given = true,
                                          .topic = "w",
                                          .list = "",
                                          .time = "/0",
                                          .air = "/1",
                                          .unit = OW_UNIT_C,
                                          .stale_after_h = 12};
enum { ROOM = 240 };

static ow_hindsight hindsight;
static const ow_nights no_nights = {.kept = 0};

/* A swing of 3 K either way about mean_c, warmest at 14 h. */
static double swing_c(double mean_c, ow_utc_s t)
{
    return mean_c - 3.0 * cos((double)(t - T0 - 2 * OW_HOUR_S) * 3.14159265358979 / 43200.0);
}

typedef struct stage {
    ow_forecast forecast;
    ow_forcing measured;
    ow_known known;
    ow_weather_at row[ROOM];
} stage;

/* A measured day, five-minutely, that ends at end_h. */
static void open_stage(stage *s, int end_h)
{
    *s = (stage){0};
    ow_forecast_init(&s->forecast, &source);
    ow_hindsight_init(&hindsight);
    for (int i = -30 * 12; i <= end_h * 12; i++) {
        ow_utc_s t = T0 + i * 300;
        ow_weather_at row = {.utc_s = t,
                             .weather = {swing_c(-6.0, t), 80.0, 2.0, 100.0, NAN, NAN, 0.1, NAN,
                                         NAN, NAN}};
        assert_int_equal(ow_forcing_add(&s->measured, &row, 1), OW_OK);
    }
    s->known = (ow_known){&site, &s->forecast, &s->measured, &no_nights, &hindsight};
}

static void close_stage(stage *s)
{
    ow_forecast_free(&s->forecast);
    ow_forcing_free(&s->measured);
}

static void foretell(stage *s, int first_h, int hours, double mean_c, double now)
{
    char text[8000] = "[";
    size_t used = 1;
    for (int k = 0; k < hours; k++) {
        ow_utc_s t = T0 + (first_h + k) * OW_HOUR_S;
        used += (size_t)sprintf(text + used, "%s[%lld,%.4f]", k ? "," : "", (long long)t,
                                swing_c(mean_c, t));
    }
    sprintf(text + used, "]");
    assert_int_equal(ow_forecast_take(&s->forecast, text, strlen(text), false, at_s(now), NULL),
                     OW_CAUSE_NONE);
}

static ow_view look(stage *s, double h, int hours)
{
    return ow_look_ahead(&s->known, at_s(3600.0 * h), hours, s->row, ROOM);
}

static double day_mean(const stage *s, size_t first)
{
    double sum = 0.0;
    for (size_t i = first; i < first + 24; i++) {
        sum += s->row[i].weather.air_c;
    }
    return sum / 24.0;
}

/* Hourly, without a hole, no further than asked. */
static void check_hours(const stage *s, ow_view v, double from_h, int hours)
{
    assert_int_equal(v.rows, hours);
    for (int i = 0; i < hours; i++) {
        assert_true(s->row[i].utc_s == T0 + (ow_utc_s)(3600.0 * (from_h + i + 1)));
        check_between("air", s->row[i].weather.air_c, -30.0, 30.0);
    }
}

static void nothing_is_known_at_first(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 0);
    ow_forcing_clear(&s.measured);
    ow_view v = look(&s, 0, 72);
    assert_int_equal(v.from, OW_AHEAD_NONE);
    assert_int_equal(v.rows, 0);
    assert_string_equal(ow_ahead_name(v.from), "nothing");
    close_stage(&s);
}

/* A day and a half foretold at 4 C, then back to the normal by thirds every two days. */
static void a_short_forecast_relaxes_to_the_normal(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 0);
    foretell(&s, 1, 36, 12.0, 0);
    ow_view v = look(&s, 0, 240);
    assert_int_equal(v.from, OW_AHEAD_FORECAST);
    assert_int_equal(v.known, 36);
    check_hours(&s, v, 0, 240);
    check_close("as foretold", s.row[20].weather.air_c, swing_c(12.0, s.row[20].utc_s), 1e-3, 0);
    for (int day = 0; day < 8; day++) {
        size_t first = 36 + (size_t)day * 24;
        ow_utc_s noon_s = s.row[first + 11].utc_s + OW_HOUR_S / 2;
        double normal = ow_normal_air_c(&site, noon_s);
        double off = 12.0 - ow_normal_air_c(&site, s.row[35].utc_s - OW_DAY_S / 2);
        check_close("mean of the day", day_mean(&s, first),
                    normal + off * exp(-(day * 24.0 + 12.5) / OW_RELAX_H), 0.1, 0.0);
        double low = INFINITY, high = -INFINITY;
        for (size_t i = first; i < first + 24; i++) {
            low = fmin(low, s.row[i].weather.air_c);
            high = fmax(high, s.row[i].weather.air_c);
        }
        check_between("days keep their swing", high - low, 5.0, 8.5);
    }
    assert_true(isnan(s.row[100].weather.rain_mm));
    close_stage(&s);
}

/* Six hours foretold make no day: the swing comes from the measured hours before. */
static void a_very_short_one_leans_on_the_measured_day(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 0);
    foretell(&s, 1, 6, -6.0, 0);
    ow_view v = look(&s, 0, 48);
    assert_int_equal(v.known, 6);
    check_hours(&s, v, 0, 48);
    double warmest = s.row[13].weather.air_c, coldest = s.row[25].weather.air_c;
    check_between("swing from 14 h to 2 h", warmest - coldest, 4.0, 7.0);
    close_stage(&s);
}

static void stale_or_past_falls_back_to_the_day(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 14); /* daylight: no night to lay */
    foretell(&s, 1, 60, 4.0, 0);
    assert_int_equal(look(&s, 11.9, 48).from, OW_AHEAD_FORECAST);
    ow_view v = look(&s, 14, 72);
    assert_int_equal(v.from, OW_AHEAD_PERSISTED);
    assert_int_equal(v.known, 24);
    check_hours(&s, v, 14, 72);
    check_close("a day ago", s.row[5].weather.air_c, swing_c(-6.0, s.row[5].utc_s), 0.1, 0.0);
    assert_true(day_mean(&s, 48) > day_mean(&s, 0) + 1.0); /* the normal is some 10 K warmer */
    assert_non_null(strstr(ow_ahead_name(v.from), "last day"));
    foretell(&s, 15, 30, 4.0, 14 * 3600.0); /* late, but there */
    assert_int_equal(look(&s, 14, 72).from, OW_AHEAD_FORECAST);
    close_stage(&s);
}

static void a_clear_evening_brings_the_nights_fall(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 21);
    for (size_t i = 0; i < s.measured.rows; i++) {
        s.measured.row[i].weather.cloud_pct = 0.0;
    }
    ow_view v = look(&s, 21, 72);
    assert_int_equal(v.from, OW_AHEAD_NIGHT);
    check_hours(&s, v, 21, 72);
    assert_non_null(strstr(ow_ahead_name(v.from), "clear night"));
    close_stage(&s);
}

static void what_was_learned_is_in_it(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 0);
    foretell(&s, 1, 36, 0.0, 0);
    (void)look(&s, 0, 72);
    double plain = s.row[1].weather.air_c;
    for (int i = 0; i < 60; i++) {
        ow_bias_learn(&hindsight.bias, &site, s.row[1].utc_s - i * OW_DAY_S, NAN, -3.0, 1.0);
    }
    (void)look(&s, 0, 72);
    check_close("colder by what was learned", s.row[1].weather.air_c - plain, -3.0, 0.3, 0.0);
    close_stage(&s);
}

static void stays_within_its_room(void **state)
{
    (void)state;
    stage s;
    open_stage(&s, 0);
    for (size_t room = 0; room < 40; room++) {
        s.row[room].utc_s = -7;
        ow_view v = ow_look_ahead(&s.known, at_s(0), 72, s.row, room);
        assert_int_equal(v.rows, room);
        assert_true(s.row[room].utc_s == -7);
    }
    foretell(&s, 1, 20, 0.0, 0);
    for (size_t room = 1; room < 40; room++) {
        s.row[room].utc_s = -7;
        assert_int_equal(ow_look_ahead(&s.known, at_s(0), 72, s.row, room).rows, room);
        assert_true(s.row[room].utc_s == -7);
    }
    close_stage(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_known_at_first),
        cmocka_unit_test(a_short_forecast_relaxes_to_the_normal),
        cmocka_unit_test(a_very_short_one_leans_on_the_measured_day),
        cmocka_unit_test(stale_or_past_falls_back_to_the_day),
        cmocka_unit_test(a_clear_evening_brings_the_nights_fall),
        cmocka_unit_test(what_was_learned_is_in_it),
        cmocka_unit_test(stays_within_its_room),
    };
    return cmocka_run_group_tests_name("ahead", tests, NULL, NULL);
}
