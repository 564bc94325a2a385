/* SPDX-License-Identifier: MIT */
/* `overwinter check GARDEN` */
#ifndef OVERWINTER_HOSTS_CHECK_H
#define OVERWINTER_HOSTS_CHECK_H

#include "overwinter.h"

/* Proves a garden file and tells what it asks for. */
OW_CHECK ow_status ow_check(const ow_module *module, const char *garden, ow_report *report);

#endif
