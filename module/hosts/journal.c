/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/journal.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

static const struct {
    const char *priority; /* of syslog, as a service manager reads it */
    const char *word;     /* for a person at a terminal */
} shown[] = {
    [OW_LEVEL_INFO] = {"<6>", ""},
    [OW_LEVEL_WARN] = {"<4>", "warning: "},
    [OW_LEVEL_ERROR] = {"<3>", "error: "},
};

void ow_journal(ow_level level, const char *format, ...)
{
    char line[1000];
    va_list values;
    va_start(values, format);
    vsnprintf(line, sizeof line, format, values);
    va_end(values);
    bool managed = getenv("JOURNAL_STREAM") != NULL;
    fprintf(stderr, "%s%s\n", managed ? shown[level].priority : shown[level].word, line);
}

void ow_journal_line(void *self, ow_level level, const char *line)
{
    (void)self;
    ow_journal(level, "%s", line);
}

/* ow_error counts before it tells, so a line is an error when the count has moved. */
static void tell(void *self, const char *text)
{
    ow_journal_report *journal = self;
    bool is_error = journal->report.errors > journal->errors_told;
    journal->errors_told = journal->report.errors;
    ow_journal(is_error ? OW_LEVEL_ERROR : OW_LEVEL_INFO, "%s", text);
}

void ow_journal_report_start(ow_journal_report *journal)
{
    *journal = (ow_journal_report){.report = {.line = tell, .self = journal}};
}
