/* SPDX-License-Identifier: MIT */
/*
 * Spans of time in whole milliseconds, for the outputs.
 *
 * The host gives a monotonic clock that also counts sleep, cut to 32 bits: it wraps every 49.7
 * days. Only the time of the last step is kept as a stamp; everything else is kept as a span that
 * has passed or is still left, and such spans stop at their ends instead of wrapping. So nothing
 * that rests or waits depends on where the clock stands, and the spans may be saved and go on
 * after a restart. A stay away longer than 24.8 days cannot be told from a clock that went back
 * and counts as no time at all: waits then last longer, never shorter.
 */
#ifndef OVERWINTER_OUTPUTS_SPAN_H
#define OVERWINTER_OUTPUTS_SPAN_H

#include <stdbool.h>
#include <stdint.h>

#define OW_S_MS 1000u
#define OW_MIN_MS 60000u
#define OW_H_MS 3600000u

/* Longest span that a setting may ask for: a day. */
#define OW_SETTING_MAX_MS (24u * OW_H_MS)

/* From `then_ms` to `now_ms` across a wrap of the clock; 0 for a clock that went back. */
uint32_t ow_span_between(uint32_t then_ms, uint32_t now_ms);

/* True when `now_ms` lies before `then_ms`, as seen across a wrap. */
bool ow_clock_went_back(uint32_t then_ms, uint32_t now_ms);

/* Sum and difference that stop at UINT32_MAX and at 0. */
uint32_t ow_span_add(uint32_t span_ms, uint32_t more_ms);
uint32_t ow_span_less(uint32_t span_ms, uint32_t less_ms);

/* Seconds or minutes of the garden file as milliseconds; 0 for NAN, for what is not above 0 and
 * for what is above OW_SETTING_MAX_MS: the outputs take that for a setting that is missing. */
uint32_t ow_span_of_s(double s);
uint32_t ow_span_of_min(double min);

#endif
