/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/quantity.h"
#include "garden/units.h"

#define UNITS (OW_UNIT_KW + 1)

struct row {
    ow_unit from;
    double value;
    ow_unit to;
    double want;
};

static void known_pairs(void **state)
{
    (void)state;
    static const struct row row[] = {
        /* ISO 80000-5: t/C = T/K - 273.15; NIST SP 811 B.8: t/C = (t/F - 32)/1.8 */
        {OW_UNIT_F, 32, OW_UNIT_C, 0},
        {OW_UNIT_F, 212, OW_UNIT_C, 100},
        {OW_UNIT_F, -40, OW_UNIT_C, -40},
        {OW_UNIT_K, 273.15, OW_UNIT_C, 0},
        {OW_UNIT_C, -273.15, OW_UNIT_K, 0},
        {OW_UNIT_F, -459.67, OW_UNIT_K, 0},
        /* km/h = 1/3.6 m/s; mile 1609.344 m, nautical mile 1852 m (NIST SP 811 B.8) */
        {OW_UNIT_KM_H, 36, OW_UNIT_M_S, 10},
        {OW_UNIT_MPH, 1, OW_UNIT_M_S, 0.44704},
        {OW_UNIT_KNOT, 3600, OW_UNIT_M_S, 1852},
        {OW_UNIT_KNOT, 1, OW_UNIT_KM_H, 1.852},
        /* by definition */
        {OW_UNIT_SHARE, 0.25, OW_UNIT_PERCENT, 25},
        {OW_UNIT_OKTA, 8, OW_UNIT_PERCENT, 100},
        {OW_UNIT_OKTA, 3, OW_UNIT_PERCENT, 37.5},
        {OW_UNIT_INCH, 1, OW_UNIT_MM, 25.4},
        {OW_UNIT_M, 0.12, OW_UNIT_CM, 12},
        {OW_UNIT_KW, 1.5, OW_UNIT_W, 1500},
    };
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        check_close(ow_unit_name(row[i].from),
                    ow_unit_convert(row[i].value, row[i].from, row[i].to), row[i].want, 1e-11, 0);
    }
    assert_true(ow_unit_convert(32, OW_UNIT_F, OW_UNIT_C) == 0.0); /* to the last bit */
}

static void there_and_back(void **state)
{
    (void)state;
    for (int a = 0; a < UNITS; a++) {
        for (int b = 0; b < UNITS; b++) {
            double out = ow_unit_convert(3.7, (ow_unit)a, (ow_unit)b);
            assert_int_equal(ow_unit_fits((ow_unit)a, (ow_unit)b), !isnan(out));
            if (!isnan(out)) {
                check_close(ow_unit_name((ow_unit)a), ow_unit_convert(out, (ow_unit)b, (ow_unit)a),
                            3.7, 1e-11, 0);
            }
        }
    }
}

static void what_does_not_fit(void **state)
{
    (void)state;
    assert_false(ow_unit_fits(OW_UNIT_C, OW_UNIT_PERCENT));
    assert_false(ow_unit_fits(OW_UNIT_W, OW_UNIT_W_M2));
    assert_true(isnan(ow_unit_convert(1, OW_UNIT_M, OW_UNIT_M_S)));
}

static void names_of_senml(void **state)
{
    (void)state;
    ow_unit unit = OW_UNIT_KW;
    assert_true(ow_unit_of_senml("Cel", &unit) && unit == OW_UNIT_C);
    assert_true(ow_unit_of_senml("%RH", &unit) && unit == OW_UNIT_PERCENT);
    assert_true(ow_unit_of_senml("/", &unit) && unit == OW_UNIT_SHARE);
    assert_true(ow_unit_of_senml("W/m2", &unit) && unit == OW_UNIT_W_M2);
    assert_false(ow_unit_of_senml("lx", &unit)); /* light is no radiation */
    assert_false(ow_unit_of_senml("C", &unit));  /* a coulomb */
    assert_false(ow_unit_of_senml("", &unit));
    assert_true(unit == OW_UNIT_W_M2);
}

static void quantities_hold_together(void **state)
{
    (void)state;
    for (int m = 0; m <= OW_MEASURES_POWER; m++) {
        const ow_quantity *q = ow_quantity_of((ow_measures)m);
        assert_non_null(q->what);
        assert_true(q->low <= q->least && q->least < q->most && q->most <= q->high);
        assert_true(q->jump > 0.0 && q->per_min >= 0.0 && q->stuck_h > 0.0 && q->apart > 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_pairs),
        cmocka_unit_test(there_and_back),
        cmocka_unit_test(what_does_not_fit),
        cmocka_unit_test(names_of_senml),
        cmocka_unit_test(quantities_hold_together),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
