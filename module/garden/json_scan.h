/* SPDX-License-Identifier: MIT */
/* A recogniser of RFC 8259: is the text JSON, where does each value stand, what was expected? */
#ifndef OVERWINTER_GARDEN_JSON_SCAN_H
#define OVERWINTER_GARDEN_JSON_SCAN_H

#include "garden/position.h"

/* What the text is: a garden file, whose root is an object, or a payload with any root. */
typedef enum ow_json_text { OW_JSON_FILE, OW_JSON_PAYLOAD } ow_json_text;

/*
 * Walks a zero-terminated text of `size` bytes without comments. OW_OK: *item holds *count places
 * in the order of the values (nodes not set), to be freed by the caller. OW_BAD_INPUT: one fault
 * was added. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_json_scan(ow_json_text is, const char *text, size_t size, ow_faults *faults,
                                ow_position **item, size_t *count);

#endif
