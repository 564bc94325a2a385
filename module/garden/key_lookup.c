/* SPDX-License-Identifier: MIT */
/* Questions to the table of keys. */
#include "garden/keys.h"

#include <stdio.h>
#include <string.h>

#include "plants/spelling.h"

const char *ow_group_name(ow_group group)
{
    static const char *const name[] = {"thing",  "place",   "cover",   "plant",
                                       "output", "reading", "circuit", "member of the household"};
    return name[group];
}

const ow_key *ow_key_selecting(const ow_object *object)
{
    for (size_t i = 0; i < object->key_count; i++) {
        if (object->keys[i].selects) {
            return &object->keys[i];
        }
    }
    return NULL;
}

bool ow_key_applies(const ow_key *key, unsigned kind)
{
    return key->kinds == 0 || (key->kinds & (1u << kind)) != 0;
}

const ow_key *ow_key_find(const ow_object *object, const char *name, unsigned kind)
{
    const ow_key *other = NULL;
    for (size_t i = 0; i < object->key_count; i++) {
        const ow_key *key = &object->keys[i];
        if (strcmp(key->name, name) != 0) {
            continue;
        }
        if (ow_key_applies(key, kind)) {
            return key;
        }
        other = other == NULL ? key : other;
    }
    return other;
}

/* How far a name is from a key; a key that goes on where the name ends is but one slip away. */
static int distance_to_key(const char *name, const char *key)
{
    size_t size = strlen(name);
    return size >= 3 && strncmp(name, key, size) == 0 ? 1 : ow_edit_distance(name, key);
}

const ow_key *ow_key_nearest(const ow_object *object, const char *name, unsigned kind)
{
    const ow_key *nearest = NULL;
    int least = 0;
    for (size_t i = 0; i < object->key_count; i++) {
        const ow_key *key = &object->keys[i];
        int distance = distance_to_key(name, key->name);
        if (ow_key_applies(key, kind) && (nearest == NULL || distance < least)) {
            nearest = key;
            least = distance;
        }
    }
    return nearest;
}

void ow_key_join_words(const ow_key *key, char *out, size_t size)
{
    size_t n = 0, used = 0;
    const char *const *words = key->names(&n);
    out[0] = '\0';
    for (size_t i = 0; i < n && used < size; i++) {
        int more = snprintf(out + used, size - used, "%s\"%s\"", i == 0 ? "" : ", ", words[i]);
        used += more < 0 ? 0 : (size_t)more;
    }
}

int ow_key_word_index(const ow_key *key, const char *word)
{
    size_t n = 0;
    const char *const *words = key->names(&n);
    for (size_t i = 0; i < n; i++) {
        if (strcmp(words[i], word) == 0) {
            return (int)i;
        }
    }
    return -1;
}

const char *ow_key_nearest_word(const ow_key *key, const char *word)
{
    size_t n = 0;
    const char *const *words = key->names(&n);
    const char *nearest = words[0];
    for (size_t i = 1; i < n; i++) {
        if (ow_edit_distance(word, words[i]) < ow_edit_distance(word, nearest)) {
            nearest = words[i];
        }
    }
    return nearest;
}

const char *ow_key_range(const ow_key *key, char *out, size_t size)
{
    snprintf(out, size, "%s %.10g to %.10g%s%s%s%s", key->subject, key->min, key->max,
             key->unit[0] == '\0' ? "" : " ", key->unit, key->tail[0] == '\0' ? "" : " ",
             key->tail);
    return out;
}
