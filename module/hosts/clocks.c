/* SPDX-License-Identifier: MIT */
#define _GNU_SOURCE /* CLOCK_BOOTTIME */

#include "hosts/clocks.h"

#include <time.h>

static int64_t read_ms(clockid_t clock)
{
    struct timespec now = {0};
    clock_gettime(clock, &now); /* cannot fail: both clocks exist on every Linux */
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

uint64_t ow_real_ms(void)
{
    return (uint64_t)read_ms(CLOCK_BOOTTIME);
}

void ow_clocks_start(ow_clocks *clocks, int64_t from_s, int pace)
{
    bool given = from_s != INT64_MIN;
    *clocks = (ow_clocks){.pace = pace,
                          .shifted = given || pace != 1,
                          .start_real_ms = ow_real_ms(),
                          .start_utc_ms = given ? from_s * 1000 : read_ms(CLOCK_REALTIME)};
}

ow_now ow_clocks_now(const ow_clocks *clocks)
{
    uint64_t gone_ms = (ow_real_ms() - clocks->start_real_ms) * (uint64_t)clocks->pace;
    return (ow_now){.boot_ms = clocks->start_real_ms + gone_ms,
                    .utc_ms = clocks->shifted ? clocks->start_utc_ms + (int64_t)gone_ms
                                              : read_ms(CLOCK_REALTIME)};
}

uint64_t ow_clocks_real_span(const ow_clocks *clocks, uint64_t span_ms, uint64_t least_ms)
{
    uint64_t real_ms = span_ms / (uint64_t)clocks->pace;
    return real_ms < least_ms ? least_ms : real_ms;
}
