/* SPDX-License-Identifier: MIT */
/* A report that keeps its lines, and the text of a file, for the tests of the hosts. */
#ifndef OVERWINTER_TESTS_HOSTS_LINES_H
#define OVERWINTER_TESTS_HOSTS_LINES_H

#include <stdio.h>
#include <string.h>

#include "status.h"

struct lines {
    ow_report report;
    int count;
    char text[16384]; /* each line ends in a newline */
};

static inline void lines_take(void *self, const char *text)
{
    struct lines *lines = self;
    size_t used = strlen(lines->text);
    snprintf(lines->text + used, sizeof lines->text - used, "%s\n", text);
    lines->count++;
}

static inline void lines_start(struct lines *lines)
{
    memset(lines, 0, sizeof *lines);
    lines->report = (ow_report){.line = lines_take, .self = lines};
}

static inline void check_says(const struct lines *lines, const char *part)
{
    if (strstr(lines->text, part) == NULL) {
        fail_msg("no line says \"%s\" in:\n%s", part, lines->text);
    }
}

/* Reads a temporary file from its start; returns text. */
static inline char *file_text(FILE *file, char *text, size_t size)
{
    rewind(file);
    size_t length = fread(text, 1, size - 1, file);
    text[length] = '\0';
    return text;
}

#endif
