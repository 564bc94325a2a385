/* SPDX-License-Identifier: MIT */
/*
 * Templates of announcements: a text with placeholders such as {name}. Braces with anything but
 * small letters and _ between them are text: JSON needs no escaping. Pure.
 */
#ifndef OVERWINTER_GARDEN_TEMPLATE_H
#define OVERWINTER_GARDEN_TEMPLATE_H

#include <stdbool.h>
#include <stddef.h>

/* The placeholders, in the order of the values for ow_template_fill; those that may stand in a
 * topic come first. */
typedef enum ow_placeholder {
    OW_FILL_GARDEN,   /* id of the garden */
    OW_FILL_THING,    /* id of the node: a plant, an output... */
    OW_FILL_PROPERTY, /* id of the property */
    OW_FILL_NAME,     /* of thing and property, for people */
    OW_FILL_THING_NAME,
    OW_FILL_PROPERTY_NAME,
    OW_FILL_VALUE_TOPIC,
    OW_FILL_SET_TOPIC, /* empty: it cannot be set */
    OW_FILL_UNIT,      /* empty: none */
    OW_FILL_DATATYPE,
    OW_FILL_STATE_TOPIC, /* $state of the garden */
    OW_FILLS
} ow_placeholder;
enum { OW_FILLS_OF_TOPIC = OW_FILL_PROPERTY + 1 };

/* Their names, OW_FILLS of them. */
const char *ow_placeholder_name(int placeholder);

/* The first placeholder among neither of the first `n` names: its word into out (size bytes);
 * false: all are known. */
bool ow_template_unknown(const char *text, int n, char *out, size_t size);

/* Does a text have a placeholder? */
bool ow_template_has(const char *text, ow_placeholder placeholder);

/* Could a template become this topic? A placeholder stands for anything without a slash. */
bool ow_template_may_be(const char *text, const char *topic);

/* The same for a topic that begins with `start`. */
bool ow_template_may_begin(const char *text, const char *start);

/* Fills in, escaped for a JSON text where wanted; the caller's to free; NULL: no memory. */
char *ow_template_fill(const char *text, const char *const values[OW_FILLS], bool json);

#endif
