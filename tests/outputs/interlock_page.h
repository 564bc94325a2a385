/* SPDX-License-Identifier: MIT */
/* The table of interlocks as docs/safety.md prints it. Used by make_interlocks and its test. */
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
    if (row->leaves == OW_LATCHES) {
        fprintf(out, "**latched** until released, then %u s", (unsigned)(row->recover_ms / 1000));
    } else if (row->recover_ms > 0) {
        fprintf(out, "%u s", (unsigned)(row->recover_ms / 1000));
    } else {
        fprintf(out, "at once");
    }
    if (row->leaves == OW_LATCHES) {
        fprintf(out, " | at once");
    } else if (row->tell_ms > 0 && row->tell_ms < 60000) {
        fprintf(out, " | %u s", (unsigned)(row->tell_ms / 1000));
    } else if (row->tell_ms > 0) {
        fprintf(out, " | %u min", (unsigned)(row->tell_ms / 60000));
    } else {
        fprintf(out, " | -");
    }
    fprintf(out, " | %s |\n", row->clears);
}

static inline void write_interlocks(FILE *out)
{
    fprintf(out, "%s\n", INTERLOCKS_MARK);
    fprintf(out, "Most serious first. Each trips in the step that sees its cause. *Left* says how long "
                 "the\ncause must then be away, *told* how long it must hold, while the output is "
                 "needed, until an\nalert and an urgent notice tell of it.\n\n");
    fprintf(out, "| word | what it says | for | left | told | what to do |\n");
    fprintf(out, "|---|---|---|---|---|---|\n");
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        write_row(out, ow_interlock_about((ow_interlock)i));
    }
}

#endif
