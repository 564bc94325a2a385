/* SPDX-License-Identifier: MIT */
#include "garden/key_defaults.h"

#include "garden/garden.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The bits of the names of a key that stand in a text; no name is part of another. */
static unsigned words_in(const ow_key *key, const char *text)
{
    size_t n = 0;
    const char *const *names = key->names(&n);
    unsigned bits = 0;
    for (size_t i = 0; text != NULL && i < n; i++) {
        bits |= strstr(text, names[i]) == NULL ? 0u : 1u << i;
    }
    return bits;
}

/* The default of one key, or what stands for "left out". */
static void set_default(const ow_key *key, const char *fallback, char *base)
{
    void *field = base + key->offset;
    int unsaid = -1;
    switch (key->type) {
    case OW_KEY_NUMBER:
        *(double *)field = fallback == NULL ? (double)NAN : strtod(fallback, NULL);
        break;
    case OW_KEY_INTEGER:
        *(int *)field = fallback == NULL ? 0 : (int)strtol(fallback, NULL, 10);
        break;
    case OW_KEY_TEXT:
    case OW_KEY_TOPIC:
    case OW_KEY_POINTER:
    case OW_KEY_ID:
        *(const char **)field = fallback;
        break;
    case OW_KEY_REF:
        *(ow_ref *)field = (ow_ref){.at = -1};
        break;
    case OW_KEY_NAME:
    case OW_KEY_NAME_OR_OBJECT:
        if (fallback != NULL) {
            unsaid = ow_key_word_index(key, fallback) + key->first_value;
        }
        if (fallback != NULL || (!key->required && key->kinds == 0)) {
            memcpy(field, &unsaid, sizeof unsaid);
        }
        break;
    case OW_KEY_NAME_SET:
        *(unsigned *)field = words_in(key, fallback);
        break;
    case OW_KEY_HOURS:
        *(ow_hours *)field = (ow_hours){-1, -1};
        break;
    case OW_KEY_OBJECT:
        ow_key_defaults(key->object, 0, field);
        break;
    case OW_KEY_YES_NO:
    case OW_KEY_REFS:
    case OW_KEY_LIST:
        break; /* zeroed: false, none */
    }
    if (key->type == OW_KEY_NAME_OR_OBJECT) {
        ow_key_defaults(key->object, 0, base + key->object_offset);
    }
}

void ow_key_defaults(const ow_object *object, unsigned kind, char *base)
{
    /* everything unsaid first: two kinds may have the same field under keys of their own */
    for (size_t i = 0; i < object->key_count; i++) {
        if (!ow_key_applies(&object->keys[i], kind) && !object->keys[i].selects) {
            set_default(&object->keys[i], NULL, base);
        }
    }
    for (size_t i = 0; i < object->key_count; i++) {
        if (ow_key_applies(&object->keys[i], kind)) {
            set_default(&object->keys[i], object->keys[i].fallback, base);
        }
    }
}
