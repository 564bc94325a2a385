/* SPDX-License-Identifier: MIT */
/*
 * Local time of the garden, by the C library's zones. The zone is one for the whole process.
 */
#ifndef OVERWINTER_HOSTS_LOCAL_TIME_H
#define OVERWINTER_HOSTS_LOCAL_TIME_H

#include <stdint.h>

#include "status.h"

/*
 * Takes a zone, "Europe/Paris" or a POSIX rule such as "CET-1CEST,M3.5.0,M10.5.0/3". A zone that
 * the system's zone files do not know is OW_BAD_INPUT, told with the garden file's name. Where the
 * system has no zone files at all, UTC is taken for a name and an advice says so.
 */
OW_CHECK ow_status ow_local_zone(const char *zone, const char *garden_file, ow_report *report);

/* Seconds that local time is ahead of UTC. `self` is not used: this fits ow_host. */
int ow_local_offset_s(void *self, int64_t utc_s);

#define OW_LOCAL_TEXT 24

/* Writes "Tue  9 17:30"; text holds OW_LOCAL_TEXT bytes. Returns text. */
char *ow_local_short(int64_t utc_s, char text[OW_LOCAL_TEXT]);

/* Writes "Tue  9 Jan 2024 17:30". Returns text. */
char *ow_local_long(int64_t utc_s, char text[OW_LOCAL_TEXT]);

/* Writes "9 Jan". Returns text. */
char *ow_local_day(int64_t utc_s, char text[OW_LOCAL_TEXT]);

#endif
