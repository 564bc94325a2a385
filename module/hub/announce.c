/* SPDX-License-Identifier: MIT */
#include "hub/announce.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/position.h"
#include "garden/template.h"

enum { CHOICES = 900, NAME_TEXT = 300 };

static bool is_property(const char *id)
{
    for (int prop = 0; prop < OW_PROPS; prop++) {
        if (strcmp(ow_prop_id((ow_prop)prop), id) == 0) {
            return true;
        }
    }
    return false;
}

static void list_properties(char *list, size_t size)
{
    size_t used = 0;
    for (int prop = 0; prop < OW_PROPS && used < size; prop++) {
        used += (size_t)snprintf(list + used, size - used, "%s%s", used > 0 ? ", " : "",
                                 ow_prop_id((ow_prop)prop));
    }
}

/* The file was read without a fault before, so every announcement has its node. */
static void find_unknown(const ow_garden *g, const ow_positions *positions, ow_faults *faults)
{
    char list[CHOICES], shown[OW_SHOWN_SIZE];
    const cJSON *node = cJSON_GetObjectItemCaseSensitive(positions->root, "announce");
    list_properties(list, sizeof list);
    node = node != NULL ? node->child : NULL;
    for (int i = 0; i < g->announcement_count && node != NULL; i++, node = node->next) {
        const char *wanted = g->announcements[i].property;
        if (wanted != NULL && !is_property(wanted)) {
            const cJSON *at = cJSON_GetObjectItemCaseSensitive(node, "property");
            ow_fault_add(faults, ow_position_of(positions, at)->value_at,
                         "announce[%d].property is \"%s\"; it must be one of %s", i,
                         ow_shown(shown, wanted), list);
        }
    }
}

ow_status ow_announce_check(const ow_garden *g, const char *file_name, const char *text,
                            size_t size, ow_report *report)
{
    ow_positions positions;
    ow_faults faults = {0};
    if (g->announcement_count == 0) {
        return OW_OK;
    }
    ow_status status = ow_positions_read(text, size, &faults, &positions);
    if (status == OW_OK) {
        find_unknown(g, &positions, &faults);
        status = faults.no_memory ? OW_NO_MEMORY : faults.errors > 0 ? OW_BAD_INPUT : OW_OK;
        ow_faults_tell(&faults, file_name, text, size, report);
        ow_positions_free(&positions);
    }
    ow_faults_free(&faults);
    return status;
}

static ow_announced class_of(const ow_tree_entry *e)
{
    static const struct {
        const char *datatype;
        ow_announced is;
    } classes[] = {
        {"enum", OW_ANNOUNCED_STATES},    {"boolean", OW_ANNOUNCED_STATES},
        {"float", OW_ANNOUNCED_NUMBERS},  {"integer", OW_ANNOUNCED_NUMBERS},
        {"datetime", OW_ANNOUNCED_TIMES}, {"string", OW_ANNOUNCED_TEXTS},
    };
    for (size_t i = 0; i < sizeof classes / sizeof classes[0] && !e->settable; i++) {
        if (strcmp(classes[i].datatype, e->datatype) == 0) {
            return classes[i].is;
        }
    }
    return e->settable ? OW_ANNOUNCED_SETTABLE : OW_ANNOUNCED_LISTS;
}

static bool is_meant(const ow_announcement *a, const ow_tree_entry *e)
{
    return a->property != NULL ? strcmp(a->property, e->id) == 0
                               : (a->of & (1u << class_of(e))) != 0;
}

/* What has no memory is left out until the next connection. */
static bool say(const ow_announcement *a, const ow_tree_entry *e, const ow_garden *g,
                const char *state_topic, const ow_host *host)
{
    char name[NAME_TEXT], thing[NAME_TEXT], set_topic[NAME_TEXT * 2] = "";
    snprintf(name, sizeof name, "%s: %s", e->thing_name, e->name);
    snprintf(thing, sizeof thing, "%.*s", (int)strcspn(e->below, "/"), e->below);
    if (e->settable) {
        snprintf(set_topic, sizeof set_topic, "%s/set", e->topic);
    }
    const char *const values[OW_FILLS] = {
        [OW_FILL_GARDEN] = g->id,
        [OW_FILL_THING] = thing,
        [OW_FILL_PROPERTY] = e->id,
        [OW_FILL_NAME] = name,
        [OW_FILL_THING_NAME] = e->thing_name,
        [OW_FILL_PROPERTY_NAME] = e->name,
        [OW_FILL_VALUE_TOPIC] = e->topic,
        [OW_FILL_SET_TOPIC] = set_topic,
        [OW_FILL_UNIT] = e->unit != NULL ? e->unit : "",
        [OW_FILL_DATATYPE] = e->datatype,
        [OW_FILL_STATE_TOPIC] = state_topic,
    };
    char *topic = ow_template_fill(a->topic, values, false);
    char *text = ow_template_fill(a->text, values, true);
    bool taken =
        topic == NULL || text == NULL || host->publish(host->self, topic, text, strlen(text), true);
    free(topic);
    free(text);
    return taken;
}

bool ow_announce_all(const ow_tree *tree, const ow_garden *g, size_t *done, const ow_host *host)
{
    size_t entries = ow_tree_entries(tree);
    for (; *done < entries * (size_t)g->announcement_count; (*done)++) {
        const ow_announcement *a = &g->announcements[*done / entries];
        ow_tree_entry e = ow_tree_entry_at(tree, *done % entries);
        if (is_meant(a, &e) && !say(a, &e, g, ow_tree_state_topic(tree), host)) {
            return false;
        }
    }
    return true;
}
