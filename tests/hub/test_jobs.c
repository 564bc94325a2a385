/* SPDX-License-Identifier: MIT */
/* Jobs: kinds from verdicts, minutes, and their order by the latest useful time. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include <cjson/cJSON.h>

#include "hub/host.h"
#include "hub/jobs.h"

enum { PLANTS = 4 };

/* As much of an engine as jobs look at: verdicts that are written here. */
typedef struct stage {
    ow_engine engine;
    ow_garden garden;
    ow_judged judged[PLANTS];
} stage;

static void set(stage *s)
{
    *s = (stage){0};
    s->garden.plant_count = PLANTS;
    s->engine.garden = &s->garden;
    s->engine.judged = s->judged;
    for (int i = 0; i < PLANTS; i++) {
        ow_verdict_start(&s->judged[i].verdict);
    }
}

static void asks(stage *s, int plant, ow_state state, ow_trial act, ow_utc_s by_s)
{
    ow_verdict *v = &s->judged[plant].verdict;
    v->state = state;
    v->act = act;
    v->asks = true;
    v->act_by_s = by_s;
}

static void kinds_and_minutes(void **state)
{
    (void)state;
    static const ow_trial cover = {.place = -1, .covers = 1}, bare = {.place = -1, .bare = true},
                          carry = {.place = 1},
                          home = {.place = 0, .home = true};
    static const struct {
        ow_state state;
        const ow_trial *act;
        const char *kind;
        int minutes;
    } rows[] = {
        {OW_STATE_COVER_SOON, &cover, "cover", 5},   {OW_STATE_CARRY_IN, &carry, "carry in", 10},
        {OW_STATE_CARRY_IN, &cover, "cover", 5},     {OW_STATE_UNCOVER, &bare, "uncover", 5},
        {OW_STATE_CARRY_OUT, &home, "carry out", 10}, {OW_STATE_THAW_NEEDED, &carry, "thaw", 10},
    };
    stage s;
    ow_job job;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        set(&s);
        asks(&s, 2, rows[i].state, *rows[i].act, 5000);
        assert_true(ow_job_of(&s.engine, 2, &job));
        assert_string_equal(job.kind, rows[i].kind);
        assert_int_equal(job.minutes, rows[i].minutes);
        assert_int_equal(job.plant, 2);
        assert_true(job.by_s == 5000);
    }
}

static void looking_has_no_hurry(void **state)
{
    (void)state;
    static const ow_state states[] = {OW_STATE_WAIT_AND_SEE, OW_STATE_NO_READING};
    stage s;
    ow_job job;
    for (int i = 0; i < 2; i++) {
        set(&s);
        s.judged[0].verdict.state = states[i];
        s.judged[0].verdict.act_by_s = 77;
        s.judged[0].look_due = true;
        assert_true(ow_job_of(&s.engine, 0, &job));
        assert_string_equal(job.kind, "look");
        assert_true(job.by_s == OW_NEVER);
        assert_int_equal(job.minutes, 2);
    }
    set(&s);
    assert_false(ow_job_of(&s.engine, 0, &job)); /* hold asks for nothing */
    s.judged[0].verdict.state = OW_STATE_WAIT_AND_SEE; /* quiet until what lived can show */
    assert_false(ow_job_of(&s.engine, 0, &job));
    s.judged[0].verdict.state = OW_STATE_CARRY_IN; /* nothing at hand helps: nothing is asked */
    assert_false(ow_job_of(&s.engine, 0, &job));
}

static void by_time_then_by_the_garden_file(void **state)
{
    (void)state;
    const ow_trial cover = {.place = -1, .covers = 1};
    stage s;
    ow_job jobs[PLANTS];
    set(&s);
    assert_int_equal(ow_jobs(&s.engine, jobs, PLANTS), 0);
    s.judged[0].verdict.state = OW_STATE_WAIT_AND_SEE;
    s.judged[0].look_due = true;
    asks(&s, 1, OW_STATE_COVER_SOON, cover, 9000);
    asks(&s, 2, OW_STATE_COVER_SOON, cover, 3000);
    asks(&s, 3, OW_STATE_COVER_SOON, cover, 9000);
    assert_int_equal(ow_jobs(&s.engine, jobs, PLANTS), 4);
    static const int order[] = {2, 1, 3, 0};
    for (int i = 0; i < PLANTS; i++) {
        assert_int_equal(jobs[i].plant, order[i]);
    }
    asks(&s, 0, OW_STATE_UNCOVER, cover, OW_NEVER);
    assert_int_equal(ow_jobs(&s.engine, jobs, PLANTS), 4);
    assert_int_equal(jobs[3].plant, 0); /* no hurry comes last */
}

static void chores_are_jobs_until_done(void **state)
{
    (void)state;
    const ow_trial cover = {.place = -1, .covers = 1};
    stage s;
    ow_job jobs[PLANTS];
    set(&s);
    asks(&s, 1, OW_STATE_COVER_SOON, cover, 9000);
    s.judged[1].chores.set = 1u << OW_CHORE_AIR | 1u << OW_CHORE_SHADE;
    s.judged[1].chores.by_s[OW_CHORE_SHADE] = 4000;
    s.judged[1].chores.by_s[OW_CHORE_AIR] = OW_NEVER;
    assert_int_equal(ow_jobs(&s.engine, jobs, PLANTS), 3);
    assert_string_equal(jobs[0].kind, "shade");
    assert_string_equal(jobs[1].kind, "cover");
    assert_string_equal(jobs[2].kind, "air");
    assert_true(jobs[0].minutes > 0 && jobs[0].what[0] != '\0');
    s.judged[1].chores_done = 1u << OW_CHORE_SHADE;
    assert_int_equal(ow_jobs(&s.engine, jobs, PLANTS), 2);
    assert_string_equal(jobs[0].kind, "cover");
}

/* What is planned is done while there are hands, and says who and what it takes. */
static void planned_jobs_say_what_they_take(void **state)
{
    (void)state;
    const ow_trial carry = {.place = 1};
    stage s;
    ow_job job;
    set(&s);
    asks(&s, 0, OW_STATE_CARRY_IN, carry, 9000);
    s.judged[0].verdict.pick.way = 0;
    s.judged[0].verdict.pick.do_by_s = 7000;
    s.judged[0].verdict.pick.people = 2;
    s.judged[0].verdict.pick.minutes = 20.0;
    s.judged[0].verdict.pick.kg = 41.5;
    s.judged[0].verdict.pick.saves = 3.0;
    assert_true(ow_job_of(&s.engine, 0, &job));
    assert_true(job.by_s == 7000 && job.last_s == 9000);
    assert_true(job.people == 2 && job.minutes == 20 && job.kg == 41.5 && job.saves == 3.0);
}

static void room_is_kept(void **state)
{
    (void)state;
    const ow_trial cover = {.place = -1, .covers = 1};
    stage s;
    ow_job jobs[3];
    set(&s);
    for (int i = 0; i < PLANTS; i++) {
        asks(&s, i, OW_STATE_COVER_SOON, cover, 100 - i);
    }
    jobs[2].plant = 99;
    assert_int_equal(ow_jobs(&s.engine, jobs, 2), 2);
    assert_int_equal(jobs[2].plant, 99);
}

/* The list on the hub: in order, with what the page needs, and the sentence that adds it up. */
static void on_the_hub(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 4.0;
    host_run(h, 60);
    host_forecast(h, 72, -6.0, 4.0);
    host_run(h, 120);
    cJSON *list = cJSON_Parse(host_value(h, "garden/jobs"));
    assert_true(cJSON_IsArray(list) && cJSON_GetArraySize(list) >= 2);
    const cJSON *job;
    const char *before = "";
    int minutes = 0;
    cJSON_ArrayForEach(job, list)
    {
        const cJSON *by = cJSON_GetObjectItem(job, "by");
        const char *time = by != NULL ? by->valuestring : "9999";
        assert_true(strcmp(before, time) <= 0);
        before = time;
        minutes += cJSON_GetObjectItem(job, "minutes")->valueint;
        assert_true(cJSON_IsBool(cJSON_GetObjectItem(job, "late")));
        assert_true(cJSON_GetObjectItem(job, "what")->valuestring[0] != '\0');
        assert_true(cJSON_GetObjectItem(job, "why")->valuestring[0] != '\0');
    }
    char sum[30];
    snprintf(sum, sizeof sum, "%d min in all", minutes);
    assert_non_null(strstr(host_value(h, "garden/tonight"), sum));
    const char *first = cJSON_GetObjectItem(cJSON_GetArrayItem(list, 0), "plant")->valuestring;
    assert_memory_equal(host_value(h, "garden/next-job"), first, strlen(first));
    cJSON_Delete(list);
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kinds_and_minutes),
        cmocka_unit_test(looking_has_no_hurry),
        cmocka_unit_test(by_time_then_by_the_garden_file),
        cmocka_unit_test(chores_are_jobs_until_done),
        cmocka_unit_test(planned_jobs_say_what_they_take),
        cmocka_unit_test(room_is_kept),
        cmocka_unit_test(on_the_hub),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
