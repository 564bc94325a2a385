/* SPDX-License-Identifier: MIT */
#include "hub/tree.h"

#include <cjson/cJSON.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/alerts.h"
#include "hub/announce.h"
#include "hub/thing.h"
#include "judgement/verdict.h"

enum { TOPIC_TEXT = 400 };
static const char THING_VERSION[] = "$thing-version";

/* ---- what there is --------------------------------------------------------------------------- */

#define PLANT (1u << OW_NODE_PLANT)
#define HEATER (1u << OW_NODE_HEATER)
#define DRIVE (1u << OW_NODE_DRIVE)
#define GARDEN (1u << OW_NODE_GARDEN)
#define MEMBER (1u << OW_NODE_MEMBER)

#define CELSIUS                                                                                    \
    "\xc2\xb0"                                                                                     \
    "C" /* the convention's degree sign is these two bytes */

/* Formats that depend on the garden are filled in by format_of. */
static const struct spec {
    unsigned kinds;
    const char *id, *name, *datatype, *format, *unit;
    bool settable;
} specs[OW_PROPS] = {
    [OW_PROP_STATE] = {PLANT | GARDEN, "state", "State", "enum", NULL, NULL, false},
    [OW_PROP_ALSO] = {PLANT, "also", "What else holds", "string", NULL, NULL, false},
    [OW_PROP_REASON] = {PLANT, "reason", "Why", "string", NULL, NULL, false},
    [OW_PROP_REASON_CODE] = {PLANT, "reason-code", "Why, as codes", "json", NULL, NULL, false},
    [OW_PROP_ACT_BY] = {PLANT, "act-by", "Latest useful time", "datetime", NULL, NULL, false},
    [OW_PROP_RISK] = {PLANT, "risk", "Risk of harm ahead", "float", "0:1", NULL, false},
    [OW_PROP_QUALITY] = {PLANT, "quality", "What it rests on", "enum",
                         "measured,modelled,stale,missing", NULL, false},
    [OW_PROP_MEASURED_AT] = {PLANT, "measured-at", "Last measured", "datetime", NULL, NULL, false},
    [OW_PROP_ROOT_MEAN] = {PLANT, "root-mean", "Root ball, mean", "float", NULL, CELSIUS, false},
    [OW_PROP_ROOT_COLDEST] = {PLANT, "root-coldest", "Root ball, coldest", "float", NULL, CELSIUS,
                              false},
    [OW_PROP_ICE_SHARE] = {PLANT, "ice-share", "Ice share", "float", "0:1", NULL, false},
    [OW_PROP_FROZEN_DAYS] = {PLANT, "frozen-days", "Days frozen through", "float", "0:", "d",
                             false},
    [OW_PROP_FOLIAGE] = {PLANT, "foliage", "Foliage", "float", NULL, CELSIUS, false},
    [OW_PROP_GROWING_POINT] = {PLANT, "growing-point", "Growing point", "float", NULL, CELSIUS,
                               false},
    [OW_PROP_STORAGE] = {PLANT, "storage", "Storage organ", "float", NULL, CELSIUS, false},
    [OW_PROP_PLACE] = {PLANT, "place", "Where it stands", "enum", NULL, NULL, true},
    [OW_PROP_WEARING] = {PLANT, "wearing", "Covers on it", "json", NULL, NULL, true},
    [OW_PROP_DONE] = {PLANT | GARDEN, "done", "Job done", "json", NULL, NULL, true},
    [OW_PROP_SEEN] = {PLANT, "seen", "What spring showed", "enum", "alive,regrowing,dead", NULL,
                      true},
    [OW_PROP_COURSE] = {PLANT, "course", "Days behind and ahead", "json", NULL, NULL, false},
    [OW_PROP_COMMAND] = {HEATER | DRIVE, "command", "Command", "enum", NULL, NULL, false},
    [OW_PROP_BLOCKED_BY] = {HEATER | DRIVE, "blocked-by", "Blocked by", "json", NULL, NULL, false},
    [OW_PROP_BLOCKED_CODE] = {HEATER | DRIVE, "blocked-code", "Blocked by, as codes", "json", NULL,
                              NULL, false},
    [OW_PROP_WOULD_SWITCH] = {HEATER | DRIVE, "would-switch", "Would switch", "enum", NULL, NULL,
                              false},
    [OW_PROP_ENERGY] = {HEATER, "energy", "Energy", "float", "0:", "kWh", false},
    [OW_PROP_POSITION] = {DRIVE, "position", "Closed", "float", "0:100", "%", false},
    [OW_PROP_RELEASE] = {HEATER | DRIVE, "release", "Released by", "string", NULL, NULL, true},
    [OW_PROP_TONIGHT] = {GARDEN, "tonight", "Tonight", "string", NULL, NULL, false},
    [OW_PROP_TONIGHT_CODE] = {GARDEN, "tonight-code", "Tonight, as codes", "json", NULL, NULL,
                              false},
    [OW_PROP_NEXT_JOB] = {GARDEN, "next-job", "Next job", "string", NULL, NULL, false},
    [OW_PROP_JOBS] = {GARDEN, "jobs", "Jobs", "json", NULL, NULL, false},
    [OW_PROP_BEAT] = {GARDEN, "beat", "Beat", "integer", NULL, NULL, false},
    [OW_PROP_TILE] = {GARDEN, "tile", "Tile (SVG)", "string", NULL, NULL, false},
    [OW_PROP_STOP] = {GARDEN, "stop", "Stop all outputs", "boolean", NULL, NULL, true},
    [OW_PROP_NOTICES] = {GARDEN, "notices", "Open notices", "json", NULL, NULL, false},
    [OW_PROP_NOTICE] = {MEMBER, "notice", "Notice", "json", NULL, NULL, false},
    [OW_PROP_NOTICED] = {MEMBER, "noticed", "Noticed", "string", NULL, NULL, true},
};

static const char *const kind_types[OW_NODE_KINDS] = {
    [OW_NODE_PLANT] = "overwinter/plant",   [OW_NODE_HEATER] = "overwinter/heater",
    [OW_NODE_DRIVE] = "overwinter/drive",   [OW_NODE_GARDEN] = "overwinter/garden",
    [OW_NODE_MEMBER] = "overwinter/member",
};

typedef struct value {
    ow_slot slot;
    char *topic; /* without /set */
    char *text;  /* NULL: not known */
    bool dirty;
} value;

typedef struct alert {
    const char *id; /* the garden's, or a word of the program */
    char *text;     /* NULL: none stands */
    bool dirty;
} alert;

/* Boot order of a connection; each stage is left when the host has taken all of it. */
typedef enum stage { DOWN, INIT, DESCRIBE, VALUES, ASK, READY } stage;

struct ow_tree {
    const ow_garden *garden;
    char base[TOPIC_TEXT];
    char state_topic[TOPIC_TEXT + 16];
    char *description;
    char *thing; /* the Thing Description */
    char thing_version[16];
    bool thing_told; /* the broker has this version */
    value *values;
    size_t count;
    value *target; /* one a drive, as `$target` */
    size_t targets;
    alert *alerts; /* one a plant, one an output, and those of the readings */
    size_t alert_count;
    stage stage;
    size_t asked;     /* subscriptions made in stage ASK */
    size_t announced; /* announcements made in stage ASK */
};

static char *text_of(const char *format, ...) OW_PRINTF(1, 2);

static char *text_of(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    int length = vsnprintf(NULL, 0, format, args);
    va_end(args);
    char *text = length < 0 ? NULL : malloc((size_t)length + 1);
    if (text != NULL) {
        va_start(args, format);
        vsnprintf(text, (size_t)length + 1, format, args);
        va_end(args);
    }
    return text;
}

static char *copy_of(const char *text)
{
    return text_of("%s", text);
}

/* ---- nodes ----------------------------------------------------------------------------------- */

static int things_of(const ow_garden *g, ow_node_kind kind)
{
    switch (kind) {
    case OW_NODE_PLANT:
        return g->plant_count;
    case OW_NODE_HEATER:
    case OW_NODE_DRIVE:
        return g->output_count;
    case OW_NODE_GARDEN:
        return 1;
    case OW_NODE_MEMBER:
        return g->household_count;
    case OW_NODE_KINDS:
        break;
    }
    return 0;
}

static bool is_kind(const ow_garden *g, ow_node_kind kind, int index)
{
    if (kind != OW_NODE_HEATER && kind != OW_NODE_DRIVE) {
        return true;
    }
    ow_output_kind wanted = kind == OW_NODE_HEATER ? OW_OUTPUT_HEATER : OW_OUTPUT_CLOTH_DRIVE;
    return g->outputs[index].kind == wanted;
}

static void node_names(const ow_garden *g, ow_node_kind kind, int index, const char **id,
                       const char **prefix, const char **name)
{
    *prefix = "";
    switch (kind) {
    case OW_NODE_PLANT:
        *id = g->plants[index].id;
        *name = g->plants[index].name;
        return;
    case OW_NODE_HEATER:
    case OW_NODE_DRIVE:
        *id = g->outputs[index].id;
        *name = g->outputs[index].name;
        return;
    case OW_NODE_MEMBER:
        *prefix = "household-";
        *id = g->household[index].id;
        *name = g->household[index].name;
        return;
    case OW_NODE_GARDEN:
    case OW_NODE_KINDS:
        break;
    }
    *id = *name = "garden";
}

/* A JSON schema of what may be worn: any of the garden's covers. */
static char *covers_schema(const ow_garden *g)
{
    char *list = text_of("{\"type\":\"array\",\"items\":{\"enum\":[");
    for (int i = 0; list != NULL && i < g->cover_count; i++) {
        char *longer = text_of("%s%s\"%s\"", list, i > 0 ? "," : "", g->covers[i].id);
        free(list);
        list = longer;
    }
    char *schema = list != NULL && g->cover_count > 0 ? text_of("%s]}}", list) : NULL;
    free(list);
    return schema;
}

static char *joined(char *list, const char *word)
{
    char *longer = text_of("%s%s%s", list ? list : "", list ? "," : "", word);
    free(list);
    return longer;
}

/* Formats that list the garden's own things, or words that stand elsewhere; else the table's. */
static char *format_of(const ow_garden *g, ow_node_kind kind, ow_prop prop)
{
    char *list = NULL;
    switch (prop) {
    case OW_PROP_STATE:
        for (int s = 0; s < OW_STATES; s++) {
            list = joined(list, ow_state_word((ow_state)s));
        }
        return list;
    case OW_PROP_PLACE:
        for (int p = 0; p < g->place_count; p++) {
            list = joined(list, g->places[p].id);
        }
        return list;
    case OW_PROP_WEARING:
        return covers_schema(g);
    case OW_PROP_COMMAND:
    case OW_PROP_WOULD_SWITCH:
        return copy_of(kind == OW_NODE_HEATER ? "on,off" : "close,open,stop");
    default:
        return specs[prop].format != NULL ? copy_of(specs[prop].format) : NULL;
    }
}

/* ---- description ----------------------------------------------------------------------------- */

static bool add_property(cJSON *properties, const ow_garden *g, ow_node_kind kind, ow_prop prop)
{
    const struct spec *s = &specs[prop];
    cJSON *p = cJSON_AddObjectToObject(properties, s->id);
    char *format = format_of(g, kind, prop);
    bool whole = p != NULL && cJSON_AddStringToObject(p, "name", s->name) != NULL &&
                 cJSON_AddStringToObject(p, "datatype", s->datatype) != NULL &&
                 (format == NULL || cJSON_AddStringToObject(p, "format", format) != NULL) &&
                 (s->unit == NULL || cJSON_AddStringToObject(p, "unit", s->unit) != NULL) &&
                 (!s->settable || cJSON_AddTrueToObject(p, "settable") != NULL);
    free(format);
    return whole;
}

static bool add_node(cJSON *nodes, const ow_garden *g, ow_node_kind kind, int index)
{
    const char *id, *prefix, *name;
    char full[TOPIC_TEXT];
    node_names(g, kind, index, &id, &prefix, &name);
    snprintf(full, sizeof full, "%s%s", prefix, id);
    cJSON *node = cJSON_AddObjectToObject(nodes, full);
    bool whole = node != NULL && cJSON_AddStringToObject(node, "name", name) != NULL &&
                 cJSON_AddStringToObject(node, "type", kind_types[kind]) != NULL;
    cJSON *properties = whole ? cJSON_AddObjectToObject(node, "properties") : NULL;
    whole = properties != NULL;
    for (int prop = 0; whole && prop < OW_PROPS; prop++) {
        if (specs[prop].kinds & (1u << kind)) {
            whole = add_property(properties, g, kind, (ow_prop)prop);
        }
    }
    return whole;
}

/* The version must differ whenever the document does: a hash (FNV-1a) of the rest serves. */
static int32_t version_of(const char *text)
{
    uint32_t hash = 2166136261u;
    for (; *text != '\0'; text++) {
        hash = (hash ^ (unsigned char)*text) * 16777619u;
    }
    return (int32_t)(hash & 0x7fffffffu);
}

static char *describe(const ow_garden *g)
{
    cJSON *all = cJSON_CreateObject();
    bool whole = all != NULL && cJSON_AddStringToObject(all, "homie", "5.0") != NULL &&
                 cJSON_AddStringToObject(all, "name", g->id) != NULL &&
                 cJSON_AddStringToObject(all, "type", "overwinter/garden") != NULL;
    cJSON *nodes = whole ? cJSON_AddObjectToObject(all, "nodes") : NULL;
    whole = nodes != NULL;
    for (int kind = 0; whole && kind < OW_NODE_KINDS; kind++) {
        for (int i = 0; whole && i < things_of(g, (ow_node_kind)kind); i++) {
            if (is_kind(g, (ow_node_kind)kind, i)) {
                whole = add_node(nodes, g, (ow_node_kind)kind, i);
            }
        }
    }
    char *text = whole ? cJSON_PrintUnformatted(all) : NULL;
    if (text != NULL && cJSON_AddNumberToObject(all, "version", version_of(text)) != NULL) {
        cJSON_free(text);
        text = cJSON_PrintUnformatted(all);
    }
    cJSON_Delete(all);
    return text;
}

/* ---- building -------------------------------------------------------------------------------- */

static size_t count_slots(const ow_garden *g)
{
    size_t n = 0;
    for (int kind = 0; kind < OW_NODE_KINDS; kind++) {
        for (int i = 0; i < things_of(g, (ow_node_kind)kind); i++) {
            for (int prop = 0; prop < OW_PROPS; prop++) {
                n += is_kind(g, (ow_node_kind)kind, i) && (specs[prop].kinds & (1u << kind));
            }
        }
    }
    return n;
}

static bool fill_slots(ow_tree *t)
{
    const ow_garden *g = t->garden;
    for (int kind = 0; kind < OW_NODE_KINDS; kind++) {
        for (int i = 0; i < things_of(g, (ow_node_kind)kind); i++) {
            for (int prop = 0; prop < OW_PROPS; prop++) {
                if (!is_kind(g, (ow_node_kind)kind, i) || !(specs[prop].kinds & (1u << kind))) {
                    continue;
                }
                const char *id, *prefix, *name;
                node_names(g, (ow_node_kind)kind, i, &id, &prefix, &name);
                value *v = &t->values[t->count++];
                v->slot = (ow_slot){(ow_node_kind)kind, i, (ow_prop)prop};
                v->topic = text_of("%s/%s%s/%s", t->base, prefix, id, specs[prop].id);
                if (v->topic == NULL) {
                    return false;
                }
                if (prop == OW_PROP_POSITION) {
                    value *target = &t->target[t->targets++];
                    target->slot = v->slot;
                    target->topic = text_of("%s/$target", v->topic);
                    if (target->topic == NULL) {
                        return false;
                    }
                }
            }
        }
    }
    return true;
}

/* All ids are known from the start, so that what an earlier life left standing is cleared. */
static void name_alerts(ow_tree *t)
{
    const ow_garden *g = t->garden;
    for (int i = 0; i < g->plant_count; i++) {
        t->alerts[t->alert_count++].id = g->plants[i].id;
    }
    for (int i = 0; i < g->output_count; i++) {
        t->alerts[t->alert_count++].id = g->outputs[i].id;
    }
    t->alerts[t->alert_count++].id = OW_ALERT_READINGS;
    t->alerts[t->alert_count++].id = OW_ALERT_STUCK;
    t->alerts[t->alert_count++].id = OW_ALERT_FORECAST;
}

ow_status ow_tree_new(const ow_garden *garden, ow_tree **out)
{
    ow_tree *t = calloc(1, sizeof *t);
    if (t == NULL) {
        return OW_NO_MEMORY;
    }
    t->garden = garden;
    snprintf(t->base, sizeof t->base, "%s/5/%s", garden->root, garden->id);
    snprintf(t->state_topic, sizeof t->state_topic, "%s/$state", t->base);
    t->values = calloc(count_slots(garden) + 1, sizeof *t->values);
    t->target = calloc((size_t)garden->output_count + 1, sizeof *t->target);
    t->alerts = calloc((size_t)(garden->plant_count + garden->output_count) + 3, sizeof *t->alerts);
    t->description = describe(garden);
    bool whole = t->values != NULL && t->target != NULL && t->alerts != NULL &&
                 t->description != NULL && fill_slots(t);
    t->thing = whole ? ow_thing_description(t, garden) : NULL;
    if (t->thing == NULL) {
        ow_tree_free(t);
        return OW_NO_MEMORY;
    }
    snprintf(t->thing_version, sizeof t->thing_version, "%d", (int)version_of(t->thing));
    name_alerts(t);
    *out = t;
    return OW_OK;
}

void ow_tree_free(ow_tree *t)
{
    if (t == NULL) {
        return;
    }
    for (size_t i = 0; t->values != NULL && i < t->count; i++) {
        free(t->values[i].topic);
        free(t->values[i].text);
    }
    for (size_t i = 0; t->target != NULL && i < t->targets; i++) {
        free(t->target[i].topic);
        free(t->target[i].text);
    }
    for (size_t i = 0; i < t->alert_count; i++) {
        free(t->alerts[i].text);
    }
    free(t->values);
    free(t->target);
    free(t->alerts);
    cJSON_free(t->description);
    cJSON_free(t->thing);
    free(t);
}

/* ---- values ---------------------------------------------------------------------------------- */

static value *find(const ow_tree *t, ow_slot slot)
{
    for (size_t i = 0; i < t->count; i++) {
        const ow_slot *s = &t->values[i].slot;
        if (s->kind == slot.kind && s->index == slot.index && s->prop == slot.prop) {
            return &t->values[i];
        }
    }
    return NULL;
}

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static ow_status put(value *v, const char *text)
{
    if (same_text(v->text, text)) {
        return OW_OK;
    }
    char *copy = text != NULL ? copy_of(text) : NULL;
    if (text != NULL && copy == NULL) {
        return OW_NO_MEMORY;
    }
    free(v->text);
    v->text = copy;
    v->dirty = true;
    return OW_OK;
}

ow_status ow_tree_put(ow_tree *t, ow_slot slot, const char *text)
{
    value *v = find(t, slot);
    return v != NULL ? put(v, text) : OW_OK;
}

void ow_tree_again(ow_tree *t, ow_slot slot)
{
    value *v = find(t, slot);
    if (v != NULL) {
        v->dirty = true;
    }
}

const char *ow_tree_value(const ow_tree *t, ow_slot slot)
{
    const value *v = find(t, slot);
    return v != NULL ? v->text : NULL;
}

ow_status ow_tree_target(ow_tree *t, int drive, const char *text)
{
    for (size_t i = 0; i < t->targets; i++) {
        if (t->target[i].slot.index == drive) {
            return put(&t->target[i], text);
        }
    }
    return OW_OK;
}

/* ---- alerts ---------------------------------------------------------------------------------- */

ow_status ow_tree_alert(ow_tree *t, const char *id, const char *text)
{
    size_t i = 0;
    while (i < t->alert_count && strcmp(t->alerts[i].id, id) != 0) {
        i++;
    }
    if (i == t->alert_count) {
        return OW_NOT_FOUND;
    }
    alert *a = &t->alerts[i];
    if (same_text(a->text, text)) {
        return OW_OK;
    }
    char *copy = text != NULL ? copy_of(text) : NULL;
    if (text != NULL && copy == NULL) {
        return OW_NO_MEMORY;
    }
    free(a->text);
    a->text = copy;
    a->dirty = true;
    return OW_OK;
}

/* ---- handing out ----------------------------------------------------------------------------- */

static bool say(const ow_host *host, const char *topic, const char *text, bool retain)
{
    return host->publish(host->self, topic, text, strlen(text), retain);
}

/* Unknown: an empty message clears. An empty string is one zero byte, as the convention has it. */
static bool say_value(const ow_host *host, const value *v)
{
    bool empty_string = v->text != NULL && v->text[0] == '\0';
    size_t size = v->text == NULL ? 0 : empty_string ? 1 : strlen(v->text);
    return host->publish(host->self, v->topic, v->text != NULL ? v->text : "", size, true);
}

static bool flush_values(value *values, size_t n, const ow_host *host)
{
    for (size_t i = 0; i < n; i++) {
        if (values[i].dirty && !say_value(host, &values[i])) {
            return false;
        }
        values[i].dirty = false;
    }
    return true;
}

static bool flush_alerts(ow_tree *t, const ow_host *host)
{
    char topic[TOPIC_TEXT + 128];
    for (size_t i = 0; i < t->alert_count; i++) {
        alert *a = &t->alerts[i];
        snprintf(topic, sizeof topic, "%s/$alert/%s", t->base, a->id);
        if (a->dirty && !say(host, topic, a->text != NULL ? a->text : "", true)) {
            return false;
        }
        a->dirty = false;
    }
    return true;
}

/* Its name in `topic`, which has that much room. */
static char *own_topic(const ow_tree *t, const char *attribute, char topic[TOPIC_TEXT + 16])
{
    snprintf(topic, TOPIC_TEXT + 16, "%s/%s", t->base, attribute);
    return topic;
}

static bool ask_all(ow_tree *t, const ow_host *host)
{
    char topic[TOPIC_TEXT + 128];
    if (t->asked == 0 && !host->subscribe(host->self, own_topic(t, THING_VERSION, topic))) {
        return false;
    }
    for (; t->asked < t->count; t->asked++) {
        const value *v = &t->values[t->asked];
        snprintf(topic, sizeof topic, "%s/set", v->topic);
        if (specs[v->slot.prop].settable && !host->subscribe(host->self, topic)) {
            return false;
        }
    }
    return true;
}

void ow_tree_up(ow_tree *t)
{
    t->stage = INIT;
    t->asked = t->announced = 0;
    t->thing_told = false;
    for (size_t i = 0; i < t->count; i++) {
        t->values[i].dirty = true;
    }
    for (size_t i = 0; i < t->targets; i++) {
        t->target[i].dirty = true;
    }
    for (size_t i = 0; i < t->alert_count; i++) {
        t->alerts[i].dirty = true;
    }
}

void ow_tree_flush(ow_tree *t, const ow_host *host)
{
    char topic[TOPIC_TEXT + 16];
    if (t->stage == INIT && say(host, t->state_topic, "init", true)) {
        t->stage = DESCRIBE;
    }
    if (t->stage == DESCRIBE &&
        say(host, own_topic(t, "$description", topic), t->description, true)) {
        t->stage = VALUES;
    }
    if (t->stage < VALUES) {
        return;
    }
    bool told = flush_values(t->target, t->targets, host) &&
                flush_values(t->values, t->count, host) && flush_alerts(t, host);
    if (told && t->stage == VALUES) {
        t->stage = ASK;
    }
    if (t->stage == ASK && ask_all(t, host) &&
        ow_announce_all(t, t->garden, &t->announced, host) &&
        say(host, t->state_topic, "ready", true)) {
        t->stage = READY;
    }
}

bool ow_tree_thing_heard(ow_tree *t, const ow_message *m)
{
    char topic[TOPIC_TEXT + 16];
    if (strcmp(m->topic, own_topic(t, THING_VERSION, topic)) != 0) {
        return false;
    }
    t->thing_told =
        m->size == strlen(t->thing_version) && memcmp(m->payload, t->thing_version, m->size) == 0;
    return true;
}

void ow_tree_thing_say(ow_tree *t, const ow_host *host)
{
    char topic[TOPIC_TEXT + 16];
    if (t->stage == READY && !t->thing_told) {
        t->thing_told = say(host, own_topic(t, "$thing", topic), t->thing, true) &&
                        say(host, own_topic(t, THING_VERSION, topic), t->thing_version, true);
    }
}

void ow_tree_lost(ow_tree *t)
{
    t->stage = DOWN;
}

void ow_tree_down(ow_tree *t, const ow_host *host)
{
    if (t->stage != DOWN) {
        (void)say(host, t->state_topic, "disconnected", true);
    }
    t->stage = DOWN;
}

void ow_tree_log(ow_tree *t, const ow_host *host, ow_level level, const char *line)
{
    static const char *const names[] = {
        [OW_LEVEL_INFO] = "info", [OW_LEVEL_WARN] = "warn", [OW_LEVEL_ERROR] = "error"};
    char topic[TOPIC_TEXT + 16];
    snprintf(topic, sizeof topic, "%s/$log/%s", t->base, names[level]);
    if (t->stage == READY) {
        (void)say(host, topic, line, false);
    }
}

/* ---- asking ---------------------------------------------------------------------------------- */

ow_status ow_tree_commanded(const ow_tree *t, const char *topic, ow_slot *slot)
{
    for (size_t i = 0; i < t->count; i++) {
        const value *v = &t->values[i];
        size_t length = strlen(v->topic);
        if (specs[v->slot.prop].settable && strncmp(topic, v->topic, length) == 0 &&
            strcmp(topic + length, "/set") == 0) {
            *slot = v->slot;
            return OW_OK;
        }
    }
    return OW_NOT_FOUND;
}

size_t ow_tree_entries(const ow_tree *t)
{
    return t->count;
}

ow_tree_entry ow_tree_entry_at(const ow_tree *t, size_t index)
{
    const value *v = &t->values[index];
    const struct spec *s = &specs[v->slot.prop];
    const char *id, *prefix, *name;
    node_names(t->garden, v->slot.kind, v->slot.index, &id, &prefix, &name);
    return (ow_tree_entry){.slot = v->slot,
                           .topic = v->topic,
                           .below = v->topic + strlen(t->base) + 1,
                           .thing_name = name,
                           .id = s->id,
                           .name = s->name,
                           .datatype = s->datatype,
                           .unit = s->unit,
                           .settable = s->settable};
}

char *ow_tree_format(const ow_tree *t, ow_slot slot)
{
    return format_of(t->garden, slot.kind, slot.prop);
}

const char *ow_prop_id(ow_prop prop)
{
    return specs[prop].id;
}

const char *ow_tree_state_topic(const ow_tree *t)
{
    return t->state_topic;
}

bool ow_tree_owns(const ow_tree *t, const char *topic)
{
    size_t length = strlen(t->base);
    return strncmp(topic, t->base, length) == 0 && topic[length] == '/';
}

const char *ow_tree_description(const ow_tree *t)
{
    return t->description;
}
