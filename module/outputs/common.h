/* SPDX-License-Identifier: MIT */
/* What is the same for every output: the causes that come from its device and its host. */
#ifndef OVERWINTER_OUTPUTS_COMMON_H
#define OVERWINTER_OUTPUTS_COMMON_H

#include "outputs/inputs.h"
#include "outputs/interlock.h"

/* A cause, as a set of one or none. */
ow_blocks ow_cause(ow_interlock interlock, bool seen);

/* Causes from cautions, the device's own off-timer (0: none) and the host. */
ow_blocks ow_common_causes(bool cautions_read, uint32_t off_by_itself_ms, uint32_t lease_ms,
                           const ow_hosting *hosting);

/* Events of this step, for ow_interlocks_await; `held_up`: the step came late. */
ow_blocks ow_common_events(const ow_hosting *hosting, bool held_up);

/* True when the clock went back or this step came more than `late_ms` after the last. */
bool ow_step_held_up(uint32_t last_ms, uint32_t now_ms, uint32_t late_ms);

/* True for a span from `least_ms` to the longest that a setting may ask for. */
bool ow_setting_span(uint32_t span_ms, uint32_t least_ms);

#endif
