/* SPDX-License-Identifier: MIT */
/* What one run of the hours ahead is noted by: each mark at the first step at which it holds. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "judgement/course.h"

enum {
    SUFFERS = 1 << 0,
    MAY_DIE = 1 << 1,
    FROST = 1 << 2,
    FROZEN = 1 << 3,
    OPEN = 1 << 4,
    HALF = 1 << 5,
    GONE = 1 << 6,
    RESET = 1 << 7
};

/* How the plant stands after a step; its roots were frozen through, and nothing else holds. */
typedef struct moment {
    double clock_s, air_c, open_share, ice_share;
    bool through, thawed; /* frozen through; the drought clock is back at zero */
} moment;

#define FROZEN_ROOTS .air_c = 1.0, .ice_share = 1.0
static const moment uneventful = {FROZEN_ROOTS};

static const ow_tolerance stands = {.suffers_days = 5.0, .may_die_days = 14.0};

static void step(ow_course *c, ow_actor *a, const moment *m, ow_utc_s end_s)
{
    a->sense.air_c = m->air_c;
    a->sense.root.open_share = m->open_share;
    a->sense.root.ice_share = m->ice_share;
    a->condition.drought.clock_s = m->clock_s;
    a->condition.drought.frozen_through = m->through;
    a->condition.drought.was_frozen = !m->thawed;
    ow_course_step(c, a, &stands, end_s);
}

static unsigned marks_at(const ow_course *c, ow_utc_s at)
{
    const ow_utc_s marks[] = {c->suffers_s, c->may_die_s, c->frost_s, c->frozen_s,
                              c->open_s,    c->half_s,    c->gone_s,  c->reset_s};
    unsigned set = 0;
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        set |= marks[i] == at ? 1u << i : 0u;
    }
    return set;
}

/* A tenth open lets water move (plants/drought.h); half of a thaw and its end are at half the ice
 * and a hundredth of it (course.c, ours). Each threshold just missed, met, and passed. */
static void each_mark_at_its_threshold(void **state)
{
    (void)state;
    static const struct {
        moment m;
        unsigned marks;
    } cases[] = {
        {{FROZEN_ROOTS}, 0},
        {{FROZEN_ROOTS, .clock_s = 5 * 86400 - 1}, 0},
        {{FROZEN_ROOTS, .clock_s = 5 * 86400}, SUFFERS},
        {{FROZEN_ROOTS, .clock_s = 14 * 86400 - 1}, SUFFERS},
        {{FROZEN_ROOTS, .clock_s = 14 * 86400}, SUFFERS | MAY_DIE},
        {{.air_c = 0.0, .ice_share = 1.0}, 0},
        {{.air_c = -0.01, .ice_share = 1.0}, FROST},
        {{FROZEN_ROOTS, .through = true}, FROZEN},
        {{FROZEN_ROOTS, .open_share = 0.09}, 0},
        {{FROZEN_ROOTS, .open_share = OW_OPEN_VOLUME}, OPEN},
        {{FROZEN_ROOTS, .open_share = 1.0, .thawed = true}, RESET},
        {{.air_c = 1.0, .open_share = 0.2, .ice_share = 0.5}, OPEN},
        {{.air_c = 1.0, .open_share = 0.2, .ice_share = 0.49}, OPEN | HALF},
        {{.air_c = 1.0, .open_share = 0.09, .ice_share = 0.49}, 0},
        {{.air_c = 1.0, .open_share = 0.09, .ice_share = 0.0}, 0},
        {{.air_c = 1.0, .open_share = 0.2, .ice_share = 0.49, .thawed = true}, RESET},
        {{.air_c = 1.0, .open_share = 0.09, .ice_share = 0.49, .thawed = true}, RESET},
        {{.air_c = 1.0, .open_share = 0.9, .ice_share = 0.011}, OPEN | HALF},
        {{.air_c = 1.0, .open_share = 0.9, .ice_share = 0.01}, OPEN | HALF | GONE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_actor a = {0};
        ow_course c;
        ow_course_start(&c, &a);
        assert_int_equal(marks_at(&c, OW_NEVER), 0xFF);
        step(&c, &a, &uneventful, 100);
        assert_int_equal(marks_at(&c, 100), 0);
        step(&c, &a, &cases[i].m, 200);
        if (marks_at(&c, 200) != cases[i].marks) {
            fail_msg("case %zu: marks %#x, want %#x", i, marks_at(&c, 200), cases[i].marks);
        }
        step(&c, &a, &cases[i].m, 300); /* the first time stays */
        assert_int_equal(marks_at(&c, 200), cases[i].marks);
    }
}

static void the_coldest_air_and_the_clock_are_kept(void **state)
{
    (void)state;
    static const double air_c[] = {3.0, -4.5, -1.0};
    ow_actor a = {0};
    ow_course c;
    ow_course_start(&c, &a);
    for (int i = 0; i < 3; i++) {
        step(&c, &a, &(moment){.air_c = air_c[i], .clock_s = 43200.0 * i}, 100 * (i + 1));
    }
    ow_course_end(&c, &a);
    check_close("coldest air, C", c.lowest_air_c, -4.5, 0.0, 0.0);
    check_close("days on the clock", c.clock_days, 1.0, 0.0, 0.0);
}

/* What was passed before the run begins is no news, what is passed in it is dated. */
static void harm_is_watched_anew(void **state)
{
    (void)state;
    ow_actor a = {0};
    ow_course c;
    a.condition.watch[OW_BUDS].damaged = a.condition.watch[OW_ROOTS].killed = true;
    a.condition.thaw[OW_BUDS].too_quick = true;
    a.condition.thaw[OW_BUDS].too_quick_at = 5;
    ow_course_start(&c, &a);
    a.condition.watch[OW_FOLIAGE] = (ow_harm_watch){.damaged = true, .damaged_at = 700,
                                                    .killed = true, .killed_at = 800,
                                                    .lowest_c = -9.0, .lowest_at = 750};
    a.condition.thaw[OW_FOLIAGE].too_quick = true;
    a.condition.thaw[OW_FOLIAGE].too_quick_at = 900;
    ow_course_end(&c, &a);
    assert_true(c.damaged_s[OW_FOLIAGE] == 700 && c.killed_s[OW_FOLIAGE] == 800);
    assert_true(c.quick_s[OW_FOLIAGE] == 900 && c.lowest_s[OW_FOLIAGE] == 750);
    check_close("lowest, C", c.lowest_c[OW_FOLIAGE], -9.0, 0.0, 0.0);
    for (int p = OW_BUDS; p < OW_PARTS; p++) {
        assert_true(c.damaged_s[p] == OW_NEVER && c.killed_s[p] == OW_NEVER);
        assert_true(c.quick_s[p] == OW_NEVER && isnan(c.lowest_c[p]));
    }
}

/* The limit is kept as it was when it was coldest: hardening moves it meanwhile. */
static void the_limit_is_that_of_the_coldest_hour(void **state)
{
    (void)state;
    ow_tolerance soft = {.suffers_days = NAN, .may_die_days = NAN, .soft_k = 2.0};
    soft.limit[OW_ROOTS] = (ow_limit){.set = true, .damaged_c = -9.0, .killed_c = -12.0};
    ow_actor a = {0};
    ow_course c;
    ow_course_start(&c, &a);
    for (int k = 0; k < 3; k++) {
        a.condition.hardening.hardened = 1.0 - 0.25 * k; /* -9.0, -8.5, -8.0 C */
        a.condition.watch[OW_ROOTS].lowest_at = k < 2 ? 100 * (k + 1) : 200;
        a.condition.watch[OW_ROOTS].lowest_c = k < 2 ? -6.0 - k : -7.0;
        ow_course_step(&c, &a, &soft, 100 * (k + 1));
    }
    ow_course_end(&c, &a);
    check_close("limit, C", c.limit_c[OW_ROOTS], -8.5, 1e-12, 0.0);
    check_close("margin, K", ow_course_margin_k(&c), 1.5, 1e-12, 0.0);
    assert_true(isnan(c.limit_c[OW_FOLIAGE]) && isnan(c.limit_c[OW_STORAGE_ORGAN]));
}

static void the_margin_is_of_the_nearest_part(void **state)
{
    (void)state;
    ow_actor a = {0};
    ow_course c;
    ow_course_start(&c, &a);
    ow_course_end(&c, &a);
    assert_true(isinf(ow_course_margin_k(&c)) && ow_course_margin_k(&c) > 0.0);
    c.lowest_c[OW_FOLIAGE] = -3.0; /* no limit of leaves, and no bud there */
    c.limit_c[OW_BUDS] = -2.0;
    assert_true(isinf(ow_course_margin_k(&c)));
    c.limit_c[OW_FOLIAGE] = -5.0;
    check_close("leaves", ow_course_margin_k(&c), 2.0, 0.0, 0.0);
    c.lowest_c[OW_STORAGE_ORGAN] = -2.5;
    c.limit_c[OW_STORAGE_ORGAN] = -2.0;
    check_close("below it", ow_course_margin_k(&c), -0.5, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_mark_at_its_threshold),
        cmocka_unit_test(the_coldest_air_and_the_clock_are_kept),
        cmocka_unit_test(harm_is_watched_anew),
        cmocka_unit_test(the_limit_is_that_of_the_coldest_hour),
        cmocka_unit_test(the_margin_is_of_the_nearest_part),
    };
    return cmocka_run_group_tests_name("course", tests, NULL, NULL);
}
