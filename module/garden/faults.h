/* SPDX-License-Identifier: MIT */
/*
 * Faults of a text, collected as they are found and told in the order they stand in the text,
 * each as "NAME:line:column: message". Columns count characters (code points), both from 1.
 */
#ifndef OVERWINTER_GARDEN_FAULTS_H
#define OVERWINTER_GARDEN_FAULTS_H

#include "status.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct ow_fault {
    size_t at; /* byte in the text */
    int order; /* of finding, keeps the sort stable */
    bool advice;
    char *message;
} ow_fault;

typedef struct ow_faults {
    ow_fault *item;
    int count;
    int capacity;
    int errors;
    bool no_memory; /* a fault could not be kept */
} ow_faults;

/* Keeps one fault, printf-style, at most 700 bytes. Never fails: see no_memory. */
void ow_fault_add(ow_faults *faults, size_t at, const char *format, ...) OW_PRINTF(3, 4);

/* Keeps one line of advice; it is told but is no error. */
void ow_advice_add(ow_faults *faults, size_t at, const char *format, ...) OW_PRINTF(3, 4);

/* Tells everything kept, sorted by place in `text`. */
void ow_faults_tell(ow_faults *faults, const char *file_name, const char *text, size_t size,
                    ow_report *report);

void ow_faults_free(ow_faults *faults);

/* Room that ow_shown needs at most. */
#define OW_SHOWN_SIZE 64

/*
 * Makes a foreign text fit for a one-line message: control characters become '?', a long text is
 * cut with "...". Returns `out`, which holds OW_SHOWN_SIZE bytes.
 */
const char *ow_shown(char *out, const char *text);

#endif
