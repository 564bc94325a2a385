/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/broker/zone.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char FOLDER[] = "/zoneinfo/";

/* The name of this process's zone: TZ, else where /etc/localtime leads; empty: not known. */
static const char *process_zone(char *path, size_t room)
{
    const char *set = getenv("TZ");
    if (set != NULL && set[0] != '\0') {
        return set[0] == ':' ? set + 1 : set;
    }
    ssize_t length = readlink("/etc/localtime", path, room - 1);
    path[length < 0 ? 0 : length] = '\0';
    const char *folder = strstr(path, FOLDER);
    return folder != NULL ? folder + sizeof FOLDER - 1 : "";
}

static const char *common_name(const char *zone)
{
    static const char *const utc[] = {"", "UTC", "UTC0", "Etc/UTC", "Zulu", "Etc/Zulu"};
    for (size_t i = 0; i < sizeof utc / sizeof utc[0]; i++) {
        if (strcmp(zone, utc[i]) == 0) {
            return "UTC";
        }
    }
    return zone;
}

void ow_broker_zone_compare(const char *garden_zone, ow_report *report)
{
    char path[PATH_MAX];
    const char *zone = common_name(process_zone(path, sizeof path));
    if (strcmp(zone, common_name(garden_zone)) != 0) {
        ow_say(report,
               "advice: the broker's local time is that of %s, the garden's is that of %s; quiet "
               "hours and times in texts go by the broker's. Set TZ=%s for the broker",
               zone, garden_zone, garden_zone);
    }
}
