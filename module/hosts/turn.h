/* SPDX-License-Identifier: MIT */
/* One turn of a program's loop: wait for the broker, for a signal or for the time; serve. */
#ifndef OVERWINTER_HOSTS_TURN_H
#define OVERWINTER_HOSTS_TURN_H

#include "hosts/client.h"
#include "hosts/signals.h"

/* Waits at most wait_ms, serves the client, and gives the signal that has come. A signal_fd of
 * -1 is not waited for. */
ow_signal ow_turn(ow_client *client, int signal_fd, uint64_t wait_ms);

/* Turns until the broker has acknowledged everything, or for limit_ms. */
void ow_flush(ow_client *client, uint64_t limit_ms);

#endif
