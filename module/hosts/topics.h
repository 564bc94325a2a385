/* SPDX-License-Identifier: MIT */
/* What hosts know of topics. */
#ifndef OVERWINTER_HOSTS_TOPICS_H
#define OVERWINTER_HOSTS_TOPICS_H

#include <stdbool.h>

#include "overwinter.h"

/*
 * True for a settable property of our own tree (".../set"). Such a message must not have been sent
 * retained, so the flag is wanted as its sender set it. Everywhere else it must tell a stored
 * message from one that comes fresh.
 */
bool ow_topic_is_set(const ow_link *link, const char *topic);

/* True for a topic of the garden's own tree. */
bool ow_topic_is_own(const ow_link *link, const char *topic);

/* Writes the garden's own topic DEVICE/tail, from its $state topic. False: it does not fit. */
bool ow_topic_of_device(const ow_link *link, const char *tail, char *topic, size_t size);

#endif
