/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "hosts/guard/offs.h"
#include "hosts/minding.h"
#include "hosts/topics.h"

static const ow_link garden = {.state_topic = "homie/5/yard/$state",
                               .beat_topic = "homie/5/yard/garden/beat"};
enum { LATE_MS = 20000 };

static ow_minding minding;

static void hear(const char *topic, const char *payload, bool retained, uint64_t at_ms)
{
    const ow_message message = {topic, payload, strlen(payload), retained, NULL};
    ow_minding_hear(&minding, &garden, &message, at_ms);
}

static void state_is(const char *word, bool retained)
{
    hear(garden.state_topic, word, retained, 0);
}

static void beat(const char *value, bool retained, uint64_t at_ms)
{
    hear(garden.beat_topic, value, retained, at_ms);
}

static int start(void **state)
{
    (void)state;
    minding = (ow_minding){0};
    return 0;
}

static void nobody_is_assumed(void **state)
{
    (void)state;
    assert_false(ow_minding_alive(&minding, 0, LATE_MS));
    assert_int_equal(minding.minder, OW_MINDER_UNKNOWN);
}

static void what_is_stored_is_no_life(void **state)
{
    (void)state;
    state_is("ready", true);
    beat("7", true, 1000);
    beat("8", true, 2000);
    assert_int_equal(minding.minder, OW_MINDER_READY);
    assert_false(ow_minding_alive(&minding, 2000, LATE_MS));
}

static void a_fresh_beat_must_differ(void **state)
{
    (void)state;
    state_is("ready", true);
    beat("7", false, 1000); /* the first value is no change */
    beat("7", false, 2000);
    assert_false(ow_minding_alive(&minding, 2000, LATE_MS));
    beat("8", false, 3000);
    assert_true(ow_minding_alive(&minding, 3000, LATE_MS));
    beat("8", false, 20000); /* the same again is not fresh */
    assert_true(ow_minding_alive(&minding, 3000 + LATE_MS, LATE_MS));
    assert_false(ow_minding_alive(&minding, 3000 + LATE_MS + 1, LATE_MS));
}

static void a_fresh_beat_may_differ_from_the_stored_one(void **state)
{
    (void)state;
    beat("7", true, 0);
    beat("8", false, 1000);
    assert_true(ow_minding_alive(&minding, 1000, LATE_MS));
}

static void who_goes_away_must_show_life_anew(void **state)
{
    (void)state;
    static const char *const away[] = {"init", "disconnected", "lost", "sleeping", "readyy"};
    for (size_t i = 0; i < sizeof away / sizeof away[0]; i++) {
        start(NULL);
        state_is("ready", false);
        beat("1", false, 0);
        beat("2", false, 1000);
        assert_true(ow_minding_alive(&minding, 1000, LATE_MS));
        state_is(away[i], false);
        assert_false(ow_minding_alive(&minding, 1000, LATE_MS));
        beat("3", false, 2000); /* on its way when its sender went */
        assert_false(ow_minding_alive(&minding, 2000, LATE_MS));
        state_is("ready", false);
        assert_false(ow_minding_alive(&minding, 3000, LATE_MS));
        beat("4", false, 4000);
        assert_true(ow_minding_alive(&minding, 4000, LATE_MS));
    }
}

static void odd_beats_and_other_topics_are_ignored(void **state)
{
    (void)state;
    beat("1", false, 0);
    beat("", false, 1000);
    beat("123456789012345678901234567890", false, 1000);
    hear("homie/5/other/garden/beat", "2", false, 1000);
    assert_false(ow_minding_alive(&minding, 1000, LATE_MS));
}

static void off_is_said_again_until_reported(void **state)
{
    (void)state;
    ow_off_task task = {0};
    ow_off_heard(&task, true, 0); /* before anything was said, it says nothing of our off */
    assert_true(ow_off_due(&task, 0));
    ow_off_said(&task, 1000);
    assert_false(ow_off_due(&task, 1000 + OW_OFF_QUICK_MS - 1));
    assert_true(ow_off_due(&task, 1000 + OW_OFF_QUICK_MS));
    ow_off_said(&task, 1000 + OW_OFF_QUICK_MS);
    ow_off_heard(&task, false, 7000);
    assert_true(ow_off_due(&task, 1000 + 2 * OW_OFF_QUICK_MS));
    ow_off_heard(&task, true, 12000);
    assert_false(ow_off_due(&task, 1000000));
    ow_off_heard(&task, false, 2000000);
    assert_true(ow_off_due(&task, 2000000));
}

static void off_is_said_more_slowly_after_a_while(void **state)
{
    (void)state;
    ow_off_task task = {0};
    uint64_t at_ms = 500;
    unsigned quick = 0;
    ow_off_said(&task, at_ms);
    for (; at_ms < 500 + OW_OFF_QUICK_FOR_MS + OW_OFF_SLOW_MS; at_ms += 100) {
        if (ow_off_due(&task, at_ms)) {
            ow_off_said(&task, at_ms);
            quick++;
        }
    }
    /* Every five seconds for two minutes, and none in the minute after. */
    assert_int_equal(quick, OW_OFF_QUICK_FOR_MS / OW_OFF_QUICK_MS);
    assert_true(ow_off_due(&task, at_ms));
}

static void own_topics_are_told_from_others(void **state)
{
    (void)state;
    char topic[64];
    assert_true(ow_topic_is_set(&garden, "homie/5/yard/lemon/place/set"));
    assert_false(ow_topic_is_set(&garden, "homie/5/yard/lemon/place"));
    assert_false(ow_topic_is_set(&garden, "homie/5/yard2/lemon/place/set"));
    assert_false(ow_topic_is_set(&garden, "plug/set"));
    assert_true(ow_topic_is_own(&garden, "homie/5/yard/$log/warn"));
    assert_false(ow_topic_is_own(&garden, "homie/5/yardstick/$log/warn"));
    assert_true(ow_topic_of_device(&garden, "$alert/unminded", topic, sizeof topic));
    assert_string_equal(topic, "homie/5/yard/$alert/unminded");
    assert_false(ow_topic_of_device(&garden, "$alert/unminded", topic, 20));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(nobody_is_assumed, start),
        cmocka_unit_test_setup(what_is_stored_is_no_life, start),
        cmocka_unit_test_setup(a_fresh_beat_must_differ, start),
        cmocka_unit_test_setup(a_fresh_beat_may_differ_from_the_stored_one, start),
        cmocka_unit_test_setup(who_goes_away_must_show_life_anew, start),
        cmocka_unit_test_setup(odd_beats_and_other_topics_are_ignored, start),
        cmocka_unit_test(off_is_said_again_until_reported),
        cmocka_unit_test(off_is_said_more_slowly_after_a_while),
        cmocka_unit_test(own_topics_are_told_from_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
