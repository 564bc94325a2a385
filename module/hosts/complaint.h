/* SPDX-License-Identifier: MIT */
/* A fault that stays is told at once, then ever more rarely, and its end is told too. */
#ifndef OVERWINTER_HOSTS_COMPLAINT_H
#define OVERWINTER_HOSTS_COMPLAINT_H

#include <stdbool.h>
#include <stdint.h>

/* All zero: no fault. */
typedef struct ow_complaint {
    bool stands;
    uint64_t next_ms, gap_ms;
} ow_complaint;

/* The fault is there: true when it is time to tell it (after 1 min, 2 min, ... a day). */
bool ow_complaint_due(ow_complaint *complaint, uint64_t real_ms);

/* The fault is gone: true when it had stood. */
bool ow_complaint_over(ow_complaint *complaint);

#endif
