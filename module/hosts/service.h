/* SPDX-License-Identifier: MIT */
/*
 * A word to the service manager, by the datagram socket that it names in NOTIFY_SOCKET. Without
 * one nothing happens.
 */
#ifndef OVERWINTER_HOSTS_SERVICE_H
#define OVERWINTER_HOSTS_SERVICE_H

#include <stdint.h>

/* "READY=1", "STOPPING=1" */
void ow_service_tell(const char *text);

/* The loop goes round: tells it once a second. */
void ow_service_alive(uint64_t real_ms);

#endif
