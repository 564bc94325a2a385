/* SPDX-License-Identifier: MIT */
/*
 * Whether somebody minds the garden, as far as the broker tells: the garden's `$state` and its
 * beat. Only a beat that comes fresh and differs from the one before is a sign of life; what the
 * broker has stored is none.
 */
#ifndef OVERWINTER_HOSTS_MINDING_H
#define OVERWINTER_HOSTS_MINDING_H

#include "overwinter.h"

typedef enum ow_minder {
    OW_MINDER_UNKNOWN, /* no $state was heard */
    OW_MINDER_READY,
    OW_MINDER_AWAY /* init, disconnected, lost or anything else */
} ow_minder;

enum { OW_BEAT_ROOM = 24 };

/* All zero: nothing was heard yet. */
typedef struct ow_minding {
    ow_minder minder;
    char beat[OW_BEAT_ROOM];
    bool beats;          /* a fresh change was seen since the minder was last away */
    uint64_t changed_ms; /* when that was */
    uint64_t ready_ms;   /* when somebody said freshly to be ready */
} ow_minding;

/* Takes a message; those of other topics are ignored. */
void ow_minding_hear(ow_minding *minding, const ow_link *link, const ow_message *message,
                     uint64_t now_ms);

/* True while the last fresh change is no older than late_ms. */
bool ow_minding_alive(const ow_minding *minding, uint64_t now_ms, uint64_t late_ms);

#endif
