/* SPDX-License-Identifier: MIT */
/* The set point stays within its bounds, whatever is asked; a circuit shares by distance to it. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "outputs/bench.h"
#include "outputs/set_point.h"

static int32_t set_mc(int32_t set_back_mc, int32_t too_warm_mc, int32_t wanted_mc)
{
    return ow_heater_set_mc((ow_set_point){.keep_mc = 5000,
                                           .set_back_mc = set_back_mc,
                                           .too_warm_mc = too_warm_mc,
                                           .wanted_mc = wanted_mc});
}

static void between_its_bounds(void **state)
{
    (void)state;
    static const struct {
        int32_t set_back, too_warm, wanted, want;
    } rows[] = {
        {1000, 20000, 3000, 3000},          {1000, 20000, 1000, 1000},
        {1000, 20000, 999, 1000},           {1000, 20000, INT32_MIN + 1, 1000},
        {1000, 20000, 5000, 5000},          {1000, 20000, 8000, 8000},
        {1000, 20000, 8001, 8000},          {1000, 20000, INT32_MAX, 8000},
        {1000, 8000, 8000, 6500},           {1000, 8000, 6500, 6500},
        {1000, 6500, 8000, 5000},           {1000, 6499, 1000, 5000},
        {1000, INT32_MIN, 1000, 5000},      {5001, 20000, 1000, 5000},
        {5000, 20000, 4999, 5000},          {OW_MILLI_NONE, 20000, 1000, 5000},
        {1000, 20000, OW_MILLI_NONE, 5000}, {OW_MILLI_NONE, 20000, 7000, 7000},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_int_equal(set_mc(rows[i].set_back, rows[i].too_warm, rows[i].wanted), rows[i].want);
    }
}

/* A setting that was sound stays so under any set point. */
static void settings_stay_sound(void **state)
{
    (void)state;
    for (int32_t too_warm = 5000; too_warm <= 12000; too_warm += 250) {
        for (int32_t wanted = -3000; wanted <= 12000; wanted += 250) {
            int64_t set = set_mc(-2000, too_warm, wanted);
            bool fits = too_warm - OW_TOO_WARM_BAND_MK >= 5000 + OW_HEAT_BAND_MK;
            assert_int_equal(too_warm - OW_TOO_WARM_BAND_MK >= set + OW_HEAT_BAND_MK, fits);
        }
    }
}

/* Of two in the same air, that is in need which is to be the warmer one. */
static void a_circuit_shares_by_distance_to_the_set_point(void **state)
{
    (void)state;
    for (int first = 0; first < 2; first++) {
        ow_circuit_member member[2];
        for (int i = 0; i < 2; i++) {
            ow_heater_spec spec = a_heater_spec();
            spec.keep_mc = ow_heater_set_mc((ow_set_point){.keep_mc = 5000,
                                                           .set_back_mc = 1000,
                                                           .too_warm_mc = spec.too_warm_mc,
                                                           .wanted_mc = i == first ? 4000 : 2000});
            ow_heater heater = a_ready_heater(0);
            heater.wanted = true;
            ow_sensed air = {.known = true, .milli = 0, .age_ms = 0};
            member[i] = ow_heater_member(&heater, &spec, air);
            assert_true(member[i].asks);
            assert_int_equal(member[i].need_mk, spec.keep_mc + OW_HEAT_BAND_MK);
        }
        ow_circuit_share(member[0].watts, member, 2);
        assert_true(member[first].granted);
        assert_false(member[1 - first].granted);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(between_its_bounds),
        cmocka_unit_test(settings_stay_sound),
        cmocka_unit_test(a_circuit_shares_by_distance_to_the_set_point),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
