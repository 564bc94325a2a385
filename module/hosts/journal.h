/* SPDX-License-Identifier: MIT */
/*
 * The log of a program that runs for months: a line on stderr each. Under a service manager that
 * reads stderr, the lines carry the priority it knows ("<4>").
 */
#ifndef OVERWINTER_HOSTS_JOURNAL_H
#define OVERWINTER_HOSTS_JOURNAL_H

#include "overwinter.h"

/* One line; longer than 1000 bytes is cut. */
void ow_journal(ow_level level, const char *format, ...) OW_PRINTF(2, 3);

/* The same for a host's log; `self` is not used. */
void ow_journal_line(void *self, ow_level level, const char *line);

/* A report that goes to the journal: errors as errors, the rest as information. */
typedef struct ow_journal_report {
    ow_report report;
    int errors_told;
} ow_journal_report;

/* Sets one up in place; it must not be moved afterwards. */
void ow_journal_report_start(ow_journal_report *journal);

#endif
