/* SPDX-License-Identifier: MIT */
/* The table of interlocks as docs/outputs.md prints it. Used by make_interlocks and its test. */
#ifndef OVERWINTER_TESTS_OUTPUTS_INTERLOCK_PAGE_H
#define OVERWINTER_TESTS_OUTPUTS_INTERLOCK_PAGE_H

#include "outputs/interlock.h"

#include <stdio.h>

#define INTERLOCKS_MARK "## Every interlock\n"

static inline const char *guarded_by(unsigned guards)
{
    return guards == OW_GUARDS_BOTH ? "both" : guards == OW_GUARDS_HEATER ? "heater" : "drive";
}

static inline void write_row(FILE *out, const ow_interlock_row *row)
{
    fprintf(out, "| `%s` | %s | %s | ", row->word, row->text, guarded_by(row->guards));
    if (row->latches) {
        fprintf(out, "**latched** until released, then %u s", (unsigned)(row->recover_ms / 1000));
    } else if (row->recover_ms > 0) {
        fprintf(out, "%u s", (unsigned)(row->recover_ms / 1000));
    } else {
        fprintf(out, "at once");
    }
    fprintf(out, " | %s |\n", row->clears);
}

static inline void write_interlocks(FILE *out)
{
    fprintf(out, "%s\n", INTERLOCKS_MARK);
    fprintf(out, "Most serious first. *Left* says how long the cause must be away.\n\n");
    fprintf(out, "| word | what it says | for | left | what clears it |\n");
    fprintf(out, "|---|---|---|---|---|\n");
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        write_row(out, ow_interlock_about((ow_interlock)i));
    }
}

#endif
