/* SPDX-License-Identifier: MIT */
/*
 * The table of keys: everything a garden file may say, once. The reader (key_reader.h) fills the
 * structs of garden.h by it, the schema and the reference page are written from it.
 */
#ifndef OVERWINTER_GARDEN_KEYS_H
#define OVERWINTER_GARDEN_KEYS_H

#include <stdbool.h>
#include <stddef.h>

typedef enum ow_key_type {
    OW_KEY_NUMBER,         /* double */
    OW_KEY_INTEGER,        /* int */
    OW_KEY_YES_NO,         /* bool */
    OW_KEY_TEXT,           /* const char *, min..max bytes long */
    OW_KEY_TOPIC,          /* const char *, an MQTT topic without wildcards */
    OW_KEY_POINTER,        /* const char *, a JSON pointer (RFC 6901) */
    OW_KEY_ID,             /* const char *, defines the id of a thing of `group` */
    OW_KEY_REF,            /* ow_ref to a thing of `group` */
    OW_KEY_REFS,           /* ow_refs, a list of ids */
    OW_KEY_NAME,           /* an enum, one of `names` */
    OW_KEY_NAME_SET,       /* unsigned, a list of `names`, bit by bit */
    OW_KEY_HOURS,          /* ow_hours, "22:00-07:00" */
    OW_KEY_OBJECT,         /* a struct in place, of `object` */
    OW_KEY_NAME_OR_OBJECT, /* as NAME at `offset`, or as OBJECT at `object_offset` */
    OW_KEY_LIST            /* pointer to structs of `object`; their number at `count_offset` */
} ow_key_type;

/* What an id names, and what a reference means. */
typedef enum ow_group {
    OW_GROUP_NONE,
    OW_GROUP_PLACE,
    OW_GROUP_COVER,
    OW_GROUP_PLANT,
    OW_GROUP_OUTPUT,
    OW_GROUP_READING,
    OW_GROUP_CIRCUIT,
    OW_GROUP_MEMBER
} ow_group;

/* "place", "cover"...; never NULL. */
const char *ow_group_name(ow_group group);

/* The words of an enum in its order; *n gets their number. */
typedef const char *const *(*ow_words)(size_t *n);

typedef struct ow_object ow_object;

typedef struct ow_key {
    const char *name;
    const char *about; /* one line for the reference page */
    ow_key_type type;
    size_t offset; /* in the object's struct */
    size_t object_offset, count_offset;
    bool required;
    bool selects;         /* this NAME says which kind of object it is */
    unsigned kinds;       /* bits of the kinds that have the key; 0: all */
    double min, max;      /* numbers: range; lists: how many; texts: bytes */
    const char *unit;     /* written after the range, "mm" */
    const char *subject;  /* begins the sentence of the range, "a pot is" */
    const char *tail;     /* ends it, "deep" */
    const char *fallback; /* the default as it would be written, without quotes; NULL: none */
    ow_words names;
    int first_value; /* the enum's value of the first of `names` */
    const ow_object *object;
    ow_group group;
    bool may_dangle; /* a reference that may name what is still to come: garden_check.c judges */
} ow_key;

struct ow_object {
    const char *name; /* "pot"; unique */
    const char *about;
    bool given_flag; /* the struct begins with `bool given` */
    size_t size;     /* of the struct */
    const ow_key *keys;
    size_t key_count;
};

/* The whole file. */
const ow_object *ow_keys_garden(void);

/* The key that selects the kind; NULL when the object has none. */
const ow_key *ow_key_selecting(const ow_object *object);

/* Does an object of that kind have the key? */
bool ow_key_applies(const ow_key *key, unsigned kind);

/* The key of that name for that kind; failing that, of another kind; else NULL. */
const ow_key *ow_key_find(const ow_object *object, const char *name, unsigned kind);

/* The key that comes nearest to a name, of those that apply to the kind. */
const ow_key *ow_key_nearest(const ow_object *object, const char *name, unsigned kind);

/* Index of the word among the key's names, -1 when it is none of them. */
int ow_key_word_index(const ow_key *key, const char *word);

/* The key's name that comes nearest to a word. */
const char *ow_key_nearest_word(const ow_key *key, const char *word);

/* The key's names as a text: "dry", "moist". `out` holds `size` bytes. */
void ow_key_join_words(const ow_key *key, char *out, size_t size);

/* "a pot is 40 to 1500 mm deep"; for a whole number, "a number is"; out holds `size` bytes. */
const char *ow_key_range(const ow_key *key, char *out, size_t size);

#endif
