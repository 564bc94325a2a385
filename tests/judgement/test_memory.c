/* SPDX-License-Identifier: MIT */
/* Out of memory: whatever is refused, it is said, nothing is handed out and nothing is left behind. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/advice.h"
#include "judgement/fit.h"
#include "judgement/guide.h"
#include "judgement/lag.h"
#include "judgement/sensitivity.h"
#include "judgement/stage.h"
#include "judgement/steady_frost.h"
#include "starve.h"

/* One of each kind of body, a heated house and a cover: all that is allocated for. */
#define GARDEN                                                                                     \
    "'places':[{'id':'deck','kind':'open sky'},"                                                   \
    "{'id':'house','kind':'glasshouse','floor_m2':6,'glazing_m2':18}," YARD_CELLAR "],"            \
    "'covers':[{'id':'fleece','kind':'fleece'}],"                                                  \
    "'outputs':[{'id':'heater','kind':'heater','place':'house','topic':'p','on':'on',"             \
    "'off':'off','watts':2000,'keep_air_above_c':3,'cautions_read':true,"                          \
    "'off_by_itself_s':600}],"                                                                     \
    "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck','covers':['fleece']," YARD_SMALL_POT    \
    "},{'id':'stem'," YARD_LEAVES ",'place':'house','bed':{},"                                     \
    "'trunk':{'diameter_mm':150,'height_mm':1200}}]"

static yard open_yard(void)
{
    yard y = yard_open(GARDEN, 3.0);
    yard_cold_night(&y, -5.5);
    return y;
}

static ow_status make_outlook(void *self)
{
    yard *y = self;
    ow_outlook *outlook = NULL;
    ow_status status = ow_outlook_new(y->on.scene, &outlook);
    assert_int_equal(outlook != NULL, status == OW_OK);
    ow_outlook_free(outlook);
    return status;
}

static ow_status make_guide(void *self)
{
    yard *y = self;
    ow_guide *guide = NULL;
    ow_status status = ow_guide_new(y->on.scene, &guide);
    assert_int_equal(guide != NULL, status == OW_OK);
    ow_guide_free(guide);
    return status;
}

/* Each time with an outlook that has had no room yet; refused, it has no steps. */
static ow_status look(void *self)
{
    yard *y = self;
    ow_outlook *outlook;
    starve_counts = false;
    assert_int_equal(ow_outlook_new(y->on.scene, &outlook), OW_OK);
    starve_counts = true;
    ow_status status = ow_outlook_begin(outlook, y->on.scene, &y->ahead, 24.0);
    assert_true(ow_outlook_some(outlook, &y->ahead, status == OW_OK ? INT_MAX : 0));
    assert_int_equal(outlook->steps, status == OW_OK ? 48 : 0);
    ow_outlook_free(outlook);
    return status;
}

static ow_status ask(void *self)
{
    yard *y = self;
    ow_question q = {.plant = 0, .n = 1, .trial = {{.place = -1}}};
    return ow_question_begin(&q, y->outlook, y->on.scene);
}

static void note_need(void *self, const char *line)
{
    bool *told = self;
    *told = *told || strstr(line, "need you first") != NULL;
}

/* Refused, it does not say who is harmed first. */
static ow_status advise(void *self)
{
    yard *y = self;
    bool told = false;
    ow_report report = {note_need, &told, 0};
    ow_status status = ow_advise(y->on.garden, NULL, &report);
    assert_int_equal(told, status == OW_OK);
    return status;
}

static ow_status freeze(void *self)
{
    yard *y = self;
    ow_frost_course course[OW_FROST_DRESSES];
    return ow_steady_frost(y->on.garden, 0, course);
}

static ow_status make_schedule(void *self)
{
    yard *y = self;
    ow_schedule *schedule = NULL;
    ow_status status = ow_schedule_new(y->on.garden, &schedule);
    assert_int_equal(schedule != NULL, status == OW_OK);
    ow_schedule_free(schedule);
    return status;
}

static ow_status make_ensemble(void *self)
{
    yard *y = self;
    ow_ensemble *ensemble = NULL;
    ow_status status = ow_ensemble_new(y->on.scene, &ensemble);
    assert_int_equal(ensemble != NULL, status == OW_OK);
    ow_ensemble_free(ensemble);
    return status;
}

/* As with the outlook: refused, it has no steps; with memory again it looks as ever. */
static ow_status look_many(void *self)
{
    yard *y = self;
    ow_ensemble *e;
    starve_counts = false;
    assert_int_equal(ow_ensemble_new(y->on.scene, &e), OW_OK);
    starve_counts = true;
    ow_status status = ow_ensemble_begin(e, y->on.scene, &y->ahead, 2.0, (ow_spread){.weather = true});
    assert_true(ow_ensemble_some(e, &y->ahead, status == OW_OK ? INT_MAX : 0));
    assert_int_equal(e->steps > 0, status == OW_OK);
    starve_counts = false;
    assert_int_equal(
        ow_ensemble_begin(e, y->on.scene, &y->ahead, 1.0, (ow_spread){.weather = true}), OW_OK);
    assert_true(ow_ensemble_some(e, &y->ahead, INT_MAX));
    assert_int_equal(e->steps, 1);
    ow_ensemble_free(e);
    return status;
}

static ow_status make_lags(void *self)
{
    yard *y = self;
    ow_lags *lags = NULL;
    ow_status status = ow_lags_new(y->on.garden, &lags);
    assert_int_equal(lags != NULL, status == OW_OK);
    if (status == OW_OK) {
        status = ow_lags_learn(lags, y->on.scene, 0, 3.0); /* its shadows */
        assert_true(ow_lags_factor(lags, 0) == 1.0);
    }
    ow_lags_free(lags);
    return status;
}

static ow_status doubt(void *self)
{
    yard *y = self;
    ow_sensitivity s;
    return ow_sensitivity_of(y->on.garden, 0, &s);
}

/* Refused, the choice stays as it was. */
static ow_status solve(void *self)
{
    (void)self;
    ow_plan_way ways[2] = {{.loss = 1.0, .place = -1, .knob = -1}, {.place = -1, .knob = -1}};
    ow_plan_plant plant = {ways, 2};
    ow_plan_task task = {.plant = &plant, .plants = 1};
    int choice = 7;
    ow_plan plan = {.choice = &choice};
    ow_status status = ow_plan_solve(&task, 10, &plan);
    assert_int_equal(choice, status == OW_OK ? 1 : 7);
    return status;
}

/* Refused, the picks stay as they were. */
static ow_status plan_all(void *self)
{
    yard *y = self;
    ow_schedule *s = y->schedule;
    s->pick[0].saves = 7.0;
    yard_count_covers(y);
    ow_status status = ow_schedule_plan(s, y->on.scene, y->outlook, yard_local(), y->left);
    assert_true((s->pick[0].saves == 7.0) == (status != OW_OK));
    return status;
}

static ow_status lay_out(void *self)
{
    yard *y = self;
    ow_probe_at probe[80];
    ow_record_hours hours;
    char why[OW_RECORD_WORDS] = "";
    for (int k = 0; k < 80; k++) {
        probe[k] = (ow_probe_at){y->on.scene->now_s + k * OW_HOUR_S, 3.0};
    }
    ow_status status = ow_record_lay_out(probe, 80, &y->ahead, &hours, why);
    assert_string_equal(why, "");
    ow_record_free(&hours);
    return status;
}

static void what_is_refused_is_said(void **state)
{
    (void)state;
    static const struct {
        ow_status (*make)(void *self);
        int least; /* allocations that it makes, at the least */
    } cases[] = {{make_outlook, 6}, {make_guide, 4}, {look, 1}, {ask, 3}, {advise, 5}, {freeze, 3},
                 {make_schedule, 10}, {make_ensemble, 10}, {look_many, 5}, {make_lags, 5},
                 {doubt, 2}, {solve, 1}, {plan_all, 1},
                 {lay_out, 2}};
    if (!starve_works()) {
        skip();
    }
    yard y = open_yard();
    yard_look(&y);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_in_range(starve(cases[i].make, &y), cases[i].least, 1000);
    }
    yard_close(&y);
}

/* A fit allocates for each of its many runs; the first are enough to see each kind. */
static void a_fit_without_memory_says_so(void **state)
{
    (void)state;
    if (!starve_works()) {
        skip();
    }
    yard y = open_yard();
    ow_probe_at probe[70];
    for (int k = 0; k < 70; k++) {
        probe[k] = (ow_probe_at){y.on.scene->now_s + k * OW_HOUR_S,
                                 turned_c((const turn[]){{0, 3}, {30, 2}, {40, 0.3}, {70, 2.5}}, 4,
                                          k)};
    }
    ow_fit_task task = {.garden = y.on.garden,
                        .depth_m = 0.05,
                        .weather = &y.ahead,
                        .probe = probe,
                        .probes = 70,
                        .step_s = 3600};
    for (int given = 0; given < 24; given++) {
        ow_fit fit;
        starve_after = given;
        starve_refused = false;
        starve_counts = true;
        ow_status status = ow_fit_run(&task, &fit);
        starve_counts = false;
        assert_true(starve_refused);
        assert_int_equal(status, OW_NO_MEMORY);
    }
    yard_close(&y);
}

static void nothing_is_freed_for_nothing(void **state)
{
    (void)state;
    ow_outlook_free(NULL);
    ow_guide_free(NULL);
    ow_schedule_free(NULL);
    ow_ensemble_free(NULL);
    ow_lags_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_refused_is_said),
        cmocka_unit_test(a_fit_without_memory_says_so),
        cmocka_unit_test(nothing_is_freed_for_nothing),
    };
    return cmocka_run_group_tests_name("memory", tests, NULL, NULL);
}
