/* SPDX-License-Identifier: MIT */
/*
 * JSON that came over the wire: the strict recogniser of the garden file without its comments, any
 * value at the root, no key twice in one object, no number too large for a double; and the
 * pointers into it.
 */
#ifndef OVERWINTER_GARDEN_JSON_PAYLOAD_H
#define OVERWINTER_GARDEN_JSON_PAYLOAD_H

#include "physics/calendar.h"
#include "status.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>

/* Keys in one object: more are refused, so that looking for a double key stays cheap. */
#define OW_JSON_KEYS_MAX 500

/*
 * Reads `size` bytes, not zero-terminated. OW_OK: *root is the caller's, cJSON_Delete it.
 * OW_BAD_INPUT: `why` (room bytes) says what is wrong at which byte. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_json_payload(const char *bytes, size_t size, char *why, size_t room,
                                   cJSON **root);

/*
 * The value that a JSON pointer (RFC 6901) names, NULL when it names none: "" is the whole, ~1 a
 * slash and ~0 a tilde in a key, items of a list by number without leading zeros.
 */
const cJSON *ow_json_at(const cJSON *root, const char *pointer);

/* A time: ISO 8601, or seconds since 1970 (milliseconds where as seconds it would be after 5138). */
bool ow_json_time(const cJSON *value, ow_utc_s *utc_s);

/*
 * Takes the first step of a pointer into `token` (room bytes, unescaped) and returns what is left
 * of the pointer. NULL: there is no step, it is malformed, or the token does not fit.
 */
const char *ow_json_step(const char *pointer, char *token, size_t room);

#endif
