/* SPDX-License-Identifier: MIT */
#include "hosts/run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "hosts/clocks.h"
#include "hosts/complaint.h"
#include "hosts/credentials.h"
#include "hosts/garden_file.h"
#include "hosts/journal.h"
#include "hosts/keeper.h"
#include "hosts/local_time.h"
#include "hosts/other_hub.h"
#include "hosts/service.h"
#include "hosts/topics.h"
#include "hosts/turn.h"

static const uint64_t TICK_MS = 1000, LEAST_TICK_MS = 5, BUSY_TICK_MS = 10, LEAST_BUSY_MS = 1;
static const uint64_t KEEP_MS = 60000, LEAST_KEEP_MS = 1000;
static const uint64_t FLUSH_MS = 2000;
static const double SHARE_OF_LEASE = 3.0;  /* leases are renewed at a third */
static const uint32_t SLACK_REAL_MS = 200; /* what a turn and a message may take on this machine */
enum { ID_ROOM = 128 };

struct run {
    const ow_module *module;
    const ow_options *options;
    ow_host host;
    ow_clocks clocks;
    int signal_fd;
    ow_engine *engine;
    const ow_link *link; /* the engine's */
    ow_client *client;
    char client_id[ID_ROOM];
    ow_keeper keeper;
    bool live; /* the engine has gone live and was not stopped */
    bool heard; /* a message, since the last tick */
    uint64_t ticked_ms; /* real */
    ow_complaint failing;
};

/* ---- what the module asks for ---------------------------------------------------------------- */

/*
 * A command that cannot be delivered in good time must not be delivered late, when a device comes
 * back to a session that its broker kept for it.
 */
static unsigned expiry_s(const struct run *run, const char *topic, bool retain)
{
    double lease_s = run->link->shortest_lease_s;
    if (retain || lease_s <= 0.0 || ow_topic_is_own(run->link, topic)) {
        return 0;
    }
    return (unsigned)fmax(1.0, ceil(lease_s / SHARE_OF_LEASE / run->clocks.pace));
}

static bool publish(void *self, const char *topic, const void *payload, size_t size, bool retain)
{
    struct run *run = self;
    return run->client != NULL && ow_client_publish(run->client, topic, payload, size, retain,
                                                    expiry_s(run, topic, retain));
}

static bool subscribe(void *self, const char *topic)
{
    struct run *run = self;
    return run->client != NULL &&
           ow_client_subscribe(run->client, topic, ow_topic_is_set(run->link, topic));
}

static void tell_event(void *self, int64_t utc_s, const char *subject, const char *event,
                       const char *detail)
{
    char when[OW_LOCAL_TEXT];
    struct run *run = self;
    ow_keeper_note(&run->keeper, utc_s, subject, event, detail);
    printf("%s  %s: %s%s%s\n", ow_local_short(utc_s, when), subject, event,
           detail[0] != '\0' ? ": " : "", detail);
    fflush(stdout); /* whether anybody reads it changes nothing here */
}

/* ---- what the broker tells ------------------------------------------------------------------- */

static void note(struct run *run, const char *what, ow_status status)
{
    if (status == OW_OK) {
        return;
    }
    if (ow_complaint_due(&run->failing, ow_real_ms())) {
        ow_journal(OW_LEVEL_ERROR, "%s failed: %s", what, ow_status_text(status));
    }
}

static void up(void *self)
{
    struct run *run = self;
    note(run, "coming up", run->module->connected(run->engine, ow_clocks_now(&run->clocks), true));
}

static void down(void *self)
{
    struct run *run = self;
    note(run, "going down",
         run->module->connected(run->engine, ow_clocks_now(&run->clocks), false));
}

static void hear(void *self, const ow_message *message)
{
    struct run *run = self;
    run->heard = true;
    note(run, message->topic,
         run->module->message(run->engine, ow_clocks_now(&run->clocks), message));
}

/* ---- coming up ------------------------------------------------------------------------------- */

static ow_status open_garden(struct run *run, ow_report *report, ow_engine **engine)
{
    static const ow_settings settings = {.foresight_h = 72.0, .step_s = 600, .start_air_c = NAN};
    ow_engine *opened = NULL;
    ow_status status = ow_garden_file_open(run->module, &run->host, run->options->garden, &settings,
                                           report, &opened);
    if (status != OW_OK) {
        return status;
    }
    status =
        ow_link_check(run->module->link(opened), run->clocks.shifted, run->options->garden, report);
    if (status != OW_OK) {
        run->module->close(opened);
        return status;
    }
    *engine = opened;
    return OW_OK;
}

static void use(struct run *run, ow_engine *engine)
{
    run->engine = engine;
    run->link = run->module->link(engine);
}

static ow_status make_client(struct run *run, ow_report *report)
{
    /* A fixed name: the broker throws out what is left of an earlier connection, and its will is
     * said before we say anything. */
    snprintf(run->client_id, sizeof run->client_id, "overwinter-%s",
             run->module->garden_id(run->engine));
    const ow_client_setup setup = {.link = run->link,
                                   .id = run->client_id,
                                   .will_topic = run->module->will_topic(run->engine),
                                   .will_payload = run->module->will_payload(run->engine),
                                   .self = run,
                                   .up = up,
                                   .down = down,
                                   .message = hear};
    return ow_client_new(&setup, report, &run->client);
}

static ow_status be_alone(struct run *run, ow_report *report, bool *stopped)
{
    ow_watched watched = OW_WATCHED_NOBODY;
    ow_status status =
        ow_other_hub_watch(run->link, run->module->garden_id(run->engine), &run->clocks,
                           run->signal_fd, run->options->once, report, &watched);
    *stopped = watched == OW_WATCHED_STOPPED;
    if (status == OW_OK && watched == OW_WATCHED_ANOTHER) {
        ow_error(report,
                 "%s: another instance minds this garden: its beat changes on %s; end that one "
                 "first",
                 run->options->garden, run->link->beat_topic);
        return OW_FULL;
    }
    if (status == OW_OK && watched == OW_WATCHED_NO_BROKER) {
        ow_error(report, "%s: the broker at %s:%d cannot be reached", run->options->garden,
                 run->link->host, run->link->port);
        return OW_IO;
    }
    return status;
}

/* ---- going down ------------------------------------------------------------------------------ */

/* Outputs off first; the broker gets a moment to take the messages. */
static void stop_live(struct run *run)
{
    if (run->live) {
        run->live = false;
        note(run, "stopping", run->module->stop(run->engine, ow_clocks_now(&run->clocks)));
        if (run->client != NULL) {
            ow_flush(run->client, FLUSH_MS);
        }
    }
    ow_client_free(run->client);
    run->client = NULL;
}

static void end(struct run *run)
{
    bool was_live = run->live;
    stop_live(run);
    ow_keeper_close(&run->keeper, run->module, was_live ? run->engine : NULL, &run->host);
    if (run->engine != NULL) {
        run->module->close(run->engine);
    }
    if (run->signal_fd >= 0) {
        close(run->signal_fd);
    }
}

/* ---- a new garden file ----------------------------------------------------------------------- */

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* What cannot change under a running instance without losing sight of another one. */
static ow_status same_garden(const struct run *run, const ow_link *fresh, ow_report *report)
{
    const ow_link *old = run->link;
    if (same_text(old->state_topic, fresh->state_topic) && same_text(old->host, fresh->host) &&
        old->port == fresh->port && same_text(old->store, fresh->store)) {
        return OW_OK;
    }
    ow_error(report,
             "%s: the garden's id, root, broker or store is another one now; stop and start anew "
             "for that",
             run->options->garden);
    return OW_BAD_INPUT;
}

/* The new garden, proved in all that can be proved beside the old one. */
static ow_status open_next(struct run *run, ow_report *report, ow_engine **next)
{
    ow_engine *opened = NULL;
    ow_status status = open_garden(run, report, &opened);
    if (status != OW_OK) {
        return status;
    }
    const ow_link *link = run->module->link(opened);
    const ow_client_setup proof = {.link = link, .id = "proof"};
    ow_client *client = NULL;
    status = same_garden(run, link, report);
    status = status == OW_OK ? ow_client_new(&proof, report, &client) : status;
    ow_client_free(client);
    if (status != OW_OK) {
        run->module->close(opened);
        return status;
    }
    *next = opened;
    return OW_OK;
}

/* Hands the old garden's state to the new one. */
static ow_status change_over(struct run *run, ow_engine *next, ow_report *report)
{
    void *state = NULL;
    size_t size = 0;
    stop_live(run);
    ow_status status = run->module->save(run->engine, &state, &size);
    if (status == OW_OK) {
        status = run->module->go_live(next, ow_clocks_now(&run->clocks), state, size, report);
    }
    free(state);
    run->module->close(run->engine);
    use(run, next);
    run->live = status == OW_OK;
    return status == OW_OK ? make_client(run, report) : status;
}

static ow_status reload(struct run *run)
{
    ow_journal_report journal;
    ow_journal_report_start(&journal);
    ow_engine *next = NULL;
    ow_journal(OW_LEVEL_INFO, "%s: reading it anew", run->options->garden);
    if (open_next(run, &journal.report, &next) != OW_OK) {
        ow_journal(OW_LEVEL_ERROR, "%s: not taken; the garden goes on as it was",
                   run->options->garden);
        /* The zone may be the other's by now. */
        note(run, "the time zone",
             ow_local_zone(run->module->time_zone(run->engine), run->options->garden,
                           &journal.report));
        return OW_OK;
    }
    ow_status status = change_over(run, next, &journal.report);
    if (status == OW_OK) {
        ow_journal(OW_LEVEL_INFO, "%s: taken", run->options->garden);
    }
    return status;
}

/* ---- running --------------------------------------------------------------------------------- */

static void tick(struct run *run)
{
    ow_status status = run->module->tick(run->engine, ow_clocks_now(&run->clocks));
    note(run, "a tick", status);
    if (status == OW_OK && ow_complaint_over(&run->failing)) {
        ow_journal(OW_LEVEL_INFO, "it goes on again");
    }
    ow_keeper_turn(&run->keeper, run->module, run->engine, &run->host, ow_real_ms(),
                   ow_clocks_real_span(&run->clocks, KEEP_MS, LEAST_KEEP_MS));
}

/* What a message changes is acted on at once, but for a flood of them. */
static uint64_t gap_ms(const struct run *run)
{
    uint64_t gap_ms = ow_clocks_real_span(&run->clocks, TICK_MS, LEAST_TICK_MS);
    uint64_t busy_ms = ow_clocks_real_span(&run->clocks, BUSY_TICK_MS, LEAST_BUSY_MS);
    bool soon = run->heard || run->module->busy(run->engine);
    return soon && gap_ms > busy_ms ? busy_ms : gap_ms;
}

/* On its beat where it is not late; one that comes late is one tick, and the module sees the rest
 * in the clocks. */
static void tick_when_due(struct run *run)
{
    uint64_t gone_ms = ow_real_ms() - run->ticked_ms, due_ms = gap_ms(run);
    if (gone_ms >= due_ms) {
        run->ticked_ms += gone_ms < 2 * due_ms ? due_ms : gone_ms;
        run->heard = false;
        tick(run);
    }
}

static uint64_t wait_ms(const struct run *run)
{
    uint64_t gone_ms = ow_real_ms() - run->ticked_ms, due_ms = gap_ms(run);
    return gone_ms < due_ms ? due_ms - gone_ms : 0;
}

static ow_status loop(struct run *run)
{
    for (;;) {
        tick_when_due(run);
        ow_signal signal = ow_turn(run->client, run->signal_fd, wait_ms(run));
        if (signal == OW_SIGNAL_STOP) {
            return OW_OK;
        }
        ow_status status = signal == OW_SIGNAL_RELOAD ? reload(run) : OW_OK;
        if (status != OW_OK) {
            return status;
        }
    }
}

static ow_status start(struct run *run, ow_report *report, bool *stopped)
{
    ow_engine *engine = NULL;
    ow_status status = open_garden(run, report, &engine);
    if (status != OW_OK) {
        return status;
    }
    use(run, engine);
    if (run->link->store == NULL && run->module->off_count(engine) > 0) {
        ow_say(report, "%s: advice: without a store a stop by hand, and what else latched, is "
                       "forgotten at a restart", run->options->garden);
    }
    status = ow_keeper_open(&run->keeper, run->link->store, report);
    if (status == OW_OK) {
        ow_service_tell("READY=1"); /* the broker may come later */
        status = be_alone(run, report, stopped);
    }
    if (status != OW_OK || *stopped) {
        return status;
    }
    status =
        ow_keeper_go_live(&run->keeper, run->module, engine, ow_clocks_now(&run->clocks), report);
    run->live = status == OW_OK;
    return status == OW_OK ? make_client(run, report) : status;
}

/* At a fast pace a moment of this machine is minutes of the garden's time. */
static uint32_t slack_ms(int pace)
{
    return pace > 1 ? SLACK_REAL_MS * (uint32_t)pace : 0;
}

ow_status ow_run(const ow_module *module, const ow_options *options, ow_report *report)
{
    struct run run = {.module = module, .options = options, .signal_fd = -1};
    run.host = (ow_host){.self = &run,
                         .utc_offset_s = ow_local_offset_s,
                         .event = tell_event,
                         .publish = publish,
                         .subscribe = subscribe,
                         .log = ow_journal_line,
                         .can_switch_off = true,
                         .slack_ms = slack_ms(options->pace)};
    bool stopped = false;
    ow_clocks_start(&run.clocks, options->from_s, options->pace);
    ow_status status = ow_signals_open(&run.signal_fd);
    status = status == OW_OK ? start(&run, report, &stopped) : status;
    if (status == OW_OK && !stopped) {
        status = loop(&run);
    }
    ow_service_tell("STOPPING=1");
    end(&run);
    return status;
}
