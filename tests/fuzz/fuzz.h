/* SPDX-License-Identifier: MIT */
/* Bytes of a fuzzer, taken one after the other; past their end come zeros. */
#ifndef OVERWINTER_TESTS_FUZZ_FUZZ_H
#define OVERWINTER_TESTS_FUZZ_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

typedef struct bytes {
    const uint8_t *at;
    size_t left;
} bytes;

static inline unsigned take(bytes *b)
{
    if (b->left == 0) {
        return 0;
    }
    b->left--;
    return *b->at++;
}

static inline unsigned take_two(bytes *b)
{
    unsigned high = take(b);
    return high << 8 | take(b);
}

/* Up to `most` bytes as they are. */
static inline const uint8_t *take_some(bytes *b, size_t most, size_t *size)
{
    const uint8_t *from = b->at;
    *size = most < b->left ? most : b->left;
    b->at += *size;
    b->left -= *size;
    return from;
}

#endif
