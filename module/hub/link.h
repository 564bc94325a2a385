/* SPDX-License-Identifier: MIT */
/* What the host must know to join the broker, from the garden file alone. */
#ifndef OVERWINTER_HUB_LINK_H
#define OVERWINTER_HUB_LINK_H

#include "garden/garden.h"
#include "overwinter.h"

/* A link and the two topics in it that are not the garden's own texts. */
typedef struct ow_garden_link {
    ow_link link;
    char *state_topic, *beat_topic; /* owned */
} ow_garden_link;

/* The garden must outlive the link. OW_NO_MEMORY; free it in any case. */
OW_CHECK ow_status ow_garden_link_fill(const ow_garden *garden, ow_garden_link *link);
void ow_garden_link_free(ow_garden_link *link);

#endif
