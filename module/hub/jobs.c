/* SPDX-License-Identifier: MIT */
#include "hub/jobs.h"

#include <math.h>
#include <stdlib.h>

/* Minutes of one person's time. */
enum { LOOK_MIN = 2 };

static void say(ow_job *job, ow_spoken spoken)
{
    job->what = spoken.text;
    job->code = spoken.code;
}

static const char *kind_of(const ow_verdict *v)
{
    return v->state == OW_STATE_THAW_NEEDED ? "thaw"
           : v->act.bare || v->act.sheds    ? "uncover"
           : v->act.wet                     ? "water"
           : v->act.place < 0               ? "cover"
           : v->act.home                    ? "carry out"
                                            : "carry in";
}

bool ow_job_of(const ow_engine *e, int plant, ow_job *job)
{
    const ow_judged *j = &e->judged[plant];
    const ow_verdict *v = &j->verdict;
    bool looks = (v->state == OW_STATE_WAIT_AND_SEE && j->look_due) ||
                 v->state == OW_STATE_NO_READING;
    *job = (ow_job){.plant = plant, .chore = -1, .people = 1, .kg = NAN, .late = v->late};
    if (!v->asks) {
        job->kind = "look";
        say(job, ow_saying_spoken(v->state == OW_STATE_WAIT_AND_SEE ? OW_SAY_LOOK_ALIVE
                                                                    : OW_SAY_SENSORS));
        job->minutes = LOOK_MIN;
        job->by_s = job->last_s = OW_NEVER;
        return looks;
    }
    bool planned = ow_pick_asks(&v->pick);
    job->kind = kind_of(v);
    say(job, (ow_spoken){j->action, j->action_code});
    job->by_s = planned ? v->pick.do_by_s : v->act_by_s;
    job->last_s = v->act_by_s;
    job->minutes = (int)ceil(planned ? v->pick.minutes : ow_act_minutes(&v->act));
    if (planned) {
        job->people = v->pick.people;
        job->kg = v->pick.kg;
        job->saves = v->pick.saves;
    }
    return true;
}

static ow_job chore_of(const ow_engine *e, int plant, ow_chore chore)
{
    const ow_chore_row *row = ow_chore_about(chore);
    ow_utc_s by = e->judged[plant].chores.by_s[chore];
    return (ow_job){.plant = plant,
                    .kind = row->word,
                    .what = row->what,
                    .code = row->code,
                    .chore = (int)chore,
                    .by_s = by,
                    .last_s = by,
                    .minutes = row->minutes,
                    .people = 1,
                    .kg = NAN};
}

static int by_time(const void *a, const void *b)
{
    const ow_job *one = a, *other = b;
    if (one->by_s != other->by_s) {
        return one->by_s < other->by_s ? -1 : 1;
    }
    return one->plant != other->plant ? one->plant - other->plant : one->chore - other->chore;
}

int ow_jobs(const ow_engine *e, ow_job *jobs, int room)
{
    int n = 0;
    for (int i = 0; i < e->garden->plant_count; i++) {
        const ow_judged *j = &e->judged[i];
        n += n < room && ow_job_of(e, i, &jobs[n]);
        for (int c = 0; c < OW_CHORES && n < room; c++) {
            if (j->chores.set & ~j->chores_done & 1u << c) {
                jobs[n++] = chore_of(e, i, (ow_chore)c);
            }
        }
    }
    qsort(jobs, (size_t)n, sizeof *jobs, by_time);
    return n;
}

bool ow_job_of_garden(const ow_engine *e, ow_job *job)
{
    ow_spoken drain = ow_saying_spoken(OW_SAY_DRAIN);
    *job = (ow_job){.plant = -1,
                    .kind = "drain",
                    .what = drain.text,
                    .code = drain.code,
                    .chore = -1,
                    .by_s = e->drain_s,
                    .last_s = e->drain_s,
                    .late = e->scene != NULL && e->drain_s <= e->scene->now_s,
                    .minutes = OW_DRAIN_MIN,
                    .people = 1,
                    .kg = NAN};
    return e->drain_s != OW_NEVER;
}

int ow_jobs_all(const ow_engine *e, ow_job *jobs, int room)
{
    int n = ow_jobs(e, jobs, room);
    n += n < room && ow_job_of_garden(e, &jobs[n]);
    qsort(jobs, (size_t)n, sizeof *jobs, by_time);
    return n;
}

const char *ow_job_id(const ow_engine *e, const ow_job *job)
{
    return job->plant < 0 ? "garden" : e->garden->plants[job->plant].id;
}

const char *ow_job_name(const ow_engine *e, const ow_job *job)
{
    return job->plant < 0 ? "garden" : e->garden->plants[job->plant].name;
}
