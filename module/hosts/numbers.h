/* SPDX-License-Identifier: MIT */
/* Numbers and texts as the files show them: fixed decimals, no locale, nothing for unknown. */
#ifndef OVERWINTER_HOSTS_NUMBERS_H
#define OVERWINTER_HOSTS_NUMBERS_H

#include <stdint.h>
#include <stdio.h>

/* Room for any number that the module gives. */
#define OW_NUMBER_TEXT 48

/* How many decimals each kind of number gets in the files. */
enum { OW_DECIMALS_C = 2, OW_DECIMALS_SHARE = 4, OW_DECIMALS_DAYS = 2 };

/*
 * Writes a number with that many decimals, never as "-0.00"; nothing for NAN or an infinity.
 * Returns text.
 */
char *ow_fixed(double value, int decimals, char text[OW_NUMBER_TEXT]);

/* Writes one field of a CSV file (RFC 4180), in quotes when it needs them. */
void ow_csv_text(FILE *file, const char *text);

/* Writes a comma and a number or nothing. */
void ow_csv_number(FILE *file, double value, int decimals);

/* Writes a time, ISO 8601 in UTC. */
void ow_csv_time(FILE *file, int64_t utc_s);

#endif
