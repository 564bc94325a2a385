/* SPDX-License-Identifier: MIT */
#include "outputs/alarm.h"

#include "outputs/span.h"

static bool is_told(const ow_alarms *alarms, const ow_interlock_row *row, unsigned i, bool holds,
                    bool needed)
{
    if ((alarms->told & OW_BLOCK(i)) == 0) {
        return row->tell_ms > 0 && needed && holds && alarms->held_ms[i] >= row->tell_ms;
    }
    return holds ? needed || row->leaves == OW_RETRIES
                 : row->leaves == OW_RETRIES && alarms->away_ms[i] < OW_ALARM_LINGER_MS;
}

ow_blocks ow_alarms_step(ow_alarms *alarms, const ow_interlocks *locks, bool needed,
                         uint32_t span_ms)
{
    ow_blocks told = locks->latched;
    /*@ loop invariant 0 <= i <= OW_INTERLOCKS;
        loop invariant told == 0 ==> locks->latched == 0;
        loop assigns i, told, alarms->held_ms[0 .. OW_INTERLOCKS - 1],
            alarms->away_ms[0 .. OW_INTERLOCKS - 1]; */
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        bool holds = (locks->holding & OW_BLOCK(i)) != 0;
        alarms->held_ms[i] = holds && needed ? ow_span_add(alarms->held_ms[i], span_ms) : 0;
        alarms->away_ms[i] = holds ? 0 : ow_span_add(alarms->away_ms[i], span_ms);
        if (is_told(alarms, ow_interlock_about((ow_interlock)i), i, holds, needed)) {
            told |= OW_BLOCK(i);
        }
    }
    alarms->told = told;
    return told;
}
