/* SPDX-License-Identifier: MIT */
#include "garden/key_context.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- memory ---------------------------------------------------------------------------------- */

void *ow_chunk_new(ow_chunk **chunks, size_t size)
{
    ow_chunk *chunk = calloc(1, sizeof *chunk + size);
    if (chunk == NULL) {
        return NULL;
    }
    chunk->next = *chunks;
    *chunks = chunk;
    return chunk->data;
}

void ow_chunks_free(ow_chunk **chunks)
{
    while (*chunks != NULL) {
        ow_chunk *next = (*chunks)->next;
        free(*chunks);
        *chunks = next;
    }
}

void *ow_reader_items(ow_key_reader *reader, size_t count, size_t size)
{
    void *items = ow_chunk_new(reader->chunks, (count > 0 ? count : 1) * size);
    reader->no_memory = reader->no_memory || items == NULL;
    return items;
}

const char *ow_reader_keep_text(ow_key_reader *reader, const char *text)
{
    size_t size = strlen(text) + 1;
    char *kept = ow_reader_items(reader, size, 1);
    return kept == NULL ? NULL : memcpy(kept, text, size);
}

void ow_reader_mention(ow_key_reader *reader, ow_mentions *mentions, ow_mention mention)
{
    if (mentions->count == mentions->capacity) {
        size_t capacity = mentions->capacity == 0 ? 64 : 2 * mentions->capacity;
        ow_mention *item = realloc(mentions->item, capacity * sizeof *item);
        if (item == NULL) {
            reader->no_memory = true;
            return;
        }
        mentions->item = item;
        mentions->capacity = capacity;
    }
    memcpy(mention.path, reader->path, sizeof mention.path);
    mentions->item[mentions->count++] = mention;
}

/* ---- paths and places ------------------------------------------------------------------------ */

size_t ow_reader_value_at(const ow_key_reader *reader, const cJSON *node)
{
    return ow_position_of(reader->positions, node)->value_at;
}

size_t ow_reader_key_at(const ow_key_reader *reader, const cJSON *node)
{
    return ow_position_of(reader->positions, node)->key_at;
}

size_t ow_reader_enter(ow_key_reader *reader, const char *key)
{
    size_t size = strlen(reader->path);
    snprintf(reader->path + size, sizeof reader->path - size, "%s%s", size == 0 ? "" : ".", key);
    return size;
}

size_t ow_reader_enter_item(ow_key_reader *reader, int index)
{
    size_t size = strlen(reader->path);
    snprintf(reader->path + size, sizeof reader->path - size, "[%d]", index);
    return size;
}

void ow_reader_leave(ow_key_reader *reader, size_t size)
{
    reader->path[size] = '\0';
}

const char *ow_reader_here(const ow_key_reader *reader)
{
    return reader->path[0] == '\0' ? "the garden file" : reader->path;
}

/* ---- words for messages ---------------------------------------------------------------------- */

#define VALUE_SIZE (OW_SHOWN_SIZE + 8)

/* A value as the file has it, cut short. */
static const char *value_text(const cJSON *node, char *out)
{
    char shown[OW_SHOWN_SIZE];
    if (cJSON_IsString(node)) {
        snprintf(out, VALUE_SIZE, "\"%s\"", ow_shown(shown, node->valuestring));
    } else if (cJSON_IsNumber(node)) {
        snprintf(out, VALUE_SIZE, "%.10g", node->valuedouble);
    } else if (cJSON_IsBool(node)) {
        snprintf(out, VALUE_SIZE, "%s", cJSON_IsTrue(node) ? "true" : "false");
    } else {
        snprintf(out, VALUE_SIZE, "%s",
                 cJSON_IsNull(node)    ? "null"
                 : cJSON_IsArray(node) ? "a list"
                                       : "an object");
    }
    return out;
}

void ow_reader_wrong(ow_key_reader *reader, const cJSON *node, const char *wanted)
{
    char value[VALUE_SIZE];
    ow_fault_add(reader->faults, ow_reader_value_at(reader, node), "%s is %s; %s",
                 ow_reader_here(reader), value_text(node, value), wanted);
}

/* What the value must be, in words, when its type is wrong. */
static const char *const must_be[] = {
    [OW_KEY_NUMBER] = "it must be a number",
    [OW_KEY_INTEGER] = "it must be a whole number",
    [OW_KEY_YES_NO] = "it must be true or false",
    [OW_KEY_TEXT] = "it must be a text in double quotes",
    [OW_KEY_TOPIC] = "it must be a topic in double quotes",
    [OW_KEY_POINTER] = "it must be a JSON pointer in double quotes, such as \"/temperature\"",
    [OW_KEY_ID] = "it must be an id in double quotes",
    [OW_KEY_REF] = "it must be an id in double quotes",
    [OW_KEY_REFS] = "it must be a list of ids in [ ]",
    [OW_KEY_NAME] = "it must be a word in double quotes",
    [OW_KEY_NAME_SET] = "it must be a list of words in [ ]",
    [OW_KEY_HOURS] = "it must be hours of the day such as \"22:00-07:00\"",
    [OW_KEY_OBJECT] = "it must be an object in { }",
    [OW_KEY_NAME_OR_OBJECT] = "it must be a word in double quotes or an object of measured numbers",
    [OW_KEY_LIST] = "it must be a list of objects in [ ]",
};

void ow_reader_wrong_type(ow_key_reader *reader, const cJSON *node, ow_key_type type)
{
    ow_reader_wrong(reader, node, must_be[type]);
}

void ow_key_reader_free(ow_key_reader *reader)
{
    free(reader->defined.item);
    free(reader->meant.item);
    reader->defined = reader->meant = (ow_mentions){0};
}
