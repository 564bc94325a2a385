/* SPDX-License-Identifier: MIT */
/*
 * Dates from seconds and back, proleptic Gregorian, UTC, without the C library's clock or zone.
 * Times are whole seconds since 1970-01-01T00:00:00Z.
 */
#ifndef OVERWINTER_PHYSICS_CALENDAR_H
#define OVERWINTER_PHYSICS_CALENDAR_H

#include <stddef.h>
#include <stdint.h>

#include "status.h"

typedef int64_t ow_utc_s;

#define OW_HOUR_S 3600
#define OW_DAY_S 86400

typedef struct ow_date {
    int year, month, day;     /* month 1..12, day 1..31 */
    int hour, minute, second; /* 0..23, 0..59, 0..59 */
} ow_date;

/* Splits a time. Years 1 to 9999 are meant; others are computed alike. */
ow_date ow_date_of(ow_utc_s time_s);

/* The time of a date; fields must be in range (ow_time_parse checks them). */
ow_utc_s ow_time_of(const ow_date *date);

/* Day of the year, 1..366. */
int ow_day_of_year(ow_utc_s time_s);

/* Day of the week, 0 = Monday .. 6 = Sunday. */
int ow_weekday(ow_utc_s time_s);

/* Short English names, Mon and Jan (the C library's follow the locale); month 1..12. */
const char *ow_weekday_name(ow_utc_s time_s);
const char *ow_month_name(int month);

/*
 * Reads ISO 8601 / RFC 3339 in the forms 2024-01-31T05:00[:00[.f]](Z|+hh:mm|-hh:mm) and, with a
 * blank for the T, and a bare date (midnight). Without an offset UTC is meant. Fractions are cut.
 * OW_BAD_INPUT when the text is not such a time or a field is out of range.
 */
OW_CHECK ow_status ow_time_parse(const char *text, ow_utc_s *time_s);

#define OW_TIME_TEXT 24
/* Writes 2024-01-31T05:00:00Z; `text` holds at least OW_TIME_TEXT bytes. Returns text. */
char *ow_time_format(ow_utc_s time_s, char text[OW_TIME_TEXT]);

#endif
