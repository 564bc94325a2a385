/* SPDX-License-Identifier: MIT */
/*
 * Fields of a CSV text (RFC 4180) one by one, each with its place in the text. Lines may end in
 * LF or CRLF, a byte order mark is passed over, blank lines are left out. A quoted field ends on
 * its line: nothing that is read here has line breaks in it.
 */
#ifndef OVERWINTER_HOSTS_CSV_H
#define OVERWINTER_HOSTS_CSV_H

#include <stdbool.h>
#include <stddef.h>

#define OW_CSV_FIELD 80

typedef struct ow_csv {
    const char *text;
    size_t size;
    size_t at;       /* next byte to read */
    size_t line_end; /* of the present line, without CR and LF */
    size_t next;     /* where the next line begins */
    bool line_done;  /* its last field has been given */
} ow_csv;

typedef struct ow_csv_field {
    size_t at;               /* where it begins in the text */
    char text[OW_CSV_FIELD]; /* without quotes and blanks around it; cut when it is longer */
    bool unclosed;           /* a quote has no partner on the line, or stands within the field */
} ow_csv_field;

/* Before the first line. The text must outlive the reader. */
void ow_csv_start(ow_csv *csv, const char *text, size_t size);

/* Goes to the next line that is not blank; false at the end. */
bool ow_csv_line(ow_csv *csv);

/* The next field of the line; false when there is none left. */
bool ow_csv_field_next(ow_csv *csv, ow_csv_field *field);

/* Digits with a decimal point and an exponent, nothing else that strtod would take. */
bool ow_csv_is_number(const char *text);

#endif
