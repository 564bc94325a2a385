/* SPDX-License-Identifier: MIT */
/*
 * How long the module can hold up a message: the longest tick while a garden of fifty plants looks
 * ahead, weighs, asks and plans under a forecast of hard nights. Between two ticks the host hands
 * over whatever has come in, so no message waits for longer than that. Fails beyond 50 ms.
 */
#define _POSIX_C_SOURCE 200809L

#include "bench/live.h"

enum { PLANTS = 50, HOURS = 72, PLANS = 2, TICKS_MOST = 200000, FORECAST_TEXT = 8000 };

static const double BOUND_MS = 50.0;

static void foretell(live *b)
{
    static char text[FORECAST_TEXT];
    int64_t first_s = b->now.utc_ms / 3600000 * 3600;
    size_t used = (size_t)snprintf(text, sizeof text, "{\"h\":[");
    for (int i = 1; i <= HOURS; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%s{\"t\":%lld,\"a\":%.1f}",
                                 i > 1 ? "," : "", (long long)(first_s + 3600 * i),
                                 crowd_air_c(i) - 2.0);
    }
    snprintf(text + used, sizeof text - used, "]}");
    live_say(b, "w/f", text);
}

static double tick_ms(live *b, uint64_t after_ms)
{
    double began = spent_s();
    live_tick(b, after_ms);
    return 1000.0 * (spent_s() - began);
}

int main(void)
{
    static char text[CROWD_TEXT];
    static double took_ms[TICKS_MOST];
    live b;
    size_t size = crowd_text(PLANTS, text);
    live_begin(&b, text, size);
    int n = 0;
    for (int plan = 0; plan < PLANS; plan++) {
        live_say(&b, "s/air", "2.0");
        foretell(&b);
        took_ms[n++] = tick_ms(&b, 1000); /* the first takes the reading */
        while (b.module->busy(b.engine) && n < TICKS_MOST) {
            took_ms[n++] = tick_ms(&b, 1);
        }
        live_pass(&b, 3600000);
    }
    b.module->close(b.engine);
    double all_ms = 0.0;
    for (int i = 0; i < n; i++) {
        all_ms += took_ms[i];
    }
    printf("held up, %d plants, %d hours ahead, %d plans in %d ticks, %.2f s a plan\n", PLANTS,
           HOURS, PLANS, n, all_ms / 1000.0 / PLANS);
    live_tell("  a tick takes", took_ms, n, "ms");
    return took_ms[n - 1] > BOUND_MS;
}
