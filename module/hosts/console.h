/* SPDX-License-Identifier: MIT */
/* What the program tells the person at the terminal, and the exit codes that scripts see. */
#ifndef OVERWINTER_HOSTS_CONSOLE_H
#define OVERWINTER_HOSTS_CONSOLE_H

#include <stdio.h>

#include "status.h"

enum ow_exit {
    OW_EXIT_DONE = 0,
    OW_EXIT_INPUT = 1, /* the garden file or an input is wrong */
    OW_EXIT_USAGE = 2, /* the command line is wrong */
    OW_EXIT_HOST = 3   /* the machine failed: nothing to write on, no module, no memory */
};

/* A report whose errors go to stderr and whose other lines go to `answers`. */
typedef struct ow_console {
    ow_report report;
    FILE *answers;
    int errors_told;
} ow_console;

/* Sets up a console in place; it must not be moved afterwards. */
void ow_console_start(ow_console *console, FILE *answers);

/*
 * The exit code of a status. OW_BAD_INPUT has been told where it was found; of anything else that
 * is not OW_OK and was not told, the text of the status is told here.
 */
int ow_console_exit(ow_console *console, ow_status status);

/* Flushes stdout: OW_IO, told, when not all of it could be written. */
OW_CHECK ow_status ow_console_flush(ow_report *report);

#endif
