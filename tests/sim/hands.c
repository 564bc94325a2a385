/* SPDX-License-Identifier: MIT */
#include "sim/hands.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "physics/calendar.h"

static const int64_t EARLY_S = 1800;    /* it is done a while before it must be */
static const int64_t REST_S = 3 * 3600; /* until the hub has looked at the plant again */

/* Jobs that change how a plant stands, and what is done once for the whole garden; to look is for
 * people of flesh and blood. */
static const char *const kinds[] = {"cover", "uncover", "carry in", "carry out"};
static const char GARDEN[] = "garden", DRAIN[] = "drain";

static bool is_asked(const sim_hands *h, const char *plant, const char *kind)
{
    if (strcmp(plant, GARDEN) == 0) {
        return h->plants != NULL && strcmp(kind, DRAIN) == 0;
    }
    size_t length = strlen(plant);
    const char *at = h->plants;
    bool mine = false, known = false;
    while (at != NULL && !mine) {
        mine = strncmp(at, plant, length) == 0 && (at[length] == ',' || at[length] == '\0');
        at = strchr(at, ',');
        at = at != NULL ? at + 1 : NULL;
    }
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        known |= strcmp(kinds[i], kind) == 0;
    }
    return mine && known;
}

static bool is_topic(const sim_hands *h, const char *topic)
{
    char jobs[256];
    snprintf(jobs, sizeof jobs, "%s/5/%s/garden/jobs", h->garden->root, h->garden->id);
    return strcmp(topic, jobs) == 0;
}

/* The garden comes after its plants; -1: nothing of that name. */
static int plant_named(const ow_garden *garden, const char *id)
{
    if (strcmp(id, GARDEN) == 0) {
        return garden->plant_count;
    }
    for (int i = 0; i < garden->plant_count; i++) {
        if (strcmp(garden->plants[i].id, id) == 0) {
            return i;
        }
    }
    return -1;
}

bool sim_hands_begin(sim_hands *h, const ow_garden *garden)
{
    h->garden = garden;
    h->busy_until_s = calloc((size_t)garden->plant_count + 1, sizeof *h->busy_until_s);
    return h->busy_until_s != NULL;
}

void sim_hands_end(sim_hands *h)
{
    free(h->busy_until_s);
}

static void take(sim_hands *h, const cJSON *o)
{
    const cJSON *plant = cJSON_GetObjectItemCaseSensitive(o, "plant");
    const cJSON *kind = cJSON_GetObjectItemCaseSensitive(o, "job");
    const cJSON *by = cJSON_GetObjectItemCaseSensitive(o, "by");
    int of = cJSON_IsString(plant) ? plant_named(h->garden, plant->valuestring) : -1;
    if (of < 0 || !cJSON_IsString(kind) || h->jobs == SIM_JOBS ||
        !is_asked(h, plant->valuestring, kind->valuestring)) {
        return;
    }
    sim_job *job = &h->job[h->jobs++];
    job->plant = of;
    snprintf(job->kind, sizeof job->kind, "%s", kind->valuestring);
    if (!cJSON_IsString(by) || ow_time_parse(by->valuestring, &job->by_s) != OW_OK) {
        job->by_s = INT64_MIN;
    }
}

void sim_hands_hear(sim_hands *h, const ow_message *m)
{
    const cJSON *o;
    if (!is_topic(h, m->topic)) {
        return;
    }
    cJSON *list = cJSON_ParseWithLength(m->payload, m->size);
    h->jobs = 0;
    cJSON_ArrayForEach(o, list)
    {
        take(h, o);
    }
    cJSON_Delete(list);
}

static void say_done(sim_hands *h, const sim_job *job, ow_client *client)
{
    char topic[256], text[128];
    const char *who = h->garden->household_count > 0 ? h->garden->household[0].id : "somebody";
    snprintf(topic, sizeof topic, "%s/5/%s/%s/done/set", h->garden->root, h->garden->id,
             job->plant < h->garden->plant_count ? h->garden->plants[job->plant].id : GARDEN);
    snprintf(text, sizeof text, "{\"job\":\"%s\",\"who\":\"%s\"}", job->kind, who);
    h->done += ow_client_publish(client, topic, text, strlen(text), false, 0);
}

void sim_hands_move(sim_hands *h, int64_t now_s, ow_client *client)
{
    for (int i = 0; i < h->jobs; i++) {
        sim_job *job = &h->job[i];
        if (now_s >= job->by_s - EARLY_S && now_s >= h->busy_until_s[job->plant]) {
            say_done(h, job, client);
            h->busy_until_s[job->plant] = now_s + REST_S;
            *job = h->job[--h->jobs];
            i--;
        }
    }
}
