/* SPDX-License-Identifier: MIT */
/*
 * The clocks of a live garden: one that never jumps and counts suspension (CLOCK_BOOTTIME), and
 * wall time. For demonstrations and tests both can run a number of times as fast, from a given
 * time on.
 */
#ifndef OVERWINTER_HOSTS_CLOCKS_H
#define OVERWINTER_HOSTS_CLOCKS_H

#include <stdint.h>

#include "overwinter.h"

enum { OW_PACE_MOST = 20000 };

typedef struct ow_clocks {
    int pace;              /* 1: as the world's clocks */
    bool shifted;          /* wall time was given, or is faster, so it does not follow the system's */
    uint64_t start_real_ms; /* real boot time at the start */
    int64_t start_utc_ms;
} ow_clocks;

/* Starts at wall time from_s (INT64_MIN: the system's own), `pace` times as fast. */
void ow_clocks_start(ow_clocks *clocks, int64_t from_s, int pace);

/* Both clocks, at the pace. */
ow_now ow_clocks_now(const ow_clocks *clocks);

/* CLOCK_BOOTTIME in ms, whatever the pace: what sockets and repeats go by. */
uint64_t ow_real_ms(void);

/* How many real ms a span of the garden's time lasts, at least `least_ms`. */
uint64_t ow_clocks_real_span(const ow_clocks *clocks, uint64_t span_ms, uint64_t least_ms);

#endif
