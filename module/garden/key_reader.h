/* SPDX-License-Identifier: MIT */
/*
 * Fills the structs of garden.h from the tree of a garden file, by the table of keys alone.
 * Every fault is collected, none stops the reading.
 */
#ifndef OVERWINTER_GARDEN_KEY_READER_H
#define OVERWINTER_GARDEN_KEY_READER_H

#include "garden/key_context.h"

/*
 * Reads the whole file into the zeroed garden. OW_OK also when faults were added: look there.
 * OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_key_reader_run(ow_key_reader *reader, ow_garden *garden);

#endif
