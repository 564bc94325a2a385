/* SPDX-License-Identifier: MIT */
#include "garden/json_payload.h"

#include "garden/json_scan.h"
#include "garden/json_text.h"
#include "garden/number_text.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Times beyond it are milliseconds: as seconds it is the year 5138. */
#define SECONDS_MAX 1e11

/* ---- reading --------------------------------------------------------------------------------- */

static const char *double_key(const cJSON *object)
{
    for (const cJSON *one = object->child; one != NULL; one = one->next) {
        for (const cJSON *other = one->next; other != NULL; other = other->next) {
            if (strcmp(one->string, other->string) == 0) {
                return one->string;
            }
        }
    }
    return NULL;
}

/* What the recogniser lets pass and a reading must not. The depth is bounded by it. */
static bool believable(const cJSON *node, char *why, size_t room)
{
    char shown[OW_SHOWN_SIZE];
    int children = cJSON_GetArraySize(node);
    const char *twice = NULL;
    if (cJSON_IsObject(node) && children > OW_JSON_KEYS_MAX) {
        snprintf(why, room, "an object has %d keys; at most %d are read", children,
                 OW_JSON_KEYS_MAX);
        return false;
    }
    if (cJSON_IsNumber(node) && !isfinite(node->valuedouble)) {
        snprintf(why, room, "a number is too large for any computer");
        return false;
    }
    twice = cJSON_IsObject(node) ? double_key(node) : NULL;
    if (twice != NULL) {
        snprintf(why, room, "the key \"%s\" stands twice in one object", ow_shown(shown, twice));
        return false;
    }
    for (const cJSON *child = node->child; child != NULL; child = child->next) {
        if (!believable(child, why, room)) {
            return false;
        }
    }
    return true;
}

static ow_status scan(const char *text, size_t size, char *why, size_t room)
{
    ow_faults faults = {0};
    ow_position *item = NULL;
    size_t count = 0;
    ow_status status = OW_BAD_INPUT;
    if (ow_check_utf8(text, size, &faults)) {
        status = ow_json_scan(OW_JSON_PAYLOAD, text, size, &faults, &item, &count);
    }
    if (status == OW_BAD_INPUT && faults.count > 0) {
        snprintf(why, room, "at byte %zu: %s", faults.item[0].at, faults.item[0].message);
    }
    free(item);
    ow_faults_free(&faults);
    return status;
}

static ow_status build(const char *text, size_t size, char *why, size_t room, cJSON **root)
{
    cJSON *tree = cJSON_ParseWithLengthOpts(text, size + 1, NULL, 1);
    if (tree == NULL) {
        return OW_NO_MEMORY; /* the recogniser is the stricter one: nothing else is left */
    }
    if (!believable(tree, why, room)) {
        cJSON_Delete(tree);
        return OW_BAD_INPUT;
    }
    *root = tree;
    return OW_OK;
}

ow_status ow_json_payload(const char *bytes, size_t size, char *why, size_t room, cJSON **root)
{
    char *text = malloc(size + 1);
    ow_status status;
    why[0] = '\0';
    if (text == NULL) {
        return OW_NO_MEMORY;
    }
    if (size > 0) {
        memcpy(text, bytes, size);
    }
    text[size] = '\0';
    status = scan(text, size, why, room);
    if (status == OW_OK) {
        status = build(text, size, why, room, root);
    }
    free(text);
    return status;
}

/* ---- pointers -------------------------------------------------------------------------------- */

const char *ow_json_step(const char *pointer, char *token, size_t room)
{
    size_t used = 0;
    if (*pointer != '/') {
        return NULL;
    }
    for (pointer++; *pointer != '\0' && *pointer != '/'; pointer++) {
        char c = *pointer;
        if (c == '~') {
            pointer++;
            c = *pointer == '0' ? '~' : *pointer == '1' ? '/' : '\0';
        }
        if (c == '\0' || used + 1 >= room) {
            return NULL;
        }
        token[used++] = c;
    }
    token[used] = '\0';
    return pointer;
}

/* A list's item by its number; digits only, no leading zero. */
static const cJSON *item_at(const cJSON *list, const char *token)
{
    size_t digits = strspn(token, "0123456789");
    if (digits == 0 || digits > 6 || token[digits] != '\0' || (token[0] == '0' && digits > 1)) {
        return NULL;
    }
    return cJSON_GetArrayItem(list, (int)strtol(token, NULL, 10));
}

const cJSON *ow_json_at(const cJSON *node, const char *pointer)
{
    char token[256];
    while (node != NULL && *pointer != '\0') {
        pointer = ow_json_step(pointer, token, sizeof token);
        if (pointer == NULL) {
            return NULL;
        }
        node = cJSON_IsArray(node)    ? item_at(node, token)
               : cJSON_IsObject(node) ? cJSON_GetObjectItemCaseSensitive(node, token)
                                      : NULL;
    }
    return node;
}

bool ow_json_time(const cJSON *value, ow_utc_s *utc_s)
{
    double number = 0.0;
    if (cJSON_IsString(value) && ow_time_parse(value->valuestring, utc_s) == OW_OK) {
        return true;
    }
    if (!ow_json_number(value, &number)) {
        return false;
    }
    number = number > SECONDS_MAX ? number / 1000.0 : number;
    if (!(number >= 0.0 && number <= SECONDS_MAX)) {
        return false;
    }
    *utc_s = (ow_utc_s)floor(number);
    return true;
}
