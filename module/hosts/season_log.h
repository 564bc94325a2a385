/* SPDX-License-Identifier: MIT */
/*
 * The season log, season.csv in the store: what people answered, limits passed, jobs, outputs and
 * notices, as `time,subject,event,detail`. Lines are only ever added, each in one write; a line
 * that a power cut tore off is closed before the next one.
 */
#ifndef OVERWINTER_HOSTS_SEASON_LOG_H
#define OVERWINTER_HOSTS_SEASON_LOG_H

#include <stddef.h>
#include <stdint.h>

#include "status.h"

/* One line with its newline, the caller's to free; control characters become blanks. NULL: no
 * memory. */
char *ow_season_line(int64_t utc_s, const char *subject, const char *event, const char *detail);

/*
 * Adds whole lines to season.csv of an open directory (`dir` is its name for messages), with the
 * header where the file is new, and flushes them to the device. On OW_IO (told) what could not be
 * written is lost; what was there before stays.
 */
OW_CHECK ow_status ow_season_log_add(int dir_fd, const char *dir, const char *lines, size_t size,
                                     ow_report *report);

#endif
