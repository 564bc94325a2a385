/* SPDX-License-Identifier: MIT */
#include "hub/jobs.h"

#include <stdlib.h>

/* Minutes of one person's time. */
enum { COVER_MIN = 5, CARRY_MIN = 10, LOOK_MIN = 2 };

bool ow_job_of(const ow_engine *e, int plant, ow_job *job)
{
    const ow_verdict *v = &e->judged[plant].verdict;
    *job = (ow_job){.plant = plant, .by_s = v->act_by_s};
    bool looks = v->state == OW_STATE_WAIT_AND_SEE || v->state == OW_STATE_NO_READING;
    if (looks && !v->asks) {
        job->kind = "look";
        job->minutes = LOOK_MIN;
        job->by_s = OW_NEVER;
        return true;
    }
    if (!v->asks) {
        return false;
    }
    bool covers = v->act.covers > 0 || v->act.bare;
    job->minutes = covers ? COVER_MIN : CARRY_MIN;
    job->kind = v->state == OW_STATE_THAW_NEEDED ? "thaw"
                : v->act.bare                    ? "uncover"
                : v->act.covers > 0              ? "cover"
                : v->act.home                    ? "carry out"
                                                 : "carry in";
    return true;
}

static int by_time(const void *a, const void *b)
{
    const ow_job *one = a, *other = b;
    if (one->by_s != other->by_s) {
        return one->by_s < other->by_s ? -1 : 1;
    }
    return one->plant - other->plant;
}

int ow_jobs(const ow_engine *e, ow_job *jobs, int room)
{
    int n = 0;
    for (int i = 0; i < e->garden->plant_count && n < room; i++) {
        n += ow_job_of(e, i, &jobs[n]);
    }
    qsort(jobs, (size_t)n, sizeof *jobs, by_time);
    return n;
}
