/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/signals.h"

#include <signal.h>
#include <sys/signalfd.h>
#include <unistd.h>

ow_status ow_signals_open(int *fd)
{
    sigset_t taken;
    sigemptyset(&taken);
    sigaddset(&taken, SIGTERM);
    sigaddset(&taken, SIGINT);
    sigaddset(&taken, SIGHUP);
    /* A broker that goes away in the middle of a write must not end us, nor a quota on files. */
    if (signal(SIGPIPE, SIG_IGN) == SIG_ERR || signal(SIGXFSZ, SIG_IGN) == SIG_ERR ||
        sigprocmask(SIG_BLOCK, &taken, NULL) != 0) {
        return OW_IO;
    }
    int opened = signalfd(-1, &taken, SFD_NONBLOCK | SFD_CLOEXEC);
    if (opened < 0) {
        return OW_IO;
    }
    *fd = opened;
    return OW_OK;
}

ow_signal ow_signals_next(int fd)
{
    struct signalfd_siginfo info;
    if (read(fd, &info, sizeof info) != (ssize_t)sizeof info) {
        return OW_SIGNAL_NONE;
    }
    return info.ssi_signo == SIGHUP ? OW_SIGNAL_RELOAD : OW_SIGNAL_STOP;
}
