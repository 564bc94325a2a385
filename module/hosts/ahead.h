/* SPDX-License-Identifier: MIT */
/* The command `ahead`: the evening sheet of a garden, from a weather file that reaches ahead. */
#ifndef OVERWINTER_HOSTS_AHEAD_H
#define OVERWINTER_HOSTS_AHEAD_H

#include "hosts/options.h"
#include "hosts/spell.h"
#include "overwinter.h"

/*
 * Plays the weather before "now" on the garden as its file has it, looks ahead from there, and
 * prints the sheet. Faults are told.
 */
OW_CHECK ow_status ow_ahead(const ow_module *module, const ow_options *options, ow_report *report);

/*
 * The now of a sheet: --from; else the clock, where the file reaches before and beyond it; else as
 * long before the file's end as is looked ahead, but not before its first row. Put back to a step
 * of step_s counted from the first row that begins or crosses an hour, since then plants are judged.
 */
int64_t ow_ahead_now_s(const ow_spell *spell, int64_t from_s, int64_t clock_s, double foresight_h,
                       int step_s);

#endif
