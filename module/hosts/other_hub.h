/* SPDX-License-Identifier: MIT */
/* Looks whether another instance already minds the garden, before this one says a word. */
#ifndef OVERWINTER_HOSTS_OTHER_HUB_H
#define OVERWINTER_HOSTS_OTHER_HUB_H

#include "hosts/clocks.h"
#include "overwinter.h"

typedef enum ow_watched {
    OW_WATCHED_NOBODY,
    OW_WATCHED_ANOTHER,
    OW_WATCHED_STOPPED, /* SIGTERM came meanwhile */
    OW_WATCHED_NO_BROKER
} ow_watched;

/*
 * Watches `$state` and the beat for ten seconds of the garden's time, or, where the broker has
 * stored that somebody is ready, until a beat would have come for sure. Waits for the broker unless
 * `once`. Errors are those of ow_client_new.
 */
OW_CHECK ow_status ow_other_hub_watch(const ow_link *link, const char *garden_id,
                                      const ow_clocks *clocks, int signal_fd, bool once,
                                      ow_report *report, ow_watched *watched);

#endif
