/* SPDX-License-Identifier: MIT */
/* When to say off to one output, again and again, until it was heard. */
#ifndef OVERWINTER_HOSTS_GUARD_OFFS_H
#define OVERWINTER_HOSTS_GUARD_OFFS_H

#include <stdbool.h>
#include <stdint.h>

enum {
    OW_OFF_QUICK_MS = 5000,   /* between the first ones */
    OW_OFF_QUICK_FOR_MS = 120000,
    OW_OFF_SLOW_MS = 60000    /* from then on */
};

/* All zero: nothing was said. */
typedef struct ow_off_task {
    unsigned times;
    uint64_t first_ms, next_ms;
    bool reported; /* the device said that it is off, after it was told */
} ow_off_task;

/* True when off is to be said now; then call ow_off_said. */
bool ow_off_due(const ow_off_task *task, uint64_t now_ms);
void ow_off_said(ow_off_task *task, uint64_t now_ms);

/* The device reports that it is off or on; what the broker had stored is no report. */
void ow_off_heard(ow_off_task *task, bool off, uint64_t now_ms);

#endif
