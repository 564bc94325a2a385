/* SPDX-License-Identifier: MIT */
#include "garden/faults.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static ow_fault *new_fault(ow_faults *faults)
{
    if (faults->count == faults->capacity) {
        int capacity = faults->capacity == 0 ? 16 : 2 * faults->capacity;
        ow_fault *item = realloc(faults->item, (size_t)capacity * sizeof *item);
        if (item == NULL) {
            return NULL;
        }
        faults->item = item;
        faults->capacity = capacity;
    }
    return &faults->item[faults->count];
}

static void add(ow_faults *faults, size_t at, bool advice, const char *format, va_list args)
    OW_PRINTF(4, 0);

static void add(ow_faults *faults, size_t at, bool advice, const char *format, va_list args)
{
    char message[700];
    int length = vsnprintf(message, sizeof message, format, args);
    size_t size = length < 0 ? 0 : strlen(message) + 1;
    ow_fault *fault = new_fault(faults);
    char *kept = malloc(size + 1);
    faults->errors += advice ? 0 : 1;
    if (fault == NULL || kept == NULL) {
        free(kept);
        faults->no_memory = true;
        return;
    }
    memcpy(kept, message, size);
    kept[size] = '\0';
    *fault = (ow_fault){.at = at, .order = faults->count++, .advice = advice, .message = kept};
}

void ow_fault_add(ow_faults *faults, size_t at, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    add(faults, at, false, format, args);
    va_end(args);
}

void ow_advice_add(ow_faults *faults, size_t at, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    add(faults, at, true, format, args);
    va_end(args);
}

static int by_place(const void *left, const void *right)
{
    const ow_fault *a = left, *b = right;
    if (a->at != b->at) {
        return a->at < b->at ? -1 : 1;
    }
    return a->order - b->order;
}

/* A place that moves forward through the text, so that telling many faults stays linear. */
struct place {
    size_t at;
    int line, column;
};

static void advance(struct place *place, const char *text, size_t size, size_t until)
{
    for (; place->at < until && place->at < size; place->at++) {
        unsigned char byte = (unsigned char)text[place->at];
        if (byte == '\n') {
            place->line++;
            place->column = 1;
        } else if ((byte & 0xC0) != 0x80) {
            place->column++;
        }
    }
}

void ow_faults_tell(ow_faults *faults, const char *file_name, const char *text, size_t size,
                    ow_report *report)
{
    bool has_mark = size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0;
    struct place place = {.at = has_mark ? 3 : 0, .line = 1, .column = 1};
    if (faults->count == 0) {
        return;
    }
    qsort(faults->item, (size_t)faults->count, sizeof *faults->item, by_place);
    for (int i = 0; i < faults->count; i++) {
        const ow_fault *fault = &faults->item[i];
        advance(&place, text, size, fault->at);
        (fault->advice ? ow_say : ow_error)(report, "%s:%d:%d: %s%s", file_name, place.line,
                                            place.column, fault->advice ? "advice: " : "",
                                            fault->message);
    }
}

void ow_faults_free(ow_faults *faults)
{
    for (int i = 0; i < faults->count; i++) {
        free(faults->item[i].message);
    }
    free(faults->item);
    *faults = (ow_faults){0};
}

const char *ow_shown(char *out, const char *text)
{
    const size_t most = OW_SHOWN_SIZE - 4;
    size_t n = 0;
    while (text[n] != '\0' && n < most) {
        out[n] = (unsigned char)text[n] < 0x20 || text[n] == 0x7F ? '?' : text[n];
        n++;
    }
    /* never cut within a character of several bytes */
    while (text[n] != '\0' && n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80) {
        n--;
    }
    strcpy(out + n, text[n] == '\0' ? "" : "...");
    return out;
}
