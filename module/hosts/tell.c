/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/tell.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "garden/json_payload.h"
#include "hosts/answer.h"
#include "hosts/clocks.h"
#include "hosts/credentials.h"
#include "hosts/garden_file.h"
#include "hosts/local_time.h"
#include "hosts/topics.h"
#include "hosts/turn.h"

static const uint64_t ANSWER_MS = 10000; /* for the broker, and for the garden, each */
static const uint64_t STORED_MS = 2000;  /* for what the broker has stored */
enum { TOPIC_ROOM = 512, TURN_MS = 50, ID_ROOM = 160 };

typedef enum outcome { WAITING, TAKEN, REFUSED } outcome;

struct telling {
    const ow_link *link;
    ow_report *report;
    ow_client *client;
    char description_topic[TOPIC_ROOM], log_topic[TOPIC_ROOM];
    char state[32];               /* empty: none is stored */
    cJSON *description;           /* NULL: none is stored */
    char meant_topic[TOPIC_ROOM]; /* empty: nothing is to be looked up */
    cJSON *meant;
    char value_topic[TOPIC_ROOM], set_topic[TOPIC_ROOM]; /* empty: nothing is said yet */
    ow_answer answer;
    outcome outcome;
};

/* ---- hearing --------------------------------------------------------------------------------- */

static void up(void *self)
{
    struct telling *t = self;
    (void)ow_client_subscribe(t->client, t->link->state_topic, false);
    (void)ow_client_subscribe(t->client, t->description_topic, false);
    (void)ow_client_subscribe(t->client, t->log_topic, false);
}

static void down(void *self)
{
    (void)self; /* the waits come to their ends */
}

static void take_json(const ow_message *m, cJSON **json)
{
    char why[200];
    cJSON *root = NULL;
    if (m->size > 0 && ow_json_payload(m->payload, m->size, why, sizeof why, &root) == OW_OK) {
        cJSON_Delete(*json);
        *json = root;
    }
}

/* A refusal begins with the topic that was said; ours alone is meant. */
static void take_log(struct telling *t, const ow_message *m)
{
    size_t length = strlen(t->set_topic);
    const char *text = m->payload;
    if (length > 0 && m->size > length + 2 && memcmp(text, t->set_topic, length) == 0 &&
        text[length] == ':' && t->outcome == WAITING) {
        ow_error(t->report, "%s %s: %.*s", t->answer.node, t->answer.property,
                 (int)(m->size - length - 2), text + length + 2);
        t->outcome = REFUSED;
    }
}

static bool is_payload(const ow_message *m, const char *text)
{
    return m->size == strlen(text) && memcmp(m->payload, text, m->size) == 0;
}

static void hear(void *self, const ow_message *m)
{
    struct telling *t = self;
    if (strcmp(m->topic, t->link->state_topic) == 0) {
        snprintf(t->state, sizeof t->state, "%.*s", (int)m->size, (const char *)m->payload);
    } else if (strcmp(m->topic, t->description_topic) == 0) {
        if (t->description == NULL) { /* the answer points into it */
            take_json(m, &t->description);
        }
    } else if (strcmp(m->topic, t->log_topic) == 0) {
        take_log(t, m);
    } else if (strcmp(m->topic, t->meant_topic) == 0) {
        take_json(m, &t->meant);
    } else if (strcmp(m->topic, t->value_topic) == 0 && !m->retained && t->set_topic[0] != '\0' &&
               is_payload(m, t->answer.payload)) {
        t->outcome = t->outcome == WAITING ? TAKEN : t->outcome;
    }
}

/* ---- waiting --------------------------------------------------------------------------------- */

static bool is_found(const struct telling *t)
{
    return t->state[0] != '\0' && t->description != NULL;
}

static bool is_meant(const struct telling *t)
{
    return t->meant != NULL;
}

static bool is_settled(const struct telling *t)
{
    return ow_client_unacknowledged(t->client) == 0;
}

static bool is_answered(const struct telling *t)
{
    return t->outcome != WAITING;
}

/* Turns until `done`, or for limit_ms; false: in vain. */
static bool wait_for(const struct telling *t, bool (*done)(const struct telling *t),
                     uint64_t limit_ms)
{
    uint64_t begun_ms = ow_real_ms();
    while (!done(t)) {
        if (ow_real_ms() - begun_ms > limit_ms || ow_client_failures(t->client) > 0) {
            return false;
        }
        (void)ow_turn(t->client, -1, TURN_MS);
    }
    return true;
}

static bool is_up(const struct telling *t)
{
    return ow_client_up(t->client);
}

/* ---- saying ---------------------------------------------------------------------------------- */

static ow_status find_garden(const struct telling *t)
{
    if (!wait_for(t, is_up, ANSWER_MS)) {
        ow_error(t->report, "the broker at %s:%d cannot be reached; is it running?", t->link->host,
                 t->link->port);
        return OW_IO;
    }
    (void)wait_for(t, is_found, STORED_MS);
    if (!is_found(t) || strcmp(t->state, "ready") != 0) {
        ow_error(t->report,
                 "nobody minds the garden now (%s is %s), so nothing was said; start overwinter "
                 "run first",
                 t->link->state_topic, t->state[0] != '\0' ? t->state : "empty");
        return OW_IO;
    }
    return OW_OK;
}

/* Looks up what is meant by a word without a value. */
static void look_up(struct telling *t, const ow_words *words)
{
    char tail[TOPIC_ROOM];
    if (words->value == NULL && ow_answer_meant_topic(&t->answer, tail, sizeof tail) &&
        ow_topic_of_device(t->link, tail, t->meant_topic, sizeof t->meant_topic) &&
        ow_client_subscribe(t->client, t->meant_topic, false)) {
        (void)wait_for(t, is_meant, STORED_MS);
    }
}

static ow_status say(struct telling *t, const char *who)
{
    char tail[TOPIC_ROOM];
    snprintf(tail, sizeof tail, "%s/%s", t->answer.node, t->answer.property);
    bool fits = ow_topic_of_device(t->link, tail, t->value_topic, sizeof t->value_topic);
    bool asked = fits && ow_client_subscribe(t->client, t->value_topic, false) &&
                 wait_for(t, is_settled, ANSWER_MS);
    snprintf(tail, sizeof tail, "%s/%s/set", t->answer.node, t->answer.property);
    bool said = asked && ow_topic_of_device(t->link, tail, t->set_topic, sizeof t->set_topic) &&
                ow_client_say(t->client, t->set_topic, t->answer.payload, who);
    if (!said || !wait_for(t, is_answered, ANSWER_MS)) {
        ow_error(t->report, "%s %s: the garden gave no answer; look at it before you say it again",
                 t->answer.node, t->answer.property);
        return OW_IO;
    }
    return t->outcome == TAKEN ? OW_OK : OW_BAD_INPUT;
}

static ow_status tell_all(struct telling *t, const ow_words *words)
{
    ow_status status = find_garden(t);
    if (status == OW_OK) {
        status = ow_answer_find(t->description, words, t->report, &t->answer);
    }
    if (status == OW_OK) {
        look_up(t, words);
        status = ow_answer_fill(t->description, words, t->meant, t->report, &t->answer);
    }
    if (status == OW_OK) {
        status = say(t, words->who);
    }
    if (status == OW_OK) {
        printf("%s: %s %s is taken.\n", t->answer.node, t->answer.property, t->answer.payload);
    }
    return status;
}

/* ---- coming and going ------------------------------------------------------------------------ */

static ow_status join_and_tell(const ow_link *link, const char *garden_id, const ow_words *words,
                               ow_report *report)
{
    char id[ID_ROOM];
    snprintf(id, sizeof id, "overwinter-%s-tell-%ld", garden_id, (long)getpid());
    struct telling t = {.link = link, .report = report};
    if (!ow_topic_of_device(link, "$description", t.description_topic, TOPIC_ROOM) ||
        !ow_topic_of_device(link, "$log/warn", t.log_topic, TOPIC_ROOM)) {
        return OW_FULL;
    }
    const ow_client_setup setup = {
        .link = link, .id = id, .quiet = true, .self = &t, .up = up, .down = down, .message = hear};
    ow_status status = ow_client_new(&setup, report, &t.client);
    if (status == OW_OK) {
        status = tell_all(&t, words);
        ow_client_free(t.client);
    }
    cJSON_Delete(t.description);
    cJSON_Delete(t.meant);
    return status;
}

ow_status ow_tell(const ow_module *module, const ow_options *options, ow_report *report)
{
    const ow_host host = {.utc_offset_s = ow_local_offset_s};
    const char *login = getenv("LOGNAME");
    ow_words words = {.thing = options->thing,
                      .word = options->word,
                      .value = options->value,
                      .who = options->who != NULL ? options->who : login};
    ow_engine *engine;
    ow_status status = ow_garden_file_open(module, &host, options->garden, NULL, report, &engine);
    if (status != OW_OK) {
        return status;
    }
    const ow_link *link = module->link(engine);
    status = ow_link_check(link, false, options->garden, report);
    if (status == OW_OK) {
        status = join_and_tell(link, module->garden_id(engine), &words, report);
    }
    module->close(engine);
    return status;
}
