/* SPDX-License-Identifier: MIT */
/*
 * The module inside an MQTT broker, through its plugin interface, version 5.
 *
 * The broker has one thread and no locks around its structures: everything here runs in its
 * callbacks and is quick; the store's thread calls nothing of the broker. The broker tells neither
 * of stored messages nor of wills, ticks at its pleasure, and delivers nothing that is said while
 * it shuts down. So every output stays blocked in this host. Nothing in the garden file may stop
 * the broker: what is wrong is told, and the broker goes on without a garden.
 */
#define _POSIX_C_SOURCE 200809L

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <mosquitto.h>
#include <mosquitto_broker.h>
#include <mosquitto_plugin.h>

#include "garden/alerts.h"
#include "hosts/broker/garden_topic.h"
#include "hosts/broker/topic_set.h"
#include "hosts/broker/zone.h"
#include "hosts/clocks.h"
#include "hosts/complaint.h"
#include "hosts/garden_file.h"
#include "hosts/keeper.h"
#include "hosts/local_time.h"
#include "hosts/text_file.h"
#include "hosts/topics.h"
#include "hosts/who.h"

#define ENTRY __attribute__((visibility("default")))

static const uint64_t TICK_MS = 1000, BUSY_TICK_MS = 100, NO_TICK_MS = 10000, KEEP_MS = 60000;
static const char OPTION[] = "config";
enum { TOPIC_ROOM = 512, FAULT_ROOM = 512 };

const ow_module *overwinter_module(void); /* the core's door, linked in here */

struct hosted {
    mosquitto_plugin_id_t *id;
    char *path;
    const ow_module *module;
    ow_host host;
    ow_engine *engine; /* NULL: there is no garden */
    const ow_link *link;
    ow_keeper keeper;
    ow_topic_set topics;
    uint64_t next_tick_ms, ticked_ms;
    bool messages; /* one was seen since the last tick */
    uint64_t message_ms;
    bool closing;
    ow_complaint no_ticks, failing;
};

/* The lines of a report go to the broker's log; the first error is kept for the alert. */
struct telling {
    ow_report report;
    int errors_told;
    char first[FAULT_ROOM];
};

/* ---- what the module asks for ---------------------------------------------------------------- */

static void log_line(void *self, ow_level level, const char *line)
{
    static const int levels[] = {
        [OW_LEVEL_INFO] = MOSQ_LOG_INFO,
        [OW_LEVEL_WARN] = MOSQ_LOG_WARNING,
        [OW_LEVEL_ERROR] = MOSQ_LOG_ERR,
    };
    (void)self;
    mosquitto_log_printf(levels[level], "overwinter: %s", line);
}

/* The broker checks no topic of a plugin, and a wrong one breaks the links to its neighbours. */
static bool publish(void *self, const char *topic, const void *payload, size_t size, bool retain)
{
    const struct hosted *hosted = self;
    if (hosted->closing || size > INT_MAX ||
        mosquitto_pub_topic_check2(topic, strlen(topic)) != MOSQ_ERR_SUCCESS) {
        return false;
    }
    return mosquitto_broker_publish_copy(NULL, topic, (int)size, payload, 1, retain, NULL) ==
           MOSQ_ERR_SUCCESS;
}

static bool subscribe(void *self, const char *topic)
{
    struct hosted *hosted = self;
    return ow_topic_set_add(&hosted->topics, topic) == OW_OK;
}

static void tell_event(void *self, int64_t utc_s, const char *subject, const char *event,
                       const char *detail)
{
    struct hosted *hosted = self;
    ow_keeper_note(&hosted->keeper, utc_s, subject, event, detail);
    mosquitto_log_printf(MOSQ_LOG_INFO, "overwinter: %s: %s%s%s", subject, event,
                         detail[0] != '\0' ? ": " : "", detail);
}

/* ---- telling what is wrong ------------------------------------------------------------------- */

static void tell(void *self, const char *text)
{
    struct telling *telling = self;
    bool is_error = telling->report.errors > telling->errors_told;
    telling->errors_told = telling->report.errors;
    if (is_error && telling->first[0] == '\0') {
        snprintf(telling->first, sizeof telling->first, "%s", text);
    }
    log_line(NULL, is_error ? OW_LEVEL_ERROR : OW_LEVEL_INFO, text);
}

static void start_telling(struct telling *telling)
{
    *telling = (struct telling){.report = {.line = tell, .self = telling}};
}

static void note(struct hosted *hosted, const char *what, ow_status status)
{
    if (status != OW_OK && ow_complaint_due(&hosted->failing, ow_real_ms())) {
        mosquitto_log_printf(MOSQ_LOG_ERR, "overwinter: %s failed: %s", what,
                             ow_status_text(status));
    }
}

static void publish_text(struct hosted *hosted, const char *topic, const char *text)
{
    (void)publish(hosted, topic, text, strlen(text), true);
}

/* The alert of a garden that lives; an empty text clears it. */
static void set_alert(struct hosted *hosted, const char *text)
{
    char topic[TOPIC_ROOM];
    if (ow_topic_of_device(hosted->link, "$alert/" OW_ALERT_FILE, topic, sizeof topic)) {
        publish_text(hosted, topic, text);
    }
}

/* What the broker has stored of the garden may still say ready: nobody is. */
static void say_config_error(struct hosted *hosted, const char *fault)
{
    char *text = NULL;
    size_t size = 0;
    char topic[TOPIC_ROOM];
    if (ow_text_read(hosted->path, OW_GARDEN_FILE_MOST, NULL, &text, &size) != OW_OK) {
        return;
    }
    if (ow_garden_topic(text, size, "$state", topic, sizeof topic)) {
        publish_text(hosted, topic, "disconnected");
    }
    if (ow_garden_topic(text, size, "$alert/" OW_ALERT_FILE, topic, sizeof topic)) {
        publish_text(hosted, topic, fault);
    }
    free(text);
}

/* ---- a garden comes and goes ----------------------------------------------------------------- */

static ow_now now(void)
{
    ow_clocks clocks;
    ow_clocks_start(&clocks, INT64_MIN, 1);
    return ow_clocks_now(&clocks);
}

static ow_status open_garden(struct hosted *hosted, ow_report *report, ow_engine **engine)
{
    static const ow_settings settings = {.foresight_h = 72.0, .step_s = 1800, .start_air_c = NAN};
    char *text = NULL;
    size_t size = 0;
    ow_status status = ow_text_read(hosted->path, OW_GARDEN_FILE_MOST, report, &text, &size);
    if (status == OW_OK) {
        status = hosted->module->open(&hosted->host, hosted->path, text, size, &settings, report,
                                      engine);
    }
    free(text);
    return status;
}

static void use(struct hosted *hosted, ow_engine *engine)
{
    hosted->engine = engine;
    hosted->link = engine != NULL ? hosted->module->link(engine) : NULL;
}

/* A store that cannot be had is no reason for the broker to be without its garden. */
static void open_store(struct hosted *hosted, ow_report *report)
{
    ow_status status = ow_keeper_open(&hosted->keeper, hosted->link->store, report);
    if (status != OW_OK) {
        log_line(NULL, OW_LEVEL_WARN, "nothing is kept over a restart");
    }
}

static void drop_garden(struct hosted *hosted)
{
    bool live = hosted->engine != NULL;
    if (live) {
        note(hosted, "stopping", hosted->module->stop(hosted->engine, now()));
    }
    ow_keeper_close(&hosted->keeper, hosted->module, hosted->engine, &hosted->host);
    if (live) {
        hosted->module->close(hosted->engine);
    }
    use(hosted, NULL);
    ow_topic_set_clear(&hosted->topics);
}

/* With the state that the old garden hands over, or with what the store has. */
static ow_status begin_model(struct hosted *hosted, ow_engine *engine, bool handed,
                             const void *state, size_t size, ow_report *report)
{
    if (handed) { /* the store stays as it is: waiting for the device would hold the broker up */
        return hosted->module->go_live(engine, now(), state, size, report);
    }
    open_store(hosted, report);
    return ow_keeper_go_live(&hosted->keeper, hosted->module, engine, now(), report);
}

static bool same_store(const struct hosted *hosted, const char *store)
{
    const char *old = hosted->link->store;
    return store == old || (store != NULL && old != NULL && strcmp(store, old) == 0);
}

/* Ends the old garden and leaves its store open for a new one, whose state this is. */
static void hand_over(struct hosted *hosted, void **state, size_t *size)
{
    note(hosted, "stopping", hosted->module->stop(hosted->engine, now()));
    if (hosted->module->save(hosted->engine, state, size) != OW_OK) {
        *state = NULL; /* it has none yet */
    }
    hosted->module->close(hosted->engine);
    use(hosted, NULL);
    ow_topic_set_clear(&hosted->topics);
}

static ow_status go_live(struct hosted *hosted, ow_engine *engine, ow_report *report)
{
    void *state = NULL;
    size_t size = 0;
    bool handed = hosted->engine != NULL && same_store(hosted, hosted->module->link(engine)->store);
    if (handed) {
        hand_over(hosted, &state, &size);
    } else {
        drop_garden(hosted);
    }
    use(hosted, engine);
    ow_broker_zone_compare(hosted->module->time_zone(engine), report);
    ow_status status = begin_model(hosted, engine, handed, state, size, report);
    free(state);
    if (status != OW_OK) {
        ow_keeper_close(&hosted->keeper, hosted->module, NULL, &hosted->host);
        hosted->module->close(engine);
        use(hosted, NULL);
        return status;
    }
    note(hosted, "coming up", hosted->module->connected(engine, now(), true));
    set_alert(hosted, "");
    hosted->next_tick_ms = ow_real_ms();
    return OW_OK;
}

/* Takes the file as it is now, or keeps what there was. */
static void load(struct hosted *hosted)
{
    struct telling telling;
    ow_engine *engine = NULL;
    start_telling(&telling);
    ow_status status = open_garden(hosted, &telling.report, &engine);
    if (status == OW_OK) {
        status = go_live(hosted, engine, &telling.report);
    }
    if (status == OW_OK) {
        mosquitto_log_printf(MOSQ_LOG_INFO,
                             "overwinter: minds %s; outputs stay blocked, since a "
                             "broker cannot promise to switch off",
                             hosted->path);
        return;
    }
    const char *fault = telling.first[0] != '\0' ? telling.first : ow_status_text(status);
    if (hosted->engine != NULL) {
        log_line(NULL, OW_LEVEL_ERROR, "the new garden file is not taken; the garden goes on");
        set_alert(hosted, fault);
    } else {
        log_line(NULL, OW_LEVEL_ERROR,
                 "there is no garden until its file is mended and the broker "
                 "is told to read its files anew");
        say_config_error(hosted, fault);
    }
}

/* ---- what the broker calls ------------------------------------------------------------------- */

static void tick_when_due(struct hosted *hosted, uint64_t real_ms)
{
    if (hosted->engine == NULL || real_ms < hosted->next_tick_ms) {
        return;
    }
    ow_status status = hosted->module->tick(hosted->engine, now());
    /* A tick is a few ms of work, and the house waits for it. */
    hosted->next_tick_ms =
        real_ms + (hosted->module->busy(hosted->engine) ? BUSY_TICK_MS : TICK_MS);
    note(hosted, "a tick", status);
    if (status == OW_OK && ow_complaint_over(&hosted->failing)) {
        log_line(NULL, OW_LEVEL_INFO, "it goes on again");
    }
    ow_keeper_turn(&hosted->keeper, hosted->module, hosted->engine, &hosted->host, real_ms,
                   KEEP_MS);
}

/* The event's own times are not filled in by every broker; only our clock counts. */
static int on_tick(int event, void *data, void *self)
{
    struct hosted *hosted = self;
    (void)event;
    (void)data;
    hosted->ticked_ms = ow_real_ms();
    hosted->messages = false;
    if (ow_complaint_over(&hosted->no_ticks)) {
        log_line(NULL, OW_LEVEL_INFO, "the broker ticks again");
    }
    tick_when_due(hosted, hosted->ticked_ms);
    return MOSQ_ERR_SUCCESS;
}

/* Some settings keep a broker from ticking its plugins at all; then messages have to do. */
static void watch_ticks(struct hosted *hosted, uint64_t real_ms)
{
    if (!hosted->messages) {
        hosted->messages = true;
        hosted->message_ms = real_ms;
    }
    bool missing =
        real_ms - hosted->message_ms > NO_TICK_MS && real_ms - hosted->ticked_ms > NO_TICK_MS;
    if (missing && ow_complaint_due(&hosted->no_ticks, real_ms)) {
        log_line(NULL, OW_LEVEL_ERROR,
                 "the broker does not tick its plugins, so time stands still between messages; "
                 "take per_listener_settings out of its configuration");
    }
    if (missing) {
        tick_when_due(hosted, real_ms);
    }
}

/* Our own messages do not come here, so a beat is another's. */
static bool is_another(const struct hosted *hosted, const struct mosquitto_evt_message *message)
{
    return strcmp(message->topic, hosted->link->beat_topic) == 0 && message->payloadlen > 0;
}

static void yield_to_another(struct hosted *hosted)
{
    log_line(NULL, OW_LEVEL_ERROR,
             "another instance minds this garden: it publishes the beat; "
             "this one falls silent until the broker reads its files anew");
    hosted->closing = true; /* the tree is the other's now */
    drop_garden(hosted);
    hosted->closing = false;
}

/* Never an error: that would drop somebody's message. */
static int on_message(int event, void *data, void *self)
{
    struct hosted *hosted = self;
    const struct mosquitto_evt_message *message = data;
    (void)event;
    watch_ticks(hosted, ow_real_ms());
    if (hosted->engine == NULL || message->topic == NULL) {
        return MOSQ_ERR_SUCCESS;
    }
    if (is_another(hosted, message)) {
        yield_to_another(hosted);
    } else if (ow_topic_set_has(&hosted->topics, message->topic)) {
        /* What comes here is fresh; the flag counts where it must not have been set. */
        char *who = ow_who_of(message->properties);
        const ow_message taken = {.topic = message->topic,
                                  .payload = message->payload != NULL ? message->payload : "",
                                  .size = message->payloadlen,
                                  .retained = message->retain &&
                                              ow_topic_is_set(hosted->link, message->topic),
                                  .who = who};
        note(hosted, message->topic, hosted->module->message(hosted->engine, now(), &taken));
        free(who);
    }
    return MOSQ_ERR_SUCCESS;
}

/* The broker gives no options here: the path is the one of the start. */
static int on_reload(int event, void *data, void *self)
{
    (void)event;
    (void)data;
    load(self);
    return MOSQ_ERR_SUCCESS;
}

static const struct {
    int event;
    MOSQ_FUNC_generic_callback callback;
} callbacks[] = {
    {MOSQ_EVT_MESSAGE, on_message},
    {MOSQ_EVT_TICK, on_tick},
    {MOSQ_EVT_RELOAD, on_reload},
};
enum { CALLBACKS = sizeof callbacks / sizeof callbacks[0] };

/* ---- entry points ---------------------------------------------------------------------------- */

ENTRY int mosquitto_plugin_version(int count, const int *versions)
{
    for (int i = 0; i < count; i++) {
        if (versions[i] == MOSQ_PLUGIN_VERSION) {
            return MOSQ_PLUGIN_VERSION;
        }
    }
    return -1;
}

static const char *option_named(const struct mosquitto_opt *options, int count, const char *name)
{
    for (int i = 0; i < count; i++) {
        if (strcmp(options[i].key, name) == 0) {
            return options[i].value;
        }
    }
    return NULL;
}

/* An error from here would end the broker, so there is none. */
ENTRY int mosquitto_plugin_init(mosquitto_plugin_id_t *id, void **self,
                                struct mosquitto_opt *options, int count)
{
    const char *path = option_named(options, count, OPTION);
    struct hosted *hosted = calloc(1, sizeof *hosted);
    char *copy = path != NULL ? strdup(path) : NULL;
    *self = NULL;
    if (hosted == NULL || copy == NULL) {
        mosquitto_log_printf(MOSQ_LOG_ERR,
                             "overwinter: there is no garden: write the line "
                             "plugin_opt_%s /path/to/garden.json",
                             OPTION);
        free(hosted);
        free(copy);
        return MOSQ_ERR_SUCCESS;
    }
    *hosted = (struct hosted){.id = id, .path = copy, .module = overwinter_module()};
    hosted->host = (ow_host){.self = hosted,
                             .utc_offset_s = ow_local_offset_s,
                             .event = tell_event,
                             .publish = publish,
                             .subscribe = subscribe,
                             .log = log_line,
                             .can_switch_off = false};
    hosted->ticked_ms = ow_real_ms();
    for (int i = 0; i < CALLBACKS; i++) {
        if (mosquitto_callback_register(id, callbacks[i].event, callbacks[i].callback, NULL,
                                        hosted) != MOSQ_ERR_SUCCESS) {
            log_line(NULL, OW_LEVEL_ERROR, "the broker does not let this plugin hear everything");
        }
    }
    load(hosted);
    *self = hosted;
    return MOSQ_ERR_SUCCESS;
}

ENTRY int mosquitto_plugin_cleanup(void *self, struct mosquitto_opt *options, int count)
{
    struct hosted *hosted = self;
    (void)options;
    (void)count;
    if (hosted == NULL) {
        return MOSQ_ERR_SUCCESS;
    }
    for (int i = 0; i < CALLBACKS; i++) {
        (void)mosquitto_callback_unregister(hosted->id, callbacks[i].event, callbacks[i].callback,
                                            NULL);
    }
    hosted->closing = true; /* nothing said now would be delivered */
    drop_garden(hosted);
    free(hosted->path);
    free(hosted);
    return MOSQ_ERR_SUCCESS;
}
