/* SPDX-License-Identifier: MIT */
#include "hub/ahead_view.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/json_text.h"
#include "hub/jobs.h"

void ow_view_ahead(const ow_engine *e, ow_ahead_view *view)
{
    const ow_outlook *o = e->outlook;
    bool known = o != NULL && o->steps > 0;
    *view = (ow_ahead_view){.known = known,
                            .lowest_air_c = known ? o->lowest_air_c : (double)NAN,
                            .lowest_air_s = known ? o->lowest_air_s : INT64_MIN,
                            .until_s = known ? ow_outlook_end_s(o) : INT64_MIN};
}

static int64_t shown_s(ow_utc_s at_s)
{
    return at_s == OW_NEVER ? INT64_MIN : at_s;
}

/* What the threat comes to with nothing done. */
static void say_otherwise(const ow_engine *e, int plant, char text[OW_VIEW_TEXT])
{
    const ow_verdict *v = &e->judged[plant].verdict;
    const ow_threat *t = &v->threat;
    char when[OW_WHEN_TEXT];
    if (!t->any) {
        return;
    }
    (void)ow_when(&e->local, t->at_s, when);
    if (t->dry) {
        snprintf(text, OW_VIEW_TEXT, "frozen roots leave it without water too long from %s", when);
    } else {
        snprintf(text, OW_VIEW_TEXT, "%s %s from %s, down to %.1f C%s", ow_part_name(t->part),
                 v->runs > 1 && v->passed < v->runs ? "may be harmed" : "harmed", when,
                 ow_tenth_c(t->lowest_c), t->kills ? "; past what kills" : "");
    }
}

static void view_job(const ow_engine *e, const ow_job *job, ow_job_view *view)
{
    const ow_garden *g = e->garden;
    bool of_plant = job->plant >= 0, asked = of_plant && job->chore < 0;
    const char *place =
        of_plant ? g->places[e->scene->cast->actor[job->plant].place].name : NULL;
    *view = (ow_job_view){.plant = job->plant,
                          .subject = ow_job_name(e, job),
                          .place = place,
                          .kind = job->kind,
                          .what = job->what,
                          .why = asked ? e->judged[job->plant].reason : "",
                          .by_s = shown_s(job->by_s),
                          .last_s = shown_s(job->last_s),
                          .late = job->late,
                          .minutes = job->minutes,
                          .people = job->people,
                          .kg = job->kg};
    ow_hands_who(g, &e->local, job->by_s, job->people, job->kg, view->who, sizeof view->who);
    if (asked && e->judged[job->plant].verdict.asks) {
        say_otherwise(e, job->plant, view->otherwise);
    }
    ow_utf8_mend(view->who);
}

ow_status ow_view_jobs(const ow_engine *e, ow_job_view *views, int room, int *count)
{
    int most = e->garden->plant_count * (1 + OW_CHORES) + 1;
    ow_job *jobs = calloc((size_t)most, sizeof *jobs);
    *count = 0;
    if (jobs == NULL) {
        return OW_NO_MEMORY;
    }
    int n = ow_jobs_all(e, jobs, most);
    for (int i = 0; i < n && i < room; i++) {
        view_job(e, &jobs[i], &views[i]);
    }
    free(jobs);
    *count = n < room ? n : room;
    return OW_OK;
}

bool ow_view_left_off(const ow_engine *e, int plant, ow_left_view *view)
{
    const ow_verdict *v = &e->judged[plant].verdict;
    const ow_pick *pick = &v->pick;
    char action[OW_ACTION_TEXT] = "";
    bool helpless = v->threat.any && !v->asks && pick->wanted < 0;
    bool barred = pick->way < 0 && pick->wanted >= 0 && pick->bar > OW_BAR_BETTER;
    *view = (ow_left_view){.plant = plant};
    if (barred) {
        ow_verdict wanted = *v;
        wanted.act = e->schedule->survey[plant].way[pick->wanted].act;
        wanted.asks = true;
        ow_action_text(&wanted, e->garden, action);
    }
    snprintf(view->what, sizeof view->what, "%s", action);
    ow_utf8_mend(view->what);
    view->why = barred ? ow_bar_words(pick->bar)
                       : "no cover and no place in this garden prevents it";
    return barred || helpless;
}
