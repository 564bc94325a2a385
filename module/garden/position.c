/* SPDX-License-Identifier: MIT */
#include "garden/position.h"

#include "garden/json_scan.h"
#include "garden/json_text.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Gives each noted place its node, both in reading order. */
static bool pair(ow_positions *positions, const cJSON *node, size_t *next, ow_faults *faults)
{
    ow_position *item = &positions->item[*next];
    if (*next >= positions->count) {
        return false;
    }
    item->node = node;
    (*next)++;
    if (cJSON_IsNumber(node) && !isfinite(node->valuedouble)) {
        ow_fault_add(faults, item->value_at, "this number is too large for any computer");
    }
    for (const cJSON *child = node->child; child != NULL; child = child->next) {
        if (!pair(positions, child, next, faults)) {
            return false;
        }
    }
    return true;
}

static int by_node(const void *left, const void *right)
{
    uintptr_t a = (uintptr_t)((const ow_position *)left)->node;
    uintptr_t b = (uintptr_t)((const ow_position *)right)->node;
    return (a > b) - (a < b);
}

/* Builds the tree beside the places that the recogniser noted. */
static ow_status build(const char *text, size_t size, ow_faults *faults, ow_positions *positions)
{
    size_t next = 0;
    positions->root = cJSON_ParseWithLengthOpts(text, size + 1, NULL, 1);
    if (positions->root == NULL) {
        return OW_NO_MEMORY; /* the recogniser is the stricter one: nothing else is left */
    }
    if (!pair(positions, positions->root, &next, faults) || next != positions->count) {
        ow_fault_add(faults, 0, "the JSON library reads this text in another way");
        return OW_BAD_INPUT;
    }
    qsort(positions->item, positions->count, sizeof *positions->item, by_node);
    return OW_OK;
}

static ow_status read_copy(char *copy, size_t size, ow_faults *faults, ow_positions *positions)
{
    ow_status status;
    *positions = (ow_positions){0};
    if (!ow_blank_comments(copy, size, faults)) {
        return OW_BAD_INPUT;
    }
    status = ow_json_scan(OW_JSON_FILE, copy, size, faults, &positions->item, &positions->count);
    if (status == OW_OK) {
        status = build(copy, size, faults, positions);
    }
    if (status != OW_OK) {
        ow_positions_free(positions);
    }
    return status;
}

ow_status ow_positions_read(const char *text, size_t size, ow_faults *faults,
                            ow_positions *positions)
{
    char *copy;
    ow_status status;
    if (size > OW_JSON_SIZE_MAX) {
        ow_fault_add(faults, 0, "the file has %zu bytes; a garden file has at most %u", size,
                     OW_JSON_SIZE_MAX);
        return OW_BAD_INPUT;
    }
    if (!ow_check_utf8(text, size, faults)) {
        return OW_BAD_INPUT;
    }
    copy = malloc(size + 1);
    if (copy == NULL) {
        return OW_NO_MEMORY;
    }
    if (size > 0) {
        memcpy(copy, text, size);
    }
    copy[size] = '\0';
    status = read_copy(copy, size, faults, positions);
    free(copy);
    return status;
}

void ow_positions_free(ow_positions *positions)
{
    cJSON_Delete(positions->root);
    free(positions->item);
    *positions = (ow_positions){0};
}

const ow_position *ow_position_of(const ow_positions *positions, const cJSON *node)
{
    ow_position key = {.node = node};
    return bsearch(&key, positions->item, positions->count, sizeof *positions->item, by_node);
}
