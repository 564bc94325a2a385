/* SPDX-License-Identifier: MIT */
/*
 * Signals as something to poll. Nothing runs in a signal handler: the signals are blocked and read
 * from a descriptor when it suits the loop.
 */
#ifndef OVERWINTER_HOSTS_SIGNALS_H
#define OVERWINTER_HOSTS_SIGNALS_H

#include "status.h"

typedef enum ow_signal {
    OW_SIGNAL_NONE,
    OW_SIGNAL_STOP,  /* SIGTERM, SIGINT */
    OW_SIGNAL_RELOAD /* SIGHUP */
} ow_signal;

/* Takes SIGTERM, SIGINT and SIGHUP and ignores SIGPIPE and SIGXFSZ, for the whole process; call it
 * before any thread is started. *fd is the caller's to close. OW_IO. */
OW_CHECK ow_status ow_signals_open(int *fd);

/* The next signal that has come. */
ow_signal ow_signals_next(int fd);

#endif
