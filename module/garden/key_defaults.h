/* SPDX-License-Identifier: MIT */
/* What a struct of the garden holds before the file has said anything. */
#ifndef OVERWINTER_GARDEN_KEY_DEFAULTS_H
#define OVERWINTER_GARDEN_KEY_DEFAULTS_H

#include "garden/keys.h"

/*
 * Sets every field of an object's struct to its default, or to what stands for "left out" (NAN,
 * NULL, -1). A default holds only where the object's kind has the key.
 */
void ow_key_defaults(const ow_object *object, unsigned kind, char *base);

#endif
