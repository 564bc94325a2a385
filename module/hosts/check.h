/* SPDX-License-Identifier: MIT */
/* `overwinter check GARDEN [WEATHER.csv]` */
#ifndef OVERWINTER_HOSTS_CHECK_H
#define OVERWINTER_HOSTS_CHECK_H

#include "overwinter.h"

/* Proves a garden file and tells what it asks for; `weather` is a path, or NULL. */
OW_CHECK ow_status ow_check(const ow_module *module, const char *garden, const char *weather,
                            ow_report *report);

#endif
