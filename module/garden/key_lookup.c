/* SPDX-License-Identifier: MIT */
/* Questions to the table of keys. */
#include "garden/keys.h"

#include <stdio.h>
#include <string.h>

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

/* Longer texts are compared by their beginnings: a message wants the likeliest slip, no more. */
#define DISTANCE_SIZE 64

static size_t compared_size(const char *text)
{
    size_t size = strlen(text);
    return size < DISTANCE_SIZE ? size : DISTANCE_SIZE;
}

static int least_of(int a, int b)
{
    return a < b ? a : b;
}

/* One row of the table of distances (optimal string alignment). */
static void distance_row(const char *left, const char *right, size_t i, size_t n,
                         int row[3][DISTANCE_SIZE + 1])
{
    int *now = row[i % 3], *before = row[(i + 2) % 3], *earlier = row[(i + 1) % 3];
    now[0] = (int)i;
    for (size_t j = 1; j <= n; j++) {
        int change = left[i - 1] == right[j - 1] ? 0 : 1;
        now[j] = least_of(before[j - 1] + change, least_of(before[j], now[j - 1]) + 1);
        if (i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1]) {
            now[j] = least_of(now[j], earlier[j - 2] + 1);
        }
    }
}

int ow_edit_distance(const char *left, const char *right)
{
    int row[3][DISTANCE_SIZE + 1];
    size_t m = compared_size(left), n = compared_size(right);
    for (size_t j = 0; j <= n; j++) {
        row[0][j] = (int)j;
    }
    for (size_t i = 1; i <= m; i++) {
        distance_row(left, right, i, n, row);
    }
    return row[m % 3][n];
}

const char *ow_key_range(const ow_key *key, char *out, size_t size)
{
    snprintf(out, size, "%s %.10g to %.10g%s%s%s%s", key->subject, key->min, key->max,
             key->unit[0] == '\0' ? "" : " ", key->unit, key->tail[0] == '\0' ? "" : " ",
             key->tail);
    return out;
}
