/* SPDX-License-Identifier: MIT */
#include "garden/references.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "plants/spelling.h"

/* Plants, places, covers and outputs share one space of ids: all are nodes of the hub's tree. */
static ow_group space_of(ow_group group)
{
    return group <= OW_GROUP_OUTPUT ? OW_GROUP_PLACE : group;
}

static int by_space(const void *left, const void *right)
{
    const ow_mention *a = left, *b = right;
    int order = (int)space_of(a->group) - (int)space_of(b->group);
    order = order != 0 ? order : strcmp(a->id, b->id);
    return order != 0 ? order : (a->at > b->at) - (a->at < b->at);
}

static int by_group(const void *left, const void *right)
{
    const ow_mention *a = left, *b = right;
    int order = (int)a->group - (int)b->group;
    return order != 0 ? order : strcmp(a->id, b->id);
}

static void check_unique(const ow_mentions *defined, ow_faults *faults)
{
    char shown[OW_SHOWN_SIZE];
    for (size_t i = 1; i < defined->count; i++) {
        const ow_mention *first = &defined->item[i - 1], *twin = &defined->item[i];
        if (space_of(first->group) == space_of(twin->group) && strcmp(first->id, twin->id) == 0) {
            ow_fault_add(faults, twin->at, "%s is \"%s\", as %s is already; an id names one thing",
                         twin->path, ow_shown(shown, twin->id), first->path);
        }
    }
}

const char *ow_reference_nearest(const ow_key_reader *reader, ow_group group, const char *id)
{
    const char *nearest = NULL;
    int least = 0;
    for (size_t i = 0; i < reader->defined.count; i++) {
        const ow_mention *defined = &reader->defined.item[i];
        int distance = defined->group == group ? ow_edit_distance(id, defined->id) : 0;
        if (defined->group == group && (nearest == NULL || distance < least)) {
            nearest = defined->id;
            least = distance;
        }
    }
    return nearest;
}

static void tell_unknown(ow_key_reader *reader, const ow_mention *meant)
{
    char shown[OW_SHOWN_SIZE], near_shown[OW_SHOWN_SIZE];
    const char *group = ow_group_name(meant->group), *nearest = NULL;
    if (reader->faults->errors < OW_FAULTS_WITH_NEAREST) {
        nearest = ow_reference_nearest(reader, meant->group, meant->id);
    }
    ow_shown(shown, meant->id);
    if (nearest == NULL) {
        ow_fault_add(reader->faults, meant->at, "%s is \"%s\"; no %s has that id", meant->path,
                     shown, group);
    } else {
        ow_fault_add(reader->faults, meant->at,
                     "%s is \"%s\"; no %s has that id; the nearest is \"%s\"", meant->path, shown,
                     group, ow_shown(near_shown, nearest));
    }
}

void ow_references_resolve(ow_key_reader *reader)
{
    ow_mentions *defined = &reader->defined;
    if (defined->count > 0) {
        qsort(defined->item, defined->count, sizeof *defined->item, by_space);
        check_unique(defined, reader->faults);
        qsort(defined->item, defined->count, sizeof *defined->item, by_group);
    }
    for (size_t i = 0; i < reader->meant.count; i++) {
        ow_mention *meant = &reader->meant.item[i];
        const ow_mention *found =
            defined->count == 0
                ? NULL
                : bsearch(meant, defined->item, defined->count, sizeof *defined->item, by_group);
        if (found != NULL) {
            meant->ref->at = found->index;
        } else if (!meant->may_dangle && (reader->unread & (1u << meant->group)) == 0) {
            tell_unknown(reader, meant);
        }
    }
}
