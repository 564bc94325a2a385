/* SPDX-License-Identifier: MIT */
#include "hosts/guard/guard.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "garden/alerts.h"
#include "hosts/clocks.h"
#include "hosts/credentials.h"
#include "hosts/garden_file.h"
#include "hosts/guard/offs.h"
#include "hosts/journal.h"
#include "hosts/local_time.h"
#include "hosts/minding.h"
#include "hosts/service.h"
#include "hosts/topics.h"
#include "hosts/turn.h"

enum {
    TURN_MS = 250, /* real */
    LEAST_LATE_REAL_MS = 1000,
    STORED_REAL_MS = 2000, /* for the broker to tell what it has stored */
    NO_LEASE_S = 300,      /* without outputs */
    ID_ROOM = 128,
    TOPIC_ROOM = 512,
    NOTICE_ROOM = 512
};

typedef struct guard {
    const ow_module *module;
    ow_clocks clocks;
    ow_engine *engine;
    const ow_link *link;
    int outputs;
    ow_off *output;
    ow_off_task *task;
    ow_client *client;
    char client_id[ID_ROOM], notice_topic[TOPIC_ROOM];
    ow_minding minding;
    uint64_t late_ms;     /* the beat may be as old as that (paced) */
    uint64_t watching_ms; /* since when we can see (paced) */
    uint64_t turned_ms;   /* the last turn (paced) */
    enum { NOT_SURE, MINDED, UNMINDED } seen;
    uint64_t seen_ms;   /* since when (paced) */
    bool told, cleared; /* the notice stands; it is known not to stand */
} guard;

static uint64_t now_ms(const guard *g)
{
    return ow_clocks_now(&g->clocks).boot_ms;
}

/* ---- what the broker tells ------------------------------------------------------------------- */

/* With each connection the guard knows nothing, and what is not known is not minded. */
static void up(void *self)
{
    guard *g = self;
    g->minding = (ow_minding){0};
    g->seen = NOT_SURE;
    g->watching_ms = now_ms(g);
    (void)ow_client_subscribe(g->client, g->link->state_topic, false);
    (void)ow_client_subscribe(g->client, g->link->beat_topic, false);
    for (int i = 0; i < g->outputs; i++) {
        g->task[i] = (ow_off_task){0};
        if (g->output[i].reported_topic != NULL) {
            (void)ow_client_subscribe(g->client, g->output[i].reported_topic, false);
        }
    }
}

static void down(void *self)
{
    (void)self; /* nothing can be said until the link is up again */
}

static void hear_report(guard *g, const ow_message *message)
{
    for (int i = 0; i < g->outputs; i++) {
        const ow_off *o = &g->output[i];
        if (o->reported_topic == NULL || message->retained ||
            strcmp(o->reported_topic, message->topic) != 0) {
            continue;
        }
        bool off = message->size == strlen(o->reported_off) &&
                   memcmp(message->payload, o->reported_off, message->size) == 0;
        ow_off_heard(&g->task[i], off, now_ms(g));
    }
}

static void hear(void *self, const ow_message *message)
{
    guard *g = self;
    ow_minding_hear(&g->minding, g->link, message, now_ms(g));
    hear_report(g, message);
}

/* ---- what it does ---------------------------------------------------------------------------- */

/*
 * How long to look before it is sure. Who says to be ready must show a beat within the time; who
 * is said to be away is not waited for.
 */
static uint64_t patience_ms(const guard *g)
{
    switch (g->minding.minder) {
    case OW_MINDER_READY:
        return g->late_ms;
    case OW_MINDER_AWAY:
        return 0;
    default:
        return (uint64_t)STORED_REAL_MS * (uint64_t)g->clocks.pace;
    }
}

static bool unminded(const guard *g, uint64_t at_ms)
{
    uint64_t ready_ms = g->minding.ready_ms;
    uint64_t since_ms = ready_ms > g->watching_ms ? ready_ms : g->watching_ms;
    return !ow_minding_alive(&g->minding, at_ms, g->late_ms) && at_ms - since_ms > patience_ms(g);
}

/* The one notice, in the garden's own tree, stored, so that it is seen by who comes later. */
static void give_notice(guard *g)
{
    char text[NOTICE_ROOM], when[OW_LOCAL_TEXT];
    int length = snprintf(text, sizeof text,
                          "Nobody minds the garden since about %s. Every output is being told to "
                          "switch off. Look after heaters and frost-tender plants, then start "
                          "the hub again.",
                          ow_local_short(ow_clocks_now(&g->clocks).utc_ms / 1000, when));
    g->told = ow_client_publish(g->client, g->notice_topic, text, (size_t)length, true, 0);
    g->cleared = g->cleared && !g->told;
}

static void say_off(guard *g, uint64_t at_ms)
{
    for (int i = 0; i < g->outputs; i++) {
        const ow_off *o = &g->output[i];
        if (ow_off_due(&g->task[i], at_ms) &&
            ow_client_publish(g->client, o->topic, o->payload, strlen(o->payload), false, 0)) {
            ow_off_said(&g->task[i], at_ms);
        }
    }
    /* A hub that only comes up anew is back before the second off. */
    if (at_ms - g->seen_ms >= OW_OFF_QUICK_MS && !g->told) {
        give_notice(g);
    }
}

static void be_minded(guard *g)
{
    if (g->seen != MINDED) {
        ow_journal(OW_LEVEL_INFO, "the garden is minded");
        g->seen = MINDED;
        memset(g->task, 0, (size_t)g->outputs * sizeof *g->task);
    }
    /* Also a notice that an earlier guard left. */
    if (!g->cleared && ow_client_publish(g->client, g->notice_topic, "", 0, true, 0)) {
        g->cleared = true;
        g->told = false;
    }
}

static void look(guard *g)
{
    uint64_t at_ms = now_ms(g);
    /* Whoever slept must look again before it judges; what came meanwhile is being read. */
    if (at_ms - g->turned_ms > g->late_ms / 2) {
        g->watching_ms = at_ms;
        g->minding.changed_ms = g->minding.beats ? at_ms : g->minding.changed_ms;
    }
    g->turned_ms = at_ms;
    if (!ow_client_up(g->client)) {
        return;
    }
    if (ow_minding_alive(&g->minding, at_ms, g->late_ms)) {
        be_minded(g);
    } else if (unminded(g, at_ms)) {
        if (g->seen != UNMINDED) {
            ow_journal(OW_LEVEL_WARN, "nobody minds the garden: off to %d outputs", g->outputs);
            g->seen = UNMINDED;
            g->seen_ms = at_ms;
        }
        say_off(g, at_ms);
    }
}

/* ---- coming up and going down ---------------------------------------------------------------- */

static void let_go(guard *g)
{
    ow_client_free(g->client);
    free(g->output);
    free(g->task);
    if (g->engine != NULL) {
        g->module->close(g->engine);
    }
    free(g);
}

static ow_status take_outputs(guard *g)
{
    g->outputs = g->module->off_count(g->engine);
    g->output = calloc((size_t)g->outputs + 1, sizeof *g->output);
    g->task = calloc((size_t)g->outputs + 1, sizeof *g->task);
    if (g->output == NULL || g->task == NULL) {
        return OW_NO_MEMORY;
    }
    for (int i = 0; i < g->outputs; i++) {
        g->module->off(g->engine, i, &g->output[i]);
    }
    double lease_s = g->link->shortest_lease_s > 0.0 ? g->link->shortest_lease_s : NO_LEASE_S;
    uint64_t least_ms = (uint64_t)LEAST_LATE_REAL_MS * (uint64_t)g->clocks.pace;
    g->late_ms = (uint64_t)(lease_s * 1000.0 * 2.0 / 3.0);
    g->late_ms = g->late_ms > least_ms ? g->late_ms : least_ms;
    g->turned_ms = g->watching_ms = now_ms(g);
    return OW_OK;
}

static ow_status make_client(guard *g, ow_report *report)
{
    snprintf(g->client_id, sizeof g->client_id, "overwinter-%s-guard",
             g->module->garden_id(g->engine));
    if (!ow_topic_of_device(g->link, "$alert/" OW_ALERT_UNMINDED, g->notice_topic,
                            sizeof g->notice_topic)) {
        return OW_FULL;
    }
    const ow_client_setup setup = {
        .link = g->link, .id = g->client_id, .self = g, .up = up, .down = down, .message = hear};
    return ow_client_new(&setup, report, &g->client);
}

/* A guard for the file as it is now. It does not connect before its first turn. */
static ow_status begin(const ow_module *module, const ow_clocks *clocks, const char *garden,
                       ow_report *report, guard **begun)
{
    const ow_host host = {.utc_offset_s = ow_local_offset_s};
    guard *g = calloc(1, sizeof *g);
    if (g == NULL) {
        return OW_NO_MEMORY;
    }
    g->module = module;
    g->clocks = *clocks;
    ow_status status = ow_garden_file_open(module, &host, garden, NULL, report, &g->engine);
    if (status == OW_OK) {
        g->link = module->link(g->engine);
        status = ow_link_check(g->link, clocks->shifted, garden, report);
    }
    status = status == OW_OK ? take_outputs(g) : status;
    status = status == OW_OK ? make_client(g, report) : status;
    if (status != OW_OK) {
        let_go(g);
        return status;
    }
    *begun = g;
    return OW_OK;
}

/* Gives the new guard, or the one there was when the file is wrong. */
static guard *begin_anew(guard *g, const char *garden)
{
    guard *next = NULL;
    ow_journal_report journal;
    ow_journal_report_start(&journal);
    if (begin(g->module, &g->clocks, garden, &journal.report, &next) == OW_OK) {
        ow_journal(OW_LEVEL_INFO, "%s: taken", garden);
        let_go(g);
        return next;
    }
    /* The zone may be the other's by now. */
    ow_status zone = ow_local_zone(g->module->time_zone(g->engine), garden, &journal.report);
    ow_journal(OW_LEVEL_ERROR, "%s: not taken%s; the guard goes on as it was", garden,
               zone == OW_OK ? "" : ", and the time zone was lost");
    return g;
}

static guard *loop(guard *g, const char *garden, int signal_fd)
{
    for (;;) {
        switch (ow_turn(g->client, signal_fd, TURN_MS)) {
        case OW_SIGNAL_STOP:
            return g;
        case OW_SIGNAL_RELOAD:
            g = begin_anew(g, garden);
            break;
        default:
            look(g);
            break;
        }
    }
}

ow_status ow_guard_run(const ow_module *module, const char *garden, int pace, ow_report *report)
{
    guard *g = NULL;
    ow_clocks clocks;
    int signal_fd = -1;
    ow_clocks_start(&clocks, INT64_MIN, pace);
    ow_status status = ow_signals_open(&signal_fd);
    status = status == OW_OK ? begin(module, &clocks, garden, report, &g) : status;
    if (status == OW_OK) {
        ow_journal(OW_LEVEL_INFO, "guarding %d outputs; a beat older than %.0f s is late",
                   g->outputs, (double)g->late_ms / 1000.0);
        ow_service_tell("READY=1");
        g = loop(g, garden, signal_fd);
        ow_service_tell("STOPPING=1");
        let_go(g);
    }
    if (signal_fd >= 0) {
        close(signal_fd);
    }
    return status;
}
