/* SPDX-License-Identifier: MIT */
/* The command line: one command, its files, and options before, between or after them. */
#ifndef OVERWINTER_HOSTS_OPTIONS_H
#define OVERWINTER_HOSTS_OPTIONS_H

#include <stdbool.h>
#include <stdint.h>

#include "status.h"

typedef enum ow_command {
    OW_COMMAND_HELP,
    OW_COMMAND_VERSION,
    OW_COMMAND_CHECK,
    OW_COMMAND_REHEARSE,
    OW_COMMAND_AHEAD,
    OW_COMMAND_FIT,
    OW_COMMAND_RUN,
    OW_COMMAND_TELL
} ow_command;

typedef struct ow_options {
    ow_command command;
    const char *garden, *weather, *probe, *out; /* paths; NULL: not given */
    const char *plant;                          /* id; NULL: not given */
    double depth_mm;                            /* of a probe; NAN: not given */
    const char *thing, *word, *value, *who;     /* of tell; value and who may be NULL */
    int every_min;
    bool hands_obey;
    double foresight_h;
    bool spread_given, spread_materials, spread_weather;
    int64_t from_s, until_s; /* the ends of time when not given */
    bool json, html;
    bool once;
    int pace;
} ow_options;

/*
 * Reads the command line; texts stay those of argv. Each fault is told, with the nearest word for
 * one that is not known; then the status is OW_BAD_INPUT.
 */
OW_CHECK ow_status ow_options_read(int argc, char **argv, ow_report *report, ow_options *options);

/* The text of `help`. */
const char *ow_options_help(void);

#endif
