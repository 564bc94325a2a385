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

#define OW_LATCHES true
#define OW_HEALS false

/* The table, most serious first: id, word, what it guards, whether it latches, seconds that the
 * cause must be away, text for people, what clears it. */
#define OW_INTERLOCK_LIST(X)                                                                       \
    X(OW_BLOCK_HOST, "host", OW_GUARDS_BOTH, OW_HEALS, 0,                                          \
      "this host cannot promise to switch off", "run it with the program instead")                 \
    X(OW_BLOCK_CAUTIONS, "cautions", OW_GUARDS_BOTH, OW_HEALS, 0,                                  \
      "nobody has said yet that the cautions were read",                                           \
      "read them, then set cautions_read in the garden file")                                      \
    X(OW_BLOCK_NO_TIMER, "no-off-timer", OW_GUARDS_BOTH, OW_HEALS, 0,                              \
      "the device has no off-timer of its own that outlasts a lease",                              \
      "use a device that has one and set off_by_itself_s")                                         \
    X(OW_BLOCK_SETTINGS, "settings", OW_GUARDS_BOTH, OW_HEALS, 0,                                  \
      "its settings in the garden file do not make sense together", "mend the garden file")        \
    X(OW_BLOCK_STUCK_ON, "stuck-on", OW_GUARDS_HEATER, OW_LATCHES, 60,                             \
      "it was sent off but says that it is on",                                                    \
      "pull its plug or open its breaker, find out why, then release it")                          \
    X(OW_BLOCK_POWER_WHILE_OFF, "power-while-off", OW_GUARDS_HEATER, OW_LATCHES, 60,               \
      "it was sent off but still draws power",                                                     \
      "pull its plug or open its breaker, find out why, then release it")                          \
    X(OW_BLOCK_POWER_HIGH, "power-too-high", OW_GUARDS_HEATER, OW_LATCHES, 60,                     \
      "it draws far more power than its watts",                                                    \
      "see what else hangs on it, then release it")                                                \
    X(OW_BLOCK_BOTH_ENDS, "both-ends", OW_GUARDS_DRIVE, OW_LATCHES, 60,                            \
      "both of its end contacts say that it is there", "mend the contacts, then release it")       \
    X(OW_BLOCK_TRAVEL, "travel-limit", OW_GUARDS_DRIVE, OW_LATCHES, 60,                            \
      "it ran its whole time and did not reach its end",                                           \
      "see what jams it with the drive locked off, then release it")                               \
    X(OW_BLOCK_BY_HAND, "stopped-by-hand", OW_GUARDS_BOTH, OW_LATCHES, 5,                          \
      "somebody stopped it by hand", "release it")                                                 \
    X(OW_BLOCK_FORGOT, "memory-lost", OW_GUARDS_BOTH, OW_LATCHES, 5,                               \
      "what was kept about it cannot be read, so a stop by hand may be forgotten",                 \
      "look at it, then release it")                                                               \
    X(OW_BLOCK_CIRCUIT, "circuit-full", OW_GUARDS_HEATER, OW_HEALS, 0,                             \
      "its circuit has no watts left for it", "another heater on the circuit goes off")            \
    X(OW_BLOCK_TOO_WARM, "too-warm", OW_GUARDS_HEATER, OW_HEALS, 300,                              \
      "its place is too warm", "the air is a kelvin below too_warm_c")                             \
    X(OW_BLOCK_DOOR_OPEN, "open", OW_GUARDS_HEATER, OW_HEALS, 10,                                  \
      "a door or window that must be shut is open", "it is shut")                                  \
    X(OW_BLOCK_DOOR_UNKNOWN, "open-unknown", OW_GUARDS_HEATER, OW_HEALS, 10,                       \
      "a door or window that must be shut has not said whether it is", "its contact says shut")    \
    X(OW_BLOCK_CONTRADICTED, "readings-part", OW_GUARDS_HEATER, OW_HEALS, 120,                     \
      "two readings of its air contradict each other", "they agree")                               \
    X(OW_BLOCK_NO_AIR, "no-air-reading", OW_GUARDS_HEATER, OW_HEALS, 30,                           \
      "there is no fresh reading of the air at its place", "a fresh reading comes in")             \
    X(OW_BLOCK_WIND, "wind", OW_GUARDS_DRIVE, OW_HEALS, 300,                                       \
      "the wind is too strong to move the cloth", "the wind is at or below wind_max_ms")           \
    X(OW_BLOCK_NO_WIND, "no-wind-reading", OW_GUARDS_DRIVE, OW_HEALS, 30,                          \
      "there is no fresh reading of the wind", "a fresh reading comes in")                         \
    X(OW_BLOCK_FROZEN, "cloth-frozen", OW_GUARDS_DRIVE, OW_HEALS, 600,                             \
      "the cloth may be frozen fast", "it has thawed and dried")                                   \
    X(OW_BLOCK_WET, "cloth-wet", OW_GUARDS_DRIVE, OW_HEALS, 600, "the cloth is wet",               \
      "it has dried")                                                                              \
    X(OW_BLOCK_CLOTH_UNKNOWN, "cloth-unknown", OW_GUARDS_DRIVE, OW_HEALS, 60,                      \
      "nothing is known of whether the cloth is dry", "the weather of the last day is known")      \
    X(OW_BLOCK_END_UNKNOWN, "end-unknown", OW_GUARDS_DRIVE, OW_HEALS, 10,                          \
      "an end contact has not said where the cloth is", "the contact says open or shut")           \
    X(OW_BLOCK_STUCK_OFF, "stuck-off", OW_GUARDS_HEATER, OW_HEALS, 300,                            \
      "it was sent on but says that it is off", "by itself after a pause, then it is tried again") \
    X(OW_BLOCK_UNREPORTED, "unreported", OW_GUARDS_HEATER, OW_HEALS, 10,                           \
      "the device has not said whether it is on or off", "it says so")                             \
    X(OW_BLOCK_POWER_LOW, "power-too-low", OW_GUARDS_HEATER, OW_HEALS, 300,                        \
      "it was sent on but draws little power: its own thermostat or cut-out may be open",          \
      "by itself after a pause, then it is tried again")                                           \
    X(OW_BLOCK_NO_POWER, "no-power-reading", OW_GUARDS_HEATER, OW_HEALS, 10,                       \
      "there is no fresh reading of the power it draws", "a fresh reading comes in")               \
    X(OW_BLOCK_OFFLINE, "not-connected", OW_GUARDS_BOTH, OW_HEALS, 5,                              \
      "there is no connection to the broker", "the connection is back")                            \
    X(OW_BLOCK_CLOCK, "clock-jumped", OW_GUARDS_BOTH, OW_HEALS, 10,                                \
      "the clock jumped, so the age of what was read is in doubt", "fresh readings come in")       \
    X(OW_BLOCK_HELD_UP, "held-up", OW_GUARDS_BOTH, OW_HEALS, 10,                                   \
      "this program was held up and may have missed something", "fresh readings come in")          \
    X(OW_BLOCK_RELOADED, "reloaded", OW_GUARDS_BOTH, OW_HEALS, 10,                                 \
      "the garden file was just read anew", "fresh readings come in")                              \
    X(OW_BLOCK_STARTED, "just-started", OW_GUARDS_BOTH, OW_HEALS, 60,                              \
      "this program has just started", "fresh readings come in and a minute passes")               \
    X(OW_BLOCK_STARTS, "starts-used-up", OW_GUARDS_DRIVE, OW_HEALS, 0,                             \
      "it has started as often as it may within an hour", "the first of these starts is an hour old") \
    X(OW_BLOCK_LONGEST, "ran-longest", OW_GUARDS_HEATER, OW_HEALS, 0,                              \
      "it ran as long as it may", "it is off, then it rests")                                      \
    X(OW_BLOCK_REST, "resting", OW_GUARDS_HEATER, OW_HEALS, 0,                                     \
      "it rests after its longest run", "least_rest_min has passed")                               \
    X(OW_BLOCK_SHORTEST_OFF, "shortest-off", OW_GUARDS_HEATER, OW_HEALS, 0,                        \
      "it went off a moment ago", "shortest_off_min has passed")                                   \
    X(OW_BLOCK_OTHER_WAY, "other-way", OW_GUARDS_DRIVE, OW_HEALS, 0,                               \
      "it still runs the other way", "it has stopped")                                             \
    X(OW_BLOCK_DEAD_TIME, "dead-time", OW_GUARDS_DRIVE, OW_HEALS, 0,                               \
      "it stopped a moment ago", "dead_s has passed since the stop was sent")

typedef enum ow_interlock {
#define OW_INTERLOCK_ENUM(id, word, guards, latches, recover_s, text, clears) id,
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
    const char *clears; /* for people: what makes it go */
    uint32_t recover_ms;
    unsigned guards;
    bool latches;
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
