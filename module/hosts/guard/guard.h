/* SPDX-License-Identifier: MIT */
/*
 * The guard: says off to every output while nobody minds the garden. It assumes that nobody does
 * until it has seen a fresh beat that changes. An addition to each device's own off-timer, never
 * a substitute.
 */
#ifndef OVERWINTER_HOSTS_GUARD_GUARD_H
#define OVERWINTER_HOSTS_GUARD_GUARD_H

#include "overwinter.h"

/*
 * Guards until SIGTERM or SIGINT; SIGHUP reads the garden file anew and keeps the old one when the
 * new one is wrong. Never ends by itself once it has begun. OW_BAD_INPUT: the garden file, a
 * password or TLS file is wrong at the start; OW_NO_MEMORY, OW_IO. All told.
 */
OW_CHECK ow_status ow_guard_run(const ow_module *module, const char *garden, int pace,
                                ow_report *report);

#endif
