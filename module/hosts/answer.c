/* SPDX-License-Identifier: MIT */
#include "hosts/answer.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/faults.h"

static const char MEMBER[] = "household-", NOTHING[] = "nothing";
enum { CHOICES = 900 };

/* ---- choices --------------------------------------------------------------------------------- */

static void add_choice(char list[CHOICES], const char *word)
{
    size_t used = strlen(list);
    snprintf(list + used, CHOICES - used, "%s%s", used > 0 ? ", " : "", word);
}

static ow_status refuse(ow_report *report, const char *what, const char *said, const char *choices)
{
    char shown[OW_SHOWN_SIZE];
    ow_error(report, "%s \"%s\" is not known; it must be one of %s", what, ow_shown(shown, said),
             choices);
    return OW_BAD_INPUT;
}

static const cJSON *item(const cJSON *object, const char *key)
{
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

static const char *text_in(const cJSON *object, const char *key)
{
    return cJSON_GetStringValue(item(object, key));
}

static const cJSON *nodes_of(const cJSON *description)
{
    return item(description, "nodes");
}

static const cJSON *properties_of(const cJSON *description, const char *node)
{
    return item(item(nodes_of(description), node), "properties");
}

static bool is_settable(const cJSON *property)
{
    return property->string != NULL && cJSON_IsTrue(item(property, "settable"));
}

static const cJSON *first_settable(const cJSON *properties)
{
    const cJSON *p = properties != NULL ? properties->child : NULL;
    while (p != NULL && !is_settable(p)) {
        p = p->next;
    }
    return p;
}

/* ---- which property -------------------------------------------------------------------------- */

static bool find_node(const cJSON *description, const char *thing, ow_answer *answer)
{
    static const char *const prefixes[] = {"", MEMBER};
    for (int i = 0; i < 2; i++) {
        int length = snprintf(answer->node, sizeof answer->node, "%s%s", prefixes[i], thing);
        if (length > 0 && (size_t)length < sizeof answer->node &&
            first_settable(properties_of(description, answer->node)) != NULL) {
            return true;
        }
    }
    return false;
}

static ow_status refuse_thing(const cJSON *description, const char *thing, ow_report *report)
{
    char list[CHOICES] = "";
    const cJSON *node;
    cJSON_ArrayForEach(node, nodes_of(description))
    {
        if (node->string != NULL && first_settable(item(node, "properties")) != NULL) {
            add_choice(list, node->string);
        }
    }
    return refuse(report, "thing", thing, list);
}

ow_status ow_answer_find(const cJSON *description, const ow_words *words, ow_report *report,
                         ow_answer *answer)
{
    char list[CHOICES] = "";
    const char *word = strcmp(words->word, "moved") == 0 ? "place" : words->word;
    if (!find_node(description, words->thing, answer)) {
        return refuse_thing(description, words->thing, report);
    }
    const cJSON *p;
    cJSON_ArrayForEach(p, properties_of(description, answer->node))
    {
        if (is_settable(p) && strcmp(p->string, word) == 0) {
            answer->property = p->string;
            return OW_OK;
        }
        if (is_settable(p)) {
            add_choice(list, p->string);
        }
    }
    return refuse(report, "word", words->word, list);
}

/* ---- values ---------------------------------------------------------------------------------- */

static bool is(const ow_answer *answer, const char *property)
{
    return strcmp(answer->property, property) == 0;
}

bool ow_answer_meant_topic(const ow_answer *answer, char *topic, size_t room)
{
    int length = is(answer, "done")      ? snprintf(topic, room, "garden/jobs")
                 : is(answer, "noticed") ? snprintf(topic, room, "%s/notice", answer->node)
                                         : -1;
    return length > 0 && (size_t)length < room;
}

static ow_status put(ow_answer *answer, const char *text, ow_report *report)
{
    if (strlen(text) >= sizeof answer->payload) {
        ow_error(report, "overwinter: what is said is longer than %zu bytes; say less",
                 sizeof answer->payload - 1);
        return OW_BAD_INPUT;
    }
    strcpy(answer->payload, text);
    return OW_OK;
}

static ow_status put_json(ow_answer *answer, cJSON *json, ow_report *report)
{
    char *text = json != NULL ? cJSON_PrintUnformatted(json) : NULL;
    ow_status status = text != NULL ? put(answer, text, report) : OW_NO_MEMORY;
    cJSON_free(text);
    cJSON_Delete(json);
    return status;
}

static ow_status missing(const ow_answer *answer, const char *what, ow_report *report)
{
    ow_error(report, "overwinter: %s %s needs a value: %s", answer->node, answer->property, what);
    return OW_BAD_INPUT;
}

/* "a,b,c" of the convention's enums. */
static ow_status fill_enum(const cJSON *p, const ow_words *words, ow_report *report,
                           ow_answer *answer)
{
    char list[CHOICES] = "";
    const char *format = text_in(p, "format");
    for (const char *at = format != NULL ? format : ""; *at != '\0';) {
        char choice[OW_ANSWER_NODE];
        size_t length = strcspn(at, ",");
        snprintf(choice, sizeof choice, "%.*s", (int)length, at);
        if (words->value != NULL && strcmp(words->value, choice) == 0) {
            return put(answer, choice, report);
        }
        add_choice(list, choice);
        at += length + (at[length] == ',');
    }
    return words->value == NULL ? missing(answer, list, report)
                                : refuse(report, answer->property, words->value, list);
}

/* Adds the covers of "a,b" that `known` has. */
static ow_status wear(cJSON *worn, const char *value, const cJSON *known, const char *choices,
                      ow_report *report)
{
    for (const char *at = value; *at != '\0';) {
        char id[OW_ANSWER_NODE];
        const cJSON *cover;
        bool found = false;
        size_t length = strcspn(at, ",");
        snprintf(id, sizeof id, "%.*s", length < sizeof id ? (int)length : 0, at);
        cJSON_ArrayForEach(cover, known)
        {
            const char *name = cJSON_GetStringValue(cover);
            found = found || (name != NULL && strcmp(name, id) == 0);
        }
        if (!found) {
            return refuse(report, "cover", id, choices);
        }
        if (!cJSON_AddItemToArray(worn, cJSON_CreateString(id))) {
            return OW_NO_MEMORY;
        }
        at += length + (at[length] == ',');
    }
    return OW_OK;
}

/* Covers by their ids with commas between, or "nothing"; the schema of the property lists them. */
static ow_status fill_covers(const cJSON *p, const ow_words *words, ow_report *report,
                             ow_answer *answer)
{
    char list[CHOICES] = "";
    const char *format = text_in(p, "format");
    cJSON *schema = cJSON_Parse(format != NULL ? format : "");
    const cJSON *known = item(item(schema, "items"), "enum"), *cover;
    add_choice(list, NOTHING);
    cJSON_ArrayForEach(cover, known)
    {
        const char *name = cJSON_GetStringValue(cover);
        add_choice(list, name != NULL ? name : "");
    }
    ow_status status = words->value == NULL ? missing(answer, list, report) : OW_OK;
    cJSON *worn = cJSON_CreateArray();
    if (status == OW_OK && strcmp(words->value, NOTHING) != 0) {
        status = wear(worn, words->value, known, list, report);
    }
    cJSON_Delete(schema);
    if (status != OW_OK) {
        cJSON_Delete(worn);
        return status;
    }
    return put_json(answer, worn, report);
}

/* The job that the garden asks for on this plant now; NULL: none. */
static const char *job_asked(const cJSON *jobs, const char *plant)
{
    const cJSON *job;
    cJSON_ArrayForEach(job, jobs)
    {
        const char *of = text_in(job, "plant");
        if (of != NULL && strcmp(of, plant) == 0) {
            return text_in(job, "job");
        }
    }
    return NULL;
}

static ow_status needs_who(const ow_words *words, ow_report *report)
{
    if (words->who != NULL && words->who[0] != '\0') {
        return OW_OK;
    }
    ow_error(report, "overwinter: say who you are: --who NAME");
    return OW_BAD_INPUT;
}

static ow_status fill_done(const ow_words *words, const cJSON *meant, ow_report *report,
                           ow_answer *answer)
{
    const char *job = words->value != NULL ? words->value : job_asked(meant, answer->node);
    ow_status status = needs_who(words, report);
    if (status == OW_OK && job == NULL) {
        ow_error(report, "%s: no job is asked for on it now, so none can be done", answer->node);
        status = OW_BAD_INPUT;
    }
    if (status != OW_OK) {
        return status;
    }
    cJSON *o = cJSON_CreateObject();
    if (cJSON_AddStringToObject(o, "job", job) == NULL ||
        cJSON_AddStringToObject(o, "who", words->who) == NULL) {
        cJSON_Delete(o);
        return OW_NO_MEMORY;
    }
    return put_json(answer, o, report);
}

static ow_status fill_noticed(const ow_words *words, const cJSON *meant, ow_report *report,
                              ow_answer *answer)
{
    const char *id = words->value != NULL ? words->value : text_in(meant, "id");
    if (id == NULL) {
        ow_error(report, "%s: no notice stands, so none can be noticed", answer->node);
        return OW_BAD_INPUT;
    }
    return put(answer, id, report);
}

static ow_status fill_release(const ow_words *words, ow_report *report, ow_answer *answer)
{
    ow_status status = needs_who(words, report);
    return status == OW_OK ? put(answer, words->who, report) : status;
}

ow_status ow_answer_fill(const cJSON *description, const ow_words *words, const cJSON *meant,
                         ow_report *report, ow_answer *answer)
{
    const cJSON *p = item(properties_of(description, answer->node), answer->property);
    const char *datatype = text_in(p, "datatype");
    bool alone = is(answer, "release") || is(answer, "stop");
    if (alone && words->value != NULL && strcmp(words->value, "true") != 0) {
        char shown[OW_SHOWN_SIZE];
        ow_error(report, "overwinter: %s %s takes no value, and was given \"%s\"", answer->node,
                 answer->property, ow_shown(shown, words->value));
        return OW_BAD_INPUT;
    }
    if (datatype != NULL && strcmp(datatype, "enum") == 0) {
        return fill_enum(p, words, report, answer);
    }
    if (is(answer, "wearing")) {
        return fill_covers(p, words, report, answer);
    }
    if (is(answer, "done")) {
        return fill_done(words, meant, report, answer);
    }
    if (is(answer, "noticed")) {
        return fill_noticed(words, meant, report, answer);
    }
    if (is(answer, "release")) {
        return fill_release(words, report, answer);
    }
    if (is(answer, "stop")) {
        return put(answer, "true", report);
    }
    ow_error(report,
             "overwinter: %s %s cannot be told from here; this program is older than the "
             "garden's module",
             answer->node, answer->property);
    return OW_BAD_INPUT;
}
