/* SPDX-License-Identifier: MIT */
/* Everything that a rehearsal keeps of what happens, and the files that it becomes. */
#ifndef OVERWINTER_HOSTS_RECORD_H
#define OVERWINTER_HOSTS_RECORD_H

#include "hosts/event_log.h"
#include "hosts/plot_data.h"
#include "hosts/timeline.h"
#include "hosts/worst.h"

typedef struct ow_record {
    const ow_module *module;
    const ow_engine *engine;
    const char *dir;
    int64_t from_s;
    ow_event_log events;
    ow_timeline timeline;
    ow_plot_data plot;
    ow_worst *worst;
    bool has_ground; /* a ground.csv is written */
    char *summary;   /* once kept */
} ow_record;

/* Makes the directory and begins the files. OW_IO is told. */
OW_CHECK ow_status ow_record_open(ow_record *record, const ow_module *module,
                                  const ow_engine *engine, const char *dir, int64_t from_s,
                                  int64_t until_s, ow_report *report);

/* Takes in the present state; `line`: with a line in the timeline. */
void ow_record_note(ow_record *record, bool line);

/* Completes all files. OW_IO is told. */
OW_CHECK ow_status ow_record_keep(ow_record *record, ow_report *report);

/* Frees everything and takes away files that were not completed. */
void ow_record_close(ow_record *record);

#endif
