/* SPDX-License-Identifier: MIT */
/* The season opens with the first risk and closes after the last, once. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "judgement/winter.h"

static const ow_utc_s OCT_20 = 1697760000; /* date -u -d 2023-10-20 +%s */
static const double NORTH_DEG = 50.0;

/* Days after 20 October: 14 January 86, 1 March 133, 20 April 183. */
static void opens_and_closes(void **state)
{
    (void)state;
    ow_winter w = {0};
    int opened = 0, closed = 0, closed_on = 0;
    for (int day = 0; day < 365; day++) {
        bool risk = day == 3 || day == 150; /* a mild winter lies between */
        ow_winter_news news = ow_winter_note(&w, risk, OCT_20 + day * OW_DAY_S, NORTH_DEG);
        opened += news == OW_WINTER_OPENS;
        closed += news == OW_WINTER_CLOSES;
        closed_on = news == OW_WINTER_CLOSES ? day : closed_on;
    }
    assert_int_equal(opened, 1);
    assert_int_equal(closed, 1);
    assert_int_equal(closed_on, 180);
    assert_true(w.last_risk_s == OCT_20 + 150 * OW_DAY_S);
}

static void drained_once_a_season(void **state)
{
    (void)state;
    ow_winter w = {0};
    ow_outlook o = {.steps = 10, .hard_frost_s = OCT_20 + 7200};
    assert_int_equal(ow_winter_note(&w, true, OCT_20, NORTH_DEG), OW_WINTER_OPENS);
    assert_true(ow_winter_drain_s(&w, &o) == OCT_20 + 7200);
    w.drained = true;
    assert_true(ow_winter_drain_s(&w, &o) == OW_NEVER);
    assert_int_equal(ow_winter_note(&w, false, OCT_20 + 250 * OW_DAY_S, NORTH_DEG),
                     OW_WINTER_CLOSES);
    assert_int_equal(ow_winter_note(&w, true, OCT_20 + 365 * OW_DAY_S, NORTH_DEG),
                     OW_WINTER_OPENS);
    assert_true(ow_winter_drain_s(&w, &o) == OCT_20 + 7200); /* the next winter */
    o.steps = 0;
    assert_true(ow_winter_drain_s(&w, &o) == OW_NEVER);
}

static void kept(void **state)
{
    (void)state;
    ow_winter w = {true, OCT_20, OCT_20 + 5, true}, back = {0};
    unsigned char *bytes;
    size_t size;
    ow_pack pack = ow_pack_writing();
    ow_winter_pack(&w, &pack);
    assert_int_equal(ow_pack_take(&pack, &bytes, &size), OW_OK);
    ow_pack_free(&pack);
    pack = ow_pack_reading(bytes, size);
    ow_winter_pack(&back, &pack);
    assert_int_equal(pack.status, OW_OK);
    assert_true(back.open && back.drained && back.opened_s == OCT_20 &&
                back.last_risk_s == OCT_20 + 5);
    free(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opens_and_closes),
        cmocka_unit_test(drained_once_a_season),
        cmocka_unit_test(kept),
    };
    return cmocka_run_group_tests_name("winter", tests, NULL, NULL);
}
