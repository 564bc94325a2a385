/* SPDX-License-Identifier: MIT */
/* What the reader of keys has at hand while it reads: where it is, what it owns, what it met. */
#ifndef OVERWINTER_GARDEN_KEY_CONTEXT_H
#define OVERWINTER_GARDEN_KEY_CONTEXT_H

#include "garden/faults.h"
#include "garden/garden.h"
#include "garden/keys.h"
#include "garden/position.h"

#define OW_PATH_SIZE 160

/* An id that the file defines, or a reference to one, noted for references.h. */
typedef struct ow_mention {
    ow_group group;
    const char *id;
    int index;   /* of a definition: its place in the list */
    ow_ref *ref; /* of a reference: what to fill */
    bool may_dangle;
    size_t at;
    char path[OW_PATH_SIZE];
} ow_mention;

typedef struct ow_mentions {
    ow_mention *item;
    size_t count, capacity;
} ow_mentions;

/* Everything allocated for one garden, freed together. */
typedef struct ow_chunk {
    struct ow_chunk *next;
    max_align_t data[];
} ow_chunk;

typedef struct ow_key_reader {
    const ow_positions *positions;
    ow_faults *faults;
    ow_chunk **chunks; /* what is read is owned by this chain */
    ow_mentions defined, meant;
    char path[OW_PATH_SIZE]; /* of the value at hand, "plants[2].pot" */
    int index;               /* of the innermost list's item at hand */
    unsigned unread;         /* bits of the groups whose list could not be read */
    bool no_memory;
} ow_key_reader;

/* Zeroed memory owned by the chain; NULL when there is none left. */
void *ow_chunk_new(ow_chunk **chunks, size_t size);
void ow_chunks_free(ow_chunk **chunks);

/* `count` items, zeroed, one at least, so that NULL always means no memory (which is noted). */
void *ow_reader_items(ow_key_reader *reader, size_t count, size_t size);

/* A copy that lasts as long as the garden; NULL when there is no memory. */
const char *ow_reader_keep_text(ow_key_reader *reader, const char *text);

/* Notes an id at the path at hand. */
void ow_reader_mention(ow_key_reader *reader, ow_mentions *mentions, ow_mention mention);

/* Bytes of a value and of its key. */
size_t ow_reader_value_at(const ow_key_reader *reader, const cJSON *node);
size_t ow_reader_key_at(const ow_key_reader *reader, const cJSON *node);

/* Lengthens the path by a key or an item; returns the old length for ow_reader_leave. */
size_t ow_reader_enter(ow_key_reader *reader, const char *key);
size_t ow_reader_enter_item(ow_key_reader *reader, int index);
void ow_reader_leave(ow_key_reader *reader, size_t size);

/* The path at hand in words for people. */
const char *ow_reader_here(const ow_key_reader *reader);

/* Adds the fault "PATH is VALUE; wanted". */
void ow_reader_wrong(ow_key_reader *reader, const cJSON *node, const char *wanted);

/* The same for a value of the wrong type for a key of `type`. */
void ow_reader_wrong_type(ow_key_reader *reader, const cJSON *node, ow_key_type type);

/* Frees what the reader itself holds (not what was read). */
void ow_key_reader_free(ow_key_reader *reader);

#endif
