/* SPDX-License-Identifier: MIT */
/* Whose garden a file is that is not right: enough to say so on its own topics. */
#ifndef OVERWINTER_HOSTS_BROKER_GARDEN_TOPIC_H
#define OVERWINTER_HOSTS_BROKER_GARDEN_TOPIC_H

#include <stdbool.h>
#include <stddef.h>

/* Writes ROOT/5/GARDEN/tail. False: the text is not JSON, or holds no id that could be a topic. */
bool ow_garden_topic(const char *text, size_t size, const char *tail, char *topic, size_t room);

#endif
