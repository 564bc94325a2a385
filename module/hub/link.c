/* SPDX-License-Identifier: MIT */
#include "hub/link.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *own_topic(const ow_garden *g, const char *tail)
{
    size_t size = strlen(g->root) + strlen(g->id) + strlen(tail) + sizeof "/5//";
    char *topic = malloc(size);
    if (topic != NULL) {
        snprintf(topic, size, "%s/5/%s/%s", g->root, g->id, tail);
    }
    return topic;
}

static double shortest_lease_s(const ow_garden *g)
{
    double shortest = INFINITY;
    for (int i = 0; i < g->output_count; i++) {
        shortest = fmin(shortest, g->outputs[i].lease_s);
    }
    return isinf(shortest) ? 0.0 : shortest;
}

ow_status ow_garden_link_fill(const ow_garden *g, ow_garden_link *l)
{
    const ow_broker *b = &g->broker;
    l->state_topic = own_topic(g, "$state");
    l->beat_topic = own_topic(g, "garden/beat");
    l->link = (ow_link){.host = b->given ? b->host : NULL,
                        .port = b->port,
                        .user = b->user,
                        .password_file = b->password_file,
                        .ca_file = b->ca_file,
                        .cert_file = b->cert_file,
                        .key_file = b->key_file,
                        .store = g->store,
                        .state_topic = l->state_topic,
                        .beat_topic = l->beat_topic,
                        .shortest_lease_s = shortest_lease_s(g)};
    return l->state_topic != NULL && l->beat_topic != NULL ? OW_OK : OW_NO_MEMORY;
}

void ow_garden_link_free(ow_garden_link *l)
{
    free(l->state_topic);
    free(l->beat_topic);
    *l = (ow_garden_link){0};
}
