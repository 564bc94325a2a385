/* SPDX-License-Identifier: MIT */
/* The time zone of a process that is not ours to set. */
#ifndef OVERWINTER_HOSTS_BROKER_ZONE_H
#define OVERWINTER_HOSTS_BROKER_ZONE_H

#include "status.h"

/* Says so when local times will be those of another zone than the garden's. */
void ow_broker_zone_compare(const char *garden_zone, ow_report *report);

#endif
