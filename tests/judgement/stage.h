/* SPDX-License-Identifier: MIT */
/*
 * A yard with its weather ahead, for the tests of judgement: a garden from a text with single
 * quotes, a forecast from a few turning points, and plants judged under it. Places with a fixed
 * surface coefficient have leaves at air temperature, a cover on them warmer by its credit, so that
 * what a forecast does can be worked out by hand. Include it after <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_JUDGEMENT_STAGE_H
#define OVERWINTER_TESTS_JUDGEMENT_STAGE_H

#include <limits.h>

#include "garden/stage.h"
#include "judgement/inquiry.h"
#include "judgement/reason.h"
#include "judgement/schedule.h"

#define YARD_OCTOBER ((ow_utc_s)1697414400) /* 2023-10-16T00:00:00Z, a Monday */

#define YARD_PLAIN_DECK "{'id':'deck','kind':'open sky','film_w_m2k':12,'ground_c':4}"
#define YARD_CELLAR "{'id':'cellar','kind':'indoors','air_c':8,'room_for':1}"
#define YARD_POT "'pot':{'diameter_mm':300,'depth_mm':280}"
#define YARD_SMALL_POT "'pot':{'diameter_mm':110,'depth_mm':100,'stands_on':'raised'}"
#define YARD_LEAVES "'limits':{'foliage':{'damaged_c':-5,'killed_c':-8,'of':'tissue'}}"

enum { YARD_PLANTS = 8, YARD_COVERS = 8, YARD_TEXT = 8192 };

/* The air at an hour of the forecast; linear between turns. */
typedef struct turn {
    double hour, air_c;
} turn;

typedef struct yard {
    stage on;
    ow_forcing ahead;
    ow_outlook *outlook;
    ow_verdict verdict[YARD_PLANTS];
    ow_schedule *schedule;
    ow_inquiry inquiry;
    int left[YARD_COVERS];
    double air_gap_s, foresight_h;
} yard;

static inline char *yard_text(const char *quoted, char text[YARD_TEXT])
{
    assert_in_range(strlen(STAGE_SITE) + strlen(quoted), 1, YARD_TEXT - 2);
    size_t used = (size_t)snprintf(text, YARD_TEXT, "%s", STAGE_SITE);
    for (const char *c = quoted; *c != '\0'; c++) {
        text[used++] = *c;
        if (*c == '\'') {
            text[used - 1] = '"';
        }
    }
    text[used++] = '}';
    text[used] = '\0';
    return text;
}

static inline yard yard_open_at(const char *quoted, ow_utc_s utc_s, double air_c)
{
    char text[YARD_TEXT];
    yard y = {.on.garden = stage_garden(yard_text(quoted, text)), .foresight_h = 72.0};
    assert_in_range(y.on.garden->plant_count, 1, YARD_PLANTS);
    assert_in_range(y.on.garden->cover_count, 0, YARD_COVERS);
    assert_int_equal(ow_scene_new(y.on.garden, utc_s, STAGE_STEP_S, air_c, &y.on.scene), OW_OK);
    assert_int_equal(ow_outlook_new(y.on.scene, &y.outlook), OW_OK);
    assert_int_equal(ow_schedule_new(y.on.garden, &y.schedule), OW_OK);
    for (int i = 0; i < YARD_PLANTS; i++) {
        ow_verdict_start(&y.verdict[i]);
    }
    return y;
}

static inline yard yard_open(const char *quoted, double air_c)
{
    return yard_open_at(quoted, STAGE_MIDWINTER, air_c);
}

static inline void yard_close(yard *y)
{
    ow_schedule_free(y->schedule);
    ow_outlook_free(y->outlook);
    ow_forcing_free(&y->ahead);
    stage_close(&y->on);
}

static inline ow_actor *yard_actor(const yard *y, int plant)
{
    return &y->on.scene->cast->actor[plant];
}

static inline double turned_c(const turn *turns, int n, double hour)
{
    for (int i = 1; i < n; i++) {
        if (hour <= turns[i].hour) {
            double share = (hour - turns[i - 1].hour) / (turns[i].hour - turns[i - 1].hour);
            return turns[i - 1].air_c + share * (turns[i].air_c - turns[i - 1].air_c);
        }
    }
    return turns[n - 1].air_c;
}

/* Half-hourly rows from the scene's now to the last turn; the first turn is at hour 0. The sky
 * sends that much less than a black body at air temperature. */
static inline void yard_forecast_under(yard *y, const turn *turns, int n, double sky_less_wm2)
{
    ow_forcing_clear(&y->ahead);
    for (int i = 0; i <= (int)(2.0 * turns[n - 1].hour); i++) {
        ow_weather_at at = {.utc_s = y->on.scene->now_s + i * STAGE_STEP_S,
                            .weather = stage_dull(turned_c(turns, n, 0.5 * i), 2.0)};
        at.weather.longwave_wm2 -= sky_less_wm2;
        assert_int_equal(ow_forcing_add(&y->ahead, &at, 1), OW_OK);
    }
}

static inline void yard_forecast(yard *y, const turn *turns, int n)
{
    yard_forecast_under(y, turns, n, 0.0);
}

static inline void yard_steady(yard *y, double air_c, double hours)
{
    turn turns[] = {{0, air_c}, {hours, air_c}};
    yard_forecast(y, turns, 2);
}

/* Mild, one night as cold as that at its deepest after a day and a half, mild again to 84 h. */
static inline void yard_cold_night(yard *y, double coldest_c)
{
    turn turns[] = {{0, 3}, {12, 3}, {30, coldest_c}, {32, coldest_c}, {44, 3}, {84, 3}};
    yard_forecast(y, turns, 6);
}

/* Lives on as foretold. */
static inline void yard_live(yard *y, double hours)
{
    for (int i = 0; i < (int)(hours * 3600.0 / STAGE_STEP_S); i++) {
        ow_weather weather;
        ow_utc_s now = y->on.scene->now_s;
        (void)ow_forcing_mean(&y->ahead, now, now + STAGE_STEP_S, &weather);
        ow_scene_step(y->on.scene, &weather);
    }
}

static inline void yard_look(yard *y)
{
    assert_int_equal(ow_outlook_begin(y->outlook, y->on.scene, &y->ahead, y->foresight_h), OW_OK);
    assert_true(ow_outlook_some(y->outlook, &y->ahead, INT_MAX));
}

/* The courses of n trials of a plant under the last look. */
static inline void yard_ask(yard *y, int plant, const ow_trial *trials, int n, ow_course *answers)
{
    for (int from = 0; from < n; from += OW_LANES) {
        ow_question q = {.plant = plant, .n = n - from < OW_LANES ? n - from : OW_LANES};
        memcpy(q.trial, trials + from, (size_t)q.n * sizeof *trials);
        assert_int_equal(ow_question_begin(&q, y->outlook, y->on.scene), OW_OK);
        assert_true(ow_question_some(&q, y->outlook, INT_MAX));
        memcpy(answers + from, q.answer, (size_t)q.n * sizeof *answers);
    }
}

static inline void yard_count_covers(yard *y)
{
    for (int c = 0; c < y->on.garden->cover_count; c++) {
        y->left[c] = y->on.garden->covers[c].count;
        for (int i = 0; i < y->on.garden->plant_count; i++) {
            y->left[c] -= ow_dress_has(&yard_actor(y, i)->dress, c);
        }
    }
}

/* An hour and a half east of Greenwich, nowhere in Europe: local times cannot pass for UTC. */
static inline int yard_offset_s(void *self, int64_t utc_s)
{
    (void)self;
    (void)utc_s;
    return 5400;
}

static inline const ow_local *yard_local(void)
{
    static const ow_local local = {yard_offset_s, NULL};
    return &local;
}

static inline void yard_survey(yard *y, int plant)
{
    ow_inquiry *q = &y->inquiry;
    assert_int_equal(ow_inquiry_begin(q, &y->schedule->survey[plant], y->outlook, y->on.scene,
                                      plant, &y->verdict[plant], y->air_gap_s),
                     OW_OK);
    while (q->asking) {
        assert_true(ow_question_some(&q->question, y->outlook, INT_MAX));
        assert_int_equal(ow_inquiry_answer(q), OW_OK);
    }
}

/* All have been looked at: who could give what others are short of? */
static inline void yard_survey_giving(yard *y)
{
    ow_inquiry *q = &y->inquiry;
    ow_schedule *s = y->schedule;
    yard_count_covers(y);
    ow_schedule_find_short(s, y->on.scene, y->left);
    for (int i = 0; i < y->on.garden->plant_count; i++) {
        assert_int_equal(ow_inquiry_give(q, &s->survey[i], y->outlook, y->on.scene, i,
                                         s->cover_short, s->room_short),
                         OW_OK);
        while (q->asking) {
            assert_true(ow_question_some(&q->question, y->outlook, INT_MAX));
            assert_int_equal(ow_inquiry_answer(q), OW_OK);
        }
    }
}

static inline void yard_plan(yard *y)
{
    yard_count_covers(y);
    assert_int_equal(
        ow_schedule_plan(y->schedule, y->on.scene, y->outlook, yard_local(), y->left), OW_OK);
}

/* Looks ahead and judges one plant, as if the others wanted nothing. */
static inline const ow_verdict *yard_judge(yard *y, int plant)
{
    yard_look(y);
    yard_survey(y, plant);
    yard_plan(y);
    ow_schedule_settle(y->schedule, plant, &y->verdict[plant], y->on.scene->now_s);
    return &y->verdict[plant];
}

/* Looks ahead and judges all of them together. */
static inline void yard_judge_all(yard *y)
{
    yard_look(y);
    for (int i = 0; i < y->on.garden->plant_count; i++) {
        yard_survey(y, i);
    }
    yard_survey_giving(y);
    yard_plan(y);
    for (int i = 0; i < y->on.garden->plant_count; i++) {
        ow_schedule_settle(y->schedule, i, &y->verdict[i], y->on.scene->now_s);
    }
}

/* The plant is as if never judged. */
static inline void yard_forget(yard *y, int plant)
{
    ow_verdict_start(&y->verdict[plant]);
    ow_schedule_forget(y->schedule, plant);
}

static inline void check_state(const ow_verdict *v, ow_state want)
{
    assert_string_equal(ow_state_word(v->state), ow_state_word(want));
}

/* The job asked is done. */
static inline void yard_obey(yard *y, int plant)
{
    assert_true(y->verdict[plant].asks);
    ow_trial_play(&y->verdict[plant].act, y->on.scene->cast, plant);
    yard_forget(y, plant);
}

static inline const char *yard_reason(yard *y, int plant, char text[OW_REASON_TEXT])
{
    ow_speech to = ow_speech_begin(yard_local(), " ", text, OW_REASON_TEXT, NULL, 0);
    ow_reason(&y->verdict[plant], y->outlook, y->on.scene, plant,
              ow_schedule_give(y->schedule, plant, &y->verdict[plant]), &to);
    return text;
}

/* No number that is none, no minus before nought. */
static inline void check_wording(const char *text)
{
    static const char *const never[] = {"nan", "NAN", "inf", "INF", "-0.0", "?", "(null)"};
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        if (strstr(text, never[i]) != NULL) {
            fail_msg("\"%s\" in: %s", never[i], text);
        }
    }
}

static inline void check_says(const char *text, const char *words)
{
    if (strstr(text, words) == NULL) {
        fail_msg("\"%s\" not in: %s", words, text);
    }
}

#endif
