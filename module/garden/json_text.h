/* SPDX-License-Identifier: MIT */
/* A text before it is JSON: UTF-8 and comments. */
#ifndef OVERWINTER_GARDEN_JSON_TEXT_H
#define OVERWINTER_GARDEN_JSON_TEXT_H

#include "garden/faults.h"

#include <stdbool.h>
#include <stddef.h>

/* Bytes of the code point that begins at `s`, 0 when it is not valid UTF-8 (RFC 3629). */
size_t ow_code_point_size(const unsigned char *s, size_t left);

/* How many of the bytes, from the first on, are UTF-8. */
size_t ow_utf8_size(const char *text, size_t size);

/* Ends a text before its first byte that is not UTF-8: one that was cut may end in a character. */
void ow_utf8_mend(char *text);

/* False, with a fault at the first byte that is not UTF-8. */
bool ow_check_utf8(const char *text, size_t size, ow_faults *faults);

/*
 * Overwrites // and block comments and a byte order mark with blanks, so that every byte keeps its
 * place. False, with a fault, when a comment has no end.
 */
bool ow_blank_comments(char *text, size_t size, ow_faults *faults);

#endif
