/* SPDX-License-Identifier: MIT */
/*
 * Whole files in, and files out that are either complete under their name or not there: they are
 * written beside it as NAME.part and renamed once all of it is down.
 */
#ifndef OVERWINTER_HOSTS_TEXT_FILE_H
#define OVERWINTER_HOSTS_TEXT_FILE_H

#include <stddef.h>
#include <stdio.h>

#include "status.h"

/*
 * Reads a whole file, which may be a pipe. *text gets a zero after its last byte and is the
 * caller's to free. A file that cannot be read or is larger than `most` bytes is told and is
 * OW_BAD_INPUT; OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_text_read(const char *path, size_t most, ow_report *report, char **text,
                                size_t *size);

typedef struct ow_out {
    FILE *file; /* NULL: not open */
    char *path, *part;
} ow_out;

/* Makes a directory with those above it; fine when it is there. OW_IO is told. */
OW_CHECK ow_status ow_out_dir(const char *dir, ow_report *report);

/* Begins dir/name; write to out->file. Then either keep or drop it. OW_IO is told. */
OW_CHECK ow_status ow_out_open(ow_out *out, const char *dir, const char *name, ow_report *report);

/* Gives the file its name when every byte is down; otherwise drops it: OW_IO, told. */
OW_CHECK ow_status ow_out_keep(ow_out *out, ow_report *report);

/* Takes away a file that was begun; nothing to do for one that is not open. */
void ow_out_drop(ow_out *out);

/* Removes what an earlier run left under a name that this run has no use for. OW_IO is told. */
OW_CHECK ow_status ow_out_remove(const char *dir, const char *name, ow_report *report);

#endif
