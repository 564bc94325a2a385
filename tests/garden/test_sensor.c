/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/quantity.h"
#include "live.h"

enum { LIVE = 0, STORED = 1 };

static ow_reading air = {.id = "deck-air",
                         .measures = OW_MEASURES_AIR,
                         .place = {.at = -1},
                         .topic = "sensors/deck",
                         .pointer = "",
                         .unit = OW_UNIT_C,
                         .stale_after_min = 30};

static ow_sensor sensor_of(ow_reading *reading)
{
    ow_sensor sensor;
    ow_sensor_init(&sensor, reading);
    return sensor;
}

static ow_cause take(ow_sensor *s, const char *text, bool stored, double at, struct told *told)
{
    ow_report report = {.line = tell, .self = told};
    return ow_sensor_take(s, text, strlen(text), stored, at_s(at), &report);
}

static void good(ow_sensor *s, const char *text, double at)
{
    struct told told = {0};
    ow_cause cause = take(s, text, LIVE, at, &told);
    if (cause != OW_CAUSE_NONE) {
        fail_msg("%s at %.0f s: %s", text, at, told.last);
    }
}

static ow_observed look(const ow_sensor *s, double at)
{
    return ow_sensor_look(s, at_s(at).boot_s);
}

static void fresh_then_stale(void **state)
{
    (void)state;
    ow_sensor s = sensor_of(&air);
    ow_observed o = look(&s, 0);
    assert_true(isnan(o.value) && isinf(o.age_s) && !o.may_arm);
    assert_int_equal(o.quality, OW_QUALITY_MISSING);
    good(&s, "3.5", 0);
    o = look(&s, 600);
    check_close("value", o.value, 3.5, 0, 0);
    check_close("age", o.age_s, 600, 0, 0);
    assert_int_equal(o.quality, OW_QUALITY_MEASURED);
    assert_true(o.may_arm);
    assert_int_equal(look(&s, 1800).quality, OW_QUALITY_MEASURED);
    o = look(&s, 1801);
    assert_int_equal(o.quality, OW_QUALITY_STALE);
    assert_false(o.may_arm);
    check_close("still shown", o.value, 3.5, 0, 0);
}

static void stored_shows_but_arms_nothing(void **state)
{
    (void)state;
    struct told told = {0};
    ow_sensor s = sensor_of(&air);
    assert_int_equal(take(&s, "3.5", STORED, 0, &told), OW_CAUSE_NONE);
    ow_observed o = look(&s, 1);
    check_close("shown", o.value, 3.5, 0, 0);
    assert_int_equal(o.quality, OW_QUALITY_STORED);
    assert_true(isinf(o.age_s) && !o.may_arm);
    assert_int_equal(look(&s, 1801).quality, OW_QUALITY_STALE); /* so old it is at least */
    good(&s, "40", 60); /* no jump: the age of what it jumps from is unknown */
    assert_true(look(&s, 60).may_arm);
    assert_int_equal(take(&s, "3.5", STORED, 90, &told), OW_CAUSE_NONE);
    check_close("a fresh one is not replaced", look(&s, 90).value, 40, 0, 0);
    assert_int_equal(take(&s, "3.5", STORED, 60 + 1801, &told), OW_CAUSE_NONE);
    check_close("a stale one is", look(&s, 60 + 1801).value, 3.5, 0, 0);
    assert_int_equal(told.lines, 0);
}

static void own_time_within_reason(void **state)
{
    (void)state;
    struct told told = {0};
    char text[100];
    static const struct {
        double age_s;
        bool stored, taken, may_arm;
    } row[] = {
        {0, LIVE, true, true},      {900, LIVE, true, true},     {1800, LIVE, true, true},
        {1801, LIVE, false, false}, {-300, LIVE, true, true},    {-301, LIVE, false, false},
        {900, STORED, true, true},  {1801, STORED, true, false}, {-301, STORED, true, false},
    };
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        ow_sensor s = sensor_of(&air);
        snprintf(text, sizeof text, "[{\"u\":\"Cel\",\"v\":2,\"t\":%.0f}]",
                 (double)T0 - row[i].age_s);
        ow_cause cause = take(&s, text, row[i].stored, 0, &told);
        assert_int_equal(cause, row[i].taken ? OW_CAUSE_NONE : OW_CAUSE_TIME);
        ow_observed o = look(&s, 0);
        assert_int_equal(o.may_arm, row[i].may_arm);
        if (o.may_arm) {
            check_close("age", o.age_s, fmax(row[i].age_s, 0), 0, 0);
        }
    }
    ow_sensor s = sensor_of(&air);
    assert_int_equal(take(&s, "[{\"v\":2,\"t\":-600}]", STORED, 0, &told), OW_CAUSE_NONE);
    assert_int_equal(look(&s, 0).quality, OW_QUALITY_STORED); /* 600 s before it was sent: when? */
    assert_int_equal(take(&s, "[{\"v\":2,\"t\":-600}]", LIVE, 0, &told), OW_CAUSE_NONE);
    check_close("age", look(&s, 0).age_s, 600, 0, 0);
    good(&s, "3", 10);
    assert_int_equal(take(&s, "[{\"v\":1,\"t\":-600}]", LIVE, 20, &told), OW_CAUSE_TIME);
    check_close("an older one changes nothing", look(&s, 20).value, 3, 0, 0);
    snprintf(text, sizeof text, "[{\"v\":1,\"t\":%.0f}]", (double)T0 - 600);
    assert_int_equal(take(&s, text, STORED, 20, &told), OW_CAUSE_NONE); /* no fault of anyone's */
    check_close("nor does an old stored one", look(&s, 20).value, 3, 0, 0);
}

static void out_of_range(void **state)
{
    (void)state;
    struct told told = {0};
    ow_sensor s = sensor_of(&air);
    good(&s, "3", 0);
    assert_int_equal(take(&s, "85", LIVE, 60, &told), OW_CAUSE_RANGE);
    assert_string_equal(told.last, "sensors/deck: deck-air is 85 C; an air temperature is -60 to 60"
                                   " C; look at the sensor and at its unit");
    assert_int_equal(take(&s, "-127", LIVE, 60, &told), OW_CAUSE_RANGE);
    check_close("held", look(&s, 60).value, 3, 0, 0);
    check_close("its age goes on", look(&s, 60).age_s, 60, 0, 0);
    ow_reading humidity = air;
    humidity.measures = OW_MEASURES_HUMIDITY;
    humidity.unit = OW_UNIT_PERCENT;
    ow_sensor h = sensor_of(&humidity);
    good(&h, "100.4", 0);
    check_close("clipped", look(&h, 0).value, 100, 0, 0);
}

static void a_jump_wants_a_witness(void **state)
{
    (void)state;
    struct told told = {0};
    const ow_quantity *q = ow_quantity_of(OW_MEASURES_AIR);
    char text[40];
    ow_sensor s = sensor_of(&air);
    good(&s, "3", 0);
    snprintf(text, sizeof text, "%.6f", 3 + q->jump + q->per_min - 0.001);
    good(&s, text, 60); /* just not a jump */
    good(&s, "3", 120);
    snprintf(text, sizeof text, "%.6f", 3 + q->jump + q->per_min + 0.001);
    assert_int_equal(take(&s, text, LIVE, 180, &told), OW_CAUSE_JUMP);
    check_close("held", look(&s, 180).value, 3, 0, 0);
    good(&s, "3.2", 240); /* it was a spike */
    assert_int_equal(take(&s, "20", LIVE, 300, &told), OW_CAUSE_JUMP);
    assert_int_equal(take(&s, "20", LIVE, 300, &told), OW_CAUSE_JUMP);  /* the same one again */
    assert_int_equal(take(&s, "-20", LIVE, 360, &told), OW_CAUSE_JUMP); /* no witness */
    assert_int_equal(take(&s, "20", LIVE, 420, &told), OW_CAUSE_JUMP);
    good(&s, "20.5", 480);
    check_close("believed", look(&s, 480).value, 20.5, 0, 0);
}

static void stuck_is_told(void **state)
{
    (void)state;
    ow_sensor s = sensor_of(&air);
    for (int i = 0; i <= 6 * 6; i++) { /* six hours to the minute are no more than six hours */
        good(&s, "1.25", i * 600.0);
    }
    assert_false(look(&s, 6 * 3600).stuck);
    good(&s, "1.25", 6 * 3600 + 600);
    assert_true(look(&s, 6 * 3600 + 600).stuck);
    assert_true(look(&s, 6 * 3600 + 600).may_arm); /* an advice, no more */
    good(&s, "1.26", 6 * 3600 + 1200);
    assert_false(look(&s, 6 * 3600 + 1200).stuck);
    ow_sensor slow = sensor_of(&air);
    good(&slow, "1.25", 0);
    good(&slow, "1.25", 8 * 3600);
    assert_false(look(&slow, 8 * 3600).stuck); /* two messages prove nothing */
}

static void a_wall_jump_casts_doubt(void **state)
{
    (void)state;
    ow_sensor s = sensor_of(&air);
    good(&s, "3", 0);
    ow_sensor_doubt(&s);
    assert_int_equal(look(&s, 1).quality, OW_QUALITY_STORED);
    assert_false(look(&s, 1).may_arm);
    good(&s, "3", 2);
    assert_true(look(&s, 2).may_arm);
}

static void told_with_back_off_and_an_end(void **state)
{
    (void)state;
    struct told told = {0};
    ow_sensor s = sensor_of(&air);
    good(&s, "3", 0);
    for (int i = 1; i <= 1000; i++) {
        assert_int_equal(take(&s, "n/a", LIVE, i, &told), OW_CAUSE_NO_NUMBER);
        int want = i >= 1000 ? 4 : i >= 100 ? 3 : i >= 10 ? 2 : 1;
        assert_int_equal(told.lines, want);
    }
    assert_non_null(strstr(told.last, "(1000 times now)"));
    assert_int_equal(take(&s, "99", LIVE, 1001, &told), OW_CAUSE_RANGE); /* another cause */
    assert_int_equal(told.lines, 5);
    assert_int_equal(s.complaints.total, 1001);
    assert_int_equal(take(&s, "3.1", LIVE, 1002, &told), OW_CAUSE_NONE);
    assert_int_equal(told.lines, 7);
    assert_non_null(strstr(told.last, "sensors/deck: deck-air can be read again"));
    assert_int_equal(take(&s, "3.1", LIVE, 1003, &told), OW_CAUSE_NONE);
    assert_int_equal(told.lines, 7);
    for (int i = 0; i < 200; i++) { /* on and off: it goes on counting where it was */
        (void)take(&s, "n/a", LIVE, 1010 + 2 * i, &told);
        (void)take(&s, "3.1", LIVE, 1011 + 2 * i, &told);
    }
    assert_int_equal(told.lines, 7);
    assert_int_equal(take(&s, "n/a", LIVE, 10000, &told), OW_CAUSE_NO_NUMBER); /* long after */
    assert_int_equal(told.lines, 8);
    assert_int_equal(take(&s, "n/a", LIVE, 10001 + 86400, &told), OW_CAUSE_NO_NUMBER); /* daily */
    assert_int_equal(told.lines, 9);
}

static void mutations_change_nothing(void **state)
{
    (void)state;
    ow_reading json = air;
    json.pointer = "/t";
    ow_sensor s = sensor_of(&json);
    struct told told = {0};
    ow_report report = {.line = tell, .self = &told};
    unsigned seed = 7;
    int good_ones = 0;
    good(&s, "{\"t\": 1}", 0);
    for (int i = 1; i < 10000; i++) {
        char text[64] = "{\"t\": -3.5, \"at\": [1, \"x\"]}";
        size_t size = mutate(text, strlen(text), &seed);
        char *bytes = heap_bytes(text, size);
        ow_observed before = look(&s, i), after;
        ow_cause cause = ow_sensor_take(&s, bytes, size, i % 7 == 0, at_s(i), &report);
        free(bytes);
        after = look(&s, i);
        if (cause != OW_CAUSE_NONE) {
            check_close("value", after.value, before.value, 0, 0);
            assert_int_equal(after.quality, before.quality);
            assert_true(after.age_s >= before.age_s && after.age_s <= before.age_s);
        } else {
            check_between("believed", after.value, -60, 60);
            good_ones++;
        }
    }
    assert_true(good_ones > 500 && s.complaints.total > 3000);
    assert_true(told.lines < 2 * good_ones);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fresh_then_stale),         cmocka_unit_test(stored_shows_but_arms_nothing),
        cmocka_unit_test(own_time_within_reason),   cmocka_unit_test(out_of_range),
        cmocka_unit_test(a_jump_wants_a_witness),   cmocka_unit_test(stuck_is_told),
        cmocka_unit_test(a_wall_jump_casts_doubt),  cmocka_unit_test(told_with_back_off_and_an_end),
        cmocka_unit_test(mutations_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
