/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/bias.h"
#include "live.h"

static const ow_site site = {48.0, 30.0, 100.0}; /* the sun is two hours before UTC */

/* Evenly spread over -1..1. */
static double noise(unsigned *seed)
{
    return (double)(next_random(seed) % 20001) / 10000.0 - 1.0;
}

/* A hollow: 4 K colder about the sun's midnight when clear, nothing at noon or when overcast. */
static double hollow_k(double sun_h, double cloud_pct)
{
    return -2.0 * (1.0 + cos(sun_h * 3.14159265358979 / 12.0)) * (1.0 - cloud_pct / 100.0);
}

/* `days` of three-hourly errors that scatter by noise_k (evenly, so 0.58 of it as deviation). */
static void learn_hollow(ow_bias *b, int days, double noise_k, unsigned *seed)
{
    for (int i = 0; i < days * 8; i++) {
        ow_utc_s t = T0 + (ow_utc_s)i * 3 * OW_HOUR_S;
        double cloud = i / 8 % 2 == 0 ? 10.0 : 90.0;
        ow_bias_learn(b, &site, t, cloud, hollow_k(3.0 * i + 2.0, cloud) + noise_k * noise(seed),
                      noise_k);
    }
}

static double at(const ow_bias *b, int sun_h, double cloud_pct)
{
    return ow_bias_k(b, &site, T0 + (sun_h + 22) * OW_HOUR_S, cloud_pct);
}

static void starts_at_nothing(void **state)
{
    (void)state;
    ow_bias b;
    ow_bias_init(&b);
    for (int h = 0; h < 24; h++) {
        check_close("bias", at(&b, h, 0.0), 0.0, 0.0, 0.0);
        check_between("spread", ow_bias_sd_k(&b, &site, T0 + h * OW_HOUR_S, 50.0), 0.5, 1.5);
    }
}

static void finds_a_hollow_by_hour_and_sky(void **state)
{
    (void)state;
    ow_bias b;
    unsigned seed = 5;
    ow_bias_init(&b);
    double before_k = ow_bias_sd_k(&b, &site, T0, 0.0);
    learn_hollow(&b, 60, 1.5, &seed);
    for (int h = 2; h < 24; h += 3) {
        check_close("clear", at(&b, h, 10.0), hollow_k(h, 10.0), 0.7, 0.0);
        check_close("overcast", at(&b, h, 90.0), hollow_k(h, 90.0), 0.7, 0.0);
    }
    check_between("between the two", at(&b, 0, 50.0), at(&b, 0, 0.0), at(&b, 0, 100.0));
    check_close("sky unknown is half of each", at(&b, 0, NAN), at(&b, 0, 50.0), 1e-12, 0.0);
    check_between("surer", ow_bias_sd_k(&b, &site, T0, 0.0), 0.05, 0.6 * before_k);
}

static void a_week_of_clear_nights_shows(void **state)
{
    (void)state;
    ow_bias b;
    unsigned seed = 9;
    ow_bias_init(&b);
    learn_hollow(&b, 14, 1.5, &seed); /* every other day is clear */
    check_between("at midnight", at(&b, 0, 0.0), -4.5, -1.2);
    check_close("at noon", at(&b, 12, 100.0), 0.0, 0.8, 0.0);
}

static void a_broken_sensor_moves_it_no_further_than_the_bound(void **state)
{
    (void)state;
    ow_bias b;
    ow_bias_init(&b);
    for (int i = 0; i < 800; i++) {
        ow_bias_learn(&b, &site, T0 + i * 3 * OW_HOUR_S, 0.0, 11.9, 1.0);
        ow_bias_learn(&b, &site, T0 + i * 3 * OW_HOUR_S, 100.0, i % 2 ? 85.0 : NAN, 1.0);
    }
    for (int h = 0; h < 24; h++) {
        check_between("clear", at(&b, h, 0.0), 4.0, OW_BIAS_MOST_K);
        check_close("beyond belief teaches nothing", at(&b, h, 100.0), 0.0, 0.0, 0.0);
    }
    assert_int_equal(b.seen, 800);
}

static void one_wild_error_counts_little(void **state)
{
    (void)state;
    ow_bias b;
    unsigned seed = 3;
    ow_bias_init(&b);
    learn_hollow(&b, 40, 1.0, &seed);
    double before = at(&b, 2, 10.0);
    ow_bias_learn(&b, &site, T0 + 40 * OW_DAY_S, 10.0, -12.0, 1.0);
    check_between("a step of a few tenths", before - at(&b, 2, 10.0), 0.0, 0.8);
}

static void follows_a_change(void **state)
{
    (void)state;
    ow_bias b;
    ow_bias_init(&b);
    for (int i = 0; i < 60 * 8; i++) {
        ow_bias_learn(&b, &site, T0 + i * 3 * OW_HOUR_S, 0.0, i < 30 * 8 ? -3.0 : 1.0, 1.5);
    }
    check_between("a month after a wall was built", at(&b, 0, 0.0), 0.0, 1.2);
}

static void survives_a_store(void **state)
{
    (void)state;
    ow_bias b, back;
    unsigned seed = 5;
    ow_bias_init(&b);
    ow_bias_init(&back);
    learn_hollow(&b, 20, 1.5, &seed);
    ow_pack out = ow_pack_writing();
    ow_bias_pack(&b, &out);
    ow_pack in = ow_pack_reading(out.out, out.size);
    ow_bias_pack(&back, &in);
    assert_int_equal(in.status, OW_OK);
    assert_int_equal(in.at, in.size);
    assert_memory_equal(&b, &back, sizeof b);
    learn_hollow(&b, 1, 1.5, &(unsigned){8});
    learn_hollow(&back, 1, 1.5, &(unsigned){8});
    assert_memory_equal(&b, &back, sizeof b); /* goes on alike, to the bit */
    for (size_t i = 0; i < out.size; i += 8) { /* a NAN in a number, cut short: as it was */
        unsigned char *bytes = malloc(out.size);
        assert_non_null(bytes);
        memcpy(bytes, out.out, out.size);
        memset(bytes + i, 0xFF, 8);
        ow_pack broken = ow_pack_reading(bytes, out.size), cut = ow_pack_reading(bytes, i);
        ow_bias kept = back;
        ow_bias_pack(&kept, &broken);
        ow_bias_pack(&kept, &cut);
        assert_int_equal(broken.status, OW_BAD_INPUT);
        assert_int_equal(cut.status, OW_BAD_INPUT);
        assert_memory_equal(&kept, &back, sizeof back);
        free(bytes);
    }
    ow_pack_free(&out);
}

static void warmed_air_keeps_its_water(void **state)
{
    (void)state;
    ow_weather w = {.air_c = 5.0, .rh_pct = 60.0};
    ow_warm_air(&w, -4.0);
    /* Saturation 0.872 kPa at 5 C, 0.657 at 1 C: FAO-56 table 2.3 */
    check_close("air", w.air_c, 1.0, 1e-12, 0.0);
    check_close("humidity", w.rh_pct, 60.0 * 0.872 / 0.657, 0.15, 0.0);
    ow_warm_air(&w, -8.0);
    check_close("saturated at most", w.rh_pct, 100.0, 0.0, 0.0);
    w.rh_pct = NAN;
    ow_warm_air(&w, 1.0);
    assert_true(isnan(w.rh_pct));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(starts_at_nothing),
        cmocka_unit_test(finds_a_hollow_by_hour_and_sky),
        cmocka_unit_test(a_week_of_clear_nights_shows),
        cmocka_unit_test(a_broken_sensor_moves_it_no_further_than_the_bound),
        cmocka_unit_test(one_wild_error_counts_little),
        cmocka_unit_test(follows_a_change),
        cmocka_unit_test(survives_a_store),
        cmocka_unit_test(warmed_air_keeps_its_water),
    };
    return cmocka_run_group_tests_name("bias", tests, NULL, NULL);
}
