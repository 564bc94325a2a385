/* SPDX-License-Identifier: MIT */
/* The table of interlocks is sound; each trips at once, is left slowly, latches where it says. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "outputs/common.h"
#include "outputs/span.h"

static const ow_interlock_row *row(unsigned i)
{
    return ow_interlock_about((ow_interlock)i);
}

/* Locks of an output that has run well for long. */
static ow_interlocks quiet(void)
{
    return (ow_interlocks){.since_event_ms = OW_H_MS};
}

static void every_row_is_whole(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        size_t length = strlen(row(i)->word);
        assert_in_range(length, 3, 20);
        assert_int_equal(strspn(row(i)->word, "abcdefghijklmnopqrstuvwxyz-"), length);
        assert_in_range(strlen(row(i)->text), 10, 100);
        assert_null(strchr(row(i)->text, '.'));
        assert_in_range(strlen(row(i)->clears), 5, 100);
        assert_in_range(row(i)->guards, OW_GUARDS_HEATER, OW_GUARDS_BOTH);
        assert_true(row(i)->recover_ms <= OW_H_MS);
        /* What a person must release is left some time after, and never by itself. */
        assert_true(row(i)->leaves != OW_LATCHES || row(i)->recover_ms > 0);
        for (unsigned j = 0; j < i; j++) {
            assert_string_not_equal(row(i)->word, row(j)->word);
            assert_string_not_equal(row(i)->text, row(j)->text);
        }
    }
    assert_null(ow_interlock_about(OW_INTERLOCKS));
    assert_string_equal(row(OW_BLOCK_HOST)->text, "this host cannot promise to switch off");
}

static void the_first_of_a_set_is_the_most_serious(void **state)
{
    (void)state;
    assert_int_equal(ow_blocks_first(0), OW_INTERLOCKS);
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        ow_blocks and_all_below = ~(OW_BLOCK(i) - 1);
        assert_int_equal(ow_blocks_first(and_all_below), i);
    }
}

static void each_trips_at_once(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        ow_interlocks locks = quiet();
        assert_int_equal(ow_interlocks_judge(&locks, 0, OW_S_MS), 0);
        assert_int_equal(ow_interlocks_judge(&locks, OW_BLOCK(i), 0), OW_BLOCK(i));
    }
}

static void each_is_left_when_its_cause_has_been_away_for_its_time(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        for (uint32_t extra = 0; extra < 3 && row(i)->recover_ms > 0; extra++) {
            ow_interlocks locks = quiet();
            ow_interlocks_judge(&locks, OW_BLOCK(i), OW_S_MS);
            ow_interlocks_judge(&locks, 0, OW_S_MS); /* seen away for the first time */
            if (row(i)->leaves == OW_LATCHES) {
                ow_interlocks_judge(&locks, 0, OW_H_MS);
                assert_int_equal(ow_interlocks_release(&locks), 0);
            }
            ow_blocks holds = ow_interlocks_judge(&locks, 0, row(i)->recover_ms - 1 + extra);
            assert_int_equal(holds, extra ? 0 : OW_BLOCK(i));
        }
        for (int again = 0; again < 2 && row(i)->recover_ms == 0; again++) {
            ow_interlocks locks = quiet();
            ow_interlocks_judge(&locks, OW_BLOCK(i), OW_S_MS);
            assert_int_equal(ow_interlocks_judge(&locks, 0, 0), 0);
        }
    }
}

static void a_cause_that_flickers_begins_its_time_anew(void **state)
{
    (void)state;
    ow_interlocks locks = quiet();
    for (int i = 0; i < 100; i++) {
        ow_interlocks_judge(&locks, OW_BLOCK(OW_BLOCK_WIND), OW_S_MS);
        assert_true(ow_interlocks_judge(&locks, 0, 299 * OW_S_MS) != 0);
    }
}

static void what_latches_stays_until_released_and_not_while_its_cause_is_seen(void **state)
{
    (void)state;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        ow_interlocks locks = quiet();
        ow_interlocks_judge(&locks, OW_BLOCK(i), OW_S_MS);
        ow_blocks to_blame = row(i)->leaves == OW_LATCHES ? OW_BLOCK(i) : 0;
        assert_int_equal(ow_interlocks_release(&locks), to_blame);
        ow_interlocks_judge(&locks, 0, OW_S_MS);
        ow_interlocks_judge(&locks, 0, UINT32_MAX);
        assert_int_equal(ow_interlocks_judge(&locks, 0, UINT32_MAX), to_blame);
        assert_int_equal(ow_interlocks_release(&locks), 0);
        assert_int_equal(ow_interlocks_judge(&locks, 0, UINT32_MAX), 0);
    }
}

static void a_release_is_refused_as_a_whole(void **state)
{
    (void)state;
    ow_interlocks locks = quiet();
    ow_interlocks_latch(&locks, OW_BLOCK_BY_HAND);
    assert_int_equal(locks.holding, OW_BLOCK(OW_BLOCK_BY_HAND));
    ow_interlocks_judge(&locks, OW_BLOCK(OW_BLOCK_STUCK_ON), OW_S_MS);
    assert_int_equal(ow_interlocks_release(&locks), OW_BLOCK(OW_BLOCK_STUCK_ON));
    assert_int_equal(locks.latched, OW_BLOCK(OW_BLOCK_STUCK_ON) | OW_BLOCK(OW_BLOCK_BY_HAND));
}

static void only_what_latches_can_be_latched(void **state)
{
    (void)state;
    for (unsigned i = 0; i <= OW_INTERLOCKS; i++) {
        ow_interlocks locks = quiet();
        ow_interlocks_latch(&locks, (ow_interlock)i);
        bool latches = i < OW_INTERLOCKS && row(i)->leaves == OW_LATCHES;
        assert_int_equal(locks.latched, latches ? OW_BLOCK(i) : 0);
    }
}

/* Latched by a person and released before anything was judged: it is left as slowly as ever. */
static void what_was_latched_by_hand_is_left_slowly_too(void **state)
{
    (void)state;
    ow_interlocks locks = quiet();
    ow_interlocks_latch(&locks, OW_BLOCK_BY_HAND);
    assert_int_equal(ow_interlocks_release(&locks), 0);
    assert_int_equal(ow_interlocks_judge(&locks, 0, 4999), OW_BLOCK(OW_BLOCK_BY_HAND));
    assert_int_equal(ow_interlocks_judge(&locks, 0, 1), 0);
}

static void an_event_waits_for_a_reading_taken_after_it(void **state)
{
    (void)state;
    ow_interlocks locks = quiet();
    ow_interlocks_await(&locks, OW_BLOCK(OW_BLOCK_CLOCK), 0);
    assert_int_equal(locks.awaiting, OW_BLOCK(OW_BLOCK_CLOCK));
    ow_interlocks_pass(&locks, 1000);
    ow_interlocks_await(&locks, 0, 1000);
    assert_int_equal(locks.awaiting, OW_BLOCK(OW_BLOCK_CLOCK));
    ow_interlocks_await(&locks, OW_BLOCK(OW_BLOCK_WIND), 1001); /* no event */
    assert_int_equal(locks.awaiting, OW_BLOCK(OW_BLOCK_CLOCK));
    ow_interlocks_await(&locks, 0, 999);
    assert_int_equal(locks.awaiting, 0);
    ow_interlocks_pass(&locks, UINT32_MAX);
    ow_interlocks_await(&locks, OW_BLOCK(OW_BLOCK_STARTED), 999);
    ow_interlocks_pass(&locks, UINT32_MAX);
    ow_interlocks_await(&locks, 0, OW_AGE_UNKNOWN);
    assert_int_equal(locks.awaiting, OW_BLOCK(OW_BLOCK_STARTED));
}

static void what_was_saved_goes_on_with_its_latches(void **state)
{
    (void)state;
    ow_interlocks saved = quiet();
    ow_interlocks_judge(&saved, OW_BLOCK(OW_BLOCK_STUCK_ON) | OW_BLOCK(OW_BLOCK_WIND), OW_S_MS);
    ow_interlocks_judge(&saved, 0, OW_S_MS);
    ow_interlocks_judge(&saved, 0, 200 * OW_S_MS);
    ow_interlocks locks = ow_interlocks_resumed(&saved);
    assert_int_equal(locks.latched, OW_BLOCK(OW_BLOCK_STUCK_ON));
    assert_int_equal(locks.holding, OW_BLOCK(OW_BLOCK_STUCK_ON) | OW_BLOCK(OW_BLOCK_WIND) |
                                        OW_BLOCK(OW_BLOCK_STARTED));
    assert_int_equal(locks.recover_ms[OW_BLOCK_WIND], 300 * OW_S_MS);
    assert_int_equal(locks.recover_ms[OW_BLOCK_WET], 0);
    assert_int_equal(locks.awaiting, OW_BLOCK(OW_BLOCK_STARTED));
    /* Not released before it was looked at. */
    assert_int_equal(ow_interlocks_release(&locks), OW_BLOCK(OW_BLOCK_STUCK_ON));
    ow_interlocks_judge(&locks, 0, OW_S_MS);
    assert_int_equal(ow_interlocks_release(&locks), 0);
}

static void common_causes_and_events_are_told(void **state)
{
    (void)state;
    ow_hosting good = {.promises_off = true, .connected = true};
    assert_int_equal(ow_common_causes(true, 300, 300, &good), 0);
    assert_int_equal(ow_common_causes(true, 299, 300, &good), OW_BLOCK(OW_BLOCK_NO_TIMER));
    assert_int_equal(ow_common_causes(true, 0, 0, &good), OW_BLOCK(OW_BLOCK_NO_TIMER));
    assert_int_equal(ow_common_causes(false, 300, 300, &good), OW_BLOCK(OW_BLOCK_CAUTIONS));
    assert_int_equal(ow_common_causes(true, 300, 300, &(ow_hosting){0}),
                     OW_BLOCK(OW_BLOCK_HOST) | OW_BLOCK(OW_BLOCK_OFFLINE));
    assert_int_equal(ow_common_events(&good, false), 0);
    assert_int_equal(ow_common_events(&good, true), OW_BLOCK(OW_BLOCK_HELD_UP));
    assert_true(ow_setting_span(1, 1) && ow_setting_span(OW_SETTING_MAX_MS, 1));
    assert_false(ow_setting_span(0, 1) || ow_setting_span(OW_SETTING_MAX_MS + 1, 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_is_whole),
        cmocka_unit_test(the_first_of_a_set_is_the_most_serious),
        cmocka_unit_test(each_trips_at_once),
        cmocka_unit_test(each_is_left_when_its_cause_has_been_away_for_its_time),
        cmocka_unit_test(a_cause_that_flickers_begins_its_time_anew),
        cmocka_unit_test(what_latches_stays_until_released_and_not_while_its_cause_is_seen),
        cmocka_unit_test(a_release_is_refused_as_a_whole),
        cmocka_unit_test(only_what_latches_can_be_latched),
        cmocka_unit_test(what_was_latched_by_hand_is_left_slowly_too),
        cmocka_unit_test(an_event_waits_for_a_reading_taken_after_it),
        cmocka_unit_test(what_was_saved_goes_on_with_its_latches),
        cmocka_unit_test(common_causes_and_events_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
