/* SPDX-License-Identifier: MIT */
/* The sensors that a garden file names, and its forecast, as their makers would send them. */
#ifndef OVERWINTER_TESTS_SIM_SENSORS_H
#define OVERWINTER_TESTS_SIM_SENSORS_H

#include "hosts/client.h"
#include "sim/devices.h"
#include "sim/world.h"

/* A door or window that stands open for a while. */
typedef struct sim_opening {
    const char *reading;
    int64_t from_s, until_s;
} sim_opening;

enum { SIM_OPENINGS = 8, SIM_SILENT = 8 };

typedef struct sim_sensors {
    const ow_garden *garden;
    const sim_world *world;
    const sim_devices *devices;
    sim_opening opening[SIM_OPENINGS];
    int openings;
    const char *silent[SIM_SILENT]; /* readings that are not sent */
    int silents;
    int every_s; /* between two readings */
    bool *open;  /* one a reading: a contact as it was told last */
    int64_t due_s, forecast_due_s;
    unsigned times;
} sim_sensors;

bool sim_sensors_begin(sim_sensors *sensors, const ow_garden *garden, const sim_world *world,
                       const sim_devices *devices);
void sim_sensors_end(sim_sensors *sensors);

/* Sends what is due, and a contact as soon as it changes. A probe in a plant is not simulated and
 * sends nothing. */
void sim_sensors_move(sim_sensors *sensors, int64_t now_s, ow_client *client);

#endif
