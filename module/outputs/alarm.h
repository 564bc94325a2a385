/* SPDX-License-Identifier: MIT */
/*
 * Which of an output's interlocks a person is to be told of. One that latches is told at once. Any
 * other is told when it has held, while the output was needed, for the time that its row says,
 * and is told no more when it is left. One that is proven only by trying again is told for an hour
 * more, so that what does not work stands as one alarm through all its trials. No alarm comes
 * and goes quicker than these times, however its cause flickers.
 */
#ifndef OVERWINTER_OUTPUTS_ALARM_H
#define OVERWINTER_OUTPUTS_ALARM_H

#include "outputs/interlock.h"

/* What is proven only by trying again is told for so long after it was left. */
#define OW_ALARM_LINGER_MS 3600000u

typedef struct ow_alarms {
    ow_blocks told;                  /* the answer */
    uint32_t held_ms[OW_INTERLOCKS]; /* on end, while needed */
    uint32_t away_ms[OW_INTERLOCKS]; /* since it last held */
} ow_alarms;

/* One step, `span_ms` after the last: what holds and what is latched now, and whether the output is
 * needed. Returns what is to be told. */
ow_blocks ow_alarms_step(ow_alarms *alarms, const ow_interlocks *locks, bool needed,
                         uint32_t span_ms);

#endif
