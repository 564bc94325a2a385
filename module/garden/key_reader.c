/* SPDX-License-Identifier: MIT */
#include "garden/key_reader.h"

#include "garden/key_defaults.h"
#include "garden/key_values.h"

#include <string.h>

/* Enums are stored through their bytes; they are as wide as int on every compiler we build with. */
_Static_assert(sizeof(ow_place_kind) == sizeof(int), "enums are as wide as int");

static void read_object(ow_key_reader *reader, const ow_object *object, const cJSON *node,
                        void *base);

/* ---- lists ----------------------------------------------------------------------------------- */

/* A list that could not be read: what refers to its things is not told as a second fault. */
static void mark_unread(ow_key_reader *reader, const ow_key *key)
{
    if (key->type == OW_KEY_LIST) {
        reader->unread |= 1u << key->object->keys[0].group;
    }
}

static bool check_count(ow_key_reader *reader, const ow_key *key, const cJSON *node)
{
    int count = cJSON_GetArraySize(node);
    if (count >= key->min && count <= key->max) {
        return true;
    }
    ow_fault_add(reader->faults, ow_reader_value_at(reader, node),
                 "%s has %d items; it must have %.0f to %.0f", ow_reader_here(reader), count,
                 key->min, key->max);
    return false;
}

static void read_refs(ow_key_reader *reader, const ow_key *key, const cJSON *node, ow_refs *refs)
{
    const cJSON *child;
    ow_ref *item = ow_reader_items(reader, (size_t)cJSON_GetArraySize(node), sizeof *item);
    int count = 0;
    if (item == NULL || !check_count(reader, key, node)) {
        return;
    }
    cJSON_ArrayForEach(child, node)
    {
        size_t path = ow_reader_enter_item(reader, count);
        item[count].at = -1;
        if (cJSON_IsString(child)) {
            ow_value_read_ref(reader, key, child, &item[count]);
        } else {
            ow_reader_wrong_type(reader, child, OW_KEY_REF);
        }
        count++;
        ow_reader_leave(reader, path);
    }
    *refs = (ow_refs){.count = count, .item = item};
}

static void read_name_set(ow_key_reader *reader, const ow_key *key, const cJSON *node,
                          unsigned *bits)
{
    const cJSON *child;
    int count = 0;
    if (!check_count(reader, key, node)) {
        return;
    }
    *bits = 0;
    cJSON_ArrayForEach(child, node)
    {
        size_t path = ow_reader_enter_item(reader, count++);
        if (!cJSON_IsString(child)) {
            ow_reader_wrong_type(reader, child, OW_KEY_NAME);
        } else {
            int index = ow_value_read_word(reader, key, child);
            *bits |= index >= 0 ? 1u << index : 0;
        }
        ow_reader_leave(reader, path);
    }
}

static void read_list(ow_key_reader *reader, const ow_key *key, const cJSON *node, char *base)
{
    const cJSON *child;
    int count = 0;
    char *item = ow_reader_items(reader, (size_t)cJSON_GetArraySize(node), key->object->size);
    if (item == NULL || !check_count(reader, key, node)) {
        mark_unread(reader, key);
        return;
    }
    memcpy(base + key->offset, &item, sizeof item);
    cJSON_ArrayForEach(child, node)
    {
        size_t path = ow_reader_enter_item(reader, count);
        reader->index = count;
        if (cJSON_IsObject(child)) {
            read_object(reader, key->object, child, item + (size_t)count * key->object->size);
        } else {
            ow_key_defaults(key->object, 0, item + (size_t)count * key->object->size);
            ow_reader_wrong_type(reader, child, OW_KEY_OBJECT);
        }
        count++;
        ow_reader_leave(reader, path);
    }
    memcpy(base + key->count_offset, &count, sizeof count);
}

/* ---- any value ------------------------------------------------------------------------------- */

static bool type_fits(const ow_key *key, const cJSON *node)
{
    switch (key->type) {
    case OW_KEY_NUMBER:
    case OW_KEY_INTEGER:
        return cJSON_IsNumber(node);
    case OW_KEY_YES_NO:
        return cJSON_IsBool(node);
    case OW_KEY_REFS:
    case OW_KEY_NAME_SET:
    case OW_KEY_LIST:
        return cJSON_IsArray(node);
    case OW_KEY_OBJECT:
        return cJSON_IsObject(node);
    case OW_KEY_NAME_OR_OBJECT:
        return cJSON_IsObject(node) || cJSON_IsString(node);
    default:
        return cJSON_IsString(node);
    }
}

static void read_value(ow_key_reader *reader, const ow_key *key, const cJSON *node, char *base)
{
    char *field = base + key->offset;
    if (!type_fits(key, node)) {
        ow_reader_wrong_type(reader, node, key->type);
        mark_unread(reader, key);
        return;
    }
    if (key->type == OW_KEY_REFS) {
        read_refs(reader, key, node, (void *)field);
    } else if (key->type == OW_KEY_NAME_SET) {
        read_name_set(reader, key, node, (void *)field);
    } else if (key->type == OW_KEY_LIST) {
        read_list(reader, key, node, base);
    } else if (key->type == OW_KEY_OBJECT) {
        read_object(reader, key->object, node, field);
    } else if (cJSON_IsObject(node)) {
        read_object(reader, key->object, node, base + key->object_offset);
    } else {
        ow_value_read(reader, key, node, field);
    }
}

/* ---- objects --------------------------------------------------------------------------------- */

static void unknown_key(ow_key_reader *reader, const ow_object *object, const ow_key *other,
                        unsigned kind, const cJSON *node)
{
    char shown[OW_SHOWN_SIZE];
    const char *dot = reader->path[0] == '\0' ? "" : ".";
    ow_shown(shown, node->string);
    if (other != NULL) {
        const ow_key *selecting = ow_key_selecting(object);
        size_t n = 0;
        ow_fault_add(reader->faults, ow_reader_key_at(reader, node),
                     "%s%s%s does not go with %s \"%s\"; take it out", reader->path, dot, shown,
                     selecting->name, selecting->names(&n)[kind]);
        return;
    }
    ow_fault_add(reader->faults, ow_reader_key_at(reader, node),
                 "%s%s%s is not a known key; the nearest is %s", reader->path, dot, shown,
                 ow_key_nearest(object, node->string, kind)->name);
}

static void missing_key(ow_key_reader *reader, const ow_key *key, const cJSON *node)
{
    char range[160], words[220];
    const char *more = key->about;
    if (key->type == OW_KEY_NUMBER || key->type == OW_KEY_INTEGER) {
        more = ow_key_range(key, range, sizeof range);
    } else if (key->type == OW_KEY_NAME) {
        ow_key_join_words(key, words, sizeof words);
        more = words;
    }
    mark_unread(reader, key);
    ow_fault_add(reader->faults, ow_reader_value_at(reader, node), "%s lacks %s (%s)",
                 ow_reader_here(reader), key->name, more);
}

/* The kind of the object; kind 0 when it does not matter, -1 when the file does not say it. */
static int kind_of(const ow_object *object, const cJSON *node)
{
    const ow_key *selecting = ow_key_selecting(object);
    const cJSON *value;
    if (selecting == NULL) {
        return 0;
    }
    value = cJSON_GetObjectItemCaseSensitive(node, selecting->name);
    return cJSON_IsString(value) ? ow_key_word_index(selecting, value->valuestring) : -1;
}

#define KEYS_MAX 64

static void read_member(ow_key_reader *reader, const ow_object *object, int kind, const cJSON *node,
                        bool seen[KEYS_MAX], char *base)
{
    const ow_key *key = ow_key_find(object, node->string, kind < 0 ? 0 : (unsigned)kind);
    /* with no kind known, any kind's key is let pass unread: one fault is enough */
    if (key == NULL || (kind >= 0 && !ow_key_applies(key, (unsigned)kind))) {
        unknown_key(reader, object, key, kind < 0 ? 0 : (unsigned)kind, node);
        return;
    }
    if (seen[key - object->keys]) {
        ow_fault_add(reader->faults, ow_reader_key_at(reader, node),
                     "%s%s%s stands twice; take one out", reader->path,
                     reader->path[0] == '\0' ? "" : ".", key->name);
        return;
    }
    seen[key - object->keys] = true;
    if (kind >= 0 || key->kinds == 0) {
        size_t path = ow_reader_enter(reader, key->name);
        read_value(reader, key, node, base);
        ow_reader_leave(reader, path);
    }
}

static void read_object(ow_key_reader *reader, const ow_object *object, const cJSON *node,
                        void *base)
{
    bool seen[KEYS_MAX] = {false};
    int kind = kind_of(object, node);
    const cJSON *child;
    ow_key_defaults(object, kind < 0 ? 0 : (unsigned)kind, base);
    if (object->given_flag) {
        *(bool *)base = true;
    }
    cJSON_ArrayForEach(child, node)
    {
        read_member(reader, object, kind, child, seen, base);
    }
    for (size_t i = 0; i < object->key_count; i++) {
        const ow_key *key = &object->keys[i];
        bool applies = kind < 0 ? key->kinds == 0 : ow_key_applies(key, (unsigned)kind);
        if (key->required && applies && !seen[i]) {
            missing_key(reader, key, node);
        }
    }
}

ow_status ow_key_reader_run(ow_key_reader *reader, ow_garden *garden)
{
    read_object(reader, ow_keys_garden(), reader->positions->root, garden);
    return reader->no_memory ? OW_NO_MEMORY : OW_OK;
}
