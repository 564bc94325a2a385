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
    const char *code; /* the same as codes, see judgement/speech.h; empty: none */
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

/* The job of the whole garden that comes once in a season; its plant is -1. False: none now. */
bool ow_job_of_garden(const ow_engine *engine, ow_job *job);

/* As ow_jobs, and that of the garden among them in its order. */
int ow_jobs_all(const ow_engine *engine, ow_job *jobs, int room);

/* Id and name of what a job is about: a plant, or "garden". */
const char *ow_job_id(const ow_engine *engine, const ow_job *job);
const char *ow_job_name(const ow_engine *engine, const ow_job *job);

/* All jobs of plants by their time, at most `room`; returns how many. A plant has 1 + OW_CHORES at most. */
int ow_jobs(const ow_engine *engine, ow_job *jobs, int room);

#endif
