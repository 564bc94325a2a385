/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/broker/topic_set.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_SLOTS = 64 };

/* FNV-1a, 64 bit. */
static size_t hash_of(const char *topic)
{
    uint64_t hash = 0xcbf29ce484222325u;
    for (; *topic != '\0'; topic++) {
        hash = (hash ^ (unsigned char)*topic) * 0x100000001b3u;
    }
    return (size_t)hash;
}

/* The slot that holds the topic, or the free one where it belongs. */
static char **find(char **slot, size_t slots, const char *topic)
{
    size_t at = hash_of(topic) & (slots - 1);
    while (slot[at] != NULL && strcmp(slot[at], topic) != 0) {
        at = (at + 1) & (slots - 1);
    }
    return &slot[at];
}

static ow_status grow(ow_topic_set *set)
{
    size_t slots = set->slots == 0 ? FIRST_SLOTS : 2 * set->slots;
    char **slot = calloc(slots, sizeof *slot);
    if (slot == NULL) {
        return OW_NO_MEMORY;
    }
    for (size_t i = 0; i < set->slots; i++) {
        if (set->slot[i] != NULL) {
            *find(slot, slots, set->slot[i]) = set->slot[i];
        }
    }
    free(set->slot);
    set->slot = slot;
    set->slots = slots;
    return OW_OK;
}

ow_status ow_topic_set_add(ow_topic_set *set, const char *topic)
{
    if (2 * (set->count + 1) > set->slots) {
        ow_status status = grow(set);
        if (status != OW_OK) {
            return status;
        }
    }
    char **at = find(set->slot, set->slots, topic);
    if (*at != NULL) {
        return OW_OK;
    }
    *at = strdup(topic);
    set->count += *at != NULL ? 1 : 0;
    return *at != NULL ? OW_OK : OW_NO_MEMORY;
}

bool ow_topic_set_has(const ow_topic_set *set, const char *topic)
{
    return set->slots > 0 && *find(set->slot, set->slots, topic) != NULL;
}

void ow_topic_set_clear(ow_topic_set *set)
{
    for (size_t i = 0; i < set->slots; i++) {
        free(set->slot[i]);
    }
    free(set->slot);
    *set = (ow_topic_set){0};
}
