/* SPDX-License-Identifier: MIT */
/*
 * A reading out of a payload: a plain number, JSON by pointer, or SenML. No clock, no state.
 *
 * A number may stand in a JSON text ("12.5"), as many devices write it. Booleans, null, texts with
 * a unit or a decimal comma, and numbers that no double holds are refused.
 */
#ifndef OVERWINTER_GARDEN_PAYLOAD_H
#define OVERWINTER_GARDEN_PAYLOAD_H

#include "garden/garden.h"

#include <stddef.h>

#define OW_PAYLOAD_SIZE_MAX (64u * 1024u)
#define OW_WHY_TEXT 400

/* Why a message changed nothing. Each is counted and told on its own. */
#define OW_CAUSE_LIST(X)                                                                           \
    X(OW_CAUSE_NONE, "none")                                                                       \
    X(OW_CAUSE_LONG, "too long")                                                                   \
    X(OW_CAUSE_JSON, "not JSON")                                                                   \
    X(OW_CAUSE_NOT_THERE, "not there")                                                             \
    X(OW_CAUSE_NO_NUMBER, "no number")                                                             \
    X(OW_CAUSE_UNIT, "wrong unit")                                                                 \
    X(OW_CAUSE_TIME, "wrong time")                                                                 \
    X(OW_CAUSE_RANGE, "out of range")                                                              \
    X(OW_CAUSE_JUMP, "a jump")                                                                     \
    X(OW_CAUSE_SHORT, "nothing ahead")                                                             \
    X(OW_CAUSE_MEMORY, "no memory")                                                                \
    X(OW_CAUSES, "")

#define OW_CAUSE_ENUM(name, text) name,
typedef enum ow_cause { OW_CAUSE_LIST(OW_CAUSE_ENUM) } ow_cause;
#undef OW_CAUSE_ENUM

/* The cause in two words; "?" outside the enum. */
const char *ow_cause_name(ow_cause cause);

typedef enum ow_own_time { OW_TIME_NONE, OW_TIME_SINCE_SENT, OW_TIME_UTC } ow_own_time;

/* A contact's value: open 1, shut 0. */
#define OW_IS_SHUT 0.0
#define OW_IS_OPEN 1.0

typedef struct ow_sample {
    double value; /* in the unit of its quantity (quantity.h) */
    ow_own_time timed;
    double time_s; /* since 1970 (UTC), or since it was sent (negative: before) */
} ow_sample;

/*
 * Reads one payload (`size` bytes, not zero-terminated) as `reading` says. Anything but
 * OW_CAUSE_NONE leaves *sample alone and `why` says in one sentence, with the topic, what was seen,
 * what is allowed and what to do.
 */
ow_cause ow_payload_read(const ow_reading *reading, const void *bytes, size_t size,
                         ow_sample *sample, char why[OW_WHY_TEXT]);

#endif
