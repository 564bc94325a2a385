/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/night_minimum.h"
#include "garden/persistence.h"
#include "live.h"

static const ow_site site = {50.0, 0.0, 0.0};
static const ow_nights none = {.kept = 0};

/* One course of the air: falls by the root of time from two hours past sunset to sunrise. */
typedef struct course {
    double start_c, lowest_c, cloud_pct, wind_ms, rh_pct;
    bool turns_up; /* warms from midnight on: cloud came that nobody saw */
} course;

static double course_c(const course *c, ow_utc_s t)
{
    ow_utc_s start_s, sunrise_s;
    if (!ow_night_around(&site, t, &start_s, &sunrise_s)) {
        return c->start_c + 4.0;
    }
    double share = (double)(t - start_s) / (double)(sunrise_s - start_s);
    if (share <= 0.0) {
        return c->start_c - 2.0 * share;
    }
    share = c->turns_up && share > 0.4 ? fmax(0.8 - share, 0.0) : share;
    return c->start_c + (c->lowest_c - c->start_c) * sqrt(share);
}

static void measure(ow_forcing *f, const course *c, ow_utc_s from_s, ow_utc_s until_s)
{
    for (ow_utc_s t = from_s; t <= until_s; t += 600) {
        ow_weather_at row = {.utc_s = t,
                             .weather = {course_c(c, t), c->rh_pct, c->wind_ms, c->cloud_pct, NAN,
                                         NAN, NAN, NAN, NAN, NAN}};
        assert_int_equal(ow_forcing_add(f, &row, 1), OW_OK);
    }
}

static void the_night_is_found(void **state)
{
    (void)state;
    ow_utc_s start_s = 0, sunrise_s = 0;
    /* 50 N 0 E, 15 January 2024: sunset 16:20, sunrise 07:56 UTC with refraction (4 to 5 minutes
     * of it), by the daylight equations of FAO-56 eq. 24 to 34: 8.3 h about 12:09 */
    assert_true(ow_night_around(&site, T0, &start_s, &sunrise_s));
    check_close("start", (double)(start_s - T0) / 3600.0, 18.25 - 24.0, 0.2, 0.0);
    check_close("sunrise", (double)(sunrise_s - T0) / 3600.0, 8.0, 0.2, 0.0);
    assert_false(ow_night_around(&site, T0 + 12 * OW_HOUR_S, &start_s, &sunrise_s));
    ow_site pole = {80.0, 0.0, 0.0};
    assert_false(ow_night_around(&pole, T0, &start_s, &sunrise_s)); /* no end of it */
    assert_false(ow_night_around(&pole, T0 + 182 * OW_DAY_S, &start_s, &sunrise_s)); /* none */
}

/*
 * The worked example of the frost handbook (Snyder & de Melo-Abreu 2005, vol. 1, table 5.1): ten
 * nights, of which it makes 0.494 T0 - 5.872 for the air alone and 0.027 for the dew point. Nights
 * and result both from memory; the nights remembered make 0.503 and -5.909.
 */
static const ow_night handbook[] = {
    {3.2, -4.2, -3.1}, {0.8, -8.8, -5.0}, {0.2, -6.5, -6.3}, {2.6, -6.2, -5.4},
    {4.4, -6.1, -4.0}, {5.2, 2.6, -2.5},  {2.7, -0.7, -4.8}, {1.2, -1.7, -5.0},
    {4.5, -1.2, -4.4}, {5.6, 0.1, -3.3},
};
enum { HANDBOOK = sizeof handbook / sizeof handbook[0] };

static void handbooks_nights_make_handbooks_law(void **state)
{
    (void)state;
    ow_nights nights = none;
    for (int round = 0; round < 3; round++) { /* thrice, so that the default weighs little */
        for (int i = 0; i < HANDBOOK; i++) {
            ow_nights_keep(&nights, &handbook[i]);
        }
    }
    ow_night_law law = ow_nights_law(&nights);
    double square = 0.0, apart = 0.0;
    for (int i = 0; i < HANDBOOK; i++) {
        double want = 0.494 * handbook[i].start_c + 0.027 * handbook[i].dew_c - 5.872;
        double got = ow_night_lowest_c(&law, handbook[i].start_c, handbook[i].dew_c);
        apart += (got - want) * (got - want);
        square += (got - handbook[i].lowest_c) * (got - handbook[i].lowest_c);
    }
    check_between("from the handbook's law, K", sqrt(apart / HANDBOOK), 0.0, 0.3);
    /* 0.63 K is left by a plain fit of these nights */
    check_between("left over, K", sqrt(square / HANDBOOK), 0.63, 0.70);
}

static void default_law_and_bounds(void **state)
{
    (void)state;
    ow_night_law law = ow_nights_law(&none);
    /* means of 44 clear nights at Hamburg and 53 at Newton 8 W: falls of 5.5 and 5.6 K */
    check_between("fall from 4 C, dew 0 C", 4.0 - ow_night_lowest_c(&law, 4.0, 0.0), 4.0, 6.5);
    ow_night_law wild = {1.2, 0.7, 0.0};
    check_close("never warmer", ow_night_lowest_c(&wild, 10.0, 9.0), 10.0, 0.0, 0.0);
    wild.constant_c = -90.0;
    check_close("never 15 K colder", ow_night_lowest_c(&wild, 10.0, 9.0), -5.0, 0.0, 0.0);
}

static void own_nights_are_learned(void **state)
{
    (void)state;
    ow_nights nights = none;
    unsigned seed = 4;
    ow_night_law law = ow_nights_law(&nights);
    double default_c = ow_night_lowest_c(&law, 5.0, 0.0);
    for (int i = 0; i < 40; i++) { /* a hollow: 0.6 T0 + 0.1 Td - 7 */
        double start = (double)(next_random(&seed) % 100) / 10.0;
        double dew = start - (double)(next_random(&seed) % 60) / 10.0;
        ow_night n = {start, dew, 0.6 * start + 0.1 * dew - 7.0};
        ow_nights_keep(&nights, &n);
    }
    law = ow_nights_law(&nights);
    assert_int_equal(nights.kept, OW_NIGHTS);
    check_close("colder than the default", ow_night_lowest_c(&law, 5.0, 0.0), -4.0, 0.4, 0.0);
    assert_true(default_c > -2.0);
    for (int i = 0; i < OW_NIGHTS; i++) { /* nonsense moves it to a bound, not beyond */
        ow_night n = {5.0, 0.0, i % 2 ? -60.0 : 60.0};
        ow_nights_keep(&nights, &n);
    }
    law = ow_nights_law(&nights);
    check_between("bounded", law.per_start, 0.2, 1.2);
    check_between("bounded", law.constant_c, -12.0, 0.0);
}

static int kept_of(const course *c, int hole_h)
{
    ow_nights nights = none;
    ow_forcing f = {0};
    ow_utc_s hole_s = T0 + 2 * OW_HOUR_S;
    measure(&f, c, T0 - 12 * OW_HOUR_S, hole_s);
    measure(&f, c, hole_s + hole_h * OW_HOUR_S + 600, T0 + 10 * OW_HOUR_S);
    for (int i = -24; i <= 20; i++) { /* asked all through the night, kept once after it */
        ow_nights_note(&nights, &site, &f, T0 + i * OW_HOUR_S / 2);
    }
    ow_forcing_free(&f);
    return nights.kept;
}

static void clear_nights_measured_throughout_are_kept(void **state)
{
    (void)state;
    course clear = {4.0, -3.0, 10.0, 1.0, 70.0, false}, unseen = clear;
    assert_int_equal(kept_of(&clear, 0), 1);
    assert_int_equal(kept_of(&clear, 3), 0);
    unseen.cloud_pct = unseen.wind_ms = unseen.rh_pct = NAN;
    assert_int_equal(kept_of(&unseen, 0), 1);
    unseen.turns_up = true;
    assert_int_equal(kept_of(&unseen, 0), 0);
    course overcast = clear, windy = clear, flat = clear;
    overcast.cloud_pct = 90.0;
    assert_int_equal(kept_of(&overcast, 0), 0);
    windy.wind_ms = 7.0;
    assert_int_equal(kept_of(&windy, 0), 0);
    flat.cloud_pct = NAN;
    flat.lowest_c = 3.5;
    assert_int_equal(kept_of(&flat, 0), 0);
}

static void what_is_kept_is_what_was(void **state)
{
    (void)state;
    course clear = {4.0, -3.0, 10.0, 1.0, 70.0, false};
    ow_nights nights = none;
    ow_forcing f = {0};
    measure(&f, &clear, T0 - 12 * OW_HOUR_S, T0 + 10 * OW_HOUR_S);
    ow_nights_note(&nights, &site, &f, T0 + 10 * OW_HOUR_S);
    assert_int_equal(nights.kept, 1);
    /* a mean of half an hour, in which the root of time falls by half a kelvin */
    check_between("start", nights.night[0].start_c, 3.5, 4.0);
    /* 4 C, 70 %: e 0.569 kPa, saturated at -1.0 C (FAO-56 eq. 11 turned round) */
    check_close("dew point", nights.night[0].dew_c, -1.0, 0.3, 0.0);
    check_close("lowest", nights.night[0].lowest_c, -3.0, 0.3, 0.0);
    ow_forcing_free(&f);
}

/* Yesterday fell to +1 C; at ten in the evening tonight is clear. Returns whether it was laid. */
static bool lay(const course *tonight, int now_h, ow_weather_at rows[24])
{
    static const course yesterday = {5.0, 1.0, 100.0, 2.0, 80.0, false};
    ow_forcing f = {0};
    ow_utc_s now_s = T0 + now_h * OW_HOUR_S, noon_s = T0 + 12 * OW_HOUR_S;
    measure(&f, &yesterday, T0 - 20 * OW_HOUR_S, noon_s);
    measure(&f, tonight, noon_s + 600, now_s);
    assert_int_equal(ow_persist(&f, now_s, 24, rows), OW_OK);
    bool laid = ow_nights_lay(&none, &site, &f, now_s, rows, 24);
    ow_forcing_free(&f);
    return laid;
}

static void tonight_falls_by_the_root_of_time(void **state)
{
    (void)state;
    course tonight = {2.0, -4.0, 0.0, 1.0, 70.0, false};
    ow_weather_at rows[24];
    assert_true(lay(&tonight, 22, rows));
    ow_night_law law = ow_nights_law(&none);
    double lowest = ow_night_lowest_c(&law, 2.0, -2.9);
    for (int i = 0; i < 24; i++) { /* sunrise is at eight: the tenth row */
        double t = 22.0 + i + 1.0, now = course_c(&tonight, T0 + 22 * OW_HOUR_S);
        double hours = 32.0 - 18.25;
        double fall = (2.0 - lowest) * (sqrt((t - 18.25) / hours) - sqrt(3.75 / hours));
        if (i < 10) {
            check_close("on the way", rows[i].weather.air_c, now - fall, 0.3, 0.0);
        } else if (i == 16) { /* six hours past sunrise: the day over again */
            check_close("later as it was", rows[i].weather.air_c, 6.0, 0.1, 0.0);
        }
        assert_true(i == 0 || i > 9 || rows[i].weather.air_c < rows[i - 1].weather.air_c);
        check_between("humidity", rows[i].weather.rh_pct, 1.0, 100.0);
    }
}

static void other_nights_stay_as_they_were(void **state)
{
    (void)state;
    course clear = {2.0, -4.0, 0.0, 1.0, 70.0, false}, other = clear;
    ow_weather_at rows[24];
    assert_false(lay(&clear, 15, rows)); /* daylight */
    assert_false(lay(&clear, 17, rows)); /* not yet two hours past sunset */
    assert_true(lay(&clear, 19, rows));
    other.cloud_pct = 90.0;
    assert_false(lay(&other, 22, rows));
    other = clear;
    other.wind_ms = 8.0;
    assert_false(lay(&other, 22, rows));
    other.wind_ms = other.cloud_pct = other.rh_pct = NAN; /* nothing known: it may be clear */
    assert_true(lay(&other, 22, rows));
    ow_forcing empty = {0};
    assert_false(ow_nights_lay(&none, &site, &empty, T0, rows, 24));
}

static void survives_a_store(void **state)
{
    (void)state;
    ow_nights nights = {.noted_s = T0}, back = none;
    for (int i = 0; i < HANDBOOK; i++) {
        ow_nights_keep(&nights, &handbook[i]);
    }
    ow_pack out = ow_pack_writing();
    ow_nights_pack(&nights, &out);
    ow_pack in = ow_pack_reading(out.out, out.size);
    ow_nights_pack(&back, &in);
    assert_int_equal(in.status, OW_OK);
    assert_memory_equal(&back, &nights, sizeof nights);
    for (size_t i = 0; i < out.size; i += 8) {
        ow_pack cut = ow_pack_reading(out.out, i);
        ow_nights_pack(&back, &cut);
        assert_int_equal(cut.status, OW_BAD_INPUT);
        assert_memory_equal(&back, &nights, sizeof nights);
    }
    memset(out.out + out.size - 8, 0xFF, 8); /* a NAN */
    ow_pack broken = ow_pack_reading(out.out, out.size);
    ow_nights_pack(&back, &broken);
    assert_int_equal(broken.status, OW_BAD_INPUT);
    ow_pack_free(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_night_is_found),
        cmocka_unit_test(handbooks_nights_make_handbooks_law),
        cmocka_unit_test(default_law_and_bounds),
        cmocka_unit_test(own_nights_are_learned),
        cmocka_unit_test(clear_nights_measured_throughout_are_kept),
        cmocka_unit_test(what_is_kept_is_what_was),
        cmocka_unit_test(tonight_falls_by_the_root_of_time),
        cmocka_unit_test(other_nights_stay_as_they_were),
        cmocka_unit_test(survives_a_store),
    };
    return cmocka_run_group_tests_name("night minimum", tests, NULL, NULL);
}
