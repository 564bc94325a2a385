/* SPDX-License-Identifier: MIT */
/*
 * What heater and drive ought to do, written from the specification and not from the code: one
 * table of conditions over a world of a few levels for each input, and the rules for what follows.
 * test_every_case.c builds each of these worlds in numbers and compares.
 */
#ifndef OVERWINTER_TESTS_OUTPUTS_REFERENCE_H
#define OVERWINTER_TESTS_OUTPUTS_REFERENCE_H

#include "outputs/drive.h"
#include "outputs/heater.h"

/* Levels that heater and drive have in common. */
typedef enum { INSTALLED, NO_PROMISE, UNREAD, NO_TIMER, SHORT_TIMER, NONSENSE, INSTALLS } install;
typedef enum { UNTOUCHED, HAND, LOST, TOUCHES } touch;
typedef enum { QUIET, JUMP, RELOAD, LATE, START, EVENTS } event;
typedef enum { NOT_FITTED, SILENT, SHUT, OPEN, CONTACTS } contact;

static inline bool never_commanded(install i)
{
    return i != INSTALLED;
}

/* ---- heater ---- */

typedef enum { AIR_NONE, AIR_STALE, AIR_SPLIT, AIR_COLD, AIR_RIGHT, AIR_HOT, AIRS } air;
typedef enum { SAYS_NOT_FITTED, SAYS_NOTHING, SAYS_OFF, SAYS_ON, SAYS } says;
typedef enum { W_NOT_FITTED, W_NONE, W_IDLE, W_RIGHT, W_HIGH, POWERS } power;

/* The heater's times, as the bench sets them, in milliseconds. */
enum {
    GRACE = 30000,
    SHORTEST_OFF = 120000,
    SHORTEST_ON = 180000,
    REST = 300000,
    WARM_WITHIN = 2400000,
    LONGEST = 10800000
};

/* aged: for how long it has been in its state. A stopping heater older than the grace time was
 * sent off at its beginning; a younger one has not been sent it yet. */
typedef struct {
    install installed;
    touch touched;
    event happened;
    bool connected;
    contact door; /* SILENT, SHUT or OPEN */
    air air_is;
    says said;
    power draws;
    bool granted, astray, warms_not;
    ow_heater_state state;
    uint32_t ran, aged;
} heater_world;

static inline bool is_on(const heater_world *w)
{
    return w->state == OW_HEATER_ON;
}

static inline bool is_wanted(const heater_world *w)
{
    return w->air_is == AIR_COLD;
}

/* Off was sent and the grace time has passed since. */
static inline bool must_be_off(const heater_world *w)
{
    return !is_on(w) && w->aged >= GRACE;
}

static inline bool must_be_on(const heater_world *w)
{
    return is_on(w) && w->aged >= GRACE;
}

static inline bool ran_longest(const heater_world *w)
{
    return w->ran >= LONGEST;
}

/* X(interlock, condition). */
#define HEATER_REFERENCE(X)                                                                        \
    X(OW_BLOCK_HOST, w->installed == NO_PROMISE)                                                   \
    X(OW_BLOCK_CAUTIONS, w->installed == UNREAD)                                                   \
    X(OW_BLOCK_NO_TIMER, w->installed == NO_TIMER || w->installed == SHORT_TIMER)                  \
    X(OW_BLOCK_SETTINGS, w->installed == NONSENSE)                                                 \
    X(OW_BLOCK_STUCK_ON, must_be_off(w) && w->said == SAYS_ON)                                     \
    X(OW_BLOCK_POWER_WHILE_OFF, must_be_off(w) && (w->draws == W_RIGHT || w->draws == W_HIGH))     \
    X(OW_BLOCK_POWER_HIGH, w->draws == W_HIGH)                                                     \
    X(OW_BLOCK_BY_HAND, w->touched == HAND)                                                        \
    X(OW_BLOCK_FORGOT, w->touched == LOST)                                                         \
    X(OW_BLOCK_CIRCUIT, !w->granted && (is_on(w) || is_wanted(w)))                                 \
    X(OW_BLOCK_TOO_WARM, w->air_is == AIR_HOT)                                                     \
    X(OW_BLOCK_DOOR_OPEN, w->door == OPEN)                                                         \
    X(OW_BLOCK_DOOR_UNKNOWN, w->door == SILENT)                                                    \
    X(OW_BLOCK_CONTRADICTED, w->air_is == AIR_SPLIT)                                               \
    X(OW_BLOCK_ASTRAY, w->astray)                                                                  \
    X(OW_BLOCK_NO_AIR, w->air_is == AIR_NONE || w->air_is == AIR_STALE)                            \
    X(OW_BLOCK_NO_WARMTH, is_on(w) && w->aged >= WARM_WITHIN && w->warms_not)                      \
    X(OW_BLOCK_STUCK_OFF, must_be_on(w) && w->said == SAYS_OFF)                                    \
    X(OW_BLOCK_UNREPORTED, w->said == SAYS_NOTHING)                                                \
    X(OW_BLOCK_POWER_LOW, must_be_on(w) && w->draws == W_IDLE)                                     \
    X(OW_BLOCK_NO_POWER, w->draws == W_NONE)                                                       \
    X(OW_BLOCK_OFFLINE, !w->connected)                                                             \
    X(OW_BLOCK_CLOCK, w->happened == JUMP)                                                         \
    X(OW_BLOCK_HELD_UP, w->happened == LATE)                                                       \
    X(OW_BLOCK_RELOADED, w->happened == RELOAD)                                                    \
    X(OW_BLOCK_STARTED, w->happened == START)                                                      \
    X(OW_BLOCK_LONGEST, ran_longest(w) && (is_on(w) || w->state == OW_HEATER_STOPPING))            \
    X(OW_BLOCK_REST, ran_longest(w) && w->aged < REST &&                                           \
                         (w->state == OW_HEATER_OFF || w->state == OW_HEATER_RESTING))             \
    X(OW_BLOCK_SHORTEST_OFF,                                                                       \
      w->state == OW_HEATER_STOPPING || (!is_on(w) && w->aged < SHORTEST_OFF))

static inline ow_blocks heater_ought_to_be_blocked_by(const heater_world *w)
{
    ow_blocks blocks = 0;
#define OUGHT(interlock, condition) blocks |= (condition) ? OW_BLOCK(interlock) : 0;
    HEATER_REFERENCE(OUGHT)
#undef OUGHT
    return blocks;
}

/* Whether a heater that is stopping may be taken for off: off was sent, and where it can say so
 * it says so. */
static inline bool ought_to_count_as_off(const heater_world *w)
{
    return w->aged >= GRACE && (w->said == SAYS_NOT_FITTED || w->said == SAYS_OFF);
}

static inline ow_heater_state heater_ought_to_be(const heater_world *w, ow_blocks blocks)
{
    const ow_blocks rests = OW_BLOCK(OW_BLOCK_REST) | OW_BLOCK(OW_BLOCK_SHORTEST_OFF);
    if (w->state == OW_HEATER_ON) {
        bool stays = blocks == 0 && (is_wanted(w) || w->aged < SHORTEST_ON);
        return stays ? OW_HEATER_ON : OW_HEATER_STOPPING;
    }
    if (w->state == OW_HEATER_STOPPING) {
        return ought_to_count_as_off(w) ? OW_HEATER_RESTING : OW_HEATER_STOPPING;
    }
    if (blocks == 0 && is_wanted(w)) {
        return OW_HEATER_ON;
    }
    return blocks & rests ? w->state : OW_HEATER_OFF;
}

/* A heater that was on or is stopping was commanded, so it may be sent off whatever holds. A
 * silent or unfitted report leaves off owed until the device's own timer has ended it. */
static inline ow_heater_command heater_ought_to_be_sent(const heater_world *w, ow_blocks blocks)
{
    if (!w->connected) {
        return OW_HEATER_SEND_NOTHING;
    }
    ow_heater_state next = heater_ought_to_be(w, blocks);
    if (next == OW_HEATER_ON) {
        return is_on(w) ? OW_HEATER_SEND_NOTHING : OW_HEATER_SEND_ON; /* its lease is young */
    }
    if (is_on(w)) {
        return OW_HEATER_SEND_OFF;
    }
    if (w->state == OW_HEATER_STOPPING) {
        bool confirmed = w->aged >= GRACE && w->said == SAYS_OFF;
        return confirmed ? OW_HEATER_SEND_NOTHING : OW_HEATER_SEND_OFF;
    }
    bool stray = w->said == SAYS_ON && !never_commanded(w->installed);
    return stray ? OW_HEATER_SEND_OFF : OW_HEATER_SEND_NOTHING;
}

/* ---- drive ---- */

typedef enum {
    WIND_NONE,
    WIND_STALE,
    WIND_SPLIT,
    WIND_LIGHT,
    WIND_STRONG,
    WIND_STRONG_SPLIT,
    WINDS
} wind;

typedef struct {
    install installed;
    touch touched;
    event happened;
    bool connected;
    wind wind_is;
    ow_cloth cloth;
    contact closed_end, open_end;
    ow_drive_wish wish;
    ow_drive_state state;
    unsigned time;   /* a millisecond before, at, and after the next limit */
    bool time_is_up; /* moving: it ran all that it may; still: its dead time is over */
    bool starts_used;
} drive_world;

static inline bool moves(const drive_world *w)
{
    return w->state == OW_DRIVE_CLOSING || w->state == OW_DRIVE_OPENING;
}

static inline contact end_ahead(const drive_world *w)
{
    return w->state == OW_DRIVE_CLOSING ? w->closed_end : w->open_end;
}

static inline contact end_behind(const drive_world *w)
{
    return w->state == OW_DRIVE_CLOSING ? w->open_end : w->closed_end;
}

#define DRIVE_REFERENCE(X)                                                                         \
    X(OW_BLOCK_HOST, w->installed == NO_PROMISE)                                                   \
    X(OW_BLOCK_CAUTIONS, w->installed == UNREAD)                                                   \
    X(OW_BLOCK_NO_TIMER, w->installed == NO_TIMER || w->installed == SHORT_TIMER)                  \
    X(OW_BLOCK_SETTINGS, w->installed == NONSENSE)                                                 \
    X(OW_BLOCK_BOTH_ENDS, w->closed_end == SHUT && w->open_end == SHUT)                            \
    X(OW_BLOCK_TRAVEL, moves(w) && w->time_is_up && end_ahead(w) != SHUT &&                        \
                           (end_ahead(w) != NOT_FITTED || end_behind(w) == SHUT))                  \
    X(OW_BLOCK_BY_HAND, w->touched == HAND)                                                        \
    X(OW_BLOCK_FORGOT, w->touched == LOST)                                                         \
    X(OW_BLOCK_WIND, w->wind_is == WIND_STRONG || w->wind_is == WIND_STRONG_SPLIT)                 \
    X(OW_BLOCK_WINDS_PART, w->wind_is == WIND_SPLIT || w->wind_is == WIND_STRONG_SPLIT)            \
    X(OW_BLOCK_NO_WIND, w->wind_is == WIND_NONE || w->wind_is == WIND_STALE)                       \
    X(OW_BLOCK_FROZEN, w->cloth == OW_CLOTH_FROZEN)                                                \
    X(OW_BLOCK_WET, w->cloth == OW_CLOTH_WET)                                                      \
    X(OW_BLOCK_CLOTH_UNKNOWN, w->cloth == OW_CLOTH_UNKNOWN)                                        \
    X(OW_BLOCK_END_UNKNOWN, w->closed_end == SILENT || w->open_end == SILENT)                      \
    X(OW_BLOCK_OFFLINE, !w->connected)                                                             \
    X(OW_BLOCK_CLOCK, w->happened == JUMP)                                                         \
    X(OW_BLOCK_HELD_UP, w->happened == LATE)                                                       \
    X(OW_BLOCK_RELOADED, w->happened == RELOAD)                                                    \
    X(OW_BLOCK_STARTED, w->happened == START)                                                      \
    X(OW_BLOCK_STARTS, !moves(w) && w->starts_used)                                                \
    X(OW_BLOCK_OTHER_WAY, (w->state == OW_DRIVE_CLOSING && w->wish == OW_WISH_OPEN) ||             \
                              (w->state == OW_DRIVE_OPENING && w->wish == OW_WISH_CLOSE))          \
    X(OW_BLOCK_DEAD_TIME, !moves(w) && !w->time_is_up)

static inline ow_blocks drive_ought_to_be_blocked_by(const drive_world *w)
{
    ow_blocks blocks = 0;
#define OUGHT(interlock, condition) blocks |= (condition) ? OW_BLOCK(interlock) : 0;
    DRIVE_REFERENCE(OUGHT)
#undef OUGHT
    return blocks;
}

/* Where it stands by its contacts, before anything is begun. A contact that was left, or that
 * does not say so any more, takes the place that was reckoned with it. */
static inline ow_drive_state drive_ought_to_stand(const drive_world *w)
{
    bool closed = w->closed_end == SHUT, open = w->open_end == SHUT;
    if (closed != open) {
        return closed ? OW_DRIVE_CLOSED : OW_DRIVE_OPEN;
    }
    bool left = (w->state == OW_DRIVE_CLOSED && w->closed_end != NOT_FITTED) ||
                (w->state == OW_DRIVE_OPEN && w->open_end != NOT_FITTED);
    return closed || left ? OW_DRIVE_UNKNOWN : w->state;
}

static inline ow_drive_state drive_ought_to_be(const drive_world *w, ow_blocks blocks)
{
    if (!moves(w)) {
        ow_drive_state stands = drive_ought_to_stand(w);
        if (blocks == 0 && w->wish == OW_WISH_CLOSE && stands != OW_DRIVE_CLOSED) {
            return OW_DRIVE_CLOSING;
        }
        if (blocks == 0 && w->wish == OW_WISH_OPEN && stands != OW_DRIVE_OPEN) {
            return OW_DRIVE_OPENING;
        }
        return stands;
    }
    bool closing = w->state == OW_DRIVE_CLOSING;
    bool by_contact = end_ahead(w) == SHUT && end_behind(w) != SHUT;
    if (by_contact || (w->time_is_up && blocks == 0)) {
        return closing ? OW_DRIVE_CLOSED : OW_DRIVE_OPEN;
    }
    if (blocks == 0 && w->wish == (closing ? OW_WISH_CLOSE : OW_WISH_OPEN)) {
        return w->state;
    }
    const ow_blocks doubts = OW_BLOCK(OW_BLOCK_OFFLINE) | OW_BLOCK(OW_BLOCK_HELD_UP) |
                             OW_BLOCK(OW_BLOCK_TRAVEL);
    return blocks & doubts ? OW_DRIVE_UNKNOWN : OW_DRIVE_STOPPED;
}

/* The test's still drives owe no stop any more, its moving ones have a young lease. */
static inline ow_drive_command drive_ought_to_be_sent(const drive_world *w, ow_blocks blocks)
{
    ow_drive_state next = drive_ought_to_be(w, blocks);
    if (!w->connected || next == w->state) {
        return OW_DRIVE_SEND_NOTHING;
    }
    if (moves(w)) {
        return OW_DRIVE_SEND_STOP;
    }
    if (next == OW_DRIVE_CLOSING) {
        return OW_DRIVE_SEND_CLOSE;
    }
    return next == OW_DRIVE_OPENING ? OW_DRIVE_SEND_OPEN : OW_DRIVE_SEND_NOTHING;
}

#endif
