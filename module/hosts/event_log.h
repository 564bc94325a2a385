/* SPDX-License-Identifier: MIT */
/* What the module told during a rehearsal: written to events.csv and kept for the story. */
#ifndef OVERWINTER_HOSTS_EVENT_LOG_H
#define OVERWINTER_HOSTS_EVENT_LOG_H

#include <stdbool.h>
#include <stdint.h>

#include "hosts/text_file.h"

typedef struct ow_event {
    int64_t utc_s;
    const char *subject, *event, *detail; /* one block, owned by the log */
} ow_event;

typedef struct ow_event_log {
    ow_event *item;
    int count, room;
    bool no_memory; /* an event could not be kept */
    ow_out out;
} ow_event_log;

/* Begins events.csv in a directory. OW_IO is told. */
OW_CHECK ow_status ow_event_log_open(ow_event_log *log, const char *dir, ow_report *report);

/* Takes one event; `self` is the log: this fits ow_host. Failure shows in ow_event_log_keep. */
void ow_event_log_add(void *self, int64_t utc_s, const char *subject, const char *event,
                      const char *detail);

/* Completes events.csv; the events stay. OW_NO_MEMORY when one was lost; OW_IO is told. */
OW_CHECK ow_status ow_event_log_keep(ow_event_log *log, ow_report *report);

/* Frees everything and takes away a file that was not completed. */
void ow_event_log_close(ow_event_log *log);

#endif
