/* SPDX-License-Identifier: MIT */
/*
 * Jobs: what the plan asks of each plant and its chores, in the order of their times.
 */
#ifndef OVERWINTER_HUB_JOBS_H
#define OVERWINTER_HUB_JOBS_H

#include "hub/engine.h"

typedef struct ow_job {
    int plant;
    const char
        *kind; /* "cover", "carry in", "thaw", "uncover", "carry out", "look", or a chore's */
    const char *what; /* what is asked, in words; owned by the engine */
    int chore;        /* ow_chore; -1: asked by the verdict */
    ow_utc_s by_s;    /* while there are hands, daylight first; OW_NEVER: no hurry */
    ow_utc_s last_s;  /* latest time that still helps; OW_NEVER: none */
    bool late;
    int minutes; /* of all people together (common practice, no source) */
    int people;
    double kg;    /* to lift; NAN: nothing, or not known */
    double saves; /* loss avoided, see judgement/loss.h; 0 for chores */
} ow_job;

/* The job that a plant's verdict asks for; false: none. */
bool ow_job_of(const ow_engine *engine, int plant, ow_job *job);

/* All jobs by their time, at most `room`; returns how many. A plant has 1 + OW_CHORES at most. */
int ow_jobs(const ow_engine *engine, ow_job *jobs, int room);

#endif
