/* SPDX-License-Identifier: MIT */
/* Who is told of an interlock, and when: at its time to the millisecond, and without chatter. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "outputs/alarm.h"
#include "outputs/span.h"

static const ow_interlock_row *row(unsigned i)
{
    return ow_interlock_about((ow_interlock)i);
}

static bool steps(ow_alarms *a, unsigned i, bool holds, bool needed, uint32_t span_ms)
{
    ow_interlocks locks = {.holding = holds ? OW_BLOCK(i) : 0};
    ow_blocks told = ow_alarms_step(a, &locks, needed, span_ms);
    assert_int_equal(told & ~OW_BLOCK(i), 0);
    return told != 0;
}

static void what_latches_is_told_at_once_needed_or_not(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        ow_alarms a = {0};
        ow_interlocks locks = {.latched = OW_BLOCK(i), .holding = OW_BLOCK(i)};
        assert_int_equal(ow_alarms_step(&a, &locks, false, 0), OW_BLOCK(i));
        locks = (ow_interlocks){0};
        ow_blocks after = row(i)->leaves == OW_RETRIES ? OW_BLOCK(i) : 0;
        assert_int_equal(ow_alarms_step(&a, &locks, false, 1000), after);
    }
}

static void any_other_is_told_when_it_has_held_for_its_time_while_needed(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        uint32_t tell_ms = row(i)->tell_ms;
        if (tell_ms == 0) {
            ow_alarms never = {0};
            assert_false(steps(&never, i, true, true, UINT32_MAX));
            continue;
        }
        for (uint32_t extra = 0; extra < 3; extra++) {
            ow_alarms a = {0};
            assert_int_equal(steps(&a, i, true, true, tell_ms - 1 + extra), extra > 0);
        }
        ow_alarms idle = {0};
        assert_false(steps(&idle, i, true, false, UINT32_MAX)); /* nobody needs it */
        assert_false(steps(&idle, i, true, true, tell_ms - 1)); /* that did not count */
        assert_false(steps(&idle, i, false, true, 1));          /* nor does this, after a gap */
        assert_false(steps(&idle, i, true, true, tell_ms - 1));
        assert_true(steps(&idle, i, true, true, 1));
    }
}

static void it_is_told_no_more_when_it_is_left_or_not_needed(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        if (row(i)->tell_ms == 0 || row(i)->leaves == OW_RETRIES) {
            continue;
        }
        for (int way = 0; way < 2; way++) {
            ow_alarms a = {0};
            assert_true(steps(&a, i, true, true, row(i)->tell_ms));
            assert_true(steps(&a, i, true, true, OW_S_MS));
            assert_false(steps(&a, i, way == 0, way != 0, OW_S_MS));
            assert_false(steps(&a, i, true, true, row(i)->tell_ms - 1)); /* begins anew */
        }
    }
}

/* On for half a minute, blocked for its time, and so on: one alarm until an hour without. */
static void what_is_proven_by_trying_stands_through_its_trials(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        if (row(i)->leaves != OW_RETRIES) {
            continue;
        }
        ow_alarms a = {0};
        assert_true(steps(&a, i, true, true, row(i)->tell_ms));
        for (int trial = 0; trial < 10; trial++) {
            assert_true(steps(&a, i, false, trial % 2 == 0, OW_ALARM_LINGER_MS - 1));
            assert_true(steps(&a, i, true, trial % 2 != 0, OW_S_MS));
        }
        assert_true(steps(&a, i, false, true, OW_ALARM_LINGER_MS - 1));
        assert_false(steps(&a, i, false, true, 1));
    }
}

/* Whatever flickers quicker than its time is never told. */
static void what_flickers_is_not_told(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        ow_alarms a = {0};
        for (int n = 0; n < 1000 && row(i)->tell_ms > OW_S_MS; n++) {
            assert_false(steps(&a, i, true, true, row(i)->tell_ms - 1));
            assert_false(steps(&a, i, false, true, OW_S_MS));
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_latches_is_told_at_once_needed_or_not),
        cmocka_unit_test(any_other_is_told_when_it_has_held_for_its_time_while_needed),
        cmocka_unit_test(it_is_told_no_more_when_it_is_left_or_not_needed),
        cmocka_unit_test(what_is_proven_by_trying_stands_through_its_trials),
        cmocka_unit_test(what_flickers_is_not_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
