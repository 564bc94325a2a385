/* SPDX-License-Identifier: MIT */
#include "garden/key_values.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "garden/alerts.h"

static void read_number(ow_key_reader *reader, const ow_key *key, const cJSON *node, void *base)
{
    char range[160];
    double number = node->valuedouble;
    if (!isfinite(number)) {
        return; /* told when the text was read */
    }
    if (key->type == OW_KEY_INTEGER && number != floor(number)) {
        ow_reader_wrong_type(reader, node, key->type);
        return;
    }
    if (!(number >= key->min && number <= key->max)) {
        ow_reader_wrong(reader, node, ow_key_range(key, range, sizeof range));
        return;
    }
    if (key->type == OW_KEY_INTEGER) {
        *(int *)base = (int)number;
    } else {
        *(double *)base = number;
    }
}

/* A fault that names a number of the text. */
typedef struct fault_room {
    char text[96];
} fault_room;

/* The fault of a plain text, NULL when there is none. */
static const char *text_fault(const ow_key *key, const char *text, fault_room *room)
{
    size_t size = strlen(text);
    if ((double)size < key->min) {
        return "it must not be empty";
    }
    if ((double)size > key->max) {
        snprintf(room->text, sizeof room->text,
                 "it is %zu bytes long, at most %.0f are allowed; shorten it", size, key->max);
        return room->text;
    }
    for (size_t i = 0; i < size; i++) {
        if ((unsigned char)text[i] < 0x20 || text[i] == 0x7F) {
            return "a control character cannot stand in it";
        }
    }
    return NULL;
}

static const char *topic_fault(const char *text)
{
    if (strpbrk(text, "+#") != NULL) {
        return "it must be one plain topic; + and # are wildcards";
    }
    return text[0] == '$' ? "a topic that begins with $ belongs to the broker" : NULL;
}

static const char *pointer_fault(const char *text)
{
    if (text[0] != '\0' && text[0] != '/') {
        return "a JSON pointer begins with /";
    }
    for (const char *s = text; *s != '\0'; s++) {
        if (*s == '~' && s[1] != '0' && s[1] != '1') {
            return "in a JSON pointer ~ is written ~0 and / within a key ~1";
        }
    }
    return NULL;
}

static bool is_alert_of_ours(const char *text)
{
    static const char *const alerts[] = {OW_ALERTS};
    for (size_t i = 0; i < sizeof alerts / sizeof alerts[0]; i++) {
        if (strcmp(text, alerts[i]) == 0) {
            return true;
        }
    }
    return false;
}

static const char *id_fault(const ow_key *key, const char *text)
{
    size_t size = strlen(text);
    if (size > 64) {
        return "an id has at most 64 characters";
    }
    if (size == 0 || strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-") != size ||
        text[0] == '-' || text[size - 1] == '-') {
        return "an id has small letters a-z, digits and hyphens, no hyphen first or last";
    }
    if (key->group != OW_GROUP_NONE && strcmp(text, "garden") == 0) {
        return "that id is reserved for the garden itself";
    }
    if (key->group != OW_GROUP_NONE && is_alert_of_ours(text)) {
        return "that id is reserved for an alert of the program";
    }
    return key->group != OW_GROUP_NONE && strncmp(text, "household-", 10) == 0
               ? "ids that begin with household- are reserved"
               : NULL;
}

static const char *string_fault(const ow_key *key, const char *text, fault_room *room)
{
    if (key->type == OW_KEY_ID) {
        return id_fault(key, text);
    }
    const char *fault = text_fault(key, text, room);
    if (fault == NULL && key->type == OW_KEY_TOPIC) {
        fault = topic_fault(text);
    }
    return fault == NULL && key->type == OW_KEY_POINTER ? pointer_fault(text) : fault;
}

static void read_string(ow_key_reader *reader, const ow_key *key, const cJSON *node, void *base)
{
    fault_room room;
    const char *fault = string_fault(key, node->valuestring, &room);
    const char *kept = ow_reader_keep_text(reader, node->valuestring);
    if (fault != NULL) {
        ow_reader_wrong(reader, node, fault);
    }
    *(const char **)base = kept;
    /* a faulty id is noted all the same: what refers to it is not a second fault */
    if (key->type == OW_KEY_ID && key->group != OW_GROUP_NONE && kept != NULL) {
        ow_reader_mention(reader, &reader->defined,
                          (ow_mention){.group = key->group,
                                       .id = kept,
                                       .index = reader->index,
                                       .at = ow_reader_value_at(reader, node)});
    }
}

int ow_value_read_word(ow_key_reader *reader, const ow_key *key, const cJSON *node)
{
    char words[220], wanted[300];
    int index = ow_key_word_index(key, node->valuestring);
    if (index >= 0) {
        return index;
    }
    ow_key_join_words(key, words, sizeof words);
    snprintf(wanted, sizeof wanted, "the nearest is \"%s\"; it is one of %s",
             ow_key_nearest_word(key, node->valuestring), words);
    ow_reader_wrong(reader, node, wanted);
    return -1;
}

static void read_name(ow_key_reader *reader, const ow_key *key, const cJSON *node, void *base)
{
    int index = ow_value_read_word(reader, key, node);
    if (index >= 0) {
        int value = index + key->first_value;
        memcpy(base, &value, sizeof value);
    }
}

void ow_value_read_ref(ow_key_reader *reader, const ow_key *key, const cJSON *node, ow_ref *ref)
{
    ref->id = ow_reader_keep_text(reader, node->valuestring);
    if (ref->id != NULL) {
        ow_reader_mention(reader, &reader->meant,
                          (ow_mention){.group = key->group,
                                       .id = ref->id,
                                       .ref = ref,
                                       .may_dangle = key->may_dangle,
                                       .at = ow_reader_value_at(reader, node)});
    }
}

/* Minutes after midnight of "HH:MM", -1 when it is not that. */
static int minutes_of(const char *s)
{
    for (int i = 0; i < 5; i++) {
        if (i == 2 ? s[i] != ':' : s[i] < '0' || s[i] > '9') {
            return -1;
        }
    }
    int hours = 10 * (s[0] - '0') + s[1] - '0', minutes = 10 * (s[3] - '0') + s[4] - '0';
    return hours < 24 && minutes < 60 ? 60 * hours + minutes : -1;
}

static void read_hours(ow_key_reader *reader, const cJSON *node, ow_hours *hours)
{
    const char *text = node->valuestring;
    if (strlen(text) == 11 && text[5] == '-' && minutes_of(text) >= 0 &&
        minutes_of(text + 6) >= 0) {
        *hours = (ow_hours){minutes_of(text), minutes_of(text + 6)};
    } else {
        ow_reader_wrong_type(reader, node, OW_KEY_HOURS);
    }
}

void ow_value_read(ow_key_reader *reader, const ow_key *key, const cJSON *node, void *field)
{
    switch (key->type) {
    case OW_KEY_NUMBER:
    case OW_KEY_INTEGER:
        read_number(reader, key, node, field);
        break;
    case OW_KEY_YES_NO:
        *(bool *)field = cJSON_IsTrue(node);
        break;
    case OW_KEY_REF:
        ow_value_read_ref(reader, key, node, field);
        break;
    case OW_KEY_NAME:
    case OW_KEY_NAME_OR_OBJECT:
        read_name(reader, key, node, field);
        break;
    case OW_KEY_HOURS:
        read_hours(reader, node, field);
        break;
    default:
        read_string(reader, key, node, field);
        break;
    }
}
