/* SPDX-License-Identifier: MIT */
/* Out of memory: whatever is refused, it is said, nothing is handed out and nothing is left behind. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/advice.h"
#include "judgement/guide.h"
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

static ow_status advise(void *self)
{
    yard *y = self;
    ow_report report = {NULL, NULL, 0};
    return ow_advise(y->on.garden, NULL, &report);
}

static ow_status freeze(void *self)
{
    yard *y = self;
    ow_frost_course course[OW_FROST_DRESSES];
    return ow_steady_frost(y->on.garden, 0, course);
}

static void what_is_refused_is_said(void **state)
{
    (void)state;
    static const struct {
        ow_status (*make)(void *self);
        int least; /* allocations that it makes, at the least */
    } cases[] = {{make_outlook, 6}, {make_guide, 4}, {look, 1}, {ask, 3}, {advise, 5}, {freeze, 3}};
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

static void nothing_is_freed_for_nothing(void **state)
{
    (void)state;
    ow_outlook_free(NULL);
    ow_guide_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_refused_is_said),
        cmocka_unit_test(nothing_is_freed_for_nothing),
    };
    return cmocka_run_group_tests_name("memory", tests, NULL, NULL);
}
