/* SPDX-License-Identifier: MIT */
/*
 * Jobs: one for each plant that asks, in the order of their latest useful time.
 */
#ifndef OVERWINTER_HUB_JOBS_H
#define OVERWINTER_HUB_JOBS_H

#include "hub/engine.h"

typedef struct ow_job {
    int plant;
    const char *kind; /* "cover", "carry in", "thaw", "uncover", "carry out", "look" */
    ow_utc_s by_s;    /* OW_NEVER: no hurry */
    int minutes;      /* of a person's time (common practice, no source) */
} ow_job;

/* The job that a plant's verdict asks for; false: none. */
bool ow_job_of(const ow_engine *engine, int plant, ow_job *job);

/* All jobs by their time, at most `room`; returns how many. */
int ow_jobs(const ow_engine *engine, ow_job *jobs, int room);

#endif
