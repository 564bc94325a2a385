/* SPDX-License-Identifier: MIT */
/*
 * TLS to the broker: used as the garden file asks, or no connection is made; and what went wrong,
 * said with the key to mend.
 */
#ifndef OVERWINTER_HOSTS_TLS_H
#define OVERWINTER_HOSTS_TLS_H

#include <stdbool.h>

#include "overwinter.h"

struct mosquitto;

enum { OW_TLS_TEXT = 1000 };

/*
 * Asks `mosq` for TLS when the link wants it. False: `fault` says why it cannot be had, and the
 * connection must not be made: the library would make it in the clear. A key that others than its
 * owner can reach is not used.
 */
OW_CHECK bool ow_tls_set_up(struct mosquitto *mosq, const ow_link *link, char fault[OW_TLS_TEXT]);

/* What a TLS failure means for the garden file, from what the library said of it (may be ""). */
void ow_tls_explain(const ow_link *link, const char *said, char text[OW_TLS_TEXT]);

#endif
