/* SPDX-License-Identifier: MIT */
/* `overwinter fit GARDEN PROBE.csv WEATHER.csv` */
#ifndef OVERWINTER_HOSTS_FIT_H
#define OVERWINTER_HOSTS_FIT_H

#include "hosts/options.h"
#include "overwinter.h"

/*
 * Fits a plant to the record of a borrowed probe and prints what the record tells, with the lines
 * for the garden file. Wrong inputs and a record that cannot tell are told and OW_BAD_INPUT.
 */
OW_CHECK ow_status ow_fit_command(const ow_module *module, const ow_options *options,
                                  ow_report *report);

#endif
