/* SPDX-License-Identifier: MIT */
/* Rules of the garden file that look at more than one key. */
#ifndef OVERWINTER_GARDEN_GARDEN_CHECK_H
#define OVERWINTER_GARDEN_GARDEN_CHECK_H

#include "garden/key_context.h"

/*
 * Adds a fault for every rule that the garden, just read and its references resolved, breaks.
 * Values that were faulty in themselves are NAN or unresolved by now and are not told again.
 */
void ow_garden_check(const ow_key_reader *reader, const ow_garden *garden);

#endif
