/* SPDX-License-Identifier: MIT */
#include "hub/announce.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/faults.h"
#include "garden/template.h"

enum { CHOICES = 900, NAME_TEXT = 300 };

ow_status ow_announce_check(const ow_garden *g, const char *file_name, ow_report *report)
{
    char list[CHOICES] = "", shown[OW_SHOWN_SIZE];
    ow_status status = OW_OK;
    for (int i = 0; i < g->announcement_count; i++) {
        const char *wanted = g->announcements[i].property;
        bool known = wanted == NULL;
        size_t used = 0;
        for (int prop = 0; prop < OW_PROPS && !known; prop++) {
            const char *id = ow_prop_id((ow_prop)prop);
            known = strcmp(id, wanted) == 0;
            used += (size_t)snprintf(list + used, used < CHOICES ? CHOICES - used : 0, "%s%s",
                                     used > 0 ? ", " : "", id);
            used = used < CHOICES ? used : CHOICES - 1;
        }
        if (!known) {
            ow_error(report, "%s: announce[%d].property is \"%s\"; it must be one of %s", file_name,
                     i, ow_shown(shown, wanted), list);
            status = OW_BAD_INPUT;
        }
    }
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
