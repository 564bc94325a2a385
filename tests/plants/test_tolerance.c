/* SPDX-License-Identifier: MIT */
/* Parts, own limits, and comparing like with like. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "plants/tolerance.h"

static void parts_are_found_by_their_names(void **state)
{
    (void)state;
    static const char *const names[] = {"foliage", "buds", "roots", "growing point",
                                        "storage organ"};
    for (int i = 0; i < OW_PARTS; i++) {
        ow_part part = OW_PARTS;
        assert_int_equal(ow_part_find(names[i], &part), OW_OK);
        assert_int_equal(part, i);
        assert_string_equal(ow_part_name(part), names[i]);
    }
    ow_part part = OW_BUDS;
    assert_int_equal(ow_part_find("stem", &part), OW_NOT_FOUND);
    assert_int_equal(ow_part_find("", &part), OW_NOT_FOUND);
    assert_int_equal(part, OW_BUDS);
    assert_string_equal(ow_part_name(OW_PARTS), "?");
}

static void an_own_tolerance_starts_empty(void **state)
{
    (void)state;
    ow_tolerance own;
    ow_tolerance_own(&own);
    for (int i = 0; i < OW_PARTS; i++) {
        assert_false(own.limit[i].set);
    }
    own.limit[OW_ROOTS] = ow_limit_own(-2.0, -4.0, false);
    assert_true(own.limit[OW_ROOTS].set);
    assert_int_equal(own.limit[OW_ROOTS].grade, 'O');
    check_close("minutes", own.limit[OW_ROOTS].minutes, 30.0, 0.0, 0.0);
    assert_true(own.suffers_days < own.may_die_days);
}

static void tissue_is_held_against_its_own_temperature(void **state)
{
    (void)state;
    ow_limit tissue = ow_limit_own(-2.0, -4.0, false);
    check_close("colder than the air", ow_limit_compared_c(&tissue, -5.0, -2.0), -5.0, 0.0, 0.0);
    check_close("warmer than the air", ow_limit_compared_c(&tissue, -1.0, -6.0), -1.0, 0.0, 0.0);
    check_close("part unknown", ow_limit_compared_c(&tissue, NAN, -6.0), -6.0, 0.0, 0.0);
}

static void an_air_minimum_counts_the_sky_once_and_credits_a_wrap(void **state)
{
    (void)state;
    ow_limit air = ow_limit_own(-2.0, -4.0, true);
    check_close("leaf under a clear sky", ow_limit_compared_c(&air, -5.0, -2.0), -2.0, 0.0, 0.0);
    check_close("wrapped", ow_limit_compared_c(&air, -1.0, -6.0), -1.0, 0.0, 0.0);
    check_close("air unknown", ow_limit_compared_c(&air, -1.0, NAN), -1.0, 0.0, 0.0);
    assert_true(isnan(ow_limit_compared_c(&air, NAN, NAN)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_are_found_by_their_names),
        cmocka_unit_test(an_own_tolerance_starts_empty),
        cmocka_unit_test(tissue_is_held_against_its_own_temperature),
        cmocka_unit_test(an_air_minimum_counts_the_sky_once_and_credits_a_wrap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
