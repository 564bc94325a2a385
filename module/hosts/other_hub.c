/* SPDX-License-Identifier: MIT */
#include "hosts/other_hub.h"

#include <stdio.h>

#include "hosts/minding.h"
#include "hosts/turn.h"

static const uint64_t WATCH_MS = 10000;
static const double BEAT_MOST_S = 60.0; /* beats are never farther apart */
static const uint64_t LEAST_REAL_MS = 300; /* for the broker to tell what it has stored */
enum { ID_ROOM = 128, TURN_MS = 50 };

struct watch {
    const ow_link *link;
    const ow_clocks *clocks;
    ow_client *client;
    ow_minding minding;
    uint64_t begun_ms;
};

static void up(void *self)
{
    struct watch *watch = self;
    watch->minding = (ow_minding){0};
    watch->begun_ms = ow_real_ms();
    (void)ow_client_subscribe(watch->client, watch->link->state_topic, false);
    (void)ow_client_subscribe(watch->client, watch->link->beat_topic, false);
}

static void down(void *self)
{
    (void)self; /* the watch begins anew with the next connection */
}

static void hear(void *self, const ow_message *message)
{
    struct watch *watch = self;
    ow_minding_hear(&watch->minding, watch->link, message, ow_real_ms());
}

static uint64_t long_enough_ms(const struct watch *watch)
{
    double third_s = watch->link->shortest_lease_s / 3.0;
    double beat_s = third_s > 0.0 && third_s < BEAT_MOST_S ? third_s : BEAT_MOST_S;
    uint64_t beat_ms = (uint64_t)(beat_s * 1000.0);
    bool somebody = watch->minding.minder == OW_MINDER_READY;
    return ow_clocks_real_span(watch->clocks, somebody ? WATCH_MS + beat_ms : WATCH_MS,
                               LEAST_REAL_MS);
}

static ow_watched watch_until_sure(struct watch *watch, int signal_fd, bool once)
{
    for (;;) {
        if (ow_turn(watch->client, signal_fd, TURN_MS) == OW_SIGNAL_STOP) {
            return OW_WATCHED_STOPPED;
        }
        if (watch->minding.beats) {
            return OW_WATCHED_ANOTHER;
        }
        if (once && ow_client_failures(watch->client) > 0) {
            return OW_WATCHED_NO_BROKER;
        }
        if (ow_client_up(watch->client) &&
            ow_real_ms() - watch->begun_ms > long_enough_ms(watch)) {
            return OW_WATCHED_NOBODY;
        }
    }
}

ow_status ow_other_hub_watch(const ow_link *link, const char *garden_id, const ow_clocks *clocks,
                             int signal_fd, bool once, ow_report *report, ow_watched *watched)
{
    /* A name of its own: the same one would throw the other's connection out. */
    char id[ID_ROOM];
    snprintf(id, sizeof id, "overwinter-%s-watch", garden_id);
    struct watch watch = {.link = link, .clocks = clocks};
    const ow_client_setup setup = {
        .link = link, .id = id, .self = &watch, .up = up, .down = down, .message = hear};
    ow_status status = ow_client_new(&setup, report, &watch.client);
    if (status != OW_OK) {
        return status;
    }
    *watched = watch_until_sure(&watch, signal_fd, once);
    ow_client_free(watch.client);
    return OW_OK;
}
