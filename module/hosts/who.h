/* SPDX-License-Identifier: MIT */
/* Who says a message: a user property of MQTT 5. */
#ifndef OVERWINTER_HOSTS_WHO_H
#define OVERWINTER_HOSTS_WHO_H

#include <mosquitto.h>

#define OW_WHO "who"

/* The value of the first user property "who", the caller's to free; NULL: there is none. */
char *ow_who_of(const mosquitto_property *properties);

#endif
