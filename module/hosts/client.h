/* SPDX-License-Identifier: MIT */
/*
 * The link to the MQTT broker, over libmosquitto, for a loop of the caller's own.
 *
 * Each connection is a new one in every respect: whatever was not acknowledged when a link broke is
 * thrown away, so that no old command is sent again later. Nothing is taken while there is no link.
 * A broker that does not answer is noticed by the age of its acknowledgements, on our own clock.
 * TLS is used or the connection is not made; there is no falling back.
 */
#ifndef OVERWINTER_HOSTS_CLIENT_H
#define OVERWINTER_HOSTS_CLIENT_H

#include <poll.h>
#include <stdbool.h>
#include <stdint.h>

#include "overwinter.h"

typedef struct ow_client ow_client;

/* What the owner gives; texts and link must outlive the client. */
typedef struct ow_client_setup {
    const ow_link *link;
    const char *id;         /* client identifier */
    const char *will_topic; /* retained, QoS 1; NULL: no will */
    const char *will_payload;
    bool quiet; /* does not say that it is connected */
    void *self;
    void (*up)(void *self);   /* connected: subscribe and publish anew */
    void (*down)(void *self); /* no longer connected */
    void (*message)(void *self, const ow_message *message);
} ow_client_setup;

/*
 * Makes a client that will connect at its first ow_client_serve. Password file and TLS files are
 * proved here: OW_BAD_INPUT, told. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_client_new(const ow_client_setup *setup, ow_report *report,
                                 ow_client **client);

/* Says goodbye where there is a link (so that no will is sent) and frees; calls nothing back. */
void ow_client_free(ow_client *client);

/* Fills what to poll for; fd is -1 when there is nothing to wait for. */
void ow_client_poll(const ow_client *client, struct pollfd *poll_for);

/* Does what is due: connects, reads, writes, keeps alive, notices that the broker is gone. Call it
 * after each poll, and at least once a second. */
void ow_client_serve(ow_client *client, uint64_t real_ms);

bool ow_client_up(const ow_client *client);

/* Connections that were tried in vain since the last that came up. */
unsigned ow_client_failures(const ow_client *client);

/* Messages and subscriptions that the broker has not acknowledged yet. */
unsigned ow_client_unacknowledged(const ow_client *client);

/*
 * QoS 1. expiry_s: a broker that cannot deliver within that time throws the message away; 0: it
 * keeps it. False: not connected, or not taken.
 */
bool ow_client_publish(ow_client *client, const char *topic, const void *payload, size_t size,
                       bool retain, unsigned expiry_s);

/* What a person says: QoS 1, not retained, with the user property "who" unless NULL. False as
 * above. */
bool ow_client_say(ow_client *client, const char *topic, const char *text, const char *who);

/* QoS 1. as_published: the retain flag tells what the sender set; else, whether it was stored. */
bool ow_client_subscribe(ow_client *client, const char *topic, bool as_published);

#endif
