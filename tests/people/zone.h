/* SPDX-License-Identifier: MIT */
/* A zone of central Europe for tests, 2024 only: +1 h, +2 h from 31 March to 27 October, 01:00
 * UTC (Directive 2000/84/EC). Include it after <cmocka.h>. */
#ifndef OVERWINTER_TESTS_PEOPLE_ZONE_H
#define OVERWINTER_TESTS_PEOPLE_ZONE_H

#include "judgement/reason.h"

static inline ow_utc_s zone_time(const char *text)
{
    ow_utc_s utc_s = 0;
    assert_int_equal(ow_time_parse(text, &utc_s), OW_OK);
    return utc_s;
}

static inline int zone_offset_s(void *self, int64_t utc_s)
{
    (void)self;
    bool summer = utc_s >= 1711846800 && utc_s < 1729990800;
    return summer ? 2 * OW_HOUR_S : OW_HOUR_S;
}

static const ow_local zone = {zone_offset_s, NULL};

#endif
