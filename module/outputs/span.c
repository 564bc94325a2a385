/* SPDX-License-Identifier: MIT */
#include "outputs/span.h"

/* Unsigned subtraction is modular by definition: the difference is right across a wrap. */
bool ow_clock_went_back(uint32_t then_ms, uint32_t now_ms)
{
    return (uint32_t)(now_ms - then_ms) > INT32_MAX;
}

uint32_t ow_span_between(uint32_t then_ms, uint32_t now_ms)
{
    return ow_clock_went_back(then_ms, now_ms) ? 0 : (uint32_t)(now_ms - then_ms);
}

uint32_t ow_span_add(uint32_t span_ms, uint32_t more_ms)
{
    return more_ms > UINT32_MAX - span_ms ? UINT32_MAX : span_ms + more_ms;
}

uint32_t ow_span_less(uint32_t span_ms, uint32_t less_ms)
{
    return less_ms > span_ms ? 0 : span_ms - less_ms;
}

uint32_t ow_span_of_s(double s)
{
    double ms = s * 1000.0 + 0.5;
    if (ms >= 1.0 && ms < (double)OW_SETTING_MAX_MS + 1.0) {
        return (uint32_t)ms;
    }
    return 0;
}

uint32_t ow_span_of_min(double min)
{
    return ow_span_of_s(min * 60.0);
}
