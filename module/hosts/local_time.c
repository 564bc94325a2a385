/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/local_time.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include "physics/calendar.h"

static const char *zone_dir(void)
{
    const char *dir = getenv("TZDIR");
    return dir != NULL && dir[0] != '\0' ? dir : "/usr/share/zoneinfo";
}

static bool is_dir(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

/* Zone files begin with "TZif"; lists and folders that lie beside them do not. */
static bool is_zone_file(const char *zone)
{
    char path[512], magic[4] = "";
    if (zone[0] == '\0' || zone[0] == '/' || strstr(zone, "..") != NULL ||
        snprintf(path, sizeof path, "%s/%s", zone_dir(), zone) >= (int)sizeof path) {
        return false;
    }
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return false;
    }
    bool is_zone = fread(magic, 1, sizeof magic, file) == sizeof magic;
    fclose(file); /* was only read */
    return is_zone && memcmp(magic, "TZif", sizeof magic) == 0;
}

/* A POSIX rule: a name of three letters or more, or one in <>, and then an offset. */
static bool is_rule(const char *zone)
{
    const char *at = zone;
    if (*at == '<') {
        const char *end = strchr(at, '>');
        at = end == NULL ? at : end + 1;
    } else {
        size_t letters = strspn(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz");
        at += letters >= 3 ? letters : 0;
    }
    if (at == zone) {
        return false;
    }
    at += *at == '+' || *at == '-' ? 1 : 0;
    return *at >= '0' && *at <= '9';
}

static ow_status set_zone(const char *zone)
{
    if (setenv("TZ", zone, 1) != 0) {
        return OW_NO_MEMORY;
    }
    tzset();
    return OW_OK;
}

ow_status ow_local_zone(const char *zone, const char *garden_file, ow_report *report)
{
    if (is_zone_file(zone) || is_rule(zone)) {
        return set_zone(zone);
    }
    if (is_dir(zone_dir())) {
        ow_error(report,
                 "%s: site.time_zone is \"%s\", which is not in %s; write a name from there, such "
                 "as Europe/Paris, or a rule such as CET-1CEST,M3.5.0,M10.5.0/3",
                 garden_file, zone, zone_dir());
        return OW_BAD_INPUT;
    }
    if (strcmp(zone, "UTC") != 0) {
        ow_say(report,
               "%s: advice: this system has no time zones in %s, so times are shown in UTC; "
               "install tzdata to see them in %s",
               garden_file, zone_dir(), zone);
    }
    return set_zone("UTC0");
}

int ow_local_offset_s(void *self, int64_t utc_s)
{
    struct tm local;
    time_t now = (time_t)utc_s;
    (void)self;
    if (localtime_r(&now, &local) == NULL) {
        return 0;
    }
    ow_date date = {local.tm_year + 1900, local.tm_mon + 1, local.tm_mday,
                    local.tm_hour,        local.tm_min,     local.tm_sec};
    return (int)(ow_time_of(&date) - utc_s);
}

static ow_utc_s local_s(int64_t utc_s)
{
    return utc_s + ow_local_offset_s(NULL, utc_s);
}

char *ow_local_short(int64_t utc_s, char text[OW_LOCAL_TEXT])
{
    ow_date date = ow_date_of(local_s(utc_s));
    snprintf(text, OW_LOCAL_TEXT, "%s %2d %02d:%02d", ow_weekday_name(local_s(utc_s)),
             date.day, date.hour, date.minute);
    return text;
}

char *ow_local_long(int64_t utc_s, char text[OW_LOCAL_TEXT])
{
    ow_date date = ow_date_of(local_s(utc_s));
    snprintf(text, OW_LOCAL_TEXT, "%s %2d %s %04d %02d:%02d", ow_weekday_name(local_s(utc_s)),
             date.day, ow_month_name(date.month), date.year, date.hour, date.minute);
    return text;
}

char *ow_local_day(int64_t utc_s, char text[OW_LOCAL_TEXT])
{
    ow_date date = ow_date_of(local_s(utc_s));
    snprintf(text, OW_LOCAL_TEXT, "%d %s", date.day, ow_month_name(date.month));
    return text;
}
