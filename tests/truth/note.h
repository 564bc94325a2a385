/* SPDX-License-Identifier: MIT */
/*
 * What a test achieved, for the page of truth: when the environment names a file (OW_TRUTH), every
 * check adds a line of tab-separated "what, achieved, limit" to it; else nothing is written.
 */
#ifndef OVERWINTER_TESTS_TRUTH_NOTE_H
#define OVERWINTER_TESTS_TRUTH_NOTE_H

#include <stdio.h>
#include <stdlib.h>

static inline void truth_note(const char *what, double achieved, double limit)
{
    const char *path = getenv("OW_TRUTH");
    FILE *out = path != NULL ? fopen(path, "a") : NULL;
    if (out != NULL) {
        fprintf(out, "%s\t%.6g\t%.6g\n", what, achieved, limit);
        fclose(out);
    }
}

#endif
