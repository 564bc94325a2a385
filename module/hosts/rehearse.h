/* SPDX-License-Identifier: MIT */
/* `overwinter rehearse GARDEN WEATHER.csv --out DIR` */
#ifndef OVERWINTER_HOSTS_REHEARSE_H
#define OVERWINTER_HOSTS_REHEARSE_H

#include "hosts/options.h"
#include "overwinter.h"

/*
 * Plays recorded weather on a garden, writes the files and prints the table or the summary.
 * Wrong inputs are told and OW_BAD_INPUT; what cannot be written is told and OW_IO.
 */
OW_CHECK ow_status ow_rehearse(const ow_module *module, const ow_options *options,
                               ow_report *report);

/* The model's step for lines every so many minutes: the longest whole fraction of the interval
 * that is a whole number of seconds and at most half an hour. */
int ow_rehearse_step_s(int every_min);

#endif
