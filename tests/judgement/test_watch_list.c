/* SPDX-License-Identifier: MIT */
/* Limits passed, and when to look again. Days are common practice, no source. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "judgement/watch_list.h"

static const ow_utc_s JAN_15 = 1705276800; /* date -u -d 2024-01-15 +%s */
static const ow_utc_s FEB_12 = 1707696000, MAY_1 = 1714521600, JUL_1 = 1719792000;

static ow_condition harmed(ow_part part, bool killed, ow_condition c)
{
    c.watch[part].damaged = true;
    c.watch[part].killed = killed;
    c.watch[part].lowest_c = -9.04;
    c.watch[part].lowest_at = JAN_15;
    return c;
}

static void each_harm_has_its_day(void **state)
{
    (void)state;
    ow_tolerance stands = {0};
    ow_watch_item item[OW_PARTS];
    ow_condition c = harmed(OW_ROOTS, false, harmed(OW_FOLIAGE, false, (ow_condition){0}));
    stands.limit[OW_ROOTS] = (ow_limit){.set = true, .damaged_c = -6.0, .killed_c = -8.0};
    assert_int_equal(ow_watch_list(&c, &stands, 50.0, item), 2);
    assert_int_equal(item[0].part, OW_FOLIAGE);
    assert_true(item[0].look_s == FEB_12);
    assert_int_equal(item[1].part, OW_ROOTS);
    assert_true(item[1].look_s == MAY_1);
    char text[OW_ANSWER_TEXT];
    ow_watch_answer(&item[1], "dead", text);
    assert_string_equal(text, "dead; roots -9.0 C (limits -6.0, -8.0 C)");
}

static void one_day_for_the_plant(void **state)
{
    (void)state;
    const ow_tolerance stands = {0};
    ow_condition c = {0};
    assert_true(ow_watch_look_s(&c, &stands, 50.0) == OW_NEVER);
    c = harmed(OW_FOLIAGE, false, c);
    assert_true(ow_watch_look_s(&c, &stands, 50.0) == FEB_12);
    c = harmed(OW_GROWING_POINT, false, c); /* shows later */
    assert_true(ow_watch_look_s(&c, &stands, 50.0) == JUL_1);
    c = harmed(OW_ROOTS, true, c); /* weighs more */
    assert_true(ow_watch_look_s(&c, &stands, 50.0) == MAY_1);
}

/* What kills weighs more than what harms, wherever it stands; of equals the later day decides, and
 * of equal days the first in the list. */
static void the_gravest_decides(void **state)
{
    (void)state;
    static const struct {
        bool killed[3];
        ow_utc_s look_s[3];
        int n, decides;
    } cases[] = {
        {{0}, {0}, 0, -1},
        {{false}, {5}, 1, 0},
        {{false, true, false}, {9, 5, 9}, 3, 1},
        {{true, false, false}, {5, 9, 9}, 3, 0},
        {{false, false, true}, {9, 9, 5}, 3, 2},
        {{true, true, true}, {5, 9, 7}, 3, 1},
        {{false, false, false}, {7, 9, 5}, 3, 1},
        {{false, true, true}, {9, 5, 7}, 3, 2},
        {{true, true, true}, {7, 7, 7}, 3, 0},
        {{true, true, true}, {9, 7, 5}, 3, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_watch_item item[3];
        for (int k = 0; k < 3; k++) {
            item[k] = (ow_watch_item){.killed = cases[i].killed[k], .look_s = cases[i].look_s[k]};
        }
        assert_int_equal(ow_watch_decides(item, cases[i].n), cases[i].decides);
    }
}

/* Every part harmed at once is listed, each with its limit; one killed counts as harmed. */
static void all_parts_are_listed(void **state)
{
    (void)state;
    ow_tolerance stands = {0};
    ow_condition c = {0};
    ow_watch_item item[OW_PARTS];
    for (int p = 0; p < OW_PARTS; p++) {
        c.watch[p] = (ow_harm_watch){.damaged = p != OW_BUDS, .killed = p == OW_BUDS,
                                     .lowest_c = -p, .lowest_at = JAN_15 + p};
        stands.limit[p] = (ow_limit){.set = true, .damaged_c = -10.0 - p, .killed_c = -20.0 - p};
        c.thaw[p].too_quick = true; /* no limit of cold */
        c.thaw[p].too_quick_at = JAN_15 + 1;
    }
    assert_int_equal(ow_watch_list(&c, &stands, 50.0, item), OW_PARTS);
    for (int p = 0; p < OW_PARTS; p++) {
        assert_int_equal(item[p].part, p);
        assert_int_equal(item[p].killed, p == OW_BUDS);
        assert_true(item[p].lowest_s == JAN_15 + p && item[p].lowest_c == -p);
        assert_true(item[p].damaged_c == -10.0 - p && item[p].killed_c == -20.0 - p);
    }
}

/* The other half of the earth looks half a year later. */
static void south_of_the_equator(void **state)
{
    (void)state;
    const ow_tolerance stands = {0};
    ow_condition c = harmed(OW_ROOTS, false, (ow_condition){0});
    ow_utc_s north = ow_watch_look_s(&c, &stands, 50.0), south = ow_watch_look_s(&c, &stands, -40.0);
    assert_true(south - north > 180 * OW_DAY_S && south - north < 190 * OW_DAY_S);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_harm_has_its_day),
        cmocka_unit_test(one_day_for_the_plant),
        cmocka_unit_test(the_gravest_decides),
        cmocka_unit_test(all_parts_are_listed),
        cmocka_unit_test(south_of_the_equator),
    };
    return cmocka_run_group_tests_name("watch list", tests, NULL, NULL);
}
