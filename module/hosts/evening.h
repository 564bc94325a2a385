/* SPDX-License-Identifier: MIT */
/* The evening sheet: what the hours ahead ask, for the phone and for the fridge door. */
#ifndef OVERWINTER_HOSTS_EVENING_H
#define OVERWINTER_HOSTS_EVENING_H

#include <stdio.h>

#include "overwinter.h"

typedef struct ow_evening {
    const ow_module *module;
    const ow_engine *engine;
    ow_ahead_view ahead;
    ow_job_view *job; /* in the order of their times */
    int jobs, minutes;
} ow_evening;

/* Gathers the sheet of an engine that has judged; then ow_evening_free. OW_NO_MEMORY. */
OW_CHECK ow_status ow_evening_gather(const ow_module *module, const ow_engine *engine,
                                     ow_evening *evening);
void ow_evening_free(ow_evening *evening);

/* The lines above the jobs: the lowest expected and when; the first job and its latest time, and
 * the minutes in all, or that there is nothing to do. */
enum { OW_EVENING_LINE = 512, OW_EVENING_BY = 64 };
void ow_evening_lowest(const ow_evening *evening, char text[OW_EVENING_LINE]);
void ow_evening_first(const ow_evening *evening, char text[OW_EVENING_LINE]);
/* "6 min, ada; at the latest Thu 22 22:00" of one job. */
void ow_evening_effort(const ow_job_view *job, char text[OW_EVENING_LINE]);
/* "now", "late: now", or "by Thu 22 17:00". */
void ow_evening_by(const ow_job_view *job, char text[OW_EVENING_BY]);
/* "citrus-1: cover with fleece: the covers are needed elsewhere" */
void ow_evening_left(const ow_plant_view *plant, const ow_left_view *left,
                     char text[OW_EVENING_LINE]);
/* "hold, risk 3 %, wearing fleece" */
void ow_evening_state(const ow_plant_view *plant, char text[OW_EVENING_LINE]);

/* Plain text of 80 columns. */
void ow_evening_text(FILE *file, const ow_evening *evening);
/* One HTML file that needs nothing beside it, made to be printed on A4. */
void ow_evening_html(FILE *file, const ow_evening *evening);

#endif
