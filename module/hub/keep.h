/* SPDX-License-Identifier: MIT */
/* What a live garden keeps over a restart, beside the model's own state: sections of a snapshot. */
#ifndef OVERWINTER_HUB_KEEP_H
#define OVERWINTER_HUB_KEEP_H

#include "garden/snapshot.h"
#include "hub/live.h"

/* All of it as bytes, which the caller frees. OW_NO_MEMORY. */
OW_CHECK ow_status ow_keep_write(const ow_engine *engine, void **bytes, size_t *size);

/* What was watered is moist: to be called before the model's own state, which is that of moist pots,
 * is restored. */
void ow_keep_water(ow_engine *engine, const ow_snapshot *snapshot);

/* Brings back what the sections hold; what cannot be read is said and begins anew. */
void ow_keep_read(ow_engine *engine, const ow_snapshot *snapshot, ow_report *report);

#endif
