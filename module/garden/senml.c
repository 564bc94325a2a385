/* SPDX-License-Identifier: MIT */
#include "garden/senml.h"

#include "garden/json_payload.h"
#include "garden/quantity.h"
#include "garden/units.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The version that this reader understands, RFC 8428 section 4.1. */
#define VERSION_MAX 10
#define NAME_SIZE 512

static const char *const value_key[] = {"v", "vb", "vs"};
#define VALUE_KEYS (sizeof value_key / sizeof value_key[0])

static const cJSON *member(const cJSON *record, const char *key)
{
    return cJSON_GetObjectItemCaseSensitive(record, key);
}

static const cJSON *value_of(const cJSON *record)
{
    const cJSON *value = NULL;
    for (size_t i = 0; i < VALUE_KEYS && value == NULL; i++) {
        value = member(record, value_key[i]);
    }
    return value;
}

static bool is_list_of_records(const cJSON *root)
{
    bool some = false;
    if (!cJSON_IsArray(root)) {
        return false;
    }
    for (const cJSON *record = root->child; record != NULL; record = record->next) {
        if (!cJSON_IsObject(record)) {
            return false;
        }
        some = some || value_of(record) != NULL;
    }
    return some;
}

/* ---- base fields ----------------------------------------------------------------------------- */

struct base {
    const char *name, *unit;
    double time_s, value;
};

/* Takes over a text or a number where it is given; false when it is of another type. */
static bool text(const cJSON *record, const char *key, const char **out)
{
    const cJSON *value = member(record, key);
    if (value != NULL) {
        *out = cJSON_IsString(value) ? value->valuestring : NULL;
    }
    return value == NULL || *out != NULL;
}

static bool number(const cJSON *record, const char *key, double *out)
{
    const cJSON *value = member(record, key);
    if (value != NULL && cJSON_IsNumber(value)) {
        *out = value->valuedouble;
    }
    return value == NULL || cJSON_IsNumber(value);
}

/* A key that ends in _ must be understood or the whole left alone (RFC 8428 section 4.4). */
static const char *must_understand(const cJSON *record)
{
    for (const cJSON *m = record->child; m != NULL; m = m->next) {
        size_t size = strlen(m->string);
        if (size > 0 && m->string[size - 1] == '_') {
            return m->string;
        }
    }
    return NULL;
}

/* One record with the base fields so far; base fields in it hold from it on. */
static bool resolve(struct base *base, const cJSON *record, ow_senml *out, char *why, size_t room)
{
    double version = VERSION_MAX, own_s = 0.0;
    const char *unit = NULL, *name = "", *strange = must_understand(record);
    if (!text(record, "bn", &base->name) || !text(record, "bu", &base->unit) ||
        !number(record, "bt", &base->time_s) || !number(record, "bv", &base->value) ||
        !number(record, "bver", &version) || !number(record, "t", &own_s) ||
        !text(record, "u", &unit) || !text(record, "n", &name)) {
        snprintf(why, room,
                 "a field of a SenML record has the wrong type (bn, bu, n, u are texts;"
                 " bt, bv, bver, t numbers)");
        return false;
    }
    if (version > VERSION_MAX || strange != NULL) {
        snprintf(why, room, "this SenML wants a newer reader (%s); send version %d",
                 strange != NULL ? "a key ends in _" : "bver", VERSION_MAX);
        return false;
    }
    *out = (ow_senml){.value = value_of(record),
                      .base = base->value,
                      .unit = unit != NULL ? unit : base->unit,
                      .time_s = base->time_s + own_s,
                      .base_name = base->name,
                      .name = name};
    return true;
}

/* ---- choosing -------------------------------------------------------------------------------- */

/* What a pointer asks for. */
struct wanted {
    bool any;
    long index; /* -1: none */
    char token[256];
};

static bool is_value_step(const char *rest)
{
    for (size_t i = 0; i < VALUE_KEYS; i++) {
        if (*rest == '/' && strcmp(rest + 1, value_key[i]) == 0) {
            return true;
        }
    }
    return *rest == '\0';
}

static bool understand(const char *pointer, const cJSON *root, struct wanted *wanted)
{
    *wanted = (struct wanted){.any = *pointer == '\0', .index = -1};
    if (wanted->any) {
        return true;
    }
    const char *rest = ow_json_step(pointer, wanted->token, sizeof wanted->token);
    if (rest == NULL || !is_value_step(rest)) {
        return false;
    }
    char first[sizeof wanted->token + 1];
    snprintf(first, sizeof first, "/%s", wanted->token);
    if (strpbrk(wanted->token, "/~") == NULL && ow_json_at(root, first) != NULL) {
        wanted->index = strtol(wanted->token, NULL, 10);
    }
    return true;
}

bool ow_senml_is(const cJSON *root, const char *pointer)
{
    struct wanted wanted;
    return is_list_of_records(root) && understand(pointer, root, &wanted);
}

static void whole_name(const ow_senml *record, char out[NAME_SIZE])
{
    snprintf(out, NAME_SIZE, "%s%s", record->base_name, record->name);
}

static bool is_wanted(const struct wanted *wanted, long index, const ow_senml *record)
{
    char name[NAME_SIZE];
    if (wanted->any || wanted->index >= 0) {
        return wanted->any || wanted->index == index;
    }
    whole_name(record, name);
    return strcmp(name, wanted->token) == 0 || strcmp(record->name, wanted->token) == 0;
}

static bool fits(const ow_senml *record, ow_measures measures)
{
    ow_unit unit;
    if (measures == OW_MEASURES_CONTACT) {
        return cJSON_IsBool(record->value) || cJSON_IsString(record->value);
    }
    return record->unit != NULL && ow_unit_of_senml(record->unit, &unit) &&
           ow_unit_fits(unit, ow_quantity_of(measures)->unit);
}

struct choice {
    int count;
    bool clash; /* two names */
    ow_senml record;
};

static void choose(struct choice *choice, const ow_senml *record)
{
    char held[NAME_SIZE], other[NAME_SIZE];
    whole_name(&choice->record, held);
    whole_name(record, other);
    if (choice->count++ == 0) {
        choice->record = *record;
    } else if (strcmp(held, other) != 0) {
        choice->clash = true;
    } else if (record->time_s >= choice->record.time_s) {
        choice->record = *record;
    }
}

bool ow_senml_pick(const cJSON *root, const char *pointer, ow_measures measures, ow_senml *record,
                   char *why, size_t room)
{
    struct wanted wanted;
    struct choice all = {.record = {.base_name = "", .name = ""}}, fitting = all;
    struct base base = {.name = ""};
    long index = 0;
    if (!understand(pointer, root, &wanted)) {
        snprintf(why, room, "names no record of a SenML list; point at one: /0 or /NAME");
        return false;
    }
    for (const cJSON *at = root->child; at != NULL; at = at->next, index++) {
        ow_senml one;
        if (!resolve(&base, at, &one, why, room)) {
            return false;
        }
        if (one.value != NULL && is_wanted(&wanted, index, &one)) {
            choose(&all, &one);
            if (fits(&one, measures)) {
                choose(&fitting, &one);
            }
        }
    }
    const struct choice *taken = all.clash && fitting.count > 0 ? &fitting : &all;
    if (taken->count == 0 || taken->clash) {
        snprintf(why, room, "means %s of the SenML records with a value; point at one: /0 or /NAME",
                 taken->count == 0 ? "none" : "more than one");
        return false;
    }
    *record = taken->record;
    return true;
}
