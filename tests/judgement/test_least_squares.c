/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "judgement/least_squares.h"

static const ow_noise white = {0.0, 1.0};
static const ow_sought both[OW_SOUGHT] = {
    {1e6, true}, {1e6, true}, {1.0, true}, {1.0, true}, {1.0, true}};
static const double zero[OW_SOUGHT];

/* y = 2 + 3 x at x = 0, 1, 2, 3 with residuals that cancel: the line by the textbook's formulas. */
static void a_line_is_found(void **state)
{
    (void)state;
    static const double y[] = {2.5, 4.5, 7.5, 11.5};
    ow_normal n = {.rows = 0};
    double step[OW_SOUGHT], c[OW_SOUGHT][OW_SOUGHT];
    for (int i = 0; i < 4; i++) {
        double slope[OW_SOUGHT] = {1.0, i};
        ow_normal_add(&n, &white, y[i], slope);
    }
    assert_int_equal(ow_normal_step(&n, both, zero, step), OW_OK);
    /* slope = sum (x - 1.5)(y - 6.5) / 5 = 3, intercept = 6.5 - 3 * 1.5 = 2 */
    check_close("intercept", step[0], 2.0, 1e-9, 0);
    check_close("slope", step[1], 3.0, 1e-9, 0);
    check_close("untouched", step[3], 0.0, 0, 0);
    assert_int_equal(ow_normal_covariance(&n, both, c), OW_OK);
    check_close("variance of the slope", c[1][1], 1.0 / 5.0, 0, 1e-9);
    check_close("of the intercept", c[0][0], 14.0 / 20.0, 0, 1e-9); /* sum x^2 / (n Sxx) */
    check_close("together", c[0][1], -1.5 / 5.0, 0, 1e-9);
    check_close("a prior's own", c[3][3], 1.0, 0, 1e-12);
    check_close("all of the misfit", n.cost, 2.5 * 2.5 + 4.5 * 4.5 + 7.5 * 7.5 + 11.5 * 11.5, 0,
                1e-12);
}

/* One reading of 2 with noise 1 and a prior of spread 1 about 0: the middle, half the variance. */
static void a_prior_draws(void **state)
{
    (void)state;
    ow_sought u[OW_SOUGHT] = {{1.0, true}, {1.0, true}, {1.0, true}, {1.0, true}, {1.0, true}};
    ow_normal n = {.rows = 0};
    double slope[OW_SOUGHT] = {1.0}, step[OW_SOUGHT], c[OW_SOUGHT][OW_SOUGHT];
    ow_normal_add(&n, &white, 2.0, slope);
    assert_int_equal(ow_normal_step(&n, u, zero, step), OW_OK);
    check_close("step", step[0], 1.0, 1e-12, 0);
    assert_int_equal(ow_normal_covariance(&n, u, c), OW_OK);
    check_close("variance", c[0][0], 0.5, 1e-12, 0);
    /* From 0.6, where the reading misses by 1.4: down to the same place. A prior half as wide draws
     * four times as much: the best is 2 / 5. */
    ow_normal m = {.rows = 0};
    double at[OW_SOUGHT] = {0.6};
    ow_normal_add(&m, &white, 1.4, slope);
    assert_int_equal(ow_normal_step(&m, u, at, step), OW_OK);
    check_close("from elsewhere", 0.6 + step[0], 1.0, 1e-12, 0);
    u[0].prior_sd = 0.5;
    assert_int_equal(ow_normal_step(&m, u, at, step), OW_OK);
    check_close("a narrow prior", 0.6 + step[0], 0.4, 1e-12, 0);
}

/* Considered: y = a + b with b unknown to 2 is as uncertain in a as noise and b together. */
static void what_is_considered_widens(void **state)
{
    (void)state;
    ow_sought u[OW_SOUGHT] = {{1e6, true}, {2.0, false}, {1.0, true}, {1.0, true}, {1.0, true}};
    ow_normal n = {.rows = 0};
    double slope[OW_SOUGHT] = {1.0, 1.0}, step[OW_SOUGHT], c[OW_SOUGHT][OW_SOUGHT];
    ow_normal_add(&n, &white, 5.0, slope);
    assert_int_equal(ow_normal_step(&n, u, zero, step), OW_OK);
    check_close("a", step[0], 5.0, 1e-6, 0);
    check_close("b stays", step[1], 0.0, 0, 0);
    assert_int_equal(ow_normal_covariance(&n, u, c), OW_OK);
    check_close("variance", c[0][0], 1.0 + 4.0, 1e-6, 0);
    check_close("none of its own", c[1][1], 0.0, 1e-12, 0);
    /* The first considered as well as the last, and two estimated ones that hang together:
     * y = x0 + x1 and z = x1 + x4 with x0 unknown to 3 and x4 to 2. */
    ow_sought v[OW_SOUGHT] = {{3.0, false}, {1e6, true}, {1.0, true}, {1e6, true}, {2.0, false}};
    ow_normal m = {.rows = 0};
    double y[OW_SOUGHT] = {1.0, 1.0, 0.0, 0.0, 0.0}, z[OW_SOUGHT] = {0.0, 1.0, 0.0, 1.0, 1.0};
    ow_normal_add(&m, &white, 5.0, y);
    ow_normal_add(&m, &white, 9.0, z);
    assert_int_equal(ow_normal_step(&m, v, zero, step), OW_OK);
    check_close("x1", step[1], 5.0, 1e-6, 0);
    check_close("x3", step[3], 4.0, 1e-6, 0);
    assert_int_equal(ow_normal_covariance(&m, v, c), OW_OK);
    check_close("x1: noise and x0", c[1][1], 1.0 + 9.0, 1e-4, 0);
    check_close("x3: both noises, x0 and x4", c[3][3], 1.0 + 1.0 + 9.0 + 4.0, 1e-4, 0);
    check_close("together", c[1][3], -1.0 - 9.0, 1e-4, 0);
}

/* Noise that remembers r: n readings of one number are worth (n (1 - r) + 2 r) / (1 + r). */
static void memory_costs_readings(void **state)
{
    (void)state;
    const double r = 0.8, sd = 1.0;
    ow_noise noise = {r, sd * sqrt(1.0 - r * r)};
    ow_normal n = {.rows = 0};
    double slope[OW_SOUGHT] = {1.0}, c[OW_SOUGHT][OW_SOUGHT];
    for (int i = 0; i < 50; i++) {
        ow_normal_add(&n, &noise, 1.0, slope);
    }
    assert_int_equal(ow_normal_covariance(&n, both, c), OW_OK);
    check_close("variance", c[0][0], sd * sd * (1.0 + r) / (50.0 * (1.0 - r) + 2.0 * r), 0, 1e-9);
}

static void nonsense_is_refused(void **state)
{
    (void)state;
    ow_normal n = {.rows = 0};
    double slope[OW_SOUGHT] = {NAN}, step[OW_SOUGHT];
    ow_normal_add(&n, &white, 1.0, slope);
    assert_int_equal(ow_normal_step(&n, both, zero, step), OW_BAD_INPUT);
    ow_normal endless = {.jj[2][2] = INFINITY}, none = {.rows = 0};
    assert_int_equal(ow_normal_step(&endless, both, zero, step), OW_BAD_INPUT);
    assert_int_equal(ow_normal_step(&none, both, zero, step), OW_OK);
    ow_normal against = {.jj[2][2] = -1.0}; /* takes away just what the prior knows */
    assert_int_equal(ow_normal_step(&against, both, zero, step), OW_BAD_INPUT);
    double c[OW_SOUGHT][OW_SOUGHT];
    assert_int_equal(ow_normal_covariance(&against, both, c), OW_BAD_INPUT);
}

/* Five unknowns of five rows, the last no less than the first: a triangle solved by hand. */
static void all_unknowns_are_solved_for(void **state)
{
    (void)state;
    ow_sought wide[OW_SOUGHT];
    ow_normal n = {.rows = 0};
    double step[OW_SOUGHT];
    for (int i = 0; i < OW_SOUGHT; i++) {
        wide[i] = (ow_sought){1e5, true};
        double slope[OW_SOUGHT] = {0.0}, sum = 0.0;
        for (int k = 0; k <= i; k++) {
            slope[k] = 1.0;
            sum += k + 1.0;
        }
        ow_normal_add(&n, &white, sum, slope); /* x = 1, 2, 3, 4, 5 */
    }
    assert_int_equal(ow_normal_step(&n, wide, zero, step), OW_OK);
    for (int i = 0; i < OW_SOUGHT; i++) {
        check_close("x", step[i], i + 1.0, 1e-6, 0);
    }
}

/*
 * Short rows by the formulas in the header, in tenths of a kelvin, worked out by hand. Shown memory
 * is sum r(i) r(i-1) / sum r(i)^2; put right it is that and (1 + 3 shown) / n (1 + m / 2)
 * (Marriott & Pope 1954 for a mean, half as much again a parameter), within 0.3 and 0.97; six hours
 * of a probe of 0.1 K count as seen.
 */
static void short_rows_are_put_right(void **state)
{
    (void)state;
    static const struct {
        double row[8]; /* K */
        int n, unknowns;
        double memory;
    } cases[] = {
        /* Same 10, next 8: shown 0.8, and 3.4 / 4 more: past the bound. */
        {{0.1, 0.2, 0.2, 0.1}, 4, 0, 0.97},
        /* Same 36, next 9: shown 0.25, and 1.75 / 8 more. */
        {{0.3, 0.3, 0.0, 0.3, 0.0, 0.0, 0.3, 0.0}, 8, 0, 0.25 + 1.75 / 8.0},
        /* The same with one parameter fitted: half as much again. */
        {{0.3, 0.3, 0.0, 0.3, 0.0, 0.0, 0.3, 0.0}, 8, 1, 0.25 + 1.75 / 8.0 * 1.5},
        /* It swings: no less than 0.3. */
        {{0.1, -0.1, 0.1, -0.1}, 4, 2, 0.3},
        /* More fitted than there are rows: one counts. */
        {{0.5, 0.1}, 2, 3, 0.97},
        {{0.0, 0.0, 0.0, 0.0}, 4, 0, 0.3},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double memory = cases[i].memory, fresh = 0.0;
        for (int k = 1; k < cases[i].n; k++) {
            fresh += pow(cases[i].row[k] - memory * cases[i].row[k - 1], 2.0);
        }
        ow_noise noise = ow_noise_of(cases[i].row, cases[i].n, cases[i].unknowns);
        double hours = fmax(cases[i].n - cases[i].unknowns, 1.0) + 6.0;
        double before = 6.0 * 0.01 * (1.0 - memory * memory);
        check_close("memory", noise.memory, memory, 1e-12, 0);
        check_close("new", noise.new_k, sqrt((fresh + before) / hours), 1e-12, 0);
    }
}

/* A long row of remembered noise shows its memory and its size. */
static void noise_is_told(void **state)
{
    (void)state;
    static double row[4000];
    uint64_t dice = 3;
    for (int i = 0; i < 4000; i++) {
        double sum = -6.0;
        for (int k = 0; k < 12; k++) {
            dice = dice * 6364136223846793005ull + 1442695040888963407ull;
            sum += (double)(dice >> 11) / 9007199254740992.0;
        }
        row[i] = (i > 0 ? 0.7 * row[i - 1] : 0.0) + 0.2 * sum;
    }
    ow_noise noise = ow_noise_of(row, 4000, 0);
    check_close("memory", noise.memory, 0.7, 0.04, 0);
    check_close("new", noise.new_k, 0.2, 0.01, 0);
    double still[100] = {0.0};
    assert_true(ow_noise_of(still, 100, 3).new_k > 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_is_found),
        cmocka_unit_test(a_prior_draws),
        cmocka_unit_test(what_is_considered_widens),
        cmocka_unit_test(memory_costs_readings),
        cmocka_unit_test(nonsense_is_refused),
        cmocka_unit_test(all_unknowns_are_solved_for),
        cmocka_unit_test(noise_is_told),
        cmocka_unit_test(short_rows_are_put_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
