/* SPDX-License-Identifier: MIT */
/*
 * The interlocks: every reason that keeps a heater off or a cloth drive still, in one table.
 *
 * An interlock trips at once when its cause is seen and is left slowly: when the cause has been
 * away for `recover_s`. One that latches stays until a person releases it with the cause gone. An
 * output is switched on only while no interlock holds. All that hold are told, as a set of bits
 * whose lowest is the most serious.
 *
 * Nothing here is a safety device. Whatever is switched needs its own thermostat, thermal cut-out
 * and off-timer, a circuit with a residual-current device, and a motor its own end stops.
 */
#ifndef OVERWINTER_OUTPUTS_INTERLOCK_H
#define OVERWINTER_OUTPUTS_INTERLOCK_H

#include "outputs/inputs.h"

#include <stdbool.h>
#include <stdint.h>

/* What an interlock guards. */
#define OW_GUARDS_HEATER 1u
#define OW_GUARDS_DRIVE 2u
#define OW_GUARDS_BOTH (OW_GUARDS_HEATER | OW_GUARDS_DRIVE)

/* How an interlock is left once its cause is away: by itself; by itself, and proven only by trying
 * again; or when a person releases it. */
typedef enum ow_leaving { OW_HEALS, OW_RETRIES, OW_LATCHES } ow_leaving;

/*
 * The table, most serious first: id, word, what it guards, how it is left, seconds that the cause
 * must be away, seconds that it must hold while the output is needed until a person is told (0:
 * nobody is; see alarm.h), text for people, what to do about it.
 */
#define OW_INTERLOCK_LIST(X)                                                                       \
    X(OW_BLOCK_HOST, "host", OW_GUARDS_BOTH, OW_HEALS, 0, 0,                                       \
      "this host cannot promise to switch off",                                                    \
      "let overwinter run switch it, not a plugin inside a broker")                                \
    X(OW_BLOCK_CAUTIONS, "cautions", OW_GUARDS_BOTH, OW_HEALS, 0, 0,                               \
      "nobody has said yet that the cautions were read",                                           \
      "read docs/safety.md, then set cautions_read in the garden file")                            \
    X(OW_BLOCK_NO_TIMER, "no-off-timer", OW_GUARDS_BOTH, OW_HEALS, 0, 0,                           \
      "the device has no off-timer of its own that outlasts a lease",                              \
      "use a device that has one and set off_by_itself_s")                                         \
    X(OW_BLOCK_SETTINGS, "settings", OW_GUARDS_BOTH, OW_HEALS, 0, 0,                               \
      "its settings in the garden file do not make sense together",                                \
      "mend what overwinter check says of the garden file")                                        \
    X(OW_BLOCK_STUCK_ON, "stuck-on", OW_GUARDS_HEATER, OW_LATCHES, 60, 1,                          \
      "it was sent off but says that it is on",                                                    \
      "pull its plug or open its breaker, find out why, then release it")                          \
    X(OW_BLOCK_POWER_WHILE_OFF, "power-while-off", OW_GUARDS_HEATER, OW_LATCHES, 60, 1,            \
      "it was sent off but still draws power",                                                     \
      "pull its plug or open its breaker, find out why, then release it")                          \
    X(OW_BLOCK_POWER_HIGH, "power-too-high", OW_GUARDS_HEATER, OW_LATCHES, 60, 1,                  \
      "it draws far more power than its watts",                                                    \
      "see what else hangs on it, then release it")                                                \
    X(OW_BLOCK_BOTH_ENDS, "both-ends", OW_GUARDS_DRIVE, OW_LATCHES, 60, 1,                         \
      "both of its end contacts say that it is there",                                             \
      "mend the contacts, then release it")                                                        \
    X(OW_BLOCK_TRAVEL, "travel-limit", OW_GUARDS_DRIVE, OW_LATCHES, 60, 1,                         \
      "it ran its whole time and did not reach its end",                                           \
      "see what jams it with the drive locked off, then release it")                               \
    X(OW_BLOCK_BY_HAND, "stopped-by-hand", OW_GUARDS_BOTH, OW_LATCHES, 5, 1,                       \
      "somebody stopped it by hand",                                                               \
      "ask who and why, then release it")                                                          \
    X(OW_BLOCK_FORGOT, "memory-lost", OW_GUARDS_BOTH, OW_LATCHES, 5, 1,                            \
      "what was kept about it cannot be read, so a stop by hand may be forgotten",                 \
      "look at it, then release it")                                                               \
    X(OW_BLOCK_CIRCUIT, "circuit-full", OW_GUARDS_HEATER, OW_HEALS, 0, 3600,                       \
      "its circuit has no watts left for it",                                                      \
      "wait until another heater on the circuit is off")                                           \
    X(OW_BLOCK_TOO_WARM, "too-warm", OW_GUARDS_HEATER, OW_HEALS, 300, 0,                           \
      "its place is too warm",                                                                     \
      "wait until the air is a kelvin below too_warm_c")                                           \
    X(OW_BLOCK_DOOR_OPEN, "open", OW_GUARDS_HEATER, OW_HEALS, 10, 600,                             \
      "a door or window that must be shut is open",                                                \
      "shut it")                                                                                   \
    X(OW_BLOCK_DOOR_UNKNOWN, "open-unknown", OW_GUARDS_HEATER, OW_HEALS, 10, 600,                  \
      "a door or window that must be shut has not said whether it is",                             \
      "see to its contact: battery, radio, wire")                                                  \
    X(OW_BLOCK_CONTRADICTED, "readings-part", OW_GUARDS_HEATER, OW_HEALS, 120, 600,                \
      "two readings of its air contradict each other",                                             \
      "see which of the two sensors is wrong")                                                     \
    X(OW_BLOCK_ASTRAY, "air-astray", OW_GUARDS_HEATER, OW_HEALS, 300, 600,                         \
      "its air reads far from what the weather can make of it",                                    \
      "see whether its sensor hangs where it should, dry and in shade")                            \
    X(OW_BLOCK_NO_AIR, "no-air-reading", OW_GUARDS_HEATER, OW_HEALS, 30, 600,                      \
      "there is no fresh reading of the air at its place",                                         \
      "see to the sensor of its air: battery, radio, wire")                                        \
    X(OW_BLOCK_NO_WARMTH, "no-warmth", OW_GUARDS_HEATER, OW_RETRIES, 1800, 1,                      \
      "it has long been on and its air is no warmer for it",                                       \
      "see whether it heats, what stands open, and whether the sensor hangs beside it")            \
    X(OW_BLOCK_WIND, "wind", OW_GUARDS_DRIVE, OW_HEALS, 300, 1800,                                 \
      "the wind is too strong to move the cloth",                                                  \
      "leave the cloth alone until the wind drops")                                                \
    X(OW_BLOCK_WINDS_PART, "winds-part", OW_GUARDS_DRIVE, OW_HEALS, 120, 600,                      \
      "two readings of the wind contradict each other",                                            \
      "see which of the two sensors is wrong")                                                     \
    X(OW_BLOCK_NO_WIND, "no-wind-reading", OW_GUARDS_DRIVE, OW_HEALS, 30, 600,                     \
      "there is no fresh reading of the wind",                                                     \
      "see to the wind sensor: battery, radio, wire, ice")                                         \
    X(OW_BLOCK_FROZEN, "cloth-frozen", OW_GUARDS_DRIVE, OW_HEALS, 600, 600,                        \
      "the cloth may be frozen fast",                                                              \
      "leave it until it has thawed and dried; do not pull")                                       \
    X(OW_BLOCK_WET, "cloth-wet", OW_GUARDS_DRIVE, OW_HEALS, 600, 600,                              \
      "the cloth is wet",                                                                          \
      "let it dry, or draw it by hand with the drive locked off")                                  \
    X(OW_BLOCK_CLOTH_UNKNOWN, "cloth-unknown", OW_GUARDS_DRIVE, OW_HEALS, 60, 600,                 \
      "nothing is known of whether the cloth is dry",                                              \
      "see to the sensors of rain and air out of doors")                                                 \
    X(OW_BLOCK_END_UNKNOWN, "end-unknown", OW_GUARDS_DRIVE, OW_HEALS, 10, 600,                     \
      "an end contact has not said where the cloth is",                                            \
      "see to the contacts at its ends")                                                           \
    X(OW_BLOCK_STUCK_OFF, "stuck-off", OW_GUARDS_HEATER, OW_RETRIES, 300, 1,                       \
      "it was sent on but says that it is off",                                                    \
      "see whether its plug has power and was pressed; it is tried again by itself")               \
    X(OW_BLOCK_UNREPORTED, "unreported", OW_GUARDS_HEATER, OW_HEALS, 10, 600,                      \
      "the device has not said whether it is on or off",                                           \
      "see whether the device has power and is in reach")                                          \
    X(OW_BLOCK_POWER_LOW, "power-too-low", OW_GUARDS_HEATER, OW_RETRIES, 300, 1,                   \
      "it was sent on but draws little power: its own thermostat or cut-out may be open",          \
      "see to its thermostat, cut-out and element; it is tried again by itself")                   \
    X(OW_BLOCK_NO_POWER, "no-power-reading", OW_GUARDS_HEATER, OW_HEALS, 10, 600,                  \
      "there is no fresh reading of the power it draws",                                           \
      "see whether the meter has power and is in reach")                                           \
    X(OW_BLOCK_OFFLINE, "not-connected", OW_GUARDS_BOTH, OW_HEALS, 5, 0,                           \
      "there is no connection to the broker",                                                      \
      "see to the broker and the network")                                                         \
    X(OW_BLOCK_CLOCK, "clock-jumped", OW_GUARDS_BOTH, OW_HEALS, 10, 3600,                          \
      "the clock jumped, so the age of what was read is in doubt",                                 \
      "wait for a fresh reading of its air or wind")                                               \
    X(OW_BLOCK_HELD_UP, "held-up", OW_GUARDS_BOTH, OW_HEALS, 10, 3600,                             \
      "this program was held up and may have missed something",                                    \
      "wait for a fresh reading of its air or wind")                                               \
    X(OW_BLOCK_RELOADED, "reloaded", OW_GUARDS_BOTH, OW_HEALS, 10, 3600,                           \
      "the garden file was just read anew",                                                        \
      "wait for a fresh reading of its air or wind")                                               \
    X(OW_BLOCK_STARTED, "just-started", OW_GUARDS_BOTH, OW_HEALS, 60, 3600,                        \
      "this program has just started",                                                             \
      "wait for a fresh reading of its air or wind, and a minute")                                 \
    X(OW_BLOCK_STARTS, "starts-used-up", OW_GUARDS_DRIVE, OW_HEALS, 0, 600,                        \
      "it has started as often as it may within an hour",                                          \
      "wait until the first of these starts is an hour old")                                       \
    X(OW_BLOCK_LONGEST, "ran-longest", OW_GUARDS_HEATER, OW_HEALS, 0, 0,                           \
      "it ran as long as it may",                                                                  \
      "wait: it goes off, then it rests")                                                          \
    X(OW_BLOCK_REST, "resting", OW_GUARDS_HEATER, OW_HEALS, 0, 0,                                  \
      "it rests after its longest run",                                                            \
      "wait until least_rest_min has passed")                                                      \
    X(OW_BLOCK_SHORTEST_OFF, "shortest-off", OW_GUARDS_HEATER, OW_HEALS, 0, 0,                     \
      "it went off a moment ago",                                                                  \
      "wait until shortest_off_min has passed")                                                    \
    X(OW_BLOCK_OTHER_WAY, "other-way", OW_GUARDS_DRIVE, OW_HEALS, 0, 0,                            \
      "it still runs the other way",                                                               \
      "wait until it has stopped")                                                                 \
    X(OW_BLOCK_DEAD_TIME, "dead-time", OW_GUARDS_DRIVE, OW_HEALS, 0, 0,                            \
      "it stopped a moment ago",                                                                   \
      "wait until dead_s has passed since the stop")

typedef enum ow_interlock {
#define OW_INTERLOCK_ENUM(id, word, guards, leaves, recover_s, tell_s, text, clears) id,
    OW_INTERLOCK_LIST(OW_INTERLOCK_ENUM)
#undef OW_INTERLOCK_ENUM
        OW_INTERLOCKS
} ow_interlock;

/* A set of interlocks: bit OW_BLOCK(id) for each. */
typedef uint64_t ow_blocks;
#define OW_BLOCK(id) ((ow_blocks)1 << (id))
_Static_assert(OW_INTERLOCKS < 64, "a set of interlocks is 64 bits");

/* While one of these holds the output is never commanded, only rehearsed. */
#define OW_NEVER_COMMANDED                                                                         \
    (OW_BLOCK(OW_BLOCK_HOST) | OW_BLOCK(OW_BLOCK_CAUTIONS) | OW_BLOCK(OW_BLOCK_NO_TIMER) |         \
     OW_BLOCK(OW_BLOCK_SETTINGS))

/* These hold until a reading that was taken after them has come in. */
#define OW_AWAIT_READING                                                                           \
    (OW_BLOCK(OW_BLOCK_CLOCK) | OW_BLOCK(OW_BLOCK_HELD_UP) | OW_BLOCK(OW_BLOCK_RELOADED) |         \
     OW_BLOCK(OW_BLOCK_STARTED))

/* A row of the table. */
typedef struct ow_interlock_row {
    const char *word;   /* for topics: a-z and - */
    const char *text;   /* for people: a plain statement without a full stop */
    const char *clears; /* for people: what to do about it */
    uint32_t recover_ms;
    uint32_t tell_ms; /* 0: nobody is told */
    unsigned guards;
    ow_leaving leaves;
} ow_interlock_row;

/* The row of an interlock; NULL outside the enum. */
const ow_interlock_row *ow_interlock_about(ow_interlock interlock);

/* The most serious of a set; OW_INTERLOCKS for the empty set. */
ow_interlock ow_blocks_first(ow_blocks blocks);

/* How the interlocks of one output stand. Plain data; it may be saved and go on later. */
typedef struct ow_interlocks {
    ow_blocks causes;   /* seen at the last step */
    ow_blocks latched;  /* until released */
    ow_blocks holding;  /* those that hold: the answer */
    ow_blocks awaiting; /* of OW_AWAIT_READING: no newer reading yet */
    uint32_t since_event_ms;           /* since the latest event of OW_AWAIT_READING */
    uint32_t recover_ms[OW_INTERLOCKS]; /* left until it is left */
} ow_interlocks;

/* As at the start of the program: OW_BLOCK_STARTED holds, nothing is latched. */
ow_interlocks ow_interlocks_started(void);

/* Lets time pass. Call it first in a step. */
void ow_interlocks_pass(ow_interlocks *locks, uint32_t span_ms);

/* Events (bits of OW_AWAIT_READING) happen now, and the youngest reading that the output needs
 * has `age_ms`; one taken after the latest event ends the wait. */
void ow_interlocks_await(ow_interlocks *locks, ow_blocks events, uint32_t age_ms);

/* Judges the causes seen in this step, `span_ms` after the last; returns those that hold. */
ow_blocks ow_interlocks_judge(ow_interlocks *locks, ow_blocks causes, uint32_t span_ms);

/* Latches an interlock now, whatever its cause, such as a stop by hand. */
void ow_interlocks_latch(ow_interlocks *locks, ow_interlock interlock);

/*
 * A person releases what is latched. Refused as a whole, and those to blame returned, while the
 * cause of any of them was still seen at the last step; 0 when done. Each is left recover_s later.
 */
ow_blocks ow_interlocks_release(ow_interlocks *locks);

/* What was saved, made fit to go on after a restart: latches stay, everything that heals waits
 * its whole time, and OW_BLOCK_STARTED holds. */
ow_interlocks ow_interlocks_resumed(const ow_interlocks *saved);

#endif
