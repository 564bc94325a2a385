/* SPDX-License-Identifier: MIT */
/* What the garden file says of the way to the broker, proved before anything is sent. */
#ifndef OVERWINTER_HOSTS_CREDENTIALS_H
#define OVERWINTER_HOSTS_CREDENTIALS_H

#include <stdbool.h>

#include "overwinter.h"

/* Bits of a file's mode that let others than its owner in: no secret has them. */
enum { OW_PASSWORD_MOST = 1024, OW_MODE_OTHERS = 077 };

/* True for this machine itself: localhost, 127.x.x.x, ::1. */
bool ow_is_loopback(const char *host);

/* True when any of the TLS files is given. */
bool ow_wants_tls(const ow_link *link);

/*
 * Proves that there is a broker, that the pace (1: real time) is let at it, and gives an advice
 * about a password that would go in the clear. OW_BAD_INPUT is told with the garden file's name.
 */
OW_CHECK ow_status ow_link_check(const ow_link *link, bool paced, const char *garden_file,
                                 ow_report *report);

/*
 * Reads the first line of a password file that only its owner can read. OW_BAD_INPUT, told, for
 * one that others can read, is empty, too long or not there.
 */
OW_CHECK ow_status ow_password_read(const char *path, ow_report *report,
                                    char password[OW_PASSWORD_MOST + 1]);

#endif
