/* SPDX-License-Identifier: MIT */
/* The first harm on a course, and what it costs. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "judgement/loss.h"

static ow_course calm_course(void)
{
    ow_course c = {.suffers_s = OW_NEVER, .may_die_s = OW_NEVER};
    for (int p = 0; p < OW_PARTS; p++) {
        c.damaged_s[p] = c.killed_s[p] = OW_NEVER;
        c.lowest_c[p] = -1.0 - p;
        c.lowest_s[p] = 500 + p;
        c.limit_c[p] = -0.5 * p;
    }
    return c;
}

/* ---- threats --------------------------------------------------------------------------------- */

static void a_threat_is_the_first_harm(void **state)
{
    (void)state;
    ow_condition well = {0};
    ow_course c = calm_course();
    ow_threat t = ow_threat_of(&c, &well);
    assert_false(t.any || t.kills);
    assert_true(t.at_s == OW_NEVER && t.weight == 0.0);
    c.damaged_s[OW_FOLIAGE] = 300;
    c.damaged_s[OW_ROOTS] = 200;
    c.killed_s[OW_FOLIAGE] = 400;
    t = ow_threat_of(&c, &well);
    assert_true(t.any && t.kills);
    assert_int_equal(t.part, OW_ROOTS);
    assert_int_equal(t.at_s, 200);
    assert_int_equal(t.lowest_s, 502);
    assert_true(t.lowest_c == -3.0 && t.limit_c == -1.0);
    check_close("weight", t.weight, 1.0 + 10.0 + 3.0, 1e-12, 0.0);
}

static void of_two_at_once_the_first_part_is_told(void **state)
{
    (void)state;
    ow_condition well = {0};
    ow_course c = calm_course();
    c.damaged_s[OW_BUDS] = c.damaged_s[OW_STORAGE_ORGAN] = 200;
    assert_int_equal(ow_threat_of(&c, &well).part, OW_BUDS);
}

static void harm_suffered_is_no_news(void **state)
{
    (void)state;
    ow_condition hurt = {0};
    ow_course c = calm_course();
    c.damaged_s[OW_FOLIAGE] = 100;
    hurt.watch[OW_FOLIAGE].damaged = true;
    assert_false(ow_threat_of(&c, &hurt).any);
    c.killed_s[OW_FOLIAGE] = 200;
    ow_threat t = ow_threat_of(&c, &hurt);
    assert_true(t.any && t.kills);
    assert_int_equal(t.at_s, 200);
    check_close("only the death", t.weight, 10.0, 1e-12, 0.0);
    hurt.watch[OW_FOLIAGE].killed = true;
    assert_false(ow_threat_of(&c, &hurt).any);
}

/* ---- weights (all ours) ---------------------------------------------------------------------- */

/* Leaves and buds grow again, roots are three times as dear, what grows no second time four times;
 * a part that dies weighs ten of one that is harmed. */
static void what_is_lost_weighs(void **state)
{
    (void)state;
    static const double weighs[OW_PARTS] = {[OW_FOLIAGE] = 1.0,
                                            [OW_BUDS] = 1.0,
                                            [OW_ROOTS] = 3.0,
                                            [OW_GROWING_POINT] = 4.0,
                                            [OW_STORAGE_ORGAN] = 4.0};
    ow_condition well = {0};
    ow_plant plant = {.value = OW_VALUE_ORDINARY};
    for (int p = 0; p < OW_PARTS; p++) {
        ow_course c = calm_course();
        c.limit_c[p] = c.lowest_c[p];
        c.damaged_s[p] = 100;
        check_close("harmed", ow_threat_of(&c, &well).weight, weighs[p], 1e-12, 0.0);
        check_close("harmed, sure", ow_loss_of(&c, &well, &plant, 0.5).sure, weighs[p], 1e-12, 0.0);
        check_close("harmed, expected", ow_loss_of(&c, &well, &plant, 0.5).expected,
                    0.5 * weighs[p], 1e-12, 0.0);
        c.killed_s[p] = 200;
        check_close("killed", ow_threat_of(&c, &well).weight, 11.0 * weighs[p], 1e-12, 0.0);
        check_close("killed, sure", ow_loss_of(&c, &well, &plant, 0.5).sure, 11.0 * weighs[p],
                    1e-12, 0.0);
        check_close("killed, expected", ow_loss_of(&c, &well, &plant, 0.5).expected,
                    5.5 * weighs[p], 1e-12, 0.0);
        c.damaged_s[p] = OW_NEVER; /* harmed long since, and killed now */
        check_close("killed only", ow_loss_of(&c, &well, &plant, 0.5).expected, 5.0 * weighs[p],
                    1e-12, 0.0);
    }
}

static void values_count(void **state)
{
    (void)state;
    static const struct {
        ow_value value;
        double counts, acts_from;
    } table[] = {{OW_VALUE_ORDINARY, 1.0, 0.25},
                 {OW_VALUE_TREASURED, 3.0, 0.10},
                 {OW_VALUE_IRREPLACEABLE, 10.0, 0.03}};
    ow_condition well = {0};
    ow_course c = calm_course();
    c.damaged_s[OW_FOLIAGE] = 100;
    c.limit_c[OW_FOLIAGE] = c.lowest_c[OW_FOLIAGE];
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        ow_plant plant = {.value = table[i].value};
        ow_loss loss = ow_loss_of(&c, &well, &plant, 0.5);
        check_close("counts", ow_value_counts(table[i].value), table[i].counts, 0.0, 0.0);
        check_close("acts from", ow_act_from_risk(table[i].value), table[i].acts_from, 0.0, 0.0);
        check_close("expected", loss.expected, 0.5 * table[i].counts, 1e-12, 0.0);
        check_close("the weight itself", loss.sure, 1.0, 0.0, 0.0);
    }
    check_close("no value", ow_act_from_risk((ow_value)(OW_VALUE_IRREPLACEABLE + 1)), 0.25, 0, 0);
}

/* ---- risk ------------------------------------------------------------------------------------ */

static void what_is_passed_has_the_share_as_its_risk(void **state)
{
    (void)state;
    static const struct {
        double lowest_c, limit_c, risk;
    } table[] = {
        {-5.0, -5.0, 0.4},    {-4.0, -5.0, 0.4},    {-7.0, -5.0, 0.4 + 0.0010},
        {-15.0, -5.0, 0.405}, {-40.0, -5.0, 0.405}, {-5.0, NAN, 0.4},
    };
    ow_course c = calm_course();
    check_close("not passed", ow_risk_of(&c, OW_BUDS, false, 0.4), 0.0, 0.0, 0.0);
    check_close("not passed", ow_risk_of(&c, OW_BUDS, true, 0.4), 0.0, 0.0, 0.0);
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        c = calm_course();
        c.damaged_s[OW_BUDS] = 100;
        c.lowest_c[OW_BUDS] = table[i].lowest_c;
        c.limit_c[OW_BUDS] = table[i].limit_c;
        check_close("harmed", ow_risk_of(&c, OW_BUDS, false, 0.4), table[i].risk, 1e-12, 0.0);
        check_close("not killed", ow_risk_of(&c, OW_BUDS, true, 0.4), 0.0, 0.0, 0.0);
        c.killed_s[OW_BUDS] = 200;
        check_close("killed", ow_risk_of(&c, OW_BUDS, true, 0.4), table[i].risk, 1e-12, 0.0);
    }
}

/* ---- frozen roots ---------------------------------------------------------------------------- */

/* Suffering weighs as two harmed leaves, dying as thirty, both for certain; what the clock has
 * passed already is lost and weighs no more. */
static void a_drought_weighs_what_is_still_to_come(void **state)
{
    (void)state;
    static const struct {
        double clock_days;
        ow_utc_s suffers_s, may_die_s;
        double weighs;
    } table[] = {
        {0.0, OW_NEVER, OW_NEVER, 0.0}, {0.0, 100, OW_NEVER, 2.0}, {0.0, 100, 200, 32.0},
        {1.999, 100, 200, 32.0},        {2.0, 100, 200, 30.0},     {8.999, 100, 200, 30.0},
        {9.0, 100, 200, 0.0},           {12.0, 100, 200, 0.0},
    };
    ow_course c = calm_course();
    ow_plant plant = {.value = OW_VALUE_TREASURED,
                      .tolerance = {.suffers_days = 2.0, .may_die_days = 9.0}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        ow_condition now = {.drought = {.clock_s = table[i].clock_days * 86400.0}};
        c.suffers_s = table[i].suffers_s;
        c.may_die_s = table[i].may_die_s;
        ow_loss loss = ow_loss_of(&c, &now, &plant, 0.1);
        check_close("sure", loss.sure, table[i].weighs, 1e-12, 0.0);
        check_close("expected", loss.expected, 3.0 * table[i].weighs, 1e-12, 0.0);
    }
    plant.tolerance.suffers_days = plant.tolerance.may_die_days = NAN; /* no threat to it */
    ow_condition now = {.drought = {.clock_s = 0.0}};
    check_close("leafless", ow_loss_of(&c, &now, &plant, 0.1).sure, 0.0, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_threat_is_the_first_harm),
        cmocka_unit_test(of_two_at_once_the_first_part_is_told),
        cmocka_unit_test(harm_suffered_is_no_news),
        cmocka_unit_test(what_is_lost_weighs),
        cmocka_unit_test(values_count),
        cmocka_unit_test(what_is_passed_has_the_share_as_its_risk),
        cmocka_unit_test(a_drought_weighs_what_is_still_to_come),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
