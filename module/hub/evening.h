/* SPDX-License-Identifier: MIT */
/* What the coming night asks for: cloths shut in time, and a word at dusk of a house that its
 * heaters cannot hold. */
#ifndef OVERWINTER_HUB_EVENING_H
#define OVERWINTER_HUB_EVENING_H

#include "hub/engine.h"

/* Lowest air out of doors within the night; NAN: nothing is known. */
double ow_evening_lowest_c(const ow_engine *engine);

/*
 * Are the cloths to be shut now? `shut` is what was answered last. Before a night of frost they
 * close half an hour before leaves lose more to the sky than the sun gives, and open when it gives
 * clearly more again and the air is above freezing. True where nothing is known.
 */
bool ow_evening_shuts(const ow_engine *engine, double lowest_c, bool shut);

/* Raises, from two hours before sunset, what heaters cannot hold tonight, once a night; by day it
 * is over. `sound`: what the guide found may be trusted. */
void ow_evening_warn(ow_engine *engine, bool sound);

#endif
