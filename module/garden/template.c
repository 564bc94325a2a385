/* SPDX-License-Identifier: MIT */
#include "garden/template.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const names[OW_FILLS] = {
    [OW_FILL_GARDEN] = "garden",
    [OW_FILL_THING] = "thing",
    [OW_FILL_PROPERTY] = "property",
    [OW_FILL_NAME] = "name",
    [OW_FILL_THING_NAME] = "thing_name",
    [OW_FILL_PROPERTY_NAME] = "property_name",
    [OW_FILL_VALUE_TOPIC] = "value_topic",
    [OW_FILL_SET_TOPIC] = "set_topic",
    [OW_FILL_UNIT] = "unit",
    [OW_FILL_DATATYPE] = "datatype",
    [OW_FILL_STATE_TOPIC] = "state_topic",
};

const char *ow_placeholder_name(int placeholder)
{
    return names[placeholder];
}

/* Length of the placeholder that begins here, braces included; 0: none does. */
static size_t placeholder_length(const char *at)
{
    size_t word = at[0] == '{' ? strspn(at + 1, "abcdefghijklmnopqrstuvwxyz_") : 0;
    return word > 0 && at[1 + word] == '}' ? word + 2 : 0;
}

static int placeholder_of(const char *at, size_t length)
{
    for (int i = 0; i < OW_FILLS; i++) {
        if (strlen(names[i]) == length - 2 && strncmp(names[i], at + 1, length - 2) == 0) {
            return i;
        }
    }
    return OW_FILLS;
}

bool ow_template_unknown(const char *text, int n, char *out, size_t size)
{
    for (const char *at = text; *at != '\0'; at++) {
        size_t length = placeholder_length(at);
        if (length > 0 && placeholder_of(at, length) >= n) {
            snprintf(out, size, "%.*s", (int)length, at);
            return true;
        }
    }
    return false;
}

bool ow_template_has(const char *text, ow_placeholder placeholder)
{
    for (const char *at = text; *at != '\0'; at++) {
        size_t length = placeholder_length(at);
        if (length > 0 && placeholder_of(at, length) == (int)placeholder) {
            return true;
        }
    }
    return false;
}

/* Classic matching with one point to go back to; a placeholder takes one byte or more. */
static bool matches(const char *text, const char *topic, bool start_only)
{
    const char *back = NULL, *taken = NULL;
    for (;;) {
        if (*topic == '\0') {
            if (start_only || *text == '\0') {
                return true;
            }
        }
        size_t length = placeholder_length(text);
        if (length > 0 && *topic != '\0' && *topic != '/') {
            back = text += length;
            taken = ++topic;
        } else if (*topic != '\0' && *text == *topic) {
            text++;
            topic++;
        } else if (back != NULL && *taken != '\0' && *taken != '/') {
            text = back;
            topic = ++taken;
        } else {
            return false;
        }
    }
}

bool ow_template_may_be(const char *text, const char *topic)
{
    return matches(text, topic, false);
}

bool ow_template_may_begin(const char *text, const char *start)
{
    return matches(text, start, true);
}

/* Writes a value, counting only where out is NULL. */
static size_t put_value(char *out, const char *value, bool json)
{
    size_t n = 0;
    for (; *value != '\0'; value++) {
        unsigned char c = (unsigned char)*value;
        char escaped[8] = {(char)c, '\0'};
        if (json && (c == '"' || c == '\\')) {
            snprintf(escaped, sizeof escaped, "\\%c", c);
        } else if (json && c < 0x20) {
            snprintf(escaped, sizeof escaped, "\\u%04x", c);
        }
        size_t length = strlen(escaped);
        if (out != NULL) {
            memcpy(out + n, escaped, length);
        }
        n += length;
    }
    return n;
}

static size_t fill(char *out, const char *text, const char *const values[OW_FILLS], bool json)
{
    size_t n = 0;
    while (*text != '\0') {
        size_t length = placeholder_length(text);
        int placeholder = length > 0 ? placeholder_of(text, length) : OW_FILLS;
        if (placeholder < OW_FILLS) {
            n += put_value(out != NULL ? out + n : NULL, values[placeholder], json);
            text += length;
            continue;
        }
        if (out != NULL) {
            out[n] = *text;
        }
        n++;
        text++;
    }
    return n;
}

char *ow_template_fill(const char *text, const char *const values[OW_FILLS], bool json)
{
    size_t size = fill(NULL, text, values, json);
    char *out = malloc(size + 1);
    if (out != NULL) {
        (void)fill(out, text, values, json);
        out[size] = '\0';
    }
    return out;
}
