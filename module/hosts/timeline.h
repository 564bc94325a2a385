/* SPDX-License-Identifier: MIT */
/* timeline.csv, a line for each plant and output time, and ground.csv, the same for beds. */
#ifndef OVERWINTER_HOSTS_TIMELINE_H
#define OVERWINTER_HOSTS_TIMELINE_H

#include "hosts/text_file.h"
#include "overwinter.h"

typedef struct ow_timeline {
    ow_out plants, ground; /* ground stays shut when no plant stands in a bed */
} ow_timeline;

/* Begins the files in a directory and removes a ground.csv that has no bed any more. */
OW_CHECK ow_status ow_timeline_open(ow_timeline *timeline, const char *dir, const ow_module *module,
                                    const ow_engine *engine, ow_report *report);

/* Writes the lines of the present time. */
void ow_timeline_write(ow_timeline *timeline, const ow_module *module, const ow_engine *engine);

/* Completes the files. OW_IO is told. */
OW_CHECK ow_status ow_timeline_keep(ow_timeline *timeline, ow_report *report);

/* Takes away what was begun and not kept. */
void ow_timeline_drop(ow_timeline *timeline);

#endif
