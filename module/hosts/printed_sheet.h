/* SPDX-License-Identifier: MIT */
/* The evening sheet: what the hours ahead ask, for the phone and for the fridge door. */
#ifndef OVERWINTER_HOSTS_PRINTED_SHEET_H
#define OVERWINTER_HOSTS_PRINTED_SHEET_H

#include <stdio.h>

#include "overwinter.h"

typedef struct ow_printed {
    const ow_module *module;
    const ow_engine *engine;
    ow_ahead_view ahead;
    ow_job_view *job; /* in the order of their times */
    int jobs, minutes;
} ow_printed;

/* Gathers the sheet of an engine that has judged; then ow_printed_free. OW_NO_MEMORY. */
OW_CHECK ow_status ow_printed_gather(const ow_module *module, const ow_engine *engine,
                                     ow_printed *sheet);
void ow_printed_free(ow_printed *sheet);

/* The lines above the jobs: the lowest expected and when; the first job and its latest time, and
 * the minutes in all, or that there is nothing to do. */
enum { OW_PRINTED_LINE = 512, OW_PRINTED_BY = 64 };
void ow_printed_lowest(const ow_printed *sheet, char text[OW_PRINTED_LINE]);
void ow_printed_first(const ow_printed *sheet, char text[OW_PRINTED_LINE]);
/* "6 min, ada; at the latest Thu 22 22:00" of one job. */
void ow_printed_effort(const ow_job_view *job, char text[OW_PRINTED_LINE]);
/* "now", "late: now", or "by Thu 22 17:00". */
void ow_printed_by(const ow_job_view *job, char text[OW_PRINTED_BY]);
/* Whether a plant's cover was left off; then "citrus-1: cover with fleece: all others wear it". */
bool ow_printed_left(const ow_printed *sheet, int plant, char text[OW_PRINTED_LINE]);
/* "hold, risk 3 %, wearing fleece" */
void ow_printed_state(const ow_plant_view *plant, char text[OW_PRINTED_LINE]);

/* Plain text of 80 columns. */
void ow_printed_text(FILE *file, const ow_printed *sheet);
/* One HTML file that needs nothing beside it, made to be printed on A4. */
void ow_printed_html(FILE *file, const ow_printed *sheet);

#endif
