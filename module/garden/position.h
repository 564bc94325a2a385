/* SPDX-License-Identifier: MIT */
/*
 * A strict reading of JSON with comments, and the one index of where each value stands.
 *
 * cJSON builds the tree but keeps no positions and is lenient (07, "1.", raw control characters,
 * invalid UTF-8, a \u0000 that cuts a text short, a thousand levels). So a recogniser of RFC 8259
 * walks the text first: it says what was expected where, and notes the byte of every value in
 * order; the tree is then paired with these notes.
 */
#ifndef OVERWINTER_GARDEN_POSITION_H
#define OVERWINTER_GARDEN_POSITION_H

#include "garden/faults.h"
#include "status.h"

#include <cjson/cJSON.h>

#define OW_JSON_SIZE_MAX (1024u * 1024u)
#define OW_JSON_DEPTH_MAX 32

typedef struct ow_position {
    const cJSON *node;
    size_t value_at; /* byte of the value's first character */
    size_t key_at;   /* byte of its key's opening quote; value_at when it has no key */
} ow_position;

/* Owned by whoever called ow_positions_read. */
typedef struct ow_positions {
    cJSON *root;
    ow_position *item; /* sorted by node */
    size_t count;
} ow_positions;

/*
 * Reads `size` bytes of JSON with // and block comments. OW_OK: *positions is filled and must be
 * freed. OW_BAD_INPUT: a fault was added (one that stops the reading; more may lie behind it).
 * OW_NO_MEMORY. A number too large for a double is a fault but does not stop the reading.
 */
OW_CHECK ow_status ow_positions_read(const char *text, size_t size, ow_faults *faults,
                                     ow_positions *positions);

void ow_positions_free(ow_positions *positions);

/* The entry of a node of the tree; NULL for a node of another tree. */
const ow_position *ow_position_of(const ow_positions *positions, const cJSON *node);

#endif
