/* SPDX-License-Identifier: MIT */
#include "hub/thing.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char CONTEXT[] = "https://www.w3.org/2022/wot/td/v1.1";
/*
 * The vocabulary of the MQTT binding, mqv:. Its address, its terms and what it takes for granted
 * were written down from memory and have not been held against the binding's own text: readproperty
 * and observeproperty subscribe to mqv:filter, invokeaction publishes to mqv:topic.
 */
static const char BINDING[] = "https://www.w3.org/2018/wot/mqtt#";
enum { NAME_TEXT = 400 };

/* ---- what a value is ------------------------------------------------------------------------- */

static void add_words(cJSON *schema, const char *format)
{
    cJSON *words = cJSON_AddArrayToObject(schema, "enum");
    for (const char *at = format; *at != '\0';) {
        char word[NAME_TEXT];
        size_t length = strcspn(at, ",");
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        cJSON_AddItemToArray(words, cJSON_CreateString(word));
        at += length + (at[length] == ',');
    }
}

/* "[min]:[max]" */
static void add_range(cJSON *schema, const char *format)
{
    const char *colon = strchr(format, ':');
    if (colon != NULL && colon > format) {
        cJSON_AddNumberToObject(schema, "minimum", strtod(format, NULL));
    }
    if (colon != NULL && colon[1] != '\0') {
        cJSON_AddNumberToObject(schema, "maximum", strtod(colon + 1, NULL));
    }
}

/*
 * A format of json is a schema already; without one anything may come. The standard lets no schema
 * refer to another: the words of what can be set stand with the action alone (`asked`).
 */
static cJSON *schema_of(const ow_tree_entry *e, const char *format, bool asked)
{
    format = e->settable && !asked ? NULL : format;
    bool json = strcmp(e->datatype, "json") == 0;
    cJSON *schema = json && format != NULL ? cJSON_Parse(format) : cJSON_CreateObject();
    if (strcmp(e->datatype, "enum") == 0) {
        cJSON_AddStringToObject(schema, "type", "string");
        if (format != NULL) {
            add_words(schema, format);
        }
    } else if (strcmp(e->datatype, "float") == 0 || strcmp(e->datatype, "integer") == 0) {
        bool whole = e->datatype[0] == 'i';
        cJSON_AddStringToObject(schema, "type", whole ? "integer" : "number");
        add_range(schema, format != NULL ? format : "");
    } else if (strcmp(e->datatype, "datetime") == 0) {
        cJSON_AddStringToObject(schema, "type", "string");
        cJSON_AddStringToObject(schema, "format", "date-time");
    } else if (!json) {
        cJSON_AddStringToObject(schema, "type", e->datatype); /* string, boolean */
    }
    if (e->unit != NULL) {
        cJSON_AddStringToObject(schema, "unit", e->unit);
    }
    return schema;
}

static const char *content_type(const ow_tree_entry *e)
{
    bool words = strcmp(e->datatype, "string") == 0 || strcmp(e->datatype, "enum") == 0 ||
                 strcmp(e->datatype, "datetime") == 0;
    return e->slot.prop == OW_PROP_TILE ? "image/svg+xml"
           : words                      ? "text/plain"
                                        : NULL; /* JSON: numbers and true are as they are */
}

/* ---- where it is ----------------------------------------------------------------------------- */

static void write_address(const ow_garden *g, char address[NAME_TEXT])
{
    const ow_broker *b = &g->broker;
    bool tls = b->ca_file != NULL;
    const char *host = b->given && b->host != NULL ? b->host : "localhost";
    bool v6 = strchr(host, ':') != NULL;
    snprintf(address, NAME_TEXT, "%s://%s%s%s:%d", tls ? "mqtts" : "mqtt", v6 ? "[" : "", host,
             v6 ? "]" : "", b->given ? b->port : 1883);
}

/* What the standard takes for granted is left out: a content type of JSON, invokeaction on actions.
 * The broker is the base of them all. */
static cJSON *add_form(cJSON *of, const ow_tree_entry *e)
{
    cJSON *form = cJSON_CreateObject();
    cJSON_AddItemToArray(cJSON_AddArrayToObject(of, "forms"), form);
    cJSON_AddStringToObject(form, "href", "/");
    if (content_type(e) != NULL) {
        cJSON_AddStringToObject(form, "contentType", content_type(e));
    }
    return form;
}

static void add_property(cJSON *properties, const ow_tree_entry *e, const char *key,
                         const char *title, const char *format)
{
    static const char *const ops[] = {"readproperty", "observeproperty"};
    cJSON *p = schema_of(e, format, false);
    cJSON_AddItemToObject(properties, key, p);
    cJSON_AddStringToObject(p, "title", title);
    cJSON_AddTrueToObject(p, "readOnly");
    cJSON_AddTrueToObject(p, "observable");
    cJSON *form = add_form(p, e);
    cJSON_AddItemToObject(form, "op", cJSON_CreateStringArray(ops, 2));
    cJSON_AddStringToObject(form, "mqv:filter", e->topic);
}

static void add_action(cJSON *actions, const ow_tree_entry *e, const char *key, const char *title,
                       const char *format)
{
    char topic[NAME_TEXT * 2];
    snprintf(topic, sizeof topic, "%s/set", e->topic);
    cJSON *a = cJSON_AddObjectToObject(actions, key);
    cJSON_AddStringToObject(a, "title", title);
    cJSON_AddItemToObject(a, "input", schema_of(e, format, true));
    cJSON *form = add_form(a, e);
    cJSON_AddStringToObject(form, "mqv:topic", topic);
    cJSON_AddStringToObject(form, "mqv:qos", "1");
}

/* ---- the whole ------------------------------------------------------------------------------- */

static void add_context(cJSON *all)
{
    cJSON *context = cJSON_AddArrayToObject(all, "@context");
    cJSON_AddItemToArray(context, cJSON_CreateString(CONTEXT));
    cJSON *prefix = cJSON_CreateObject();
    cJSON_AddStringToObject(prefix, "mqv", BINDING);
    cJSON_AddItemToArray(context, prefix);
}

static void add_security(cJSON *all, bool user)
{
    cJSON *definitions = cJSON_AddObjectToObject(all, "securityDefinitions");
    cJSON *broker = cJSON_AddObjectToObject(definitions, "broker");
    cJSON_AddStringToObject(broker, "scheme", user ? "basic" : "nosec");
    if (user) {
        cJSON_AddStringToObject(broker, "in", "auto");
    }
    cJSON_AddStringToObject(all, "security", "broker");
}

char *ow_thing_description(const ow_tree *tree, const ow_garden *g)
{
    char address[NAME_TEXT], key[NAME_TEXT], title[NAME_TEXT];
    cJSON *all = cJSON_CreateObject();
    write_address(g, address);
    add_context(all);
    cJSON_AddStringToObject(all, "base", address);
    cJSON_AddStringToObject(all, "@type", "Thing");
    cJSON_AddStringToObject(all, "title", g->id);
    add_security(all, g->broker.given && g->broker.user != NULL);
    cJSON *properties = cJSON_AddObjectToObject(all, "properties");
    cJSON *actions = cJSON_AddObjectToObject(all, "actions");
    for (size_t i = 0; i < ow_tree_entries(tree); i++) {
        ow_tree_entry e = ow_tree_entry_at(tree, i);
        char *format = ow_tree_format(tree, e.slot);
        snprintf(title, sizeof title, "%s: %s", e.thing_name, e.name);
        snprintf(key, sizeof key, "%s", e.below);
        *strchr(key, '/') = '.';
        add_property(properties, &e, key, title, format);
        if (e.settable) {
            add_action(actions, &e, key, title, format);
        }
        free(format);
    }
    char *text = cJSON_PrintUnformatted(all);
    cJSON_Delete(all);
    return text;
}
