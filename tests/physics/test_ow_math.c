/* SPDX-License-Identifier: MIT */
/*
 * The project's own functions against the C library's, over dense grids, and the same last bits
 * from every compiler, build and machine.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "physics/ow_math.h"

/* What the header promises. */
static const double promised = 1e-15;

typedef struct case_of_one {
    const char *name;
    double (*ours)(double x);
    double (*theirs)(double x);
    double low, high, step;
} case_of_one;

static double four_fifths(double x)
{
    return (double)powl((long double)x, 0.8L);
}

static const case_of_one grids[] = {
    {"exp", ow_exp, exp, -700.0, 700.0, 0.0137}, {"exp near 0", ow_exp, exp, -1.0, 1.0, 1.37e-5},
    {"log", ow_log, log, 1e-3, 1000.0, 0.0137},  {"log near 1", ow_log, log, 0.5, 2.0, 1.37e-5},
    {"sin", ow_sin, sin, -20.0, 20.0, 1.37e-4},  {"sin far out", ow_sin, sin, -1e6, 1e6, 13.7},
    {"cos", ow_cos, cos, -20.0, 20.0, 1.37e-4},  {"cos far out", ow_cos, cos, -1e6, 1e6, 13.7},
    {"third root", ow_third_root, cbrt, 1e-3, 1000.0, 0.0137},
    {"third root far out", ow_third_root, cbrt, 1e9, 1e12, 1.37e7},
    {"four fifths", ow_four_fifths, four_fifths, 1e-3, 1000.0, 0.0137},
    {"four fifths far out", ow_four_fifths, four_fifths, 1e9, 1e12, 1.37e7},
    {"asin", ow_asin, asin, -1.0, 1.0, 1.37e-5}, {"acos", ow_acos, acos, -1.0, 1.0, 1.37e-5},
};
#define GRIDS (sizeof grids / sizeof grids[0])

static void check_one(const char *name, double x, double got, double want)
{
    char what[64];
    snprintf(what, sizeof what, "%s(%.17g)", name, x);
    check_close(what, got, want, 0.0, promised);
}

static void agrees_with_the_c_library(void **state)
{
    (void)state;
    for (size_t g = 0; g < GRIDS; g++) {
        const case_of_one *grid = &grids[g];
        int points = (int)((grid->high - grid->low) / grid->step);
        assert_in_range(points, 10000, 1000000);
        for (int i = 0; i <= points; i++) {
            double x = grid->low + i * grid->step;
            check_one(grid->name, x, grid->ours(x), grid->theirs(x));
        }
    }
}

static void roots_hold_over_every_magnitude(void **state)
{
    (void)state;
    for (int exponent = -1022; exponent < 1023; exponent++) {
        for (double m = 1.0; m < 2.0; m += 0.0625) {
            double x = ldexp(m, exponent);
            check_one("third root", x, ow_third_root(x), cbrt(x));
            check_one("four fifths", x, ow_four_fifths(x), four_fifths(x));
        }
    }
}

static void log_holds_over_every_magnitude(void **state)
{
    (void)state;
    for (int exponent = -1074; exponent < 1024; exponent++) {
        for (double m = 1.0; m < 2.0; m += 0.0625) {
            double x = ldexp(m, exponent);
            check_one("log", x, ow_log(x), log(x));
        }
    }
}

/* The doubles nearest to multiples of pi/2: the result is what the argument lacks of one. */
static void sin_and_cos_hold_near_their_zeros(void **state)
{
    (void)state;
    for (int k = 1; k <= 600000; k += 7) {
        double x = k * (OW_PI / 2);
        if (k % 2 != 0) {
            check_one("cos", x, ow_cos(x), cos(x));
        } else {
            check_one("sin", x, ow_sin(x), sin(x));
        }
    }
}

static void atan2_agrees_all_round(void **state)
{
    char what[80];
    (void)state;
    for (double y = -5.0; y <= 5.0; y += 0.0173) {
        for (double x = -5.0; x <= 5.0; x += 0.0171) {
            snprintf(what, sizeof what, "atan2(%.17g, %.17g)", y, x);
            check_close(what, ow_atan2(y, x), atan2(y, x), 0.0, promised);
        }
    }
}

static void atan2_has_the_edges_of_c(void **state)
{
    static const double edge[] = {-INFINITY, -1.0, -0.0, 0.0, 1e-300, 1.0, 1e300, INFINITY};
    char what[80];
    (void)state;
    for (size_t i = 0; i < sizeof edge / sizeof edge[0]; i++) {
        for (size_t j = 0; j < sizeof edge / sizeof edge[0]; j++) {
            double got = ow_atan2(edge[i], edge[j]);
            double want = atan2(edge[i], edge[j]);
            snprintf(what, sizeof what, "atan2(%g, %g)", edge[i], edge[j]);
            check_close(what, got, want, 0.0, promised);
            assert_int_equal(signbit(got) != 0, signbit(want) != 0);
        }
    }
}

static void pow_agrees_within_its_growing_error(void **state)
{
    char what[80];
    (void)state;
    for (double x = 1e-4; x < 1e4; x *= 1.05) {
        for (double y = -12.0; y < 12.0; y += 0.173) {
            double allowed = promised * (1.0 + fabs(y * log(x)));
            snprintf(what, sizeof what, "pow(%.17g, %.17g)", x, y);
            check_close(what, ow_pow(x, y), pow(x, y), 0.0, allowed);
        }
    }
}

static void exact_values_are_exact(void **state)
{
    (void)state;
    check_close("exp(0)", ow_exp(0.0), 1.0, 0.0, 0.0);
    check_close("log(1)", ow_log(1.0), 0.0, 0.0, 0.0);
    check_close("pow(7, 0)", ow_pow(7.0, 0.0), 1.0, 0.0, 0.0);
    check_close("third root of 0", ow_third_root(0.0), 0.0, 0.0, 0.0);
    check_close("0 to four fifths", ow_four_fifths(0.0), 0.0, 0.0, 0.0);
    check_close("sin(0)", ow_sin(0.0), 0.0, 0.0, 0.0);
    check_close("cos(0)", ow_cos(0.0), 1.0, 0.0, 0.0);
    check_close("asin(1)", ow_asin(1.0), OW_PI / 2, 0.0, 0.0);
    check_close("acos(1)", ow_acos(1.0), 0.0, 0.0, 0.0);
    check_close("acos(-1)", ow_acos(-1.0), OW_PI, 0.0, 0.0);
}

static void out_of_range_is_as_promised(void **state)
{
    (void)state;
    check_close("exp(701)", ow_exp(701.0), DBL_MAX, 0.0, 0.0);
    check_close("exp(-701)", ow_exp(-701.0), 0.0, 0.0, 0.0);
    check_close("exp(inf)", ow_exp(INFINITY), DBL_MAX, 0.0, 0.0);
    check_close("exp(-inf)", ow_exp(-INFINITY), 0.0, 0.0, 0.0);
    assert_true(isnan(ow_log(0.0)));
    assert_true(isnan(ow_log(-1.0)));
    assert_true(isinf(ow_log(INFINITY)));
    assert_true(isnan(ow_pow(-2.0, 2.0)));
    assert_true(isnan(ow_third_root(-1.0)));
    assert_true(isnan(ow_four_fifths(-1.0)));
    assert_true(isinf(ow_third_root(INFINITY)));
    assert_true(isinf(ow_four_fifths(INFINITY)));
    assert_true(isnan(ow_sin(1.1e6)));
    assert_true(isnan(ow_cos(-INFINITY)));
    check_close("asin(1.5)", ow_asin(1.5), OW_PI / 2, 0.0, 0.0);
    check_close("asin(-1.5)", ow_asin(-1.5), -OW_PI / 2, 0.0, 0.0);
    check_close("acos(1.5)", ow_acos(1.5), 0.0, 0.0, 0.0);
    check_close("acos(-inf)", ow_acos(-INFINITY), OW_PI, 0.0, 0.0);
}

static void nan_in_gives_nan_out(void **state)
{
    (void)state;
    assert_true(isnan(ow_exp(NAN)));
    assert_true(isnan(ow_log(NAN)));
    assert_true(isnan(ow_pow(NAN, 2.0)));
    assert_true(isnan(ow_pow(2.0, NAN)));
    assert_true(isnan(ow_third_root(NAN)));
    assert_true(isnan(ow_four_fifths(NAN)));
    assert_true(isnan(ow_sin(NAN)));
    assert_true(isnan(ow_cos(NAN)));
    assert_true(isnan(ow_atan2(NAN, 1.0)));
    assert_true(isnan(ow_atan2(1.0, NAN)));
    assert_true(isnan(ow_asin(NAN)));
    assert_true(isnan(ow_acos(NAN)));
}

/* FNV-1a over the bits of a value. */
static uint64_t mix(uint64_t hash, double value)
{
    uint64_t bits = 0;
    memcpy(&bits, &value, sizeof bits);
    for (int byte = 0; byte < 8; byte++) {
        hash = (hash ^ ((bits >> (8 * byte)) & 0xffU)) * UINT64_C(0x100000001b3);
    }
    return hash;
}

/*
 * The hash has no outside source: it is what this code gave when it was written, and it must not
 * depend on compiler, optimisation, sanitizers or processor. A change of the arithmetic changes
 * it, and replays made before with it.
 */
static void last_bits_are_the_same_everywhere(void **state)
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    (void)state;
    for (size_t g = 0; g < GRIDS; g++) {
        for (int i = 0; i <= 1000; i++) {
            double x = grids[g].low + i * ((grids[g].high - grids[g].low) / 1000);
            hash = mix(hash, grids[g].ours(x));
            hash = mix(hash, ow_atan2(x, 1.0 + i));
            hash = mix(hash, ow_pow(1.0 + i, x / grids[g].high));
        }
    }
    assert_int_equal(hash, UINT64_C(0xed8c205e2ec74d99));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_c_library),
        cmocka_unit_test(roots_hold_over_every_magnitude),
        cmocka_unit_test(log_holds_over_every_magnitude),
        cmocka_unit_test(sin_and_cos_hold_near_their_zeros),
        cmocka_unit_test(atan2_agrees_all_round),
        cmocka_unit_test(atan2_has_the_edges_of_c),
        cmocka_unit_test(pow_agrees_within_its_growing_error),
        cmocka_unit_test(exact_values_are_exact),
        cmocka_unit_test(out_of_range_is_as_promised),
        cmocka_unit_test(nan_in_gives_nan_out),
        cmocka_unit_test(last_bits_are_the_same_everywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
