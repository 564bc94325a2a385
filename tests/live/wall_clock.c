/* SPDX-License-Identifier: MIT */
/*
 * Laid under a program by LD_PRELOAD, this moves its wall clock, and no other clock, by as many
 * seconds as stand in the file that WALL_CLOCK_BY names; a file that is not there moves nothing.
 */
#define _GNU_SOURCE /* syscall */

#include <stdio.h>
#include <stdlib.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static long moved_by_s(void)
{
    const char *path = getenv("WALL_CLOCK_BY");
    FILE *file = path != NULL ? fopen(path, "r") : NULL;
    long by_s = 0;
    if (file != NULL) {
        if (fscanf(file, "%ld", &by_s) != 1) {
            by_s = 0;
        }
        fclose(file);
    }
    return by_s;
}

__attribute__((visibility("default"))) int clock_gettime(clockid_t clock, struct timespec *now)
{
    int rc = (int)syscall(SYS_clock_gettime, clock, now);
    if (rc == 0 && clock == CLOCK_REALTIME) {
        now->tv_sec += moved_by_s();
    }
    return rc;
}
