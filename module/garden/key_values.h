/* SPDX-License-Identifier: MIT */
/* Reading single values: numbers, texts, words, ids, hours. */
#ifndef OVERWINTER_GARDEN_KEY_VALUES_H
#define OVERWINTER_GARDEN_KEY_VALUES_H

#include "garden/key_context.h"

/* Reads one value that is no list and no object, whose JSON type fits, into its field. */
void ow_value_read(ow_key_reader *reader, const ow_key *key, const cJSON *node, void *field);

/* Reads an id that refers to a thing and notes it for references.h. */
void ow_value_read_ref(ow_key_reader *reader, const ow_key *key, const cJSON *node, ow_ref *ref);

/* Index of the node's word, or -1 after telling the fault. */
int ow_value_read_word(ow_key_reader *reader, const ow_key *key, const cJSON *node);

#endif
