/* SPDX-License-Identifier: MIT */
/*
 * What the outputs are told about the world. Zero is always the harmless value: a struct that
 * nobody filled in blocks the output. Numbers are whole thousandths (of a degree Celsius, a watt,
 * a metre a second), so that no decision rests on a rounded sum.
 */
#ifndef OVERWINTER_OUTPUTS_INPUTS_H
#define OVERWINTER_OUTPUTS_INPUTS_H

#include <stdbool.h>
#include <stdint.h>

/* A number that is not known, in place of thousandths. */
#define OW_MILLI_NONE INT32_MIN

/* The age of a reading whose time is not known, such as one that the broker had stored. */
#define OW_AGE_UNKNOWN UINT32_MAX

/* A reading: its value and how long ago it was taken. */
typedef struct ow_sensed {
    bool known;
    bool contradicted; /* another reading of the same thing says otherwise */
    int32_t milli;
    uint32_t age_ms;
} ow_sensed;

/* A contact on a door or at the end of a travel. Several doors are told as the worst of them:
 * open before unknown before shut. */
typedef enum ow_contact { OW_CONTACT_UNKNOWN, OW_CONTACT_SHUT, OW_CONTACT_OPEN } ow_contact;

/* What the device says of itself. */
typedef enum ow_said { OW_SAID_NOTHING, OW_SAID_OFF, OW_SAID_ON } ow_said;

/* How a reading agrees with what the model makes of it. Where no model can tell, nothing speaks
 * against it; what is no such word counts as parting. */
typedef enum ow_accord { OW_ACCORD_UNKNOWN, OW_ACCORD_AGREES, OW_ACCORD_PARTS } ow_accord;

/* What the host and the clock have to say; the two events are true for one step. */
typedef struct ow_hosting {
    bool promises_off;  /* the host has a will, a stop and a beat that others can watch */
    bool connected;     /* a command would reach the broker now */
    bool clock_jumped;  /* wall time jumped since the last step */
    bool reloaded;      /* the garden file was read anew since the last step */
} ow_hosting;

/* Thousandths of a number, rounded; OW_MILLI_NONE for NAN and for what lies beyond +-2 million. */
int32_t ow_milli_of(double value);

/* A reading of a number; not known when ow_milli_of has none for it. */
ow_sensed ow_sensed_of(double value, uint32_t age_ms);

/* Known, not older than `stale_ms`, and within `low..high`; another may contradict it. */
bool ow_sensed_fresh(ow_sensed sensed, uint32_t stale_ms, int32_t low, int32_t high);

/* The same, and not contradicted. */
bool ow_sensed_usable(ow_sensed sensed, uint32_t stale_ms, int32_t low, int32_t high);

/* True when the model speaks against it. */
bool ow_parts(ow_accord accord);

/* The worse of two contacts. */
ow_contact ow_contact_worse(ow_contact a, ow_contact b);

#endif
