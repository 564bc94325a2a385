/* SPDX-License-Identifier: MIT */
#include "status.h"

#include <stdarg.h>
#include <stdio.h>

const char *ow_status_text(ow_status status)
{
    static const char *const text[] = {
#define OW_STATUS_TEXT(name, words) words,
        OW_STATUS_LIST(OW_STATUS_TEXT)
#undef OW_STATUS_TEXT
    };
    unsigned i = (unsigned)status;
    return i < sizeof text / sizeof text[0] ? text[i] : "unknown status";
}

static void say(ow_report *report, const char *format, va_list args) OW_PRINTF(2, 0);

static void say(ow_report *report, const char *format, va_list args)
{
    char text[512];
    if (report == NULL || report->line == NULL) {
        return;
    }
    vsnprintf(text, sizeof text, format, args);
    report->line(report->self, text);
}

void ow_error(ow_report *report, const char *format, ...)
{
    va_list args;
    if (report == NULL) {
        return;
    }
    report->errors++;
    va_start(args, format);
    say(report, format, args);
    va_end(args);
}

void ow_say(ow_report *report, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    say(report, format, args);
    va_end(args);
}
