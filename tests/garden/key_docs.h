/* SPDX-License-Identifier: MIT */
/*
 * Writes the JSON Schema and the reference page from the table of keys. Shared by the program
 * that makes the files under docs/ and by the test that compares them.
 */
#ifndef OVERWINTER_TESTS_GARDEN_KEY_DOCS_H
#define OVERWINTER_TESTS_GARDEN_KEY_DOCS_H

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "garden/keys.h"

/* Every object of the table once, parents first. */
#define OBJECTS_MAX 40

struct objects {
    const ow_object *item[OBJECTS_MAX];
    size_t count;
};

static inline void collect(struct objects *objects, const ow_object *object)
{
    for (size_t i = 0; i < objects->count; i++) {
        if (objects->item[i] == object) {
            return;
        }
    }
    if (objects->count < OBJECTS_MAX) {
        objects->item[objects->count++] = object;
    }
    for (size_t i = 0; i < object->key_count; i++) {
        if (object->keys[i].object != NULL) {
            collect(objects, object->keys[i].object);
        }
    }
}

/* The words of an object's kinds; one kind, NULL, when it has none. */
static inline const char *const *kinds_of(const ow_object *object, size_t *n)
{
    static const char *const none[] = {NULL};
    const ow_key *selecting = ow_key_selecting(object);
    *n = 1;
    return selecting == NULL ? none : selecting->names(n);
}

/* ---- JSON Schema ---- */

static inline void schema_text(FILE *out, const char *text)
{
    fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\') {
            fputc('\\', out);
        }
        fputc(*text, out);
    }
    fputc('"', out);
}

static inline void schema_words(FILE *out, const ow_key *key)
{
    size_t n = 0;
    const char *const *words = key->names(&n);
    fputs("\"enum\": [", out);
    for (size_t i = 0; i < n; i++) {
        fputs(i == 0 ? "" : ", ", out);
        schema_text(out, words[i]);
    }
    fputs("]", out);
}

static inline void schema_ref(FILE *out, const ow_object *object)
{
    fprintf(out, "\"$ref\": \"#/$defs/%s\"", object->name);
}

/* What the value must be, as members of a schema object. */
static inline void schema_value(FILE *out, const ow_key *key)
{
    const char *id = "\"type\": \"string\", \"maxLength\": 64, \"pattern\": "
                     "\"^[a-z0-9]([a-z0-9-]*[a-z0-9])?$\"";
    switch (key->type) {
    case OW_KEY_NUMBER:
    case OW_KEY_INTEGER:
        fprintf(out, "\"type\": \"%s\", \"minimum\": %.10g, \"maximum\": %.10g",
                key->type == OW_KEY_NUMBER ? "number" : "integer", key->min, key->max);
        break;
    case OW_KEY_YES_NO:
        fputs("\"type\": \"boolean\"", out);
        break;
    case OW_KEY_TEXT:
        fprintf(out, "\"type\": \"string\", \"minLength\": %.0f, \"maxLength\": %.0f", key->min,
                key->max);
        break;
    case OW_KEY_TOPIC:
        fprintf(out, "\"type\": \"string\", \"maxLength\": %.0f, \"pattern\": \"^[^$+#][^+#]*$\"",
                key->max);
        break;
    case OW_KEY_POINTER:
        fprintf(out,
                "\"type\": \"string\", \"maxLength\": %.0f, \"pattern\": "
                "\"^(/([^~/]|~[01])*)*$\"",
                key->max);
        break;
    case OW_KEY_ID:
    case OW_KEY_REF:
        fputs(id, out);
        break;
    case OW_KEY_REFS:
        fprintf(out, "\"type\": \"array\", \"maxItems\": %.0f, \"items\": {%s}", key->max, id);
        break;
    case OW_KEY_NAME:
        schema_words(out, key);
        break;
    case OW_KEY_NAME_SET:
        fprintf(out, "\"type\": \"array\", \"minItems\": %.0f, \"maxItems\": %.0f, \"items\": {",
                key->min, key->max);
        schema_words(out, key);
        fputs("}", out);
        break;
    case OW_KEY_HOURS:
        fputs("\"type\": \"string\", \"pattern\": "
              "\"^([01][0-9]|2[0-3]):[0-5][0-9]-([01][0-9]|2[0-3]):[0-5][0-9]$\"",
              out);
        break;
    case OW_KEY_OBJECT:
        schema_ref(out, key->object);
        break;
    case OW_KEY_NAME_OR_OBJECT:
        fputs("\"anyOf\": [{", out);
        schema_words(out, key);
        fputs("}, {", out);
        schema_ref(out, key->object);
        fputs("}]", out);
        break;
    case OW_KEY_LIST:
        fprintf(out, "\"type\": \"array\", \"minItems\": %.0f, \"maxItems\": %.0f, \"items\": {",
                key->min, key->max);
        schema_ref(out, key->object);
        fputs("}", out);
        break;
    }
}

static inline void schema_default(FILE *out, const ow_key *key)
{
    if (key->fallback == NULL || key->type == OW_KEY_NAME_SET) {
        return; /* a set left out is all of them */
    }
    fputs(", \"default\": ", out);
    if (key->type == OW_KEY_NUMBER || key->type == OW_KEY_INTEGER || key->type == OW_KEY_YES_NO) {
        fputs(key->fallback, out);
    } else {
        schema_text(out, key->fallback);
    }
}

static inline void schema_properties(FILE *out, const ow_object *object, unsigned kind,
                                     const char *indent)
{
    const char *separator = "";
    fprintf(out, "%s\"required\": [", indent);
    for (size_t i = 0; i < object->key_count; i++) {
        if (object->keys[i].required && ow_key_applies(&object->keys[i], kind)) {
            fputs(separator, out);
            schema_text(out, object->keys[i].name);
            separator = ", ";
        }
    }
    fprintf(out, "],\n%s\"properties\": {", indent);
    separator = "\n";
    for (size_t i = 0; i < object->key_count; i++) {
        const ow_key *key = &object->keys[i];
        if (!ow_key_applies(key, kind)) {
            continue;
        }
        fprintf(out, "%s%s  ", separator, indent);
        schema_text(out, key->name);
        fputs(": {\"description\": ", out);
        schema_text(out, key->about);
        fputs(", ", out);
        schema_value(out, key);
        schema_default(out, key);
        fputs("}", out);
        separator = ",\n";
    }
    fprintf(out, "\n%s},\n%s\"additionalProperties\": false", indent, indent);
}

/* What no single key can say; garden_check.c judges the same. */
static inline void schema_one_of_two(FILE *out, const ow_object *object)
{
    if (strcmp(object->name, "plant") == 0) {
        fputs(",\n      \"oneOf\": [{\"required\": [\"pot\"]}, {\"required\": [\"bed\"]}],\n"
              "      \"anyOf\": [{\"required\": [\"taxon\"]}, {\"required\": [\"limits\"]}]",
              out);
    } else if (strcmp(object->name, "measured medium") == 0) {
        fputs(",\n      \"oneOf\": [{\"required\": [\"water_fraction\"]}, "
              "{\"required\": [\"latent_j_m3\"]}]",
              out);
    }
}

/* An object with kinds is one of several; the kind decides which, so that an editor can follow. */
static inline void schema_kinds(FILE *out, const ow_object *object)
{
    const ow_key *selecting = ow_key_selecting(object);
    size_t n = 0;
    const char *const *kinds = kinds_of(object, &n);
    fprintf(out, "      \"required\": [\"%s\"],\n      \"properties\": {\"%s\": {", selecting->name,
            selecting->name);
    schema_words(out, selecting);
    fputs("}},\n      \"allOf\": [", out);
    for (size_t kind = 0; kind < n; kind++) {
        fprintf(out,
                "%s\n        {\"if\": {\"required\": [\"%s\"], \"properties\": {\"%s\": "
                "{\"const\": \"%s\"}}}, \"then\": {\n",
                kind == 0 ? "" : ",", selecting->name, selecting->name, kinds[kind]);
        schema_properties(out, object, (unsigned)kind, "          ");
        fputs("\n        }}", out);
    }
    fputs("\n      ]", out);
}

static inline void schema_object(FILE *out, const ow_object *object)
{
    fprintf(out, "    \"%s\": {\n      \"description\": ", object->name);
    schema_text(out, object->about);
    fputs(",\n      \"type\": \"object\",\n", out);
    if (ow_key_selecting(object) != NULL) {
        schema_kinds(out, object);
    } else {
        schema_properties(out, object, 0, "      ");
        schema_one_of_two(out, object);
    }
    fputs("\n    }", out);
}

static inline void write_schema(FILE *out)
{
    struct objects objects = {.count = 0};
    collect(&objects, ow_keys_garden());
    fputs("{\n  \"$schema\": \"https://json-schema.org/draft/2020-12/schema\",\n"
          "  \"title\": \"Overwinter garden file\",\n"
          "  \"$ref\": \"#/$defs/garden\",\n  \"$defs\": {\n",
          out);
    for (size_t i = 0; i < objects.count; i++) {
        schema_object(out, objects.item[i]);
        fputs(i + 1 < objects.count ? ",\n" : "\n", out);
    }
    fputs("  }\n}\n", out);
}

/* ---- reference page ---- */

static inline void page_words(FILE *out, const ow_key *key)
{
    size_t n = 0;
    const char *const *words = key->names(&n);
    for (size_t i = 0; i < n; i++) {
        fprintf(out, "%s`%s`", i == 0 ? "" : ", ", words[i]);
    }
}

static inline void page_value(FILE *out, const ow_key *key)
{
    const char *unit = key->unit == NULL ? "" : key->unit;
    switch (key->type) {
    case OW_KEY_NUMBER:
    case OW_KEY_INTEGER:
        fprintf(out, "%s, %.10g to %.10g%s%s",
                key->type == OW_KEY_NUMBER ? "number" : "whole number", key->min, key->max,
                unit[0] == '\0' ? "" : " ", unit);
        break;
    case OW_KEY_YES_NO:
        fputs("`true`, `false`", out);
        break;
    case OW_KEY_TEXT:
        fputs("text", out);
        break;
    case OW_KEY_TOPIC:
        fputs("topic", out);
        break;
    case OW_KEY_POINTER:
        fputs("JSON pointer", out);
        break;
    case OW_KEY_ID:
        fputs("id", out);
        break;
    case OW_KEY_REF:
        fprintf(out, "id of a %s", ow_group_name(key->group));
        break;
    case OW_KEY_REFS:
        fprintf(out, "list of ids, each of a %s, at most %.0f", ow_group_name(key->group),
                key->max);
        break;
    case OW_KEY_NAME:
        page_words(out, key);
        break;
    case OW_KEY_NAME_SET:
        fputs("list of ", out);
        page_words(out, key);
        break;
    case OW_KEY_HOURS:
        fputs("hours, `22:00-07:00`", out);
        break;
    case OW_KEY_OBJECT:
        fprintf(out, "one *%s*", key->object->name);
        break;
    case OW_KEY_NAME_OR_OBJECT:
        page_words(out, key);
        fprintf(out, " or one *%s*", key->object->name);
        break;
    case OW_KEY_LIST:
        fprintf(out, "list of *%s*, %.0f to %.0f", key->object->name, key->min, key->max);
        break;
    }
}

static inline void page_default(FILE *out, const ow_key *key)
{
    if (key->required) {
        fputs("**required**", out);
    } else if (key->fallback != NULL && key->fallback[0] == '\0') {
        fputs("empty", out);
    } else if (key->fallback != NULL) {
        fprintf(out, "`%s`", key->fallback);
    }
}

/* "Only with kind `wall`." where the key is not for every kind. */
static inline void page_kinds(FILE *out, const ow_object *object, const ow_key *key)
{
    size_t n = 0, told = 0;
    const char *const *kinds = kinds_of(object, &n);
    for (size_t kind = 0; key->kinds != 0 && kind < n; kind++) {
        if (!ow_key_applies(key, (unsigned)kind)) {
            continue;
        }
        if (told++ == 0) {
            fprintf(out, ". Only with %s ", ow_key_selecting(object)->name);
        } else {
            fputs(", ", out);
        }
        fprintf(out, "`%s`", kinds[kind]);
    }
}

static inline void page_object(FILE *out, const ow_object *object)
{
    fprintf(out, "\n### %s\n\n%s\n\n| key | value | default | meaning |\n|---|---|---|---|\n",
            object->name, object->about);
    for (size_t i = 0; i < object->key_count; i++) {
        const ow_key *key = &object->keys[i];
        fprintf(out, "| `%s` | ", key->name);
        page_value(out, key);
        fputs(" | ", out);
        page_default(out, key);
        fprintf(out, " | %s", key->about);
        page_kinds(out, object, key);
        fputs(" |\n", out);
    }
}

#define PAGE_MARK "## Every key\n"

/* The page from PAGE_MARK to its end. */
static inline void write_page(FILE *out)
{
    struct objects objects = {.count = 0};
    collect(&objects, ow_keys_garden());
    fputs(PAGE_MARK "\nThis part is written from the table that the reader itself uses.\n", out);
    for (size_t i = 0; i < objects.count; i++) {
        page_object(out, objects.item[i]);
    }
}

#endif
