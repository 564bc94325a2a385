/* SPDX-License-Identifier: MIT */
#include "hosts/broker/garden_topic.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/json_payload.h"
#include "garden/json_text.h"

static const char ROOT[] = "homie";

static bool is_id(const char *text)
{
    return text != NULL && text[0] != '\0' &&
           strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(text);
}

static const char *text_at(const cJSON *root, const char *pointer)
{
    return cJSON_GetStringValue(ow_json_at(root, pointer));
}

bool ow_garden_topic(const char *text, size_t size, const char *tail, char *topic, size_t room)
{
    char why[200];
    cJSON *root = NULL;
    ow_faults faults = {0};
    char *copy = malloc(size + 1);
    bool written = false;
    if (copy == NULL) {
        return false;
    }
    memcpy(copy, text, size);
    copy[size] = '\0';
    if (ow_blank_comments(copy, size, &faults) &&
        ow_json_payload(copy, size, why, sizeof why, &root) == OW_OK) {
        const char *id = text_at(root, "/garden");
        const char *given = text_at(root, "/root");
        const char *domain = is_id(given) ? given : ROOT;
        int length = snprintf(topic, room, "%s/5/%s/%s", domain, is_id(id) ? id : "", tail);
        written = is_id(id) && length > 0 && (size_t)length < room;
    }
    cJSON_Delete(root);
    ow_faults_free(&faults);
    free(copy);
    return written;
}
