/* SPDX-License-Identifier: MIT */
#include "people/quiet.h"

enum { MINUTE_S = 60 };

static int offset_s(const ow_local *local, ow_utc_s utc_s)
{
    return local->utc_offset_s(local->self, utc_s);
}

/* The first instant with the later offset, between two instants on either side of a change. */
static ow_utc_s change_s(const ow_local *local, ow_utc_s before, ow_utc_s after)
{
    int old = offset_s(local, before);
    while (after - before > 1) {
        ow_utc_s middle = before + (after - before) / 2;
        if (offset_s(local, middle) == old) {
            before = middle;
        } else {
            after = middle;
        }
    }
    return after;
}

/* Clocks change at most once in two days: each local time has an offset of the day before or of
 * the day after. */
static ow_utc_s instant_s(const ow_local *local, int64_t local_s, bool last)
{
    int old = offset_s(local, local_s - OW_DAY_S), new = offset_s(local, local_s + OW_DAY_S);
    ow_utc_s by_old = local_s - old, by_new = local_s - new;
    bool old_shows = offset_s(local, by_old) == old, new_shows = offset_s(local, by_new) == new;
    if (!old_shows && !new_shows) {
        return change_s(local, local_s - OW_DAY_S, local_s + OW_DAY_S);
    }
    if (old_shows && new_shows) {
        return (by_old < by_new) == last ? by_new : by_old;
    }
    return old_shows ? by_old : by_new;
}

ow_utc_s ow_local_first_s(const ow_local *local, int64_t local_s)
{
    return instant_s(local, local_s, false);
}

ow_utc_s ow_local_last_s(const ow_local *local, int64_t local_s)
{
    return instant_s(local, local_s, true);
}

bool ow_is_quiet(ow_hours hours, const ow_local *local, ow_utc_s utc_s)
{
    if (hours.from_min < 0 || hours.from_min == hours.until_min) {
        return false;
    }
    int64_t now_local = utc_s + offset_s(local, utc_s);
    int64_t midnight = now_local - (now_local % OW_DAY_S + OW_DAY_S) % OW_DAY_S;
    int64_t next_day = hours.until_min < hours.from_min ? OW_DAY_S : 0;
    for (int day = -1; day <= 1; day++) {
        int64_t from = midnight + day * OW_DAY_S + hours.from_min * MINUTE_S;
        int64_t until = midnight + day * OW_DAY_S + next_day + hours.until_min * MINUTE_S;
        if (utc_s >= ow_local_first_s(local, from) && utc_s < ow_local_last_s(local, until)) {
            return true;
        }
    }
    return false;
}
