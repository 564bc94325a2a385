/* SPDX-License-Identifier: MIT */
/* From what was found and what is planned to the verdict, and from one verdict to the next. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "judgement/verdict.h"

enum { NOW = 1000000, HOUR = 3600 };

/* The ways of every survey here: a cover that prevents all, one that does not, another place. */
enum { PREVENTS, EASES, CARRIES, NO_WAY = -1 };

static ow_survey quiet(void)
{
    ow_survey s = {.threat.at_s = OW_NEVER,
                   .thaw_by_s = OW_NEVER,
                   .thaw_s = OW_NEVER,
                   .half_s = NOW + 71,
                   .gone_s = NOW + 72,
                   .leave.sure = 1.0,
                   .spare_k = 0.0};
    s.way[PREVENTS] = (ow_way){.act = {.place = -1, .covers = 1, .at_s = NOW},
                               .prevents = true,
                               .loss.sure = 0.0,
                               .eased_c = -2.0,
                               .latest_s = NOW + 5 * HOUR,
                               .open_s = OW_NEVER,
                               .half_s = NOW + 61,
                               .gone_s = NOW + 62};
    s.way[EASES] = s.way[CARRIES] = s.way[PREVENTS];
    s.way[EASES].prevents = false;
    s.way[EASES].eased_c = -7.0;
    s.way[CARRIES].act = (ow_trial){.place = 0, .at_s = NOW};
    s.way[CARRIES].hasty = true;
    s.ways = 3;
    return s;
}

static ow_survey threatened(void)
{
    ow_survey s = quiet();
    s.threat = (ow_threat){.any = true, .part = OW_ROOTS, .at_s = NOW + 9 * HOUR};
    return s;
}

static ow_survey found(ow_state state)
{
    ow_survey s = quiet();
    s.found[s.findings++] = (ow_finding){.state = state, .act_by_s = OW_NEVER};
    return s;
}

static ow_pick picks(int way)
{
    ow_pick pick = ow_pick_none();
    pick.way = way;
    return pick;
}

static ow_verdict settled(const ow_survey *s, const ow_pick *pick)
{
    ow_verdict v;
    ow_verdict_start(&v);
    ow_verdict_settle(&v, s, pick, NOW);
    return v;
}

static ow_verdict settled_way(const ow_survey *s, int way)
{
    ow_pick pick = picks(way);
    return settled(s, &pick);
}

static void check_word(ow_state got, ow_state want)
{
    assert_string_equal(ow_state_word(got), ow_state_word(want));
}

static void nothing_is_nothing(void **state)
{
    (void)state;
    ow_survey s = quiet();
    ow_verdict v = settled_way(&s, NO_WAY);
    check_word(v.state, OW_STATE_HOLD);
    assert_false(v.asks || v.prevents || v.late || v.hasty || v.threat.any);
    assert_true(v.also == 0 && v.act_by_s == OW_NEVER && v.milder_since_s == OW_NEVER);
    assert_true(isnan(v.eased_c) && isnan(v.risk) && v.thaw_s == OW_NEVER);
    assert_true(v.half_s == NOW + 71 && v.gone_s == NOW + 72);
    ow_pick none = ow_pick_none();
    assert_true(none.way == -1 && none.wanted == -1 && none.item == -1 && none.who == -1);
    assert_true(none.turn_after == -1 && none.bar == OW_BAR_NONE && isnan(none.kg));
    assert_true(none.do_by_s == OW_NEVER && none.turn_s == OW_NEVER);
    assert_string_equal(ow_state_word(OW_STATES), "?");
}

static void runs_ahead_become_a_risk(void **state)
{
    (void)state;
    ow_survey s = threatened();
    s.runs = 1;
    check_close("the one run", settled_way(&s, NO_WAY).risk, 0.0, 0.0, 0.0);
    s.runs = 32;
    s.passed = 8;
    ow_verdict v = settled_way(&s, NO_WAY);
    check_close("8 of 32", v.risk, 0.25, 0.0, 0.0);
    assert_true(v.runs == 32 && v.passed == 8);
}

/* A threat is `cover soon` where a cover in place prevents it or nothing else can be had. */
static void covered_or_carried(void **state)
{
    (void)state;
    enum { CARRY, COVER };
    static const struct {
        int way, wanted;
        ow_bar bar;
        bool rooted, thaw;
        int ways; /* those that there are */
        int want;
    } cases[] = {
        {PREVENTS, -1, OW_BAR_NONE, false, false, 3, COVER},
        {EASES, -1, OW_BAR_NONE, false, false, 3, CARRY},
        {EASES, -1, OW_BAR_NONE, true, false, 3, COVER},
        {EASES, CARRIES, OW_BAR_HEAVY, false, false, 3, COVER},
        {EASES, CARRIES, OW_BAR_FROZEN_DOWN, false, false, 3, COVER},
        {EASES, CARRIES, OW_BAR_STOCK, false, false, 3, CARRY},
        {EASES, PREVENTS, OW_BAR_HANDS, false, false, 3, CARRY},
        {CARRIES, -1, OW_BAR_NONE, false, false, 3, CARRY},
        {CARRIES, -1, OW_BAR_NONE, true, false, 3, CARRY},
        {CARRIES, -1, OW_BAR_HEAVY, false, false, 3, CARRY},
        {NO_WAY, -1, OW_BAR_NONE, false, false, 3, CARRY},
        {NO_WAY, -1, OW_BAR_NONE, true, false, 3, COVER},
        /* what waits for hands keeps the state of its way */
        {NO_WAY, PREVENTS, OW_BAR_HANDS, false, false, 3, COVER},
        {NO_WAY, PREVENTS, OW_BAR_NO_HANDS, false, false, 3, COVER},
        {NO_WAY, EASES, OW_BAR_HANDS, false, false, 3, CARRY},
        {NO_WAY, CARRIES, OW_BAR_HANDS, false, false, 3, CARRY},
        {NO_WAY, CARRIES, OW_BAR_NO_HANDS, true, false, 3, CARRY},
        {NO_WAY, PREVENTS, OW_BAR_STOCK, false, false, 3, CARRY},
        {NO_WAY, -1, OW_BAR_HANDS, false, false, 3, CARRY},
        {NO_WAY, -1, OW_BAR_NO_HANDS, true, false, 3, COVER},
        /* carried for the thaw: the threat by itself is met in place, if anything there meets it */
        {CARRIES, -1, OW_BAR_NONE, false, true, 3, COVER},
        {NO_WAY, CARRIES, OW_BAR_HANDS, false, true, 3, COVER},
        {CARRIES, -1, OW_BAR_NONE, false, true, 0, CARRY},
        {EASES, -1, OW_BAR_NONE, false, true, 3, CARRY},
        {PREVENTS, -1, OW_BAR_NONE, false, true, 0, COVER},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = threatened();
        ow_pick pick = picks(cases[i].way);
        s.rooted = cases[i].rooted;
        s.thaw = cases[i].thaw;
        s.ways = cases[i].ways;
        pick.wanted = cases[i].wanted;
        pick.bar = cases[i].bar;
        ow_verdict v = settled(&s, &pick);
        unsigned all = 1u << v.state | v.also;
        unsigned want = (cases[i].want == COVER ? 1u << OW_STATE_COVER_SOON : 1u << OW_STATE_CARRY_IN) |
                        (s.thaw ? 1u << OW_STATE_THAW_NEEDED : 0u);
        if (all != want) {
            fail_msg("case %zu: states %#x, want %#x", i, all, want);
        }
    }
}

/* Only what stays in place and prevents counts as met in place. */
static void a_thaw_elsewhere_and_the_threat_at_home(void **state)
{
    (void)state;
    static const struct {
        int first;
        unsigned also;
    } cases[] = {{PREVENTS, 1u << OW_STATE_COVER_SOON},
                 {EASES, 1u << OW_STATE_CARRY_IN},
                 {CARRIES, 1u << OW_STATE_CARRY_IN}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = threatened();
        s.thaw = true;
        s.way[0] = s.way[cases[i].first];
        s.way[1] = quiet().way[CARRIES];
        s.ways = 2;
        ow_verdict v = settled_way(&s, 1);
        check_word(v.state, OW_STATE_THAW_NEEDED);
        assert_int_equal(v.also, cases[i].also);
    }
}

/* What it holds goes to another by then, whether anything threatens or not; that is no news. */
static void what_is_given_is_asked(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++) {
        bool threat = i % 2 == 1, second = i / 2 == 1;
        ow_survey s = threat ? threatened() : quiet();
        ow_pick pick = picks(NO_WAY);
        s.gives = 2;
        s.give[0].act = (ow_trial){.place = -1, .sheds = true, .shed = 4};
        s.give[1].act = (ow_trial){.place = 2, .home = true};
        pick.give = second;
        pick.give_by_s = NOW + 3 * HOUR;
        assert_true(ow_pick_asks(&pick));
        ow_verdict v = settled(&s, &pick);
        check_word(v.state, threat ? OW_STATE_CARRY_IN : OW_STATE_HOLD);
        assert_true(v.asks && !v.prevents && v.act_by_s == NOW + 3 * HOUR && isnan(v.eased_c));
        assert_true(ow_trial_same(&v.act, &s.give[second].act) && v.act.home == second);
        assert_int_equal(v.also, 0);
    }
    ow_pick none = ow_pick_none();
    assert_false(ow_pick_asks(&none));
}

/* Heat where it stands asks for nobody: held when it prevents all; with a carrying it is one. */
static void heat_sees_to_it(void **state)
{
    (void)state;
    static const struct {
        int place;
        bool warm, prevents;
        ow_state state;
        bool asks;
    } cases[] = {
        {-1, true, true, OW_STATE_HOLD, false},
        {-1, true, false, OW_STATE_CARRY_IN, false},
        {0, true, true, OW_STATE_CARRY_IN, true},
        {0, false, true, OW_STATE_CARRY_IN, true},
        {-1, false, true, OW_STATE_COVER_SOON, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = threatened();
        s.way[CARRIES].act = (ow_trial){.place = cases[i].place, .warm = cases[i].warm};
        s.way[CARRIES].prevents = cases[i].prevents;
        ow_verdict v = settled_way(&s, CARRIES);
        check_word(v.state, cases[i].state);
        assert_int_equal(v.asks, cases[i].asks);
        assert_true(v.act.warm == cases[i].warm && v.act_by_s == NOW + 5 * HOUR);
        assert_true(v.prevents == cases[i].prevents && v.eased_c == -2.0);
    }
    ow_survey s = threatened(); /* what is found besides stands before what heat sees to */
    s.way[CARRIES].act = (ow_trial){.place = -1, .warm = true};
    s.found[s.findings++] = (ow_finding){.state = OW_STATE_WAIT_AND_SEE, .act_by_s = OW_NEVER};
    ow_verdict v = settled_way(&s, CARRIES);
    check_word(v.state, OW_STATE_WAIT_AND_SEE);
    assert_int_equal(v.also, 0);
}

static void the_act_is_that_of_the_way(void **state)
{
    (void)state;
    ow_survey s = threatened();
    s.way[PREVENTS].act.cover[0] = 7;
    ow_verdict v = settled_way(&s, PREVENTS);
    assert_true(v.asks && v.prevents && !v.hasty && v.act.covers == 1 && v.act.cover[0] == 7);
    assert_true(v.act_by_s == NOW + 5 * HOUR && v.pick.way == PREVENTS);
    assert_true(v.half_s == NOW + 61 && v.gone_s == NOW + 62);
    check_close("eased, C", v.eased_c, -2.0, 0.0, 0.0);
    v = settled_way(&s, CARRIES);
    assert_true(v.hasty && v.act.place == 0);
    v = settled_way(&s, EASES);
    assert_true(v.asks && !v.prevents);
    v = settled_way(&s, NO_WAY);
    assert_false(v.asks || v.prevents);
    assert_true(v.act_by_s == NOW + 9 * HOUR && isnan(v.eased_c)); /* of the threat itself */
}

/* A thaw that still averts a harm has its latest start; else the way must be open by then. */
static void a_thaw_has_its_time(void **state)
{
    (void)state;
    static const struct {
        int way;
        ow_utc_s open_s;
        double sure;
        ow_utc_s by_s;
    } cases[] = {
        {NO_WAY, OW_NEVER, 0.0, NOW + 20 * HOUR},
        {CARRIES, OW_NEVER, 0.0, NOW + 20 * HOUR},
        {CARRIES, NOW + 6 * HOUR, 0.5, NOW + 5 * HOUR},
        {CARRIES, NOW + 6 * HOUR, 1.0, NOW + 14 * HOUR},
        {CARRIES, NOW + 6 * HOUR, 1.5, NOW + 14 * HOUR},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = quiet();
        s.thaw = true;
        s.thaw_by_s = NOW + 20 * HOUR;
        s.way[CARRIES].open_s = cases[i].open_s;
        s.way[CARRIES].loss.sure = cases[i].sure;
        ow_verdict v = settled_way(&s, cases[i].way);
        check_word(v.state, OW_STATE_THAW_NEEDED);
        assert_int_equal(v.act_by_s - NOW, cases[i].by_s - NOW);
    }
}

static void it_is_late_after_its_time(void **state)
{
    (void)state;
    for (int past_s = -1; past_s <= 1; past_s++) {
        ow_survey s = threatened();
        s.way[PREVENTS].latest_s = NOW - past_s;
        assert_int_equal(settled_way(&s, PREVENTS).late, past_s > 0);
    }
}

/* The worst of the findings stands; the others are told beside it. */
static void the_worst_stands(void **state)
{
    (void)state;
    ow_survey s = threatened();
    static const ow_state others[] = {OW_STATE_CARRY_OUT, OW_STATE_NO_READING, OW_STATE_UNCOVER,
                                      OW_STATE_THAWING,   OW_STATE_UNCOVER,    OW_STATE_WAIT_AND_SEE};
    s.thaw = true;
    for (int i = 0; i < OW_FINDINGS; i++) {
        s.found[s.findings++] = (ow_finding){.state = others[i], .act_by_s = NOW + i};
    }
    ow_verdict v = settled_way(&s, PREVENTS);
    check_word(v.state, OW_STATE_NO_READING);
    assert_true(v.act_by_s == NOW + 1 && !v.asks);
    assert_int_equal(v.also, 1u << OW_STATE_THAW_NEEDED | 1u << OW_STATE_COVER_SOON |
                                 1u << OW_STATE_THAWING | 1u << OW_STATE_WAIT_AND_SEE |
                                 1u << OW_STATE_UNCOVER | 1u << OW_STATE_CARRY_OUT);
}

/* One who waits and sees, or thaws, may lose covers and go home; the first that asks is asked. */
static void who_waits_may_be_asked(void **state)
{
    (void)state;
    static const struct {
        ow_state worst, want;
        int place; /* of what is asked */
    } cases[] = {{OW_STATE_WAIT_AND_SEE, OW_STATE_WAIT_AND_SEE, 4},
                 {OW_STATE_THAWING, OW_STATE_THAWING, 4},
                 {OW_STATE_NO_READING, OW_STATE_NO_READING, 0},
                 {OW_STATE_HOLD, OW_STATE_UNCOVER, 4}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = found(cases[i].worst);
        for (int place = 4; place < 6; place++) {
            s.found[s.findings++] =
                (ow_finding){.state = place == 4 ? OW_STATE_UNCOVER : OW_STATE_CARRY_OUT,
                             .act = {.place = place},
                             .asks = true,
                             .act_by_s = OW_NEVER};
        }
        ow_verdict v = settled_way(&s, NO_WAY);
        check_word(v.state, cases[i].want);
        assert_int_equal(v.asks, cases[i].place != 0);
        assert_int_equal(v.act.place, cases[i].place);
    }
    ow_survey s = found(OW_STATE_WAIT_AND_SEE); /* what it is asked itself comes first */
    s.found[0].asks = true;
    s.found[0].act.place = 3;
    s.found[s.findings++] =
        (ow_finding){.state = OW_STATE_UNCOVER, .act = {.place = 4}, .asks = true};
    assert_int_equal(settled_way(&s, NO_WAY).act.place, 3);
    s.found[1].state = OW_STATE_WAIT_AND_SEE; /* of equals the first */
    assert_int_equal(settled_way(&s, NO_WAY).act.place, 3);
    s.found[0] = s.found[1]; /* whatever their order */
    s.found[0].state = OW_STATE_UNCOVER;
    s.found[1].asks = false;
    ow_verdict v = settled_way(&s, NO_WAY);
    check_word(v.state, OW_STATE_WAIT_AND_SEE);
    assert_true(v.asks && v.act.place == 4);
    s.found[0].asks = false; /* who asks for nothing is not heard */
    s.found[1].act_by_s = NOW + 7;
    s.found[s.findings++] = (ow_finding){.state = OW_STATE_UNCOVER, .act_by_s = NOW + 8};
    v = settled_way(&s, NO_WAY);
    assert_true(!v.asks && v.act_by_s == NOW + 7);
}

/* ---- from one verdict to the next ------------------------------------------------------------ */

static ow_survey survey_of(ow_state state)
{
    ow_survey s = state == OW_STATE_CARRY_IN || state == OW_STATE_COVER_SOON ? threatened()
                  : state == OW_STATE_HOLD                                   ? quiet()
                                                                             : found(state);
    s.rooted = state == OW_STATE_COVER_SOON;
    return s;
}

/* A milder state is believed after two hours, or with half a kelvin to spare where it was a threat
 * of cold; a worse one, and the end of mildness, at once. */
static void milder_is_believed_late(void **state)
{
    (void)state;
    static const struct {
        ow_state before, next;
        double spare_k;
        bool stays;
    } cases[] = {
        {OW_STATE_HOLD, OW_STATE_COVER_SOON, 0.0, false},
        {OW_STATE_COVER_SOON, OW_STATE_CARRY_IN, 0.0, false},
        {OW_STATE_CARRY_IN, OW_STATE_COVER_SOON, 0.0, false},
        {OW_STATE_CARRY_IN, OW_STATE_HOLD, 0.49, true},
        {OW_STATE_CARRY_IN, OW_STATE_HOLD, 0.5, false},
        {OW_STATE_COVER_SOON, OW_STATE_HOLD, 0.49, true},
        {OW_STATE_COVER_SOON, OW_STATE_HOLD, 0.5, false},
        {OW_STATE_COVER_SOON, OW_STATE_WAIT_AND_SEE, 0.0, true},
        {OW_STATE_WAIT_AND_SEE, OW_STATE_HOLD, 9.0, true},
        {OW_STATE_THAWING, OW_STATE_HOLD, 9.0, true},
        {OW_STATE_THAW_NEEDED, OW_STATE_COVER_SOON, 9.0, true},
        {OW_STATE_NO_READING, OW_STATE_HOLD, 9.0, true},
        {OW_STATE_UNCOVER, OW_STATE_HOLD, 0.0, false},
        {OW_STATE_CARRY_OUT, OW_STATE_HOLD, 0.0, false},
        {OW_STATE_UNCOVER, OW_STATE_CARRY_OUT, 0.0, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey before = survey_of(cases[i].before), next = survey_of(cases[i].next);
        ow_pick none = ow_pick_none();
        ow_verdict v = settled(&before, &none);
        check_word(v.state, cases[i].before);
        next.spare_k = cases[i].spare_k;
        ow_verdict_settle(&v, &next, &none, NOW + 60);
        check_word(v.state, cases[i].stays ? cases[i].before : cases[i].next);
        ow_verdict_settle(&v, &next, &none, NOW + 60 + 2 * HOUR - 1);
        check_word(v.state, cases[i].stays ? cases[i].before : cases[i].next);
        ow_verdict_settle(&v, &next, &none, NOW + 60 + 2 * HOUR);
        check_word(v.state, cases[i].next);
    }
}

/* While it stays the act stays, its time may pass, and what was found is told beside it. */
static void what_stays_keeps_its_act(void **state)
{
    (void)state;
    ow_survey cold = threatened(), mild = found(OW_STATE_WAIT_AND_SEE);
    ow_pick cover = picks(PREVENTS), none = ow_pick_none();
    cold.way[PREVENTS].latest_s = NOW + 100;
    ow_verdict v = settled(&cold, &cover);
    mild.thaw_s = NOW + 5;
    mild.runs = 4;
    for (int s = 99; s <= 101; s++) {
        ow_verdict_settle(&v, &mild, &none, NOW + s);
        check_word(v.state, OW_STATE_COVER_SOON);
        assert_true(v.asks && v.act.covers == 1 && v.pick.way == PREVENTS);
        assert_int_equal(v.late, s > 100);
        assert_int_equal(v.also, 1u << OW_STATE_WAIT_AND_SEE);
        assert_true(v.thaw_s == NOW + 5 && v.runs == 4 && v.risk == 0.0);
    }
}

static void a_relapse_begins_the_two_hours_anew(void **state)
{
    (void)state;
    ow_survey cold = threatened(), mild = quiet();
    ow_pick none = ow_pick_none();
    ow_verdict v = settled(&cold, &none);
    ow_verdict_settle(&v, &mild, &none, NOW);
    ow_verdict_settle(&v, &cold, &none, NOW + HOUR);
    ow_verdict_settle(&v, &mild, &none, NOW + 2 * HOUR);
    ow_verdict_settle(&v, &mild, &none, NOW + 4 * HOUR - 1);
    check_word(v.state, OW_STATE_CARRY_IN);
    ow_verdict_settle(&v, &mild, &none, NOW + 4 * HOUR);
    check_word(v.state, OW_STATE_HOLD);
}

/* An act that would have prevented the harm, whose time has passed and that no longer does, is late
 * and keeps its time; anything else is new. */
static void late_or_new(void **state)
{
    (void)state;
    enum { OLD_BY = NOW + 100, NEW_BY = NOW + 5 * HOUR };
    static const struct {
        int before, next, at_s;
        ow_part part;
        bool late;
    } cases[] = {
        {PREVENTS, EASES, 100, OW_ROOTS, true},    {PREVENTS, EASES, 101, OW_ROOTS, true},
        {PREVENTS, EASES, 99, OW_ROOTS, false},    {PREVENTS, EASES, 101, OW_BUDS, false},
        {PREVENTS, PREVENTS, 101, OW_ROOTS, false}, {EASES, EASES, 101, OW_ROOTS, false},
        {PREVENTS, NO_WAY, 101, OW_ROOTS, true},   {NO_WAY, EASES, 101, OW_ROOTS, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey before = threatened(), next = threatened();
        ow_pick first = picks(cases[i].before), then = picks(cases[i].next);
        before.way[PREVENTS].latest_s = before.way[EASES].latest_s = OLD_BY;
        before.threat.at_s = OLD_BY;
        next.threat.part = cases[i].part;
        next.threat.at_s = NEW_BY;
        ow_verdict v = settled(&before, &first);
        ow_verdict_settle(&v, &next, &then, NOW + cases[i].at_s);
        assert_int_equal(v.late, cases[i].late);
        assert_int_equal(v.act_by_s - NOW, (cases[i].late ? OLD_BY : NEW_BY) - NOW);
        ow_verdict_settle(&v, &next, &then, NOW + 200); /* once late it stays so */
        assert_int_equal(v.late, cases[i].late);
    }
}

/* A thaw whose time has passed is not a threat of cold that came late, nor the other way round. */
static void a_thaw_makes_no_threat_late(void **state)
{
    (void)state;
    for (int thaw_first = 0; thaw_first < 2; thaw_first++) {
        ow_survey thaw = quiet(), cold = threatened();
        ow_pick carry = picks(CARRIES), ease = picks(EASES);
        thaw.thaw = true;
        thaw.thaw_by_s = thaw.way[CARRIES].latest_s = NOW + 100;
        thaw.way[CARRIES].open_s = NOW;
        cold.threat.part = OW_FOLIAGE;
        ow_verdict v;
        ow_verdict_start(&v);
        if (thaw_first) {
            ow_verdict_settle(&v, &thaw, &carry, NOW);
            ow_verdict_settle(&v, &cold, &ease, NOW + HOUR); /* thaw needed stays for two hours */
            ow_verdict_settle(&v, &cold, &ease, NOW + 3 * HOUR);
        } else {
            ow_pick cover = picks(PREVENTS);
            cold.way[PREVENTS].latest_s = NOW + 100;
            ow_verdict_settle(&v, &cold, &cover, NOW);
            thaw.threat = cold.threat;
            thaw.thaw_by_s = NOW + 9 * HOUR;
            thaw.way[CARRIES].latest_s = NOW + 9 * HOUR;
            ow_verdict_settle(&v, &thaw, &(ow_pick){.way = NO_WAY, .wanted = -1}, NOW + HOUR);
            check_word(v.state, OW_STATE_THAW_NEEDED);
        }
        assert_false(v.late);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_nothing),
        cmocka_unit_test(runs_ahead_become_a_risk),
        cmocka_unit_test(covered_or_carried),
        cmocka_unit_test(a_thaw_elsewhere_and_the_threat_at_home),
        cmocka_unit_test(what_is_given_is_asked),
        cmocka_unit_test(heat_sees_to_it),
        cmocka_unit_test(the_act_is_that_of_the_way),
        cmocka_unit_test(a_thaw_has_its_time),
        cmocka_unit_test(it_is_late_after_its_time),
        cmocka_unit_test(the_worst_stands),
        cmocka_unit_test(who_waits_may_be_asked),
        cmocka_unit_test(milder_is_believed_late),
        cmocka_unit_test(what_stays_keeps_its_act),
        cmocka_unit_test(a_relapse_begins_the_two_hours_anew),
        cmocka_unit_test(late_or_new),
        cmocka_unit_test(a_thaw_makes_no_threat_late),
    };
    return cmocka_run_group_tests_name("settling a verdict", tests, NULL, NULL);
}
