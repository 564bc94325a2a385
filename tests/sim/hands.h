/* SPDX-License-Identifier: MIT */
/* A person who does the jobs of some plants, and of the garden, in time, and says so to the hub. */
#ifndef OVERWINTER_TESTS_SIM_HANDS_H
#define OVERWINTER_TESTS_SIM_HANDS_H

#include "garden/garden.h"
#include "hosts/client.h"

enum { SIM_JOBS = 64 };

typedef struct sim_job {
    int plant; /* past the last one: the garden */
    char kind[32];
    int64_t by_s;
} sim_job;

typedef struct sim_hands {
    const ow_garden *garden;
    const char *plants; /* ids, a comma between; NULL: nobody does anything */
    sim_job job[SIM_JOBS];
    int jobs;
    int64_t *busy_until_s; /* one a plant and the garden: what was just done is not done again */
    int done;
} sim_hands;

bool sim_hands_begin(sim_hands *hands, const ow_garden *garden);
void sim_hands_end(sim_hands *hands);

/* Takes the garden's list of jobs; other topics are ignored. */
void sim_hands_hear(sim_hands *hands, const ow_message *message);
/* Does what is due. */
void sim_hands_move(sim_hands *hands, int64_t now_s, ow_client *client);

#endif
