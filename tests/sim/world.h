/* SPDX-License-Identifier: MIT */
/*
 * The weather that is played, and the air of each place. Glasshouses have a crude physics of their
 * own (one heat capacity, one loss), on purpose not the model's: what is simulated must not know
 * what is tested.
 */
#ifndef OVERWINTER_TESTS_SIM_WORLD_H
#define OVERWINTER_TESTS_SIM_WORLD_H

#include "garden/garden.h"
#include "overwinter.h"

typedef struct sim_world {
    const ow_garden *garden;
    const ow_weather_row *row;
    size_t rows;
    double *air_c; /* one a place */
    int64_t now_s;
    ow_weather_row weather; /* now */
} sim_world;

/* The rows and the garden must outlive it. False: no memory. */
bool sim_world_begin(sim_world *world, const ow_garden *garden, const ow_weather_row *row,
                     size_t rows, int64_t now_s);
void sim_world_end(sim_world *world);

/* Between two rows in a straight line; before the first and after the last they stand still. */
ow_weather_row sim_world_weather(const sim_world *world, int64_t utc_s);

/* Moves on; watts holds what is put into the air of each place. */
void sim_world_move(sim_world *world, int64_t now_s, const double *watts);

#endif
