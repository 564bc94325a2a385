/* SPDX-License-Identifier: MIT */
#include "hosts/topics.h"

#include <stdio.h>
#include <string.h>

/* Length of the device's part of the $state topic, its last slash included. */
static size_t device_length(const ow_link *link)
{
    const char *slash = strrchr(link->state_topic, '/');
    return slash == NULL ? 0 : (size_t)(slash - link->state_topic) + 1;
}

bool ow_topic_is_own(const ow_link *link, const char *topic)
{
    return strncmp(topic, link->state_topic, device_length(link)) == 0;
}

bool ow_topic_is_set(const ow_link *link, const char *topic)
{
    size_t length = strlen(topic);
    return length > 4 && strcmp(topic + length - 4, "/set") == 0 && ow_topic_is_own(link, topic);
}

bool ow_topic_of_device(const ow_link *link, const char *tail, char *topic, size_t size)
{
    int length = snprintf(topic, size, "%.*s%s", (int)device_length(link), link->state_topic, tail);
    return length > 0 && (size_t)length < size;
}
