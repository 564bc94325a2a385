/* SPDX-License-Identifier: MIT */
/* Files and reports for the tests of the garden file. Include it after <cmocka.h>. */
#ifndef OVERWINTER_TESTS_GARDEN_GARDEN_TEXT_H
#define OVERWINTER_TESTS_GARDEN_GARDEN_TEXT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/garden.h"

/* A whole file, zero-terminated; the caller frees it. Paths are from the top of the project. */
static inline char *file_text(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    size_t used = 0, room = 0;
    if (file == NULL) {
        fail_msg("cannot open %s; run the tests from the top of the project", path);
    }
    while (!feof(file) && !ferror(file)) {
        room += 65536;
        text = realloc(text, room + 1);
        assert_non_null(text);
        used += fread(text + used, 1, room - used, file);
    }
    fclose(file);
    text[used] = '\0';
    if (size != NULL) {
        *size = used;
    }
    return text;
}

/* Gathers lines, each with a newline behind it. */
struct lines {
    char text[65536];
    size_t used;
};

static inline void add_line(void *self, const char *text)
{
    struct lines *lines = self;
    int more = snprintf(lines->text + lines->used, sizeof lines->text - lines->used, "%s\n", text);
    assert_true(more > 0 && lines->used + (size_t)more < sizeof lines->text);
    lines->used += (size_t)more;
}

/* Reads a garden from exactly `size` bytes on the heap, so that a read past them is seen. */
static inline ow_status read_bytes(const char *text, size_t size, struct lines *lines, int *errors,
                                   ow_garden **garden)
{
    char *copy = malloc(size > 0 ? size : 1);
    ow_report report = {.line = add_line, .self = lines};
    ow_status status;
    assert_non_null(copy);
    memcpy(copy, text, size);
    *lines = (struct lines){.used = 0};
    *garden = NULL;
    status = ow_garden_read("garden.json", copy, size, &report, garden);
    *errors = report.errors;
    free(copy); /* the garden must not need it any more */
    return status;
}

#endif
