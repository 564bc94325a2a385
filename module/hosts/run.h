/* SPDX-License-Identifier: MIT */
/* `overwinter run GARDEN`: minds a live garden over an MQTT broker until it is told to stop. */
#ifndef OVERWINTER_HOSTS_RUN_H
#define OVERWINTER_HOSTS_RUN_H

#include "hosts/options.h"
#include "overwinter.h"

/*
 * Runs until SIGTERM or SIGINT: outputs off first, then state kept, OW_OK. SIGHUP reads the garden
 * file anew and keeps the old garden when the new one is wrong. OW_BAD_INPUT: the file, a password
 * or TLS file; OW_FULL: another instance minds the garden; OW_IO: the store, or, with `once`, the
 * broker at the first attempt. All told.
 */
OW_CHECK ow_status ow_run(const ow_module *module, const ow_options *options, ow_report *report);

#endif
