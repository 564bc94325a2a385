/* SPDX-License-Identifier: MIT */
/*
 * One cloth drive: a motor that draws a frost cloth shut or open. ow_drive_step is called once a
 * second, from one place. It moves only while no interlock holds, one way at a time, and between
 * any two moves there is a stop that was sent and a dead time. A move is a short lease, renewed at
 * a third of its length while the cloth travels.
 *
 * The position is kept as the time it would have run from fully open, 0..travel. A move ends at
 * the end contact, or, where there is none, when it has run its way and a margin. With a contact
 * that does not come it ends at the travel limit and latches.
 */
#ifndef OVERWINTER_OUTPUTS_DRIVE_H
#define OVERWINTER_OUTPUTS_DRIVE_H

#include "outputs/inputs.h"
#include "outputs/interlock.h"
#include "outputs/lease.h"

#include <stdbool.h>
#include <stdint.h>

/* A move may last this much longer than its way takes: a quarter of the travel and a second. */
#define OW_TRAVEL_MARGIN_MS(travel_ms) ((travel_ms) / 4 + 1000u)

#define OW_STOP_AGAIN_MS 5000u
#define OW_DRIVE_LATE_MS 10000u
#define OW_STARTS_MAX 60

/* A reading of the wind outside this is no reading. */
#define OW_WIND_MAX_MILLI 90000

typedef struct ow_drive_spec {
    bool cautions_read;
    bool has_closed_end; /* a contact at the closed end */
    bool has_open_end;
    uint32_t lease_ms;
    uint32_t off_by_itself_ms;
    uint32_t travel_ms;
    uint32_t dead_ms;
    int32_t wind_max_milli; /* thousandths of a metre a second */
    uint32_t wind_stale_ms;
    uint32_t starts_per_h; /* 1 to OW_STARTS_MAX */
    uint32_t slack_ms;     /* added to OW_DRIVE_LATE_MS; 0, but for a clock that is too fast */
} ow_drive_spec;

typedef enum ow_cloth { OW_CLOTH_UNKNOWN, OW_CLOTH_DRY, OW_CLOTH_WET, OW_CLOTH_FROZEN } ow_cloth;

typedef enum ow_drive_wish { OW_WISH_STAY, OW_WISH_CLOSE, OW_WISH_OPEN } ow_drive_wish;

typedef struct ow_drive_inputs {
    ow_hosting hosting;
    ow_sensed wind;       /* thousandths of a metre a second: the strongest of the fresh ones */
    ow_contact closed_end; /* shut: the cloth is there */
    ow_contact open_end;
    ow_cloth cloth;
    ow_drive_wish wish; /* stay: a move under way ends */
} ow_drive_inputs;

#define OW_DRIVE_STATE_LIST(X)                                                                     \
    X(OW_DRIVE_UNKNOWN, "unknown")                                                                 \
    X(OW_DRIVE_OPEN, "open")                                                                       \
    X(OW_DRIVE_CLOSED, "closed")                                                                   \
    X(OW_DRIVE_STOPPED, "stopped")                                                                 \
    X(OW_DRIVE_CLOSING, "closing")                                                                 \
    X(OW_DRIVE_OPENING, "opening")

typedef enum ow_drive_state {
#define OW_DRIVE_ENUM(id, word) id,
    OW_DRIVE_STATE_LIST(OW_DRIVE_ENUM)
#undef OW_DRIVE_ENUM
        OW_DRIVE_STATES
} ow_drive_state;

#define OW_DRIVE_VERSION 2u

/* All that is kept about a drive. Plain data, no pointers: it may be saved whole. */
typedef struct ow_drive {
    uint32_t version;
    ow_drive_state state;
    uint32_t last_ms;
    uint32_t position_ms; /* 0 open .. travel closed; holds when `located` */
    uint32_t moved_ms;    /* since this move began */
    uint32_t allowed_ms;  /* what this move may take */
    uint32_t dead_left_ms;
    uint32_t stop_again_ms; /* until stop is sent again */
    uint32_t own_left_ms;   /* until the device's own off-timer has surely ended a move */
    ow_lease lease;
    bool located;
    bool stop_owed; /* the device's own timer may still let it run */
    bool stop_sent; /* since the last move began */
    bool commanded; /* was sent a move and may not have stopped yet */
    ow_interlocks locks;
    uint32_t start_age_ms[OW_STARTS_MAX]; /* how long ago the last starts were, at most an hour */
} ow_drive;

typedef enum ow_drive_command {
    OW_DRIVE_SEND_NOTHING,
    OW_DRIVE_SEND_CLOSE,
    OW_DRIVE_SEND_OPEN,
    OW_DRIVE_SEND_STOP
} ow_drive_command;

typedef struct ow_drive_answer {
    ow_drive_command command;
    uint32_t lease_s;             /* with close and open */
    ow_drive_command would_switch; /* moves so, or would but for OW_NEVER_COMMANDED; else nothing */
    ow_blocks blocked;
} ow_drive_answer;

/* A drive as the program starts: a stop is owed, where it stands is not known. */
ow_drive ow_drive_started(const ow_drive_spec *spec, uint32_t now_ms);

/* The same from what was saved; see ow_heater_resumed. The position goes on if it stood still. */
ow_drive ow_drive_resumed(const ow_drive_spec *spec, const ow_drive *saved, uint32_t now_ms);

ow_drive_answer ow_drive_step(ow_drive *drive, const ow_drive_spec *spec,
                              const ow_drive_inputs *in, uint32_t now_ms);

/* Somebody stops it by hand: still at the next step, until released. */
void ow_drive_stop(ow_drive *drive);

/* Somebody releases it; returns the interlocks to blame where that is refused, else 0. */
ow_blocks ow_drive_release(ow_drive *drive);

/* How far closed it is, 0 to 100; -1: not known. */
int ow_drive_closed_pct(const ow_drive *drive, const ow_drive_spec *spec);

const char *ow_drive_state_word(ow_drive_state state);

#endif
