/* SPDX-License-Identifier: MIT */
/* Out by day, in at night, ten days long, before a soft plant goes home in spring. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdlib.h>

#include "judgement/harden.h"
#include "judgement/stage.h"

#define APRIL_20 ((ow_utc_s)1713571200) /* 2024-04-20T00:00:00Z */
#define GARDEN                                                                                     \
    "'places':[{'id':'cellar','kind':'indoors','air_c':10}," YARD_PLAIN_DECK                       \
    ",{'id':'loft','kind':'indoors','air_c':3}],"                                                  \
    "'plants':[{'id':'one','place':'deck'," YARD_LEAVES "," YARD_POT "}]"

enum { CELLAR, DECK };

static yard guest_at(ow_utc_s utc_s, double air_c)
{
    yard y = yard_open_at(GARDEN, utc_s, air_c);
    yard_actor(&y, 0)->place = CELLAR;
    yard_steady(&y, air_c, 84.0);
    yard_live(&y, 1.0);
    yard_steady(&y, air_c, 84.0);
    return y;
}

static ow_harden in_for(const yard *y, double days)
{
    return (ow_harden){.in_since_s = y->on.scene->now_s - (ow_utc_s)(days * OW_DAY_S)};
}

static bool asked(yard *y, ow_harden *h, ow_utc_s *by_s)
{
    ow_chore_set c = {0};
    yard_look(y);
    ow_harden_ask(h, y->outlook, y->on.scene, 0, &c);
    *by_s = c.by_s[OW_CHORE_HARDEN];
    return (c.set & 1u << OW_CHORE_HARDEN) != 0;
}

static void a_soft_guest_of_some_weeks(void **state)
{
    (void)state;
    static const struct {
        ow_utc_s at_s;
        double days;
        int place;
        bool due;
    } cases[] = {
        {APRIL_20, 60.0, CELLAR, true},
        {APRIL_20, 13.0, CELLAR, false},
        {APRIL_20, 60.0, DECK, false},
        {STAGE_MIDWINTER, 60.0, CELLAR, false},
        {APRIL_20 + 90 * OW_DAY_S, 60.0, CELLAR, false}, /* midsummer is past: out with it */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = guest_at(cases[i].at_s, 12.0);
        ow_harden h = in_for(&y, cases[i].days);
        yard_actor(&y, 0)->place = cases[i].place;
        ow_harden_note(&h, y.on.scene, 0);
        assert_int_equal(ow_harden_is_due(&h, y.on.scene, 0), cases[i].due);
        assert_int_equal(h.in_since_s != 0, cases[i].place == CELLAR);
        yard_close(&y);
    }
}

/* Less than half hardened, in leaf, in spring, for two weeks and not on all its days yet. */
static void whose_hardening_is_due(void **state)
{
    (void)state;
    static const struct {
        double hardened, foliage_c, days_in;
        bool spring;
        int days;
        bool due;
    } cases[] = {
        {0.4, 9.0, 14.0, true, 9, true},   {0.5, 9.0, 14.0, true, 9, false},
        {0.4, NAN, 14.0, true, 9, false},  {0.4, 9.0, 13.99, true, 9, false},
        {0.4, 9.0, 14.0, false, 9, false}, {0.4, 9.0, 14.0, true, 10, false},
    };
    yard y = guest_at(APRIL_20, 12.0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_actor *a = yard_actor(&y, 0);
        ow_harden h = in_for(&y, cases[i].days_in);
        h.days = cases[i].days;
        a->condition.hardening.hardened = cases[i].hardened;
        a->condition.hardening.spring = cases[i].spring;
        a->sense.part_c[OW_FOLIAGE] = cases[i].foliage_c;
        assert_int_equal(ow_harden_is_due(&h, y.on.scene, 0), cases[i].due);
    }
    yard_close(&y);
}

/* One day after the other, each once; then it may go home. */
static void ten_days_and_home(void **state)
{
    (void)state;
    yard y = guest_at(APRIL_20, 12.0);
    ow_harden h = in_for(&y, 60.0);
    ow_utc_s by_s, last_s = 0;
    for (int day = 0; day < OW_HARDEN_DAYS; day++) {
        assert_true(asked(&y, &h, &by_s));
        /* sunrise in Paris on these days: 04:20 to 05:00 UTC */
        check_between("by", (double)(by_s % OW_DAY_S) / 3600.0, 4.0, 5.5);
        assert_true(day == 0 || by_s == last_s + OW_DAY_S || by_s == last_s + OW_DAY_S - 1800);
        last_s = by_s;
        ow_survey survey = {.findings = 2,
                            .found = {{.state = OW_STATE_THAWING}, {.state = OW_STATE_CARRY_OUT}}};
        ow_harden_hold(&h, y.on.scene, 0, &survey);
        assert_true(survey.findings == 1 && survey.found[0].state == OW_STATE_THAWING);
        ow_harden_done(&h);
        ow_harden_done(&h); /* said twice */
        assert_int_equal(h.days, day + 1);
        yard_live(&y, 24.0);
        yard_steady(&y, 12.0, 84.0);
    }
    assert_false(asked(&y, &h, &by_s));
    ow_survey survey = {.findings = 1, .found = {{.state = OW_STATE_CARRY_OUT}}};
    ow_harden_hold(&h, y.on.scene, 0, &survey);
    assert_int_equal(survey.findings, 1);
    yard_actor(&y, 0)->place = DECK;
    ow_harden_note(&h, y.on.scene, 0);
    assert_int_equal(h.days, 0);
    yard_close(&y);
}

/* A third of the way round the Earth the light of one day lies in two of Greenwich's; it is asked
 * for whole. At 48.8 N the sun of 21 April (11.9 degrees north) rises 104 degrees before noon, at
 * 5:05, worked out by hand. */
static void days_are_those_of_the_place(void **state)
{
    (void)state;
    static const double longitude_deg[] = {-120.0, 0.0, 120.0};
    for (int i = 0; i < 3; i++) {
        ow_utc_s by_s, midnight_s = (ow_utc_s)(-longitude_deg[i] / 360.0 * OW_DAY_S);
        yard y = guest_at(APRIL_20 + OW_DAY_S + midnight_s - 4 * OW_HOUR_S, 12.0);
        ow_harden h = in_for(&y, 60.0);
        y.on.garden->site.longitude_deg = longitude_deg[i];
        assert_true(asked(&y, &h, &by_s));
        check_close("by, hours after midnight",
                    (double)(by_s - APRIL_20 - OW_DAY_S - midnight_s) / OW_HOUR_S, 5.0, 0.1, 0.0);
        yard_close(&y);
    }
}

/* Its time inside begins when it is first seen there, and is over when it is out. */
static void a_stay_begins_once(void **state)
{
    (void)state;
    yard y = guest_at(APRIL_20, 12.0);
    ow_harden h = {.in_since_s = 0};
    ow_utc_s came_s = y.on.scene->now_s;
    ow_harden_note(&h, y.on.scene, 0);
    yard_live(&y, 2.0);
    ow_harden_note(&h, y.on.scene, 0);
    assert_true(h.in_since_s == came_s);
    yard_actor(&y, 0)->place = DECK;
    ow_harden_note(&h, y.on.scene, 0);
    assert_true(h.in_since_s == 0);
    yard_actor(&y, 0)->place = CELLAR;
    ow_harden_note(&h, y.on.scene, 0);
    assert_true(h.in_since_s == came_s + 2 * OW_HOUR_S);
    yard_close(&y);
}

/* Cold light hours are waited out; a cold night between mild days is not its business. */
static void only_mild_days(void **state)
{
    (void)state;
    ow_utc_s by_s;
    yard y = guest_at(APRIL_20, 12.0);
    ow_harden h = in_for(&y, 60.0);
    yard_steady(&y, 7.9, 84.0);
    assert_false(asked(&y, &h, &by_s));
    turn cold_today[] = {{0, 5}, {20, 5}, {24, 12}, {84, 12}};
    yard_forecast(&y, cold_today, 4);
    assert_true(asked(&y, &h, &by_s));
    assert_true(by_s > y.on.scene->now_s + 24 * OW_HOUR_S);
    turn cold_night[] = {{0, 1}, {2, 1}, {3.2, 9}, {84, 9}};
    yard_forecast(&y, cold_night, 4);
    assert_true(asked(&y, &h, &by_s));
    assert_true(by_s < y.on.scene->now_s + 6 * OW_HOUR_S);
    yard_steady(&y, 12.0, 84.0);
    yard_live(&y, 15.0); /* four in the afternoon: some three hours of light */
    yard_steady(&y, 12.0, 84.0);
    assert_true(asked(&y, &h, &by_s));
    assert_true(by_s > y.on.scene->now_s + 8 * OW_HOUR_S);
    yard_close(&y);
}

/* Four hours of light, the one that has begun among them, at 8 C; today's or tomorrow's. */
static void what_makes_a_day_worth_it(void **state)
{
    (void)state;
    static const struct {
        double now_h, cold_h, air_c, ahead_h;
        bool asked;
    } cases[] = {
        {6.0, 0.0, 8.0, 4.0, true},   {6.0, 0.0, 8.0, 3.5, false},  {6.0, 0.0, 7.99, 84.0, false},
        {0.0, 18.9, 9.0, 84.0, true}, {0.0, 42.9, 9.0, 84.0, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_utc_s by_s;
        yard y = guest_at(APRIL_20 + (ow_utc_s)((cases[i].now_h - 1.0) * OW_HOUR_S), 12.0);
        ow_harden h = in_for(&y, 60.0);
        turn turns[] = {{-1, cases[i].cold_h > 0.0 ? 5.0 : cases[i].air_c},
                        {cases[i].cold_h, cases[i].cold_h > 0.0 ? 5.0 : cases[i].air_c},
                        {cases[i].cold_h + 0.5, cases[i].air_c},
                        {cases[i].ahead_h, cases[i].air_c}};
        yard_forecast(&y, turns, 4);
        assert_int_equal(asked(&y, &h, &by_s), cases[i].asked);
        yard_close(&y);
    }
}

/* What is not asked for cannot be done, nor the same day twice. */
static void a_day_counts_once_and_when_asked(void **state)
{
    (void)state;
    ow_harden h = {.days = 3, .last_day = 50};
    ow_harden_done(&h);
    assert_true(h.days == 3 && h.last_day == 50 && h.asked_day == 0);
    h.asked_day = 51;
    ow_harden_done(&h);
    assert_true(h.days == 4 && h.last_day == 51 && h.asked_day == 0);
    h.asked_day = 51;
    ow_harden_done(&h);
    assert_true(h.days == 4 && h.last_day == 51 && h.asked_day == 0);
    yard y = guest_at(APRIL_20, 2.0); /* too cold: what was asked before is asked no more */
    ow_harden cold = in_for(&y, 60.0);
    ow_utc_s by_s;
    cold.asked_day = 51;
    assert_false(asked(&y, &cold, &by_s));
    assert_true(cold.asked_day == 0);
    yard_close(&y);
}

static void it_is_kept(void **state)
{
    (void)state;
    static const int days[] = {0, 7, OW_HARDEN_DAYS, OW_HARDEN_DAYS + 1};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        ow_harden h = {APRIL_20, days[i], 51, 52}, back = {0};
        unsigned char *bytes;
        size_t size;
        ow_pack pack = ow_pack_writing();
        ow_harden_pack(&h, &pack);
        assert_int_equal(ow_pack_take(&pack, &bytes, &size), OW_OK);
        ow_pack_free(&pack);
        pack = ow_pack_reading(bytes, size);
        ow_harden_pack(&back, &pack);
        bool real = days[i] <= OW_HARDEN_DAYS;
        assert_int_equal(pack.status, real ? OW_OK : OW_BAD_INPUT);
        assert_true(!real || (back.in_since_s == APRIL_20 && back.days == days[i] &&
                              back.last_day == 51 && back.asked_day == 52));
        free(bytes);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_soft_guest_of_some_weeks),
        cmocka_unit_test(whose_hardening_is_due),
        cmocka_unit_test(ten_days_and_home),
        cmocka_unit_test(days_are_those_of_the_place),
        cmocka_unit_test(a_stay_begins_once),
        cmocka_unit_test(only_mild_days),
        cmocka_unit_test(what_makes_a_day_worth_it),
        cmocka_unit_test(a_day_counts_once_and_when_asked),
        cmocka_unit_test(it_is_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
