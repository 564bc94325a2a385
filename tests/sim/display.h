/* SPDX-License-Identifier: MIT */
/*
 * The garden as its hub tree tells it, for the demonstration: at a terminal a table that moves with
 * notices and switching below it; in a pipe each change as a line. 80 columns.
 */
#ifndef OVERWINTER_TESTS_SIM_DISPLAY_H
#define OVERWINTER_TESTS_SIM_DISPLAY_H

#include "garden/garden.h"
#include "hosts/client.h"
#include "sim/devices.h"
#include "sim/world.h"

enum { SIM_SHOWN = 5, SIM_LINE = 800, SIM_WORD = 32, SIM_TOLD = 256 };

/* What the tree says of one plant. */
typedef struct sim_shown_plant {
    char state[SIM_WORD], act_by[SIM_WORD], ball[SIM_WORD], ice[SIM_WORD], frozen[SIM_WORD];
    char told[SIM_WORD]; /* the state that was told last */
    uint64_t heard_ms;   /* when something of it came last (real) */
} sim_shown_plant;

/* What has been told of one device in a pipe. */
typedef struct sim_shown_device {
    bool on, tell_off;
    const char *cloth; /* where it was told to be */
    double off_since_s;
    unsigned starts, leases;
    double used_j, on_s;
} sim_shown_device;

typedef struct sim_display {
    const ow_garden *garden;
    const sim_world *world;
    const sim_devices *devices;
    sim_shown_plant *plant;
    sim_shown_device *device;
    char hub[SIM_WORD], tonight[SIM_LINE];
    char line[SIM_SHOWN][SIM_LINE]; /* the latest, oldest first */
    unsigned told[SIM_TOLD];        /* notices that were told, as hashes */
    int tolds, states, notices;
    bool terminal;
    uint64_t drawn_ms, real_ms;
    int64_t summed_day, now_s;
} sim_display;

bool sim_display_begin(sim_display *display, const ow_garden *garden, const sim_world *world,
                       const sim_devices *devices, int64_t now_s);
void sim_display_end(sim_display *display);

/* Takes a message of the hub tree; others are ignored. */
void sim_display_hear(sim_display *display, const ow_message *message);
/* Shows what is new. */
void sim_display_move(sim_display *display, int64_t now_s, uint64_t real_ms);
/* Says in two lines what was seen in all. */
void sim_display_sum(const sim_display *display);

#endif
