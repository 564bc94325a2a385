/* SPDX-License-Identifier: MIT */
#include "outputs/common.h"

#include "outputs/span.h"

ow_blocks ow_cause(ow_interlock interlock, bool seen)
{
    return seen ? OW_BLOCK(interlock) : 0;
}

ow_blocks ow_common_causes(bool cautions_read, uint32_t off_by_itself_ms, uint32_t lease_ms,
                           const ow_hosting *hosting)
{
    return ow_cause(OW_BLOCK_HOST, !hosting->promises_off) |
           ow_cause(OW_BLOCK_CAUTIONS, !cautions_read) |
           ow_cause(OW_BLOCK_NO_TIMER, off_by_itself_ms == 0 || off_by_itself_ms < lease_ms) |
           ow_cause(OW_BLOCK_OFFLINE, !hosting->connected);
}

ow_blocks ow_common_events(const ow_hosting *hosting, bool held_up)
{
    return ow_cause(OW_BLOCK_CLOCK, hosting->clock_jumped) |
           ow_cause(OW_BLOCK_RELOADED, hosting->reloaded) | ow_cause(OW_BLOCK_HELD_UP, held_up);
}

bool ow_step_held_up(uint32_t last_ms, uint32_t now_ms, uint32_t late_ms)
{
    return ow_clock_went_back(last_ms, now_ms) || ow_span_between(last_ms, now_ms) > late_ms;
}

bool ow_setting_span(uint32_t span_ms, uint32_t least_ms)
{
    return span_ms >= least_ms && span_ms <= OW_SETTING_MAX_MS;
}
