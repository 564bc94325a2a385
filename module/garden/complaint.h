/* SPDX-License-Identifier: MIT */
/*
 * Tells of bad messages without a flood: at the 1st, 10th, 100th... of one cause and once a day
 * while it lasts. The first good message tells the end, when the trouble was told since the last
 * end; one that comes back within OW_HEALED_S goes on counting where it was.
 */
#ifndef OVERWINTER_GARDEN_COMPLAINT_H
#define OVERWINTER_GARDEN_COMPLAINT_H

#include "garden/payload.h"
#include "status.h"

#include <stdbool.h>

#define OW_HEALED_S 3600.0

/* Zero-initialised: none. Times on the boot clock. */
typedef struct ow_complaint {
    unsigned long count; /* bad messages since it began */
    double told_s, last_s;
    bool open; /* told, and its end not yet */
} ow_complaint;

typedef struct ow_complaints {
    ow_complaint of[OW_CAUSES];
    unsigned long total; /* since the start, for ever */
} ow_complaints;

/* Counts one and tells it when its turn has come; `why` is the whole sentence. */
void ow_complain(ow_complaints *complaints, ow_cause cause, const char *why, double boot_s,
                 ow_report *report);

/* A good message on `topic` for `who`: tells the end of what was told. */
void ow_complaints_end(ow_complaints *complaints, const char *topic, const char *who, double boot_s,
                       ow_report *report);

#endif
