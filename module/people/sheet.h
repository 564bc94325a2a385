/* SPDX-License-Identifier: MIT */
/*
 * The two sheets of a day: in the morning what the day asks, in the evening what the night does and
 * what is to be done before it. Each is a notice for one member, at its own hours.
 */
#ifndef OVERWINTER_PEOPLE_SHEET_H
#define OVERWINTER_PEOPLE_SHEET_H

#include "people/notice.h"

typedef enum ow_sheet { OW_SHEET_MORNING, OW_SHEET_EVENING, OW_SHEETS } ow_sheet;

/* A job on a sheet. */
typedef struct ow_sheet_line {
    const char *name, *what, *why;
    ow_utc_s by_s; /* OW_NEVER: no hurry */
    bool late;
    int minutes;
} ow_sheet_line;

/*
 * Whether a member's sheet is due: it hears sheets, and the time of the local day came within the
 * last hour, after the last one (INT64_MIN: none yet). The morning's is the end of its quiet hours,
 * else 07:00; the evening's the beginning of its free hands, else 17:00 (common practice, no
 * source).
 */
bool ow_sheet_due(const ow_member *member, ow_sheet sheet, const ow_local *local, ow_utc_s last_s,
                  ow_utc_s now_s);

/* The id of a member's sheet, e.g. "household-ada-morning". */
void ow_sheet_id(const ow_member *member, ow_sheet sheet, char id[OW_NOTICE_ID]);

/* Writes the sheet; of `tonight` the first sentence. What finds no room is counted at the end. */
void ow_sheet_write(const ow_member *member, ow_sheet sheet, const char *tonight,
                    const ow_sheet_line *lines, int n, const ow_local *local, ow_notice *notice);

#endif
