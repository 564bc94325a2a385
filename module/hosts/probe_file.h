/* SPDX-License-Identifier: MIT */
/*
 * The record of a borrowed probe: a CSV text of one header line and rows in the order of time,
 * with two columns in any order: time, and the plant's id or the word probe with the unit behind
 * it, such as lemon_c, probe_f or probe_k.
 */
#ifndef OVERWINTER_HOSTS_PROBE_FILE_H
#define OVERWINTER_HOSTS_PROBE_FILE_H

#include "hosts/csv.h"
#include "overwinter.h"

#define OW_PROBE_FILE_MOST ((size_t)32 * 1024 * 1024)

typedef struct ow_probe_file {
    char plant[OW_CSV_FIELD]; /* of the header; empty when that says probe */
    ow_probe_row *row;        /* degrees Celsius; NAN for an empty field */
    size_t count;
} ow_probe_file;

/*
 * Reads rows from a text; `name` stands before each message. All faults are told in one go with
 * line and column, and then the status is OW_BAD_INPUT. On OW_OK the rows are the caller's, to be
 * freed with ow_probe_file_free.
 */
OW_CHECK ow_status ow_probe_file_read(const char *name, const char *text, size_t size,
                                      ow_report *report, ow_probe_file *file);

void ow_probe_file_free(ow_probe_file *file);

#endif
