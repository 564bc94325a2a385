/* SPDX-License-Identifier: MIT */
#include "hosts/minding.h"

#include <string.h>

static bool says(const ow_message *message, const char *word)
{
    return message->size == strlen(word) && memcmp(message->payload, word, message->size) == 0;
}

static void hear_state(ow_minding *minding, const ow_message *message, uint64_t now_ms)
{
    minding->minder = message->size == 0       ? OW_MINDER_UNKNOWN
                      : says(message, "ready") ? OW_MINDER_READY
                                               : OW_MINDER_AWAY;
    if (minding->minder == OW_MINDER_READY && !message->retained) {
        minding->ready_ms = now_ms;
    }
    /* Who went away has to show life anew. */
    minding->beats = minding->beats && minding->minder == OW_MINDER_READY;
}

static void hear_beat(ow_minding *minding, const ow_message *message, uint64_t now_ms)
{
    if (message->size == 0 || message->size >= OW_BEAT_ROOM) {
        return;
    }
    bool known = minding->beat[0] != '\0';
    bool same = known && says(message, minding->beat);
    if (known && !same && !message->retained && minding->minder != OW_MINDER_AWAY) {
        minding->beats = true;
        minding->changed_ms = now_ms;
    }
    memcpy(minding->beat, message->payload, message->size);
    minding->beat[message->size] = '\0';
}

void ow_minding_hear(ow_minding *minding, const ow_link *link, const ow_message *message,
                     uint64_t now_ms)
{
    if (strcmp(message->topic, link->state_topic) == 0) {
        hear_state(minding, message, now_ms);
    } else if (strcmp(message->topic, link->beat_topic) == 0) {
        hear_beat(minding, message, now_ms);
    }
}

bool ow_minding_alive(const ow_minding *minding, uint64_t now_ms, uint64_t late_ms)
{
    return minding->beats && now_ms - minding->changed_ms <= late_ms;
}
