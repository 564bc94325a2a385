/* SPDX-License-Identifier: MIT */
/*
 * Inquiries whose outlook and answers are made up by rules: what is found, what is asked, when the
 * latest start is, and how long a survey stands.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"

enum { DECK, CELLAR, BARN };
enum { FLEECE, THICK };

#define GARDEN                                                                                     \
    "'covers':[{'id':'fleece','kind':'fleece','on':'all'},"                                        \
    "{'id':'thick','kind':'thick fleece','on':'all'}],"                                            \
    "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR ",{'id':'barn','kind':'indoors','air_c':9}],"     \
    "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT                              \
    ",'covers':['fleece','thick']},{'id':'rose'," YARD_LEAVES ",'place':'deck','bed':{}}]"

static yard y;
static ow_course *course; /* the bush's, with nothing done */
static ow_survey *survey;
static ow_inquiry *q;

static ow_course calm_course(void)
{
    ow_course c = {.suffers_s = OW_NEVER,
                   .may_die_s = OW_NEVER,
                   .open_s = OW_NEVER,
                   .half_s = OW_NEVER,
                   .gone_s = OW_NEVER,
                   .reset_s = OW_NEVER};
    for (int p = 0; p < OW_PARTS; p++) {
        c.damaged_s[p] = c.killed_s[p] = OW_NEVER;
        c.lowest_c[p] = c.limit_c[p] = NAN;
    }
    c.lowest_c[OW_FOLIAGE] = -1.0;
    c.limit_c[OW_FOLIAGE] = -5.0;
    return c;
}

static ow_utc_s at(double hour)
{
    return STAGE_MIDWINTER + (ow_utc_s)(hour * OW_HOUR_S);
}

static void harm(ow_course *c, double hour)
{
    c->damaged_s[OW_FOLIAGE] = at(hour);
    c->lowest_c[OW_FOLIAGE] = -6.0;
    c->lowest_s[OW_FOLIAGE] = at(hour + 1.0);
}

/* Three days ahead in steps of half an hour, no ensemble, and nothing comes to pass. */
static void open_with(const char *garden)
{
    y = yard_open(garden, 3.0);
    y.outlook->start_s = y.on.scene->now_s;
    y.outlook->step_s = STAGE_STEP_S;
    y.outlook->steps = 144;
    y.outlook->lowest_air_c = -3.0;
    course = &y.outlook->course[0];
    survey = &y.schedule->survey[0];
    q = &y.inquiry;
    *course = calm_course();
    y.outlook->course[y.on.garden->plant_count - 1] = calm_course();
}

static void open_yard(void)
{
    open_with(GARDEN);
}

static void begin(double air_gap_s)
{
    assert_int_equal(
        ow_inquiry_begin(q, survey, y.outlook, y.on.scene, 0, &y.verdict[0], air_gap_s), OW_OK);
}

static bool found(ow_state state)
{
    for (int i = 0; i < survey->findings; i++) {
        if (survey->found[i].state == state) {
            return true;
        }
    }
    return false;
}

/* ---- what is so now -------------------------------------------------------------------------- */

static void readings_are_missed_after_six_hours(void **state)
{
    (void)state;
    static const struct {
        double gap_h;
        int place;
        bool missed;
    } cases[] = {{6.0, DECK, false}, {6.01, DECK, true}, {99.0, CELLAR, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        open_yard();
        yard_actor(&y, 0)->place = cases[i].place;
        begin(cases[i].gap_h * OW_HOUR_S);
        assert_int_equal(found(OW_STATE_NO_READING), cases[i].missed);
        assert_int_equal(survey->findings, cases[i].missed);
        yard_close(&y);
    }
}

static void harm_and_thaw_are_found(void **state)
{
    (void)state;
    for (int p = 0; p < OW_PARTS; p++) {
        for (int killed = 0; killed < 2; killed++) {
            open_yard();
            ow_harm_watch *w = &yard_actor(&y, 0)->condition.watch[p];
            w->damaged = !killed;
            w->killed = killed;
            begin(0.0);
            assert_true(survey->findings == 1 && found(OW_STATE_WAIT_AND_SEE));
            assert_true(survey->found[0].act_by_s == OW_NEVER && !survey->found[0].asks);
            yard_close(&y);
        }
    }
    open_yard();
    yard_actor(&y, 0)->condition.drought.was_frozen = true;
    yard_actor(&y, 0)->condition.drought.open_s = 1800.0;
    begin(0.0);
    assert_int_equal(found(OW_STATE_THAWING),
                     ow_drought_thawing(&yard_actor(&y, 0)->condition.drought));
    yard_close(&y);
}

/* A thaw is needed when shut roots will have been shut for too long, or have been already. */
static void shut_roots_need_a_thaw_in_time(void **state)
{
    (void)state;
    static const struct {
        bool through, running;
        double suffers_days, clock_days, suffers_h; /* -1: not within the outlook */
        bool thaw;
        double by_h;
    } cases[] = {
        {false, false, 2.0, 0.0, 30.0, false, 0.0}, {true, false, 2.0, 0.0, 30.0, true, 30.0},
        {false, true, 2.0, 0.0, 30.0, true, 30.0},  {true, true, 2.0, 0.0, -1.0, false, 0.0},
        {true, true, NAN, 0.0, 30.0, false, 0.0},   {true, true, 2.0, 2.0, -1.0, true, 0.0},
        {true, true, 2.0, 1.99, -1.0, false, 0.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        open_yard();
        ow_drought *d = &yard_actor(&y, 0)->condition.drought;
        d->frozen_through = cases[i].through;
        d->running = cases[i].running;
        d->was_frozen = true;
        d->clock_s = cases[i].clock_days * OW_DAY_S;
        y.on.garden->plants[0].tolerance.suffers_days = cases[i].suffers_days;
        course->suffers_s = cases[i].suffers_h < 0.0 ? OW_NEVER : at(cases[i].suffers_h);
        course->open_s = at(60.0);
        begin(0.0);
        assert_int_equal(survey->thaw, cases[i].thaw);
        assert_false(survey->threat.any);
        if (cases[i].thaw) {
            assert_true(survey->thaw_by_s == at(cases[i].by_h) && q->asking && survey->made);
            check_close("wait", survey->leave_wait, 60.0 * OW_WAIT_PER_H, 1e-12, 0.0);
        } else {
            check_close("no wait", survey->leave_wait, 0.0, 0.0, 0.0);
        }
        yard_close(&y);
    }
}

/* ---- what lies ahead ------------------------------------------------------------------------- */

static void what_lies_ahead_is_noted(void **state)
{
    (void)state;
    open_yard();
    harm(course, 30.0);
    course->open_s = 11;
    course->half_s = 12;
    course->gone_s = 13;
    course->reset_s = 14;
    begin(0.0);
    assert_true(survey->threat.any && !survey->threat.dry && survey->threat.at_s == at(30.0));
    assert_true(survey->runs == 1 && survey->passed == 1 && survey->share == 1.0);
    assert_true(survey->thaw_s == 11 && survey->half_s == 12 && survey->gone_s == 13 &&
                survey->reset_s == 14);
    check_close("lost", survey->leave.sure, 1.0, 0.0, 0.0);
    check_close("spare", survey->spare_k, -1.0, 1e-12, 0.0);
    assert_true(survey->made && survey->made_s == y.on.scene->now_s && !survey->rooted);
    assert_true(q->asking);
    yard_close(&y);
    open_yard();
    begin(0.0);
    assert_true(!survey->threat.any && survey->runs == 1 && survey->passed == 0);
    check_close("spare", survey->spare_k, 4.0, 1e-12, 0.0);
    assert_true(!q->asking && !survey->made);
    assert_int_equal(
        ow_inquiry_begin(q, &y.schedule->survey[1], y.outlook, y.on.scene, 1, &y.verdict[1], 0.0),
        OW_OK);
    assert_true(y.schedule->survey[1].rooted);
    y.outlook->steps = 1; /* half an hour is foresight */
    begin(0.0);
    assert_int_equal(survey->runs, 1);
    y.outlook->steps = 0; /* nothing is foreseen */
    harm(course, 30.0);
    begin(0.0);
    assert_true(!survey->threat.any && survey->runs == 0 && !q->asking);
    assert_true(survey->thaw_s == OW_NEVER && survey->threat.at_s == OW_NEVER);
    yard_close(&y);
}

/* Roots that will freeze and stay shut too long are a threat, unless cold is one or they are shut
 * already. */
static void a_drought_to_come_is_a_threat(void **state)
{
    (void)state;
    for (int kind = 0; kind < 4; kind++) {
        open_yard();
        course->suffers_s = at(40.0);
        course->may_die_s = kind == 3 ? at(60.0) : OW_NEVER;
        course->lowest_c[OW_ROOTS] = -3.0;
        course->lowest_s[OW_ROOTS] = at(50.0);
        course->limit_c[OW_ROOTS] = -9.0;
        if (kind == 1) {
            harm(course, 50.0);
        }
        yard_actor(&y, 0)->condition.drought.was_frozen = kind == 2;
        begin(0.0);
        const ow_threat *t = &survey->threat;
        assert_int_equal(t->any, kind != 2);
        assert_int_equal(t->dry, kind == 0 || kind == 3);
        if (t->dry) {
            assert_true(t->at_s == at(40.0) && t->part == OW_ROOTS && t->kills == (kind == 3));
            assert_true(t->lowest_c == -3.0 && t->lowest_s == at(50.0) && t->limit_c == -9.0);
            assert_int_equal(survey->passed, 0); /* no limit of cold */
        }
        yard_close(&y);
    }
}

/* ---- among members --------------------------------------------------------------------------- */

enum { ROSE = 1 };

/* An ensemble of which eight of 32 members harm the rose; `order` runs from the last member down.
 */
static ow_ensemble *members(void)
{
    ow_ensemble *e;
    assert_int_equal(ow_ensemble_new(y.on.scene, &e), OW_OK);
    e->steps = 144;
    e->risk[ROSE].damaged = 8;
    for (int m = 0; m < OW_MEMBERS; m++) {
        e->risk[ROSE].order[m] = OW_MEMBERS - 1 - m;
        e->course[m] = e->course[ROSE * OW_MEMBERS + m] = calm_course();
        if (m >= OW_MEMBERS - 8) {
            harm(&e->course[ROSE * OW_MEMBERS + m], m);
        }
    }
    y.outlook->ensemble = e;
    return e;
}

static void begin_rose(void)
{
    survey = &y.schedule->survey[ROSE];
    assert_int_equal(
        ow_inquiry_begin(q, survey, y.outlook, y.on.scene, ROSE, &y.verdict[ROSE], 0.0), OW_OK);
}

/* The member stands for the hours at which the risk is enough to act: a quarter for an ordinary
 * plant is the eighth, a tenth for a treasured one the fourth. */
static void the_member_at_the_risk_stands_for_the_hours(void **state)
{
    (void)state;
    static const struct {
        ow_value value;
        int member;
    } cases[] = {{OW_VALUE_ORDINARY, 24}, {OW_VALUE_TREASURED, 28}, {OW_VALUE_IRREPLACEABLE, 31}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        open_yard();
        ow_ensemble *e = members();
        y.on.garden->plants[ROSE].value = cases[i].value;
        y.on.garden->plants[ROSE].covers = y.on.garden->plants[0].covers;
        begin_rose();
        assert_true(survey->threat.any && survey->threat.at_s == at(cases[i].member));
        assert_true(survey->passed == 8 && survey->runs == 32);
        check_close("share", survey->share, 0.25, 0.0, 0.0);
        check_close("lost", survey->leave.sure, 1.0, 0.0, 0.0);
        assert_true(q->asking && q->question.among);
        assert_int_equal(q->question.member, cases[i].member);
        y.outlook->ensemble = NULL;
        ow_ensemble_free(e);
        yard_close(&y);
    }
}

/* One of 32 is a share of one in 32; none, beside roots that will be dry, counts as certain. An
 * ensemble that is not complete is none. */
static void shares_of_members(void **state)
{
    (void)state;
    for (int kind = 0; kind < 3; kind++) {
        open_yard();
        ow_ensemble *e = members();
        e->risk[ROSE].damaged = kind == 0 ? 1 : 0;
        e->steps = kind == 2 ? 0 : kind == 1 ? 144 : 1;
        for (int m = 0; kind > 0 && m < OW_MEMBERS; m++) {
            e->course[ROSE * OW_MEMBERS + m] = calm_course();
            e->course[ROSE * OW_MEMBERS + m].suffers_s = at(50.0);
        }
        begin_rose();
        assert_int_equal(survey->threat.any, kind < 2);
        assert_int_equal(survey->threat.dry, kind == 1);
        check_close("share", survey->share, kind == 0 ? 1.0 / 32.0 : 1.0, 0.0, 0.0);
        assert_int_equal(survey->runs, kind == 2 ? 1 : 32);
        y.outlook->ensemble = NULL;
        ow_ensemble_free(e);
        yard_close(&y);
    }
}

/* How frozen roots thaw is read from the expected hours, and asked of them; what may come off of a
 * member. */
static void a_thaw_alone_is_asked_of_the_expected_hours(void **state)
{
    (void)state;
    for (int kind = 0; kind < 3; kind++) { /* a thaw alone, beside a threat, and mildness */
        open_yard();
        ow_ensemble *e = members();
        ow_drought *d = &yard_actor(&y, ROSE)->condition.drought;
        y.on.garden->plants[ROSE].covers = y.on.garden->plants[0].covers;
        y.outlook->course[ROSE].suffers_s = kind < 2 ? at(50.0) : OW_NEVER;
        d->frozen_through = d->was_frozen = kind < 2;
        for (int m = 0; kind != 1 && m < OW_MEMBERS; m++) {
            e->course[ROSE * OW_MEMBERS + m] = calm_course();
        }
        if (kind == 2) {
            y.outlook->lowest_air_c = 9.0;
            assert_int_equal(ow_dress_add(&yard_actor(&y, ROSE)->dress, y.on.garden, FLEECE),
                             OW_OK);
        }
        begin_rose();
        assert_int_equal(survey->thaw, kind < 2);
        assert_true(q->asking);
        assert_int_equal(q->question.among, kind != 0);
        y.outlook->ensemble = NULL;
        ow_ensemble_free(e);
        yard_close(&y);
    }
}

/* ---- what others want ------------------------------------------------------------------------ */

static void ask_to_give(bool fleece_short)
{
    bool covers[] = {fleece_short, false}, rooms[] = {false, false, false};
    assert_int_equal(ow_inquiry_give(q, survey, y.outlook, y.on.scene, ROSE, covers, rooms), OW_OK);
}

/* What is short is asked of whoever holds it, each time anew, as far as anything is foreseen. */
static void what_others_want_is_asked_of_its_holder(void **state)
{
    (void)state;
    open_yard();
    assert_int_equal(ow_dress_add(&yard_actor(&y, ROSE)->dress, y.on.garden, FLEECE), OW_OK);
    begin_rose();
    ask_to_give(false);
    assert_true(!q->asking && survey->gives == 0);
    for (int again = 0; again < 2; again++) {
        ask_to_give(true);
        assert_true(q->asking && q->question.plant == ROSE && q->question.n == 1);
        assert_true(q->question.trial[0].sheds && q->question.trial[0].shed == FLEECE);
        q->question.answer[0] = calm_course();
        harm(&q->question.answer[0], 20.0);
        assert_int_equal(ow_inquiry_answer(q), OW_OK);
        assert_true(!q->asking && survey->gives == 1 && survey->give[0].harms);
        assert_int_equal(ow_inquiry_answer(q), OW_BAD_INPUT); /* it was the only question */
    }
    y.outlook->steps = 0;
    ask_to_give(true);
    assert_true(!q->asking && survey->gives == 0);
    yard_close(&y);
}

/* Of a member what it gives is held against what the member loses anyway. */
static void a_give_is_held_against_its_member(void **state)
{
    (void)state;
    open_yard();
    ow_ensemble *e = members();
    assert_int_equal(ow_dress_add(&yard_actor(&y, ROSE)->dress, y.on.garden, FLEECE), OW_OK);
    begin_rose();
    ask_to_give(true);
    assert_true(q->asking && q->question.among && q->question.member == 24);
    q->question.answer[0] = calm_course();
    harm(&q->question.answer[0], 20.0);
    assert_int_equal(ow_inquiry_answer(q), OW_OK);
    assert_true(survey->gives == 1 && !survey->give[0].harms); /* it is harmed either way */
    y.outlook->ensemble = NULL;
    ow_ensemble_free(e);
    yard_close(&y);
}

/* ---- the latest start ------------------------------------------------------------------------ */

/* Under the rule a cover saves the leaves when it is laid no later than cover_h, another place when
 * it is carried there no later than place_h; NAN: never. The thick fleece is a cover like the other
 * one but needs an hour more. */
typedef struct rule {
    double cover_h, place_h;
} rule;

static bool saves(const rule *r, const ow_trial *t)
{
    double by_h = t->place >= 0                           ? r->place_h
                  : t->cover[0] == THICK || t->covers > 1 ? r->cover_h - 1.0
                                                          : r->cover_h;
    return t->at_s <= at(by_h) && !isnan(by_h);
}

static void answer_by(const rule *r)
{
    for (int rounds = 0; q->asking; rounds++) {
        assert_in_range(rounds, 0, 4); /* a few ways in three days are soon narrowed down */
        assert_in_range(q->question.n, 1, OW_LANES);
        for (int i = 0; i < q->question.n; i++) {
            q->question.answer[i] = *course;
            if (saves(r, &q->question.trial[i])) {
                q->question.answer[i] = calm_course();
            }
        }
        assert_int_equal(ow_inquiry_answer(q), OW_OK);
    }
}

/* The last start on the grid of half hours that still helps; one that helps to the end is done
 * before that. */
static ow_utc_s last_start(double by_h)
{
    ow_utc_s last = STAGE_MIDWINTER;
    for (int k = 0; k < 144 && at(0.5 * k) <= at(by_h); k++) {
        last = at(0.5 * k);
    }
    return last;
}

static void the_latest_start_is_found_to_a_step(void **state)
{
    (void)state;
    static const double hours[] = {1.0, 1.5, 7.25, 20.0, 29.9, 50.0, 71.0, 71.5, 99.0};
    for (size_t c = 0; c < sizeof hours / sizeof hours[0]; c++) {
        for (size_t p = 0; p < sizeof hours / sizeof hours[0]; p++) {
            rule r = {hours[c], hours[p]};
            open_yard();
            harm(course, 40.0);
            begin(0.0);
            answer_by(&r);
            assert_int_equal(survey->ways, 4); /* both covers, both rooms; a pair is no better */
            for (int i = 0; i < survey->ways; i++) {
                const ow_way *w = &survey->way[i];
                bool thick = w->act.place < 0 && w->act.cover[0] == THICK;
                double by_h = w->act.place >= 0 ? r.place_h : r.cover_h - (thick ? 1.0 : 0.0);
                assert_true(w->latest_s == last_start(by_h));
                assert_true(w->prevents && w->loss.sure == 0.0);
                check_close("eased", w->eased_c, -1.0, 0.0, 0.0);
            }
            yard_close(&y);
        }
    }
}

/* What only thaws sooner is as good at once as ever: no latest start is sought. */
static void a_thaw_has_no_latest_start(void **state)
{
    (void)state;
    open_yard();
    ow_drought *d = &yard_actor(&y, 0)->condition.drought;
    d->frozen_through = d->was_frozen = true;
    course->suffers_s = at(50.0);
    course->open_s = at(70.0);
    begin(0.0);
    assert_true(q->asking && survey->thaw);
    for (int i = 0; i < q->question.n; i++) {
        q->question.answer[i] = *course;
        if (q->question.trial[i].place >= 0) {
            q->question.answer[i].suffers_s = at(50.0); /* no limit less, but open sooner */
            q->question.answer[i].open_s = at(10.0);
        }
    }
    assert_int_equal(ow_inquiry_answer(q), OW_OK);
    assert_false(q->asking);
    assert_true(survey->ways > 0);
    for (int i = 0; i < survey->ways; i++) {
        assert_true(survey->way[i].act.place >= 0 && survey->way[i].latest_s == at(0.0));
    }
    yard_close(&y);
}

/* More acts than lanes are asked after in blocks, each once, in the order in which they are listed.
 */
static void many_acts_are_asked_after_in_turn(void **state)
{
    (void)state;
    ow_trial want[OW_TRIALS_MOST];
    open_with("'covers':[{'id':'fleece','kind':'fleece'},{'id':'thick','kind':'thick fleece'},"
              "{'id':'film','kind':'bubble film'},{'id':'straw','kind':'straw'}],"
              "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR ",{'id':'wall','kind':'wall',"
              "'faces_deg':180},{'id':'eaves','kind':'under eaves'},{'id':'hedge','kind':'hedge'}],"
              "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT
              ",'covers':['fleece','thick','film','straw']}]");
    ow_utc_s now = y.on.scene->now_s;
    harm(course, 40.0);
    int n = ow_trials_of(y.on.garden, yard_actor(&y, 0), now, want, OW_TRIALS_MOST / 2), asked = 0;
    n = ow_trials_later(want, n, OW_TRIALS_MOST, now, at(40.0));
    assert_in_range(n, 2 * OW_LANES + 1, OW_TRIALS_MOST);
    begin(0.0);
    while (asked < n) {
        assert_true(q->asking);
        assert_int_equal(q->question.n, n - asked < OW_LANES ? n - asked : OW_LANES);
        for (int i = 0; i < q->question.n; i++) {
            assert_true(ow_trial_same(&q->question.trial[i], &want[asked]));
            assert_true(q->question.trial[i].at_s == want[asked++].at_s);
            q->question.answer[i] = *course;
        }
        assert_int_equal(ow_inquiry_answer(q), OW_OK);
    }
    assert_true(!q->asking && survey->ways == 0); /* none helped */
    yard_close(&y);
}

static void what_never_helps_is_no_way(void **state)
{
    (void)state;
    open_yard();
    harm(course, 40.0);
    begin(0.0);
    answer_by(&(rule){NAN, NAN});
    assert_true(survey->made && survey->ways == 0);
    yard_close(&y);
    open_yard();
    harm(course, 40.0);
    begin(0.0);
    answer_by(&(rule){NAN, 30.0});
    assert_true(survey->ways > 0);
    for (int i = 0; i < survey->ways; i++) {
        assert_true(survey->way[i].act.place >= 0);
    }
    yard_close(&y);
}

/* ---- how long a survey stands ---------------------------------------------------------------- */

typedef enum change {
    NOTHING,
    OLD,
    ALMOST_OLD,
    NOT_MADE,
    NO_WAYS,
    THAW,
    LOST,
    SHARE_LITTLE,
    SHARE_MUCH,
    PART,
    KILLS,
    TIME,
    COLDER_LITTLE,
    COLDER_MUCH,
    WARMER_MUCH,
    PAST_DUE,
    DUE_LATER,
    NEVER_GAINED,
    GONE,
    CHANGES
} change;

static void change_by(change how)
{
    ow_survey *s = survey;
    s->made_s -= how == OLD ? 6 * OW_HOUR_S : how == ALMOST_OLD ? 6 * OW_HOUR_S - 1 : 60;
    s->made = how != NOT_MADE;
    s->ways = how == NO_WAYS ? 0 : s->ways;
    s->thaw = how == THAW;
    s->leave.sure += how == LOST ? 1.0 : 0.0;
    s->share -= how == SHARE_LITTLE ? 0.09 : how == SHARE_MUCH ? 0.11 : 0.0;
    s->threat.part = how == PART ? OW_BUDS : s->threat.part;
    s->threat.kills = how == KILLS;
    s->threat.at_s += how == TIME ? 1 : 0;
    s->threat.lowest_c -= how == COLDER_LITTLE ? 0.04 : how == COLDER_MUCH ? 0.06 : 0.0;
    s->threat.lowest_c += how == WARMER_MUCH ? 0.06 : 0.0;
    s->way[0].latest_s = y.on.scene->now_s + (how == PAST_DUE || how == NEVER_GAINED ? 0 : 1);
    s->way[0].loss.sure = how == NEVER_GAINED ? s->leave.sure : 0.0;
    if (how == GONE) {
        *course = calm_course();
    }
}

static void a_survey_stands_while_the_question_is_the_same(void **state)
{
    (void)state;
    static const bool stands[CHANGES] = {
        [NOTHING] = true,       [ALMOST_OLD] = true, [SHARE_LITTLE] = true,
        [COLDER_LITTLE] = true, [DUE_LATER] = true,  [NEVER_GAINED] = true};
    for (change how = NOTHING; how < CHANGES; how++) {
        open_yard();
        harm(course, 40.0);
        begin(0.0);
        answer_by(&(rule){20.0, 30.0});
        assert_true(survey->ways >= 2);
        survey->ways = 1;
        change_by(how);
        ow_survey before = *survey;
        begin(0.0);
        if (stands[how]) {
            assert_true(!q->asking && survey->made_s == before.made_s && survey->made);
            assert_int_equal(survey->ways, before.ways);
            assert_memory_equal(survey->way, before.way, sizeof before.way);
        } else {
            assert_int_equal(q->asking, how != GONE);
            assert_int_equal(survey->ways, 0);
        }
        yard_close(&y);
    }
}

/* ---- mildness -------------------------------------------------------------------------------- */

/* Covers off, and back to its own place, when it stays mild for a day: 2 C, or 1.5 C once it was.
 */
static void what_is_put_on_comes_off_when_it_is_mild(void **state)
{
    (void)state;
    static const struct {
        double lowest_c;
        int hours;
        bool was_mild, dressed, away, harmed;
        int asked;
    } cases[] = {
        {2.0, 24, false, true, false, false, 1},  {1.99, 24, false, true, false, false, 0},
        {1.99, 24, true, true, false, false, 1},  {1.5, 24, true, true, false, false, 1},
        {1.49, 24, true, true, false, false, 0},  {9.0, 23, false, true, false, false, 0},
        {9.0, 24, false, false, true, false, 1},  {9.0, 24, false, true, true, false, 2},
        {9.0, 24, false, false, false, false, 0}, {9.0, 24, false, true, true, true, 2},
        {9.0, 0, false, true, true, false, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        open_yard();
        ow_actor *a = yard_actor(&y, 0);
        y.outlook->lowest_air_c = cases[i].lowest_c;
        y.outlook->steps = 2 * cases[i].hours;
        y.verdict[0].state = !cases[i].was_mild ? OW_STATE_HOLD
                             : i % 2 == 0       ? OW_STATE_UNCOVER
                                                : OW_STATE_CARRY_OUT;
        a->place = cases[i].away ? BARN : DECK;
        if (cases[i].dressed) {
            assert_int_equal(ow_dress_add(&a->dress, y.on.garden, FLEECE), OW_OK);
        }
        begin(0.0);
        assert_int_equal(q->asking, cases[i].asked > 0);
        assert_int_equal(q->asking ? q->question.n : 0, cases[i].asked);
        for (int k = 0; q->asking && k < q->question.n; k++) {
            const ow_trial *t = &q->question.trial[k];
            assert_true(t->at_s == y.on.scene->now_s && t->bare != t->home && t->covers == 0);
            assert_int_equal(t->place, t->home ? DECK : -1);
            q->question.answer[k] = calm_course();
            if (cases[i].harmed && t->bare) {
                harm(&q->question.answer[k], 5.0);
            }
        }
        if (q->asking) {
            assert_int_equal(ow_inquiry_answer(q), OW_OK);
            assert_false(q->asking);
            assert_int_equal(ow_inquiry_answer(q), OW_BAD_INPUT); /* it was the last question */
        }
        bool off = cases[i].dressed && !cases[i].harmed && cases[i].asked > 0;
        assert_int_equal(found(OW_STATE_UNCOVER), off);
        assert_int_equal(found(OW_STATE_CARRY_OUT), cases[i].away && cases[i].asked > 0);
        for (int k = 0; k < survey->findings; k++) {
            const ow_finding *f = &survey->found[k];
            assert_true(f->asks && f->act.bare == (f->state == OW_STATE_UNCOVER));
        }
        yard_close(&y);
    }
    open_yard(); /* nothing comes off while something threatens */
    y.outlook->lowest_air_c = 9.0;
    harm(course, 40.0);
    yard_actor(&y, 0)->place = BARN;
    begin(0.0);
    answer_by(&(rule){20.0, 30.0});
    assert_int_equal(survey->findings, 0);
    assert_int_equal(ow_inquiry_answer(q), OW_BAD_INPUT); /* nothing is asked any more */
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_are_missed_after_six_hours),
        cmocka_unit_test(harm_and_thaw_are_found),
        cmocka_unit_test(shut_roots_need_a_thaw_in_time),
        cmocka_unit_test(what_lies_ahead_is_noted),
        cmocka_unit_test(a_drought_to_come_is_a_threat),
        cmocka_unit_test(the_member_at_the_risk_stands_for_the_hours),
        cmocka_unit_test(shares_of_members),
        cmocka_unit_test(a_thaw_alone_is_asked_of_the_expected_hours),
        cmocka_unit_test(what_others_want_is_asked_of_its_holder),
        cmocka_unit_test(a_give_is_held_against_its_member),
        cmocka_unit_test(the_latest_start_is_found_to_a_step),
        cmocka_unit_test(a_thaw_has_no_latest_start),
        cmocka_unit_test(many_acts_are_asked_after_in_turn),
        cmocka_unit_test(what_never_helps_is_no_way),
        cmocka_unit_test(a_survey_stands_while_the_question_is_the_same),
        cmocka_unit_test(what_is_put_on_comes_off_when_it_is_mild),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
