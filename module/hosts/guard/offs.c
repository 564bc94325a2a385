/* SPDX-License-Identifier: MIT */
#include "hosts/guard/offs.h"

bool ow_off_due(const ow_off_task *task, uint64_t now_ms)
{
    return !task->reported && (task->times == 0 || now_ms >= task->next_ms);
}

void ow_off_said(ow_off_task *task, uint64_t now_ms)
{
    task->first_ms = task->times == 0 ? now_ms : task->first_ms;
    task->times++;
    bool quick = now_ms - task->first_ms < OW_OFF_QUICK_FOR_MS;
    task->next_ms = now_ms + (quick ? OW_OFF_QUICK_MS : OW_OFF_SLOW_MS);
}

void ow_off_heard(ow_off_task *task, bool off, uint64_t now_ms)
{
    if (off) {
        task->reported = task->times > 0;
    } else if (task->reported) {
        *task = (ow_off_task){.next_ms = now_ms}; /* on again, and nobody minds it */
    }
}
