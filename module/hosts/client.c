/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/client.h"

#include <errno.h>
#include <limits.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

#include <mosquitto.h>
#include <mqtt_protocol.h>

#include "hosts/clocks.h"
#include "hosts/complaint.h"
#include "hosts/credentials.h"
#include "hosts/journal.h"
#include "hosts/tls.h"
#include "hosts/who.h"

enum { KEEPALIVE_S = 10, FIRST_WAIT_MS = 1000, LONGEST_WAIT_MS = 8000 };
enum { ANSWER_MS = 10000 };  /* from the attempt to the broker's welcome */
enum { SUSPECT_MS = 15000 }; /* without an acknowledgement that is due */
enum { LATEST_TOPICS = 32 }; /* subscriptions whose answer can be told by name */
enum { SAID_ROOM = 256 };
enum { REFUSED = 0x80 };     /* reason codes from here on are failures */

struct asked {
    int mid;
    char *topic;
};

struct ow_client {
    ow_client_setup setup;
    char password[OW_PASSWORD_MOST + 1];
    struct mosquitto *mosq; /* NULL: no connection and none under way */
    bool up;
    int refused; /* the broker's reason for no welcome, 0: none */
    uint64_t tried_ms, retry_ms, wait_ms;
    unsigned failures;
    unsigned unacknowledged;
    uint64_t progress_ms; /* when acknowledgements were last known to flow */
    struct asked asked[LATEST_TOPICS];
    int asked_next;
    char said[SAID_ROOM]; /* the library's first error since the attempt */
    char why[OW_TLS_TEXT];
    ow_complaint unreachable, not_taken;
};

/* ---- what the library calls ------------------------------------------------------------------ */

static void acknowledged(ow_client *client)
{
    client->unacknowledged -= client->unacknowledged > 0 ? 1 : 0;
    client->progress_ms = ow_real_ms();
}

static void expect_acknowledgement(ow_client *client)
{
    if (client->unacknowledged++ == 0) {
        client->progress_ms = ow_real_ms();
    }
}

static void on_connect(struct mosquitto *mosq, void *self, int reason, int flags,
                       const mosquitto_property *properties)
{
    ow_client *client = self;
    (void)mosq;
    (void)flags;
    (void)properties;
    if (reason != 0) {
        client->refused = reason;
        return;
    }
    client->up = true;
    client->failures = 0;
    client->wait_ms = FIRST_WAIT_MS;
    (void)ow_complaint_over(&client->unreachable);
    if (!client->setup.quiet) {
        ow_journal(OW_LEVEL_INFO, "connected to the broker at %s:%d", client->setup.link->host,
                   client->setup.link->port);
    }
    client->setup.up(client->setup.self);
}

static void on_message(struct mosquitto *mosq, void *self, const struct mosquitto_message *message,
                       const mosquitto_property *properties)
{
    ow_client *client = self;
    (void)mosq;
    char *who = ow_who_of(properties);
    const ow_message taken = {.topic = message->topic,
                              .payload = message->payload != NULL ? message->payload : "",
                              .size = (size_t)message->payloadlen,
                              .retained = message->retain,
                              .who = who};
    client->setup.message(client->setup.self, &taken);
    free(who);
}

static void on_publish(struct mosquitto *mosq, void *self, int mid, int reason,
                       const mosquitto_property *properties)
{
    ow_client *client = self;
    (void)mosq;
    (void)mid;
    (void)properties;
    acknowledged(client);
    if (reason >= REFUSED && ow_complaint_due(&client->not_taken, ow_real_ms())) {
        ow_journal(OW_LEVEL_ERROR,
                   "the broker refuses what we publish (%s); let this user write to the garden's "
                   "own topics and to those of its outputs",
                   mosquitto_reason_string(reason));
    }
}

static void on_subscribe(struct mosquitto *mosq, void *self, int mid, int count, const int *granted,
                         const mosquitto_property *properties)
{
    ow_client *client = self;
    (void)mosq;
    (void)properties;
    acknowledged(client);
    const char *topic = "a topic of the garden";
    for (int i = 0; i < LATEST_TOPICS; i++) {
        bool is_it = client->asked[i].topic != NULL && client->asked[i].mid == mid;
        topic = is_it ? client->asked[i].topic : topic;
    }
    if (count < 1 || granted[0] >= REFUSED) {
        ow_journal(OW_LEVEL_ERROR,
                   "the broker refuses to let us listen to %s%s%s; let this user "
                   "read it",
                   topic, count < 1 ? "" : ": ",
                   count < 1 ? "" : mosquitto_reason_string(granted[0]));
    }
}

/* The first error of an attempt tells what is wrong; the others follow from it. */
static void on_log(struct mosquitto *mosq, void *self, int level, const char *line)
{
    ow_client *client = self;
    (void)mosq;
    if (level == MOSQ_LOG_ERR && client->said[0] == '\0') {
        snprintf(client->said, sizeof client->said, "%s", line);
    }
}

/* ---- making a connection --------------------------------------------------------------------- */

static int set_up_session(struct mosquitto *mosq, const ow_client *client)
{
    const ow_client_setup *setup = &client->setup;
    int rc = mosquitto_int_option(mosq, MOSQ_OPT_PROTOCOL_VERSION, MQTT_PROTOCOL_V5);
    rc = rc != MOSQ_ERR_SUCCESS ? rc : mosquitto_int_option(mosq, MOSQ_OPT_TCP_NODELAY, 1);
    if (rc == MOSQ_ERR_SUCCESS && setup->link->user != NULL) {
        rc = mosquitto_username_pw_set(mosq, setup->link->user,
                                       client->password[0] != '\0' ? client->password : NULL);
    }
    if (rc == MOSQ_ERR_SUCCESS && setup->will_topic != NULL) {
        rc = mosquitto_will_set_v5(mosq, setup->will_topic, (int)strlen(setup->will_payload),
                                   setup->will_payload, 1, true, NULL);
    }
    return rc;
}

/* OW_BAD_INPUT: `fault` says why. */
static ow_status build(ow_client *client, char fault[OW_TLS_TEXT], struct mosquitto **built)
{
    struct mosquitto *mosq = mosquitto_new(client->setup.id, true, client);
    if (mosq == NULL) {
        return OW_NO_MEMORY;
    }
    if (!ow_tls_set_up(mosq, client->setup.link, fault)) {
        mosquitto_destroy(mosq);
        return OW_BAD_INPUT;
    }
    if (set_up_session(mosq, client) != MOSQ_ERR_SUCCESS) {
        mosquitto_destroy(mosq);
        return OW_NO_MEMORY;
    }
    mosquitto_log_callback_set(mosq, on_log);
    mosquitto_connect_v5_callback_set(mosq, on_connect);
    mosquitto_message_v5_callback_set(mosq, on_message);
    mosquitto_publish_v5_callback_set(mosq, on_publish);
    mosquitto_subscribe_v5_callback_set(mosq, on_subscribe);
    *built = mosq;
    return OW_OK;
}

static void forget_asked(ow_client *client)
{
    for (int i = 0; i < LATEST_TOPICS; i++) {
        free(client->asked[i].topic);
        client->asked[i] = (struct asked){0};
    }
}

/* Throws the connection away with all that it still had to send. */
static void let_go(ow_client *client)
{
    mosquitto_destroy(client->mosq);
    client->mosq = NULL;
    client->unacknowledged = 0;
    client->refused = 0;
    forget_asked(client);
}

static void lost(ow_client *client, const char *why, uint64_t real_ms)
{
    bool was_up = client->up;
    client->up = false;
    client->retry_ms = real_ms + client->wait_ms;
    client->wait_ms = 2 * client->wait_ms > LONGEST_WAIT_MS ? LONGEST_WAIT_MS : 2 * client->wait_ms;
    if (was_up || ow_complaint_due(&client->unreachable, real_ms)) {
        ow_journal(OW_LEVEL_WARN, "%s the broker at %s:%d: %s; trying again every few seconds",
                   was_up ? "lost" : "cannot reach", client->setup.link->host,
                   client->setup.link->port, why);
    }
    client->failures += was_up ? 0 : 1;
    let_go(client);
    if (was_up) {
        client->setup.down(client->setup.self);
    }
}

static const char *error_text(ow_client *client, int rc)
{
    int system_error = errno;
    /* A peer that does not talk TLS, or that wants a certificate, may just hang up. */
    bool hung_up = rc == MOSQ_ERR_CONN_LOST || rc == MOSQ_ERR_PROTOCOL ||
                   (rc == MOSQ_ERR_ERRNO && (errno == EPROTO || errno == ECONNRESET));
    if (rc == MOSQ_ERR_TLS || (hung_up && !client->up && ow_wants_tls(client->setup.link))) {
        ow_tls_explain(client->setup.link, client->said, client->why);
        return client->why;
    }
    switch (rc) {
    case MOSQ_ERR_KEEPALIVE:
        return "it does not answer"; /* 2.0.11 has no words for this one */
    case MOSQ_ERR_ERRNO:
        return strerror(system_error);
    default:
        return mosquitto_strerror(rc);
    }
}

static void try_to_connect(ow_client *client, uint64_t real_ms)
{
    client->tried_ms = real_ms;
    client->said[0] = '\0';
    ow_status status = build(client, client->why, &client->mosq);
    if (status != OW_OK) {
        client->mosq = NULL;
        lost(client, status == OW_BAD_INPUT ? client->why : ow_status_text(status), real_ms);
        return;
    }
    errno = 0;
    int rc = mosquitto_connect_async(client->mosq, client->setup.link->host,
                                     client->setup.link->port, KEEPALIVE_S);
    if (rc != MOSQ_ERR_SUCCESS) {
        lost(client, error_text(client, rc), real_ms);
    }
}

/* ---- from here on for the owner -------------------------------------------------------------- */

ow_status ow_client_new(const ow_client_setup *setup, ow_report *report, ow_client **client)
{
    static bool library_begun;
    if (!library_begun && mosquitto_lib_init() != MOSQ_ERR_SUCCESS) {
        return OW_NO_MEMORY;
    }
    library_begun = true; /* once a process; there is nothing to gain from ending it */
    ow_client *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return OW_NO_MEMORY;
    }
    made->setup = *setup;
    made->wait_ms = FIRST_WAIT_MS;
    struct mosquitto *proof = NULL;
    ow_status status = setup->link->password_file != NULL
                           ? ow_password_read(setup->link->password_file, report, made->password)
                           : OW_OK;
    if (status == OW_OK) {
        status = build(made, made->why, &proof);
        if (status == OW_BAD_INPUT) {
            ow_error(report, "%s; nothing is sent without TLS", made->why);
        }
    }
    if (status != OW_OK) {
        free(made);
        return status;
    }
    mosquitto_destroy(proof);
    *client = made;
    return OW_OK;
}

void ow_client_free(ow_client *client)
{
    if (client == NULL) {
        return;
    }
    if (client->mosq != NULL && client->up) {
        (void)mosquitto_disconnect(client->mosq); /* whether it is heard changes nothing here */
        (void)mosquitto_loop(client->mosq, 0, 1);
    }
    if (client->mosq != NULL) {
        let_go(client);
    }
    memset(client->password, 0, sizeof client->password);
    free(client);
}

void ow_client_poll(const ow_client *client, struct pollfd *poll_for)
{
    *poll_for = (struct pollfd){.fd = -1};
    if (client->mosq != NULL) {
        poll_for->fd = mosquitto_socket(client->mosq);
        poll_for->events = POLLIN;
        poll_for->events |= mosquitto_want_write(client->mosq) ? POLLOUT : 0;
    }
}

/* Brokers send small pieces and hold the next back until the last is acknowledged; to wait with
 * that delays a reading by some 40 ms. The system forgets it, so it is asked for at each turn. */
static void acknowledge_at_once(struct mosquitto *mosq)
{
    int fd = mosquitto_socket(mosq), on = 1;
    if (fd >= 0) {
        (void)setsockopt(fd, IPPROTO_TCP, TCP_QUICKACK, &on, sizeof on);
    }
}

static const char *what_is_wrong(ow_client *client, int rc, uint64_t real_ms)
{
    if (client->refused != 0) {
        return mosquitto_reason_string(client->refused);
    }
    if (rc != MOSQ_ERR_SUCCESS || mosquitto_socket(client->mosq) < 0) {
        return error_text(client, rc != MOSQ_ERR_SUCCESS ? rc : MOSQ_ERR_CONN_LOST);
    }
    if (!client->up && real_ms - client->tried_ms > ANSWER_MS) {
        return "it gives no answer";
    }
    bool suspect = client->unacknowledged > 0 && real_ms - client->progress_ms > SUSPECT_MS;
    return suspect ? "it acknowledges nothing" : NULL;
}

void ow_client_serve(ow_client *client, uint64_t real_ms)
{
    if (client->mosq == NULL) {
        if (real_ms >= client->retry_ms) {
            try_to_connect(client, real_ms);
        }
        return;
    }
    /* One turn of the library's own loop without waiting: it knows of the steps of TLS, and keeps
     * alive; the waiting is the owner's. */
    errno = 0;
    int rc = mosquitto_loop(client->mosq, 0, 1);
    acknowledge_at_once(client->mosq);
    const char *why = what_is_wrong(client, rc, ow_real_ms());
    if (why != NULL) {
        lost(client, why, ow_real_ms());
    }
}

bool ow_client_up(const ow_client *client)
{
    return client->up;
}

unsigned ow_client_failures(const ow_client *client)
{
    return client->failures;
}

unsigned ow_client_unacknowledged(const ow_client *client)
{
    return client->unacknowledged;
}

/* Takes what rc says of the properties, sends, and frees them. */
static bool send_out(ow_client *client, const char *topic, const void *payload, size_t size,
                     bool retain, int rc, mosquitto_property *properties)
{
    if (rc == MOSQ_ERR_SUCCESS) {
        rc = mosquitto_publish_v5(client->mosq, NULL, topic, (int)size, payload, 1, retain,
                                  properties);
    }
    mosquitto_property_free_all(&properties);
    if (rc == MOSQ_ERR_SUCCESS) {
        expect_acknowledgement(client);
    } else if (rc != MOSQ_ERR_NO_CONN && ow_complaint_due(&client->not_taken, ow_real_ms())) {
        ow_journal(OW_LEVEL_ERROR, "%s: cannot be published: %s", topic, error_text(client, rc));
    }
    return rc == MOSQ_ERR_SUCCESS;
}

bool ow_client_publish(ow_client *client, const char *topic, const void *payload, size_t size,
                       bool retain, unsigned expiry_s)
{
    /* The library would queue it for after the next connection: a command out of its time. */
    if (!client->up || size > INT_MAX) {
        return false;
    }
    mosquitto_property *properties = NULL;
    int rc = expiry_s == 0 ? MOSQ_ERR_SUCCESS
                           : mosquitto_property_add_int32(
                                 &properties, MQTT_PROP_MESSAGE_EXPIRY_INTERVAL, expiry_s);
    return send_out(client, topic, payload, size, retain, rc, properties);
}

bool ow_client_say(ow_client *client, const char *topic, const char *text, const char *who)
{
    if (!client->up) {
        return false;
    }
    mosquitto_property *properties = NULL;
    int rc = who == NULL ? MOSQ_ERR_SUCCESS
                         : mosquitto_property_add_string_pair(&properties, MQTT_PROP_USER_PROPERTY,
                                                              OW_WHO, who);
    return send_out(client, topic, text, strlen(text), false, rc, properties);
}

bool ow_client_subscribe(ow_client *client, const char *topic, bool as_published)
{
    if (!client->up) {
        return false;
    }
    int mid = 0;
    int rc = mosquitto_subscribe_v5(client->mosq, &mid, topic, 1,
                                    as_published ? MQTT_SUB_OPT_RETAIN_AS_PUBLISHED : 0, NULL);
    if (rc != MOSQ_ERR_SUCCESS) {
        return false;
    }
    expect_acknowledgement(client);
    struct asked *asked = &client->asked[client->asked_next];
    client->asked_next = (client->asked_next + 1) % LATEST_TOPICS;
    free(asked->topic);
    *asked = (struct asked){.mid = mid, .topic = strdup(topic)};
    return true;
}
