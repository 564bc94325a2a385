/* SPDX-License-Identifier: MIT */
/*
 * The garden as a Thing Description of the W3C Web of Things, version 1.1, with forms of its MQTT
 * binding: a property for each of the tree's, an action for each that can be set.
 */
#ifndef OVERWINTER_HUB_THING_H
#define OVERWINTER_HUB_THING_H

#include "hub/tree.h"

/* The description as JSON, the caller's to free with cJSON_free; NULL: no memory. */
char *ow_thing_description(const ow_tree *tree, const ow_garden *garden);

#endif
