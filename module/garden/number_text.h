/* SPDX-License-Identifier: MIT */
/* Numbers as devices write them. */
#ifndef OVERWINTER_GARDEN_NUMBER_TEXT_H
#define OVERWINTER_GARDEN_NUMBER_TEXT_H

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>

/*
 * A number as devices write it, whatever the locale: blanks around it, a sign, digits, a point
 * between digits, an exponent; at most 63 characters. False: it is none, or not finite.
 */
bool ow_number_read(const char *text, size_t size, double *number);

/* The number of a JSON value: a number, or a text that holds one. */
bool ow_json_number(const cJSON *value, double *number);

#endif
