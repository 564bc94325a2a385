/* SPDX-License-Identifier: MIT */
/*
 * Memory that runs out: the first allocation fails, or the second, and so on, so that every way out
 * of a function that allocates is walked, and the sanitizers see what it leaves behind. Include it in
 * one file of a test, after <cmocka.h>; the allocators of the core are then the ones below.
 */
#ifndef OVERWINTER_TESTS_STARVE_H
#define OVERWINTER_TESTS_STARVE_H

#include <stdbool.h>
#include <stdlib.h>

#include "status.h"

#define STARVE_OWN __attribute__((visibility("hidden")))

/* The address sanitizer's own, where it is linked; the C library's else. */
void *__interceptor_calloc(size_t n, size_t size) __attribute__((weak));
void *__interceptor_realloc(void *old, size_t size) __attribute__((weak));
void *__interceptor_aligned_alloc(size_t to, size_t size) __attribute__((weak));
void *__libc_calloc(size_t n, size_t size);
void *__libc_realloc(void *old, size_t size);
void *__libc_memalign(size_t to, size_t size);

/* Compilers take it that an allocator reads nothing of the caller. */
static volatile bool starve_counts, starve_refused;
static volatile int starve_after; /* so many are given before one is refused */

static bool starve_now(void)
{
    bool now = starve_counts && starve_after-- == 0;
    starve_refused = starve_refused || now;
    return now;
}

STARVE_OWN void *calloc(size_t n, size_t size)
{
    return starve_now()                   ? NULL
           : __interceptor_calloc != NULL ? __interceptor_calloc(n, size)
                                          : __libc_calloc(n, size);
}

STARVE_OWN void *realloc(void *old, size_t size)
{
    return starve_now()                    ? NULL
           : __interceptor_realloc != NULL ? __interceptor_realloc(old, size)
                                           : __libc_realloc(old, size);
}

STARVE_OWN void *aligned_alloc(size_t to, size_t size)
{
    return starve_now()                          ? NULL
           : __interceptor_aligned_alloc != NULL ? __interceptor_aligned_alloc(to, size)
                                                 : __libc_memalign(to, size);
}

/* False where something else stands in for the allocators, as memcheck does. */
static inline bool starve_works(void)
{
    starve_after = 0;
    starve_counts = true;
    void *volatile given = calloc(1, 1);
    starve_counts = false;
    free(given);
    return given == NULL;
}

/* Calls `make` until it is refused nothing; returns how many allocations it makes. A call that is
 * refused one must say OW_NO_MEMORY, any other OW_OK. */
static inline int starve(ow_status (*make)(void *self), void *self)
{
    for (int given = 0;; given++) {
        assert_in_range(given, 0, 1000);
        starve_after = given;
        starve_refused = false;
        starve_counts = true;
        ow_status status = make(self);
        starve_counts = false;
        assert_int_equal(status, starve_refused ? OW_NO_MEMORY : OW_OK);
        if (!starve_refused) {
            return given;
        }
    }
}

#endif
