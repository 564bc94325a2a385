/* SPDX-License-Identifier: MIT */
#include "hosts/complaint.h"

static const uint64_t FIRST_GAP_MS = 60000;
static const uint64_t LONGEST_GAP_MS = 86400000;

bool ow_complaint_due(ow_complaint *complaint, uint64_t real_ms)
{
    if (complaint->stands && real_ms < complaint->next_ms) {
        return false;
    }
    uint64_t gap_ms = complaint->stands ? 2 * complaint->gap_ms : FIRST_GAP_MS;
    complaint->gap_ms = gap_ms > LONGEST_GAP_MS ? LONGEST_GAP_MS : gap_ms;
    complaint->next_ms = real_ms + complaint->gap_ms;
    complaint->stands = true;
    return true;
}

bool ow_complaint_over(ow_complaint *complaint)
{
    bool stood = complaint->stands;
    *complaint = (ow_complaint){0};
    return stood;
}
