/* SPDX-License-Identifier: MIT */
/* The worst of every three hours, from the notes of single steps. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "judgement/track.h"

#define AT(hours)                                                                                  \
    ((ow_utc_s)(1768910400 + (int64_t)((hours)*3600.0))) /* noon UTC: a multiple of 3 h */

static ow_tolerance stands(void)
{
    ow_tolerance t;
    ow_tolerance_own(&t);
    t.limit[OW_FOLIAGE] = ow_limit_own(-5.0, -8.0, true);
    return t;
}

static ow_actor actor(double leaf_c, double root_c, double ice)
{
    ow_actor a = {.plant = 0};
    ow_condition_start(&a.condition, AT(0), 47.0);
    a.condition.hardening.hardened = 1.0;
    a.condition.compared_c[OW_FOLIAGE] = leaf_c;
    a.sense.root.mean_c = root_c;
    a.sense.root.ice_share = ice;
    return a;
}

static void note(ow_track *t, double hours, double leaf_c, bool rolls)
{
    ow_tolerance s = stands();
    ow_actor a = actor(leaf_c, 0.1 * hours, 0.25);
    ow_track_note(t, &a, &s, AT(hours), rolls);
}

static void the_worst_of_three_hours(void **state)
{
    ow_track t;
    (void)state;
    ow_track_start(&t);
    note(&t, 0.5, -1.0, false);
    note(&t, 1.0, -4.0, false);
    note(&t, 3.0, -2.0, false); /* ends the first point */
    note(&t, 3.5, 1.0, false);
    assert_int_equal(t.n, 2);
    assert_true(t.from_s == AT(0));
    assert_true(fabsf(t.point[0].part_c[OW_FOLIAGE] - -4.0f) < 1e-6f);
    assert_true(fabsf(t.point[0].limit_c[OW_FOLIAGE] - -5.0f) < 1e-6f);
    assert_true(fabsf(t.point[0].margin_k - 1.0f) < 1e-6f);
    assert_true(fabsf(t.point[0].root_c - 0.3f) < 1e-6f); /* at the end, not the least */
    assert_true(fabsf(t.point[1].margin_k - 6.0f) < 1e-6f);
    assert_true(isnan(t.point[0].part_c[OW_ROOTS]) && isnan(t.point[0].limit_c[OW_ROOTS]));
}

static void hours_without_a_note_are_gaps(void **state)
{
    ow_track t;
    (void)state;
    ow_track_start(&t);
    note(&t, 1.0, -1.0, true);
    note(&t, 10.0, -1.0, true);
    assert_int_equal(t.n, 4);
    assert_true(isnan(t.point[1].root_c) && isnan(t.point[2].margin_k));
    note(&t, 2.0, -9.0, true); /* time that runs back is left out */
    assert_int_equal(t.n, 4);
    assert_true(fabsf(t.point[0].margin_k - 4.0f) < 1e-6f);
}

static void a_week_rolls_and_an_outlook_ends(void **state)
{
    ow_track past, ahead;
    (void)state;
    ow_track_start(&past);
    ow_track_start(&ahead);
    for (int h = 1; h <= 200; h++) {
        note(&past, h, -1.0, true);
        note(&ahead, h, -1.0, false);
    }
    assert_int_equal(past.n, OW_TRACK_POINTS);
    assert_true(past.from_s == AT(201 - 168)); /* 198..201 is the last point */
    assert_int_equal(ahead.n, OW_TRACK_POINTS);
    assert_true(ahead.from_s == AT(0));
    assert_true(fabsf(past.point[0].root_c - 3.6f) < 1e-4f); /* 33..36 is the first left */
    assert_true(fabsf(past.point[54].root_c - 19.8f) < 1e-4f);
    note(&past, 3000, -1.0, true); /* months later nothing of it is left */
    assert_int_equal(past.n, 1);
}

/* A gap of less than a fortnight from where it begins is drawn as one; a longer one is not. */
static void a_long_silence_begins_anew(void **state)
{
    ow_track t;
    (void)state;
    ow_track_start(&t);
    note(&t, 1.0, -1.0, true);
    note(&t, 336.0, -1.0, true); /* the last half hour of the fortnight */
    assert_int_equal(t.n, OW_TRACK_POINTS);
    ow_track_start(&t);
    note(&t, 1.0, -1.0, true);
    note(&t, 336.5, -1.0, true);
    assert_int_equal(t.n, 1);
    assert_true(t.from_s == AT(336));
}

/* Only the point under way takes notes: one for the point before is left out. */
static void a_point_that_ended_stays(void **state)
{
    ow_track t;
    (void)state;
    ow_track_start(&t);
    note(&t, 1.0, -1.0, true);
    note(&t, 4.0, -2.0, true);
    note(&t, 7.0, -3.0, true);
    note(&t, 5.0, -9.0, true);
    assert_int_equal(t.n, 3);
    for (int i = 0; i < 3; i++) {
        assert_true(fabsf(t.point[i].part_c[OW_FOLIAGE] - -1.0f * (float)(i + 1)) < 1e-6f);
    }
}

static void what_is_not_known_stays_unknown(void **state)
{
    ow_track t;
    ow_tolerance s = stands();
    ow_actor a = actor(NAN, 0.5, 0.25);
    (void)state;
    for (int p = 0; p < OW_PARTS; p++) {
        a.condition.compared_c[p] = NAN;
    }
    a.condition.compared_c[OW_BUDS] = -3.0; /* it has some, with no limit */
    ow_track_start(&t);
    ow_track_note(&t, &a, &s, AT(1), true);
    const ow_track_point *p = &t.point[0];
    assert_true(fabsf(p->ice_share - 0.25f) < 1e-6f);
    assert_true(isnan(p->part_c[OW_FOLIAGE]) && isnan(p->limit_c[OW_FOLIAGE]));
    assert_true(fabsf(p->part_c[OW_BUDS] - -3.0f) < 1e-6f);
    assert_true(isnan(p->limit_c[OW_BUDS]) && isnan(p->margin_k));
    ow_track_note(&t, &a, &s, AT(7), true);
    for (int i = 0; i < OW_PARTS; i++) {
        assert_true(isnan(t.point[1].part_c[i]) && isnan(t.point[1].limit_c[i]));
    }
}

static void it_is_kept_to_the_last_bit(void **state)
{
    ow_track t, back = {0};
    unsigned char *bytes = NULL;
    size_t size = 0;
    (void)state;
    ow_track_start(&t);
    for (int h = 1; h <= 30; h++) {
        note(&t, h, -0.1 * h, true);
    }
    ow_pack out = ow_pack_writing();
    ow_track_pack(&t, &out);
    assert_int_equal(ow_pack_take(&out, &bytes, &size), OW_OK);
    ow_pack in = ow_pack_reading(bytes, size);
    ow_track_pack(&back, &in);
    assert_int_equal(in.status, OW_OK);
    assert_int_equal(back.n, t.n);
    assert_true(back.from_s == t.from_s);
    assert_memory_equal(back.point, t.point, (size_t)t.n * sizeof t.point[0]);
    ow_pack cut = ow_pack_reading(bytes, size - 5);
    ow_track_pack(&back, &cut);
    assert_int_equal(cut.status, OW_BAD_INPUT);
    assert_int_equal(back.n, t.n); /* what could not be read changes nothing */
    free(bytes);
    ow_pack_free(&out);
}

/* Points of another size, too many of them, or begun out of step: read as none. */
static void points_of_another_kind_are_not_read(void **state)
{
    static unsigned char point[(OW_TRACK_POINTS + 1) * sizeof(ow_track_point)];
    static const struct {
        ow_utc_s from_s;
        size_t size;
        int n;
    } cases[] = {
        {AT(0), 2 * sizeof(ow_track_point), 2},
        {AT(0), OW_TRACK_POINTS * sizeof(ow_track_point), OW_TRACK_POINTS},
        {AT(0), (OW_TRACK_POINTS + 1) * sizeof(ow_track_point), 0},
        {AT(0), 2 * sizeof(ow_track_point) + 4, 0},
        {AT(1), 2 * sizeof(ow_track_point), 0},
        {AT(0), 0, 0},
    };
    (void)state;
    memset(point, 7, sizeof point);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const unsigned char *from = point;
        unsigned char *bytes = NULL;
        size_t size = cases[i].size;
        ow_utc_s from_s = cases[i].from_s;
        ow_pack out = ow_pack_writing();
        ow_pack_time(&out, &from_s);
        ow_pack_bytes(&out, &from, &size);
        assert_int_equal(ow_pack_take(&out, &bytes, &size), OW_OK);
        ow_track t = {.n = 9};
        ow_pack in = ow_pack_reading(bytes, size);
        ow_track_pack(&t, &in);
        assert_int_equal(in.status, OW_OK);
        assert_int_equal(t.n, cases[i].n);
        assert_memory_equal(t.point, point, (size_t)t.n * sizeof t.point[0]);
        free(bytes);
        ow_pack_free(&out);
    }
}

/* Writing leaves the track as it was. */
static void keeping_changes_nothing(void **state)
{
    ow_track t;
    (void)state;
    ow_track_start(&t);
    note(&t, 1.0, -1.0, true);
    t.from_s = AT(1); /* out of step: no reader would have it */
    ow_pack out = ow_pack_writing();
    ow_track_pack(&t, &out);
    assert_int_equal(t.n, 1);
    ow_pack_free(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worst_of_three_hours),
        cmocka_unit_test(hours_without_a_note_are_gaps),
        cmocka_unit_test(a_week_rolls_and_an_outlook_ends),
        cmocka_unit_test(a_long_silence_begins_anew),
        cmocka_unit_test(a_point_that_ended_stays),
        cmocka_unit_test(what_is_not_known_stays_unknown),
        cmocka_unit_test(it_is_kept_to_the_last_bit),
        cmocka_unit_test(points_of_another_kind_are_not_read),
        cmocka_unit_test(keeping_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
