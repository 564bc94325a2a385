/* SPDX-License-Identifier: MIT */
/*
 * What hangs on the outputs of a garden: plugs with an off-timer of their own, and motors that draw
 * a cloth to and fro. Each change is a line for tests:
 *
 *   2026-01-22T03:10:00Z porch-heater on 3600 by command
 *   2026-01-22T03:30:00Z porch-heater renewed 3600
 *   2026-01-22T04:10:00Z porch-heater off by its timer
 */
#ifndef OVERWINTER_TESTS_SIM_DEVICES_H
#define OVERWINTER_TESTS_SIM_DEVICES_H

#include <stdio.h>

#include "garden/garden.h"
#include "hosts/client.h"

/* How a device takes commands and reports. */
typedef enum sim_manner {
    SIM_HONEST, /* on for the seconds that were said, or its off_by_itself_s; reports at once */
    SIM_PULSE,  /* on for its off_by_itself_s, whatever was said */
    SIM_LATE,   /* reports 20 s late */
    SIM_WRONG,  /* always reports on */
    SIM_STUCK,  /* a plug that stays on once it is on; a motor that does not move */
    SIM_MANNERS
} sim_manner;

/* The manner's word, such as "pulse"; SIM_MANNERS when there is none of that word. */
sim_manner sim_manner_named(const char *word);

typedef enum sim_motion { SIM_STILL, SIM_CLOSING, SIM_OPENING } sim_motion;

typedef struct sim_device {
    const ow_output *output;
    sim_manner manner;
    bool on;            /* a plug */
    sim_motion motion;  /* a drive */
    double closed_s;    /* of its travel */
    uint64_t ends_ms;   /* by its own timer (the garden's boot clock) */
    uint64_t report_ms; /* when the next report is due; 0: none is */
    uint64_t said_ms, on_since_ms;
    unsigned starts, leases;
    double used_j, on_s;
} sim_device;

typedef struct sim_devices {
    int count;
    sim_device *item;
    FILE *log;
    ow_now now;
} sim_devices;

bool sim_devices_begin(sim_devices *devices, const ow_garden *garden, FILE *log);
void sim_devices_end(sim_devices *devices);
/* Gives the device of an output a manner; false: there is no such output. */
bool sim_devices_manner(sim_devices *devices, const char *id, sim_manner manner);

/* What was said on a command topic. */
void sim_devices_hear(sim_devices *devices, const ow_message *message);
/* Lets time pass, timers end, motors turn and reports go out. */
void sim_devices_move(sim_devices *devices, ow_now now, ow_client *client);

/* Watts that go into the air of each place. */
void sim_devices_heat(const sim_devices *devices, double *watts);
double sim_device_watts(const sim_device *device);
/* Share of the way that the cloth is closed, 0..1. */
double sim_device_closed(const sim_device *device);

#endif
