/* SPDX-License-Identifier: MIT */
/* A set of exact topics: in a broker every message of the house is asked about. */
#ifndef OVERWINTER_HOSTS_BROKER_TOPIC_SET_H
#define OVERWINTER_HOSTS_BROKER_TOPIC_SET_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

/* All zero: empty. */
typedef struct ow_topic_set {
    char **slot; /* a power of two of them, half of them free at least */
    size_t slots, count;
} ow_topic_set;

/* Takes a copy; one that is there already is fine. OW_NO_MEMORY. */
OW_CHECK ow_status ow_topic_set_add(ow_topic_set *set, const char *topic);
bool ow_topic_set_has(const ow_topic_set *set, const char *topic);
void ow_topic_set_clear(ow_topic_set *set);

#endif
