/* SPDX-License-Identifier: MIT */
#include "hosts/console.h"

#include <errno.h>
#include <string.h>

/* ow_error counts before it tells, so a line is an error when the count has moved. */
static void tell(void *self, const char *text)
{
    ow_console *console = self;
    FILE *to = console->report.errors > console->errors_told ? stderr : console->answers;
    console->errors_told = console->report.errors;
    fprintf(to, "%s\n", text);
}

void ow_console_start(ow_console *console, FILE *answers)
{
    *console = (ow_console){.report = {.line = tell, .self = console}, .answers = answers};
}

int ow_console_exit(ow_console *console, ow_status status)
{
    if (status == OW_OK) {
        return OW_EXIT_DONE;
    }
    if (console->report.errors == 0) {
        ow_error(&console->report, "overwinter: %s", ow_status_text(status));
    }
    return status == OW_BAD_INPUT ? OW_EXIT_INPUT : OW_EXIT_HOST;
}

ow_status ow_console_flush(ow_report *report)
{
    errno = 0;
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return OW_OK;
    }
    ow_error(report, "overwinter: the output could not be written in full%s%s",
             errno == 0 ? "" : ": ", errno == 0 ? "" : strerror(errno));
    return OW_IO;
}
