/* SPDX-License-Identifier: MIT */
/* Messages for the tests of readings: lines told, bytes on the heap, mutations. After <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_GARDEN_LIVE_H
#define OVERWINTER_TESTS_GARDEN_LIVE_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/sensor.h"

#define T0 ((ow_utc_s)1705276800) /* 2024-01-15T00:00:00Z */

/* Both clocks `s` seconds after the start; the boot clock began a day before. */
static inline ow_instant at_s(double s)
{
    return (ow_instant){.boot_s = 86400.0 + s, .utc_s = T0 + (ow_utc_s)s};
}

/* Keeps the last line and counts. */
struct told {
    int lines;
    char last[600];
};

static inline void tell(void *self, const char *text)
{
    struct told *told = self;
    told->lines++;
    snprintf(told->last, sizeof told->last, "%s", text);
}

/* `size` bytes at the very end of a block, so that a read past them is seen. */
static inline char *heap_bytes(const char *text, size_t size)
{
    char *copy = malloc(size > 0 ? size : 1);
    assert_non_null(copy);
    memcpy(copy, text, size);
    return copy;
}

/* A plain generator, the same everywhere (Numerical Recipes' LCG constants, from memory). */
static inline unsigned next_random(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

/* Changes some bytes of text[size], which has room for one more; returns the new size. */
static inline size_t mutate(char *text, size_t size, unsigned *seed)
{
    static const char alphabet[] = "0123456789.-+eE{}[]\":,~/ntrueuv \\\t\n\0\xFF\xC3";
    for (unsigned n = 1 + next_random(seed) % 4; n > 0; n--) {
        size_t at = next_random(seed) % (size + 1);
        char c = alphabet[next_random(seed) % (sizeof alphabet - 1)];
        switch (next_random(seed) % 3) {
        case 0:
            if (at < size) {
                text[at] = c;
            }
            break;
        case 1:
            if (at < size && size > 1) {
                memmove(text + at, text + at + 1, size - at - 1);
                size--;
            }
            break;
        default:
            size = at > 0 && next_random(seed) % 8 == 0 ? at : size; /* cut short */
        }
    }
    return size;
}

#endif
