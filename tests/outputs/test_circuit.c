/* SPDX-License-Identifier: MIT */
/* The budget of a circuit, and the small parts: spans, leases, readings, contacts. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

#include "outputs/circuit.h"
#include "outputs/inputs.h"
#include "outputs/lease.h"
#include "outputs/span.h"

static ow_circuit_member member(uint32_t watts, bool draws, bool asks, uint32_t need_mk)
{
    return (ow_circuit_member){.watts = watts, .draws = draws, .asks = asks, .need_mk = need_mk};
}

static void the_greatest_need_comes_first_and_the_first_among_equals(void **state)
{
    (void)state;
    ow_circuit_member m[] = {member(2000, false, true, 100), member(1000, false, true, 700),
                             member(1000, false, true, 700), member(1000, false, true, 900)};
    ow_circuit_share(3000, m, 4);
    assert_false(m[0].granted);
    assert_true(m[1].granted && m[2].granted && m[3].granted);
    ow_circuit_share(2000, m, 4);
    assert_true(m[1].granted && m[3].granted);
    assert_false(m[0].granted || m[2].granted);
}

static void what_draws_keeps_its_share(void **state)
{
    (void)state;
    ow_circuit_member m[] = {member(2000, false, true, 9000), member(1500, true, false, 0)};
    ow_circuit_share(3000, m, 2);
    assert_false(m[0].granted);
    assert_true(m[1].granted);
    for (uint32_t extra = 0; extra < 3; extra++) {
        ow_circuit_share(3500 - 1 + extra, m, 2);
        assert_int_equal(m[0].granted, extra > 0);
    }
}

/* One that draws and asks as well has its share once. */
static void what_draws_and_asks_is_counted_once(void **state)
{
    (void)state;
    ow_circuit_member m[] = {member(2000, true, true, 9000), member(1000, false, true, 1)};
    ow_circuit_share(3000, m, 2);
    assert_true(m[0].granted && m[1].granted);
}

static void what_draws_beyond_the_limit_leaves_nothing(void **state)
{
    (void)state;
    ow_circuit_member m[] = {member(2000, true, false, 0), member(2000, true, false, 0),
                             member(500, false, true, 5000)};
    ow_circuit_share(3000, m, 3);
    assert_true(m[0].granted);
    assert_false(m[1].granted || m[2].granted);
}

static void what_neither_draws_nor_asks_is_not_granted(void **state)
{
    (void)state;
    ow_circuit_member m[] = {member(100, false, false, 9000), member(0, false, true, 9000)};
    ow_circuit_share(3000, m, 2);
    assert_false(m[0].granted || m[1].granted);
    ow_circuit_member n[] = {member(100, false, true, 0)};
    ow_circuit_share(0, n, 1);
    assert_false(n[0].granted);
    ow_circuit_share(100, n, 1);
    assert_true(n[0].granted);
    ow_circuit_share(100, n, 0); /* none: nothing is touched */
    assert_true(n[0].granted);
}

static void those_beyond_the_most_are_not_granted(void **state)
{
    (void)state;
    ow_circuit_member m[OW_CIRCUIT_MEMBERS + 1];
    for (int i = 0; i <= OW_CIRCUIT_MEMBERS; i++) {
        m[i] = member(1, false, true, (uint32_t)i);
    }
    ow_circuit_share(1000, m, OW_CIRCUIT_MEMBERS + 1);
    assert_true(m[OW_CIRCUIT_MEMBERS - 1].granted);
    assert_false(m[OW_CIRCUIT_MEMBERS].granted);
    m[OW_CIRCUIT_MEMBERS].draws = true; /* and what it draws leaves nothing for others */
    ow_circuit_share(1000, m, OW_CIRCUIT_MEMBERS + 1);
    assert_false(m[OW_CIRCUIT_MEMBERS].granted || m[0].granted);
}

/* Every circuit of four members with few levels each: never more than the limit, and whoever asks
 * and fits beside all that are granted is granted. */
static void a_share_is_never_over_the_limit_and_never_idle(void **state)
{
    (void)state;
    const uint32_t watts[] = {500, 1000, 2000};
    for (unsigned n = 0; n < 12u * 12u * 12u * 12u; n++) {
        ow_circuit_member m[4];
        unsigned digits = n;
        for (int i = 0; i < 4; i++, digits /= 12) {
            unsigned d = digits % 12;
            m[i] = member(watts[d % 3], d / 3 == 0, d / 3 >= 1 && d / 3 < 3, d / 3 * 100);
        }
        ow_circuit_share(3000, m, 4);
        uint32_t granted = 0, drawn = 0;
        for (int i = 0; i < 4; i++) {
            granted += m[i].granted ? m[i].watts : 0;
            drawn += m[i].draws ? m[i].watts : 0;
        }
        assert_true(granted <= 3000);
        for (int i = 0; i < 4; i++) {
            bool waits = m[i].asks && !m[i].draws && !m[i].granted;
            assert_false(waits && drawn <= 3000 && granted + m[i].watts <= 3000);
            assert_false(m[i].granted && !m[i].draws && (!m[i].asks || drawn > 3000));
        }
    }
}

static void spans_hold_across_a_wrap_and_stop_at_their_ends(void **state)
{
    (void)state;
    assert_int_equal(ow_span_between(UINT32_MAX - 9, 10), 20);
    assert_int_equal(ow_span_between(10, UINT32_MAX - 9), 0);
    assert_int_equal(ow_span_between(0, INT32_MAX), INT32_MAX);
    assert_int_equal(ow_span_between(0, (uint32_t)INT32_MAX + 1), 0);
    assert_false(ow_clock_went_back(5, 5));
    assert_true(ow_clock_went_back(5, 4));
    assert_int_equal(ow_span_add(UINT32_MAX - 1, 1), UINT32_MAX);
    assert_int_equal(ow_span_add(UINT32_MAX - 1, 2), UINT32_MAX);
    assert_int_equal(ow_span_add(1, UINT32_MAX), UINT32_MAX);
    assert_int_equal(ow_span_less(5, 5), 0);
    assert_int_equal(ow_span_less(5, 6), 0);
    assert_int_equal(ow_span_less(6, 5), 1);
}

static void settings_become_milliseconds_or_nothing(void **state)
{
    (void)state;
    assert_int_equal(ow_span_of_s(0.2), 200);
    assert_int_equal(ow_span_of_min(180), 180 * OW_MIN_MS);
    assert_int_equal(ow_span_of_s(86400), OW_SETTING_MAX_MS);
    assert_int_equal(ow_span_of_s(86400.001), 0);
    assert_int_equal(ow_span_of_s(86400.0005), 0);
    assert_int_equal(ow_span_of_s((double)NAN), 0);
    assert_int_equal(ow_span_of_s(-1), 0);
    assert_int_equal(ow_span_of_s(0), 0);
    assert_int_equal(ow_span_of_s(0.0004), 0);
    assert_int_equal(ow_span_of_s(0.0005), 1);
    assert_int_equal(ow_span_of_s((double)INFINITY), 0);
}

static void numbers_become_thousandths_or_nothing(void **state)
{
    (void)state;
    assert_int_equal(ow_milli_of(3.0), 3000);
    assert_int_equal(ow_milli_of(-0.0016), -2);
    assert_int_equal(ow_milli_of(0.0014), 1);
    assert_int_equal(ow_milli_of(2.0e6), 2000000000);
    assert_int_equal(ow_milli_of(-2.0e6), -2000000000);
    assert_int_equal(ow_milli_of(2.1e6), OW_MILLI_NONE);
    assert_int_equal(ow_milli_of(-2.1e6), OW_MILLI_NONE);
    assert_int_equal(ow_milli_of((double)NAN), OW_MILLI_NONE);
    assert_false(ow_sensed_of((double)NAN, 0).known);
    ow_sensed sensed = ow_sensed_of(1.5, 7);
    assert_true(sensed.known && !sensed.contradicted);
    assert_int_equal(sensed.milli, 1500);
    assert_int_equal(sensed.age_ms, 7);
}

static void a_reading_is_usable_when_nothing_speaks_against_it(void **state)
{
    (void)state;
    ow_sensed good = {.known = true, .milli = 5, .age_ms = 100};
    assert_true(ow_sensed_usable(good, 100, 5, 5));
    assert_false(ow_sensed_usable(good, 99, 5, 5));
    assert_false(ow_sensed_usable(good, 100, 6, 7));
    assert_false(ow_sensed_usable(good, 100, 3, 4));
    ow_sensed unknown = good, split = good, ageless = good;
    unknown.known = false;
    split.contradicted = true;
    ageless.age_ms = OW_AGE_UNKNOWN;
    assert_false(ow_sensed_usable(unknown, 100, 5, 5));
    assert_false(ow_sensed_usable(split, 100, 5, 5));
    assert_false(ow_sensed_usable(ageless, UINT32_MAX, 5, 5));
}

static void open_is_worse_than_unknown_and_unknown_than_shut(void **state)
{
    (void)state;
    const ow_contact rising[] = {OW_CONTACT_SHUT, OW_CONTACT_UNKNOWN, OW_CONTACT_OPEN};
    for (int a = 0; a < 3; a++) {
        for (int b = 0; b < 3; b++) {
            assert_int_equal(ow_contact_worse(rising[a], rising[b]), rising[a > b ? a : b]);
        }
    }
}

static void a_lease_is_due_at_a_third_and_over_at_its_end(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        ow_lease lease = ow_lease_after(ow_lease_of(9000), 3000 - 1 + extra);
        assert_int_equal(ow_lease_due(lease), extra > 0);
        assert_false(ow_lease_over(lease));
        lease = ow_lease_after(ow_lease_of(9000), 9000 - 1 + extra);
        assert_int_equal(ow_lease_over(lease), extra > 0);
    }
    ow_lease none = {0};
    assert_true(ow_lease_due(none) && ow_lease_over(none));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_greatest_need_comes_first_and_the_first_among_equals),
        cmocka_unit_test(what_draws_keeps_its_share),
        cmocka_unit_test(what_draws_and_asks_is_counted_once),
        cmocka_unit_test(what_draws_beyond_the_limit_leaves_nothing),
        cmocka_unit_test(what_neither_draws_nor_asks_is_not_granted),
        cmocka_unit_test(those_beyond_the_most_are_not_granted),
        cmocka_unit_test(a_share_is_never_over_the_limit_and_never_idle),
        cmocka_unit_test(spans_hold_across_a_wrap_and_stop_at_their_ends),
        cmocka_unit_test(settings_become_milliseconds_or_nothing),
        cmocka_unit_test(numbers_become_thousandths_or_nothing),
        cmocka_unit_test(a_reading_is_usable_when_nothing_speaks_against_it),
        cmocka_unit_test(open_is_worse_than_unknown_and_unknown_than_shut),
        cmocka_unit_test(a_lease_is_due_at_a_third_and_over_at_its_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
