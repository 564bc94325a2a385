/* SPDX-License-Identifier: MIT */
#include "hosts/event_log.h"

#include <stdlib.h>
#include <string.h>

#include "hosts/numbers.h"

ow_status ow_event_log_open(ow_event_log *log, const char *dir, ow_report *report)
{
    *log = (ow_event_log){0};
    ow_status status = ow_out_open(&log->out, dir, "events.csv", report);
    if (status == OW_OK) {
        fputs("time,subject,event,detail\n", log->out.file);
    }
    return status;
}

static const char *put(char **at, const char *text)
{
    const char *put_at = strcpy(*at, text);
    *at += strlen(text) + 1;
    return put_at;
}

static ow_status keep_event(ow_event_log *log, const ow_event *event)
{
    if (log->count == log->room) {
        int room = log->room == 0 ? 64 : 2 * log->room;
        ow_event *larger = realloc(log->item, (size_t)room * sizeof *larger);
        if (larger == NULL) {
            return OW_NO_MEMORY;
        }
        log->item = larger;
        log->room = room;
    }
    char *at = malloc(strlen(event->subject) + strlen(event->event) + strlen(event->detail) + 3);
    if (at == NULL) {
        return OW_NO_MEMORY;
    }
    ow_event *kept = &log->item[log->count++];
    kept->utc_s = event->utc_s;
    kept->subject = put(&at, event->subject);
    kept->event = put(&at, event->event);
    kept->detail = put(&at, event->detail);
    return OW_OK;
}

void ow_event_log_add(void *self, int64_t utc_s, const char *subject, const char *event,
                      const char *detail)
{
    ow_event_log *log = self;
    const ow_event told = {utc_s, subject, event, detail};
    FILE *file = log->out.file;
    ow_csv_time(file, utc_s);
    fputc(',', file);
    ow_csv_text(file, subject);
    fputc(',', file);
    ow_csv_text(file, event);
    fputc(',', file);
    ow_csv_text(file, detail);
    fputc('\n', file);
    log->no_memory = keep_event(log, &told) != OW_OK || log->no_memory;
}

ow_status ow_event_log_keep(ow_event_log *log, ow_report *report)
{
    ow_status status = ow_out_keep(&log->out, report);
    return status == OW_OK && log->no_memory ? OW_NO_MEMORY : status;
}

void ow_event_log_close(ow_event_log *log)
{
    ow_out_drop(&log->out);
    for (int i = 0; i < log->count; i++) {
        free((void *)log->item[i].subject); /* the block begins with the subject */
    }
    free(log->item);
    *log = (ow_event_log){0};
}
