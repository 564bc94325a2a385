/* SPDX-License-Identifier: MIT */
/*
 * One heater. ow_heater_step is called once a second, from one place, with what is known; it
 * answers what to send. The heater is on only while no interlock holds, and every "on" is a lease.
 *
 *   OFF       off and free to go on
 *   ON        a lease runs; it is renewed at a third of its length
 *   STOPPING  on no longer wanted or allowed; until off was sent and, by a device that reports,
 *             confirmed, or until the device's own off-timer has surely ended it
 *   RESTING   off, until the shortest off and the rest after a longest run are over
 *
 * "off" is sent at once and then every ten seconds until it is confirmed or the device's own
 * off-timer has ended it. While an interlock of OW_NEVER_COMMANDED holds, nothing is sent, save
 * the off that ends an earlier on. While disconnected nothing is sent at all.
 *
 * The longest run counts all time on since the last rest of least_rest: a short pause does not
 * begin it anew.
 */
#ifndef OVERWINTER_OUTPUTS_HEATER_H
#define OVERWINTER_OUTPUTS_HEATER_H

#include "outputs/circuit.h"
#include "outputs/inputs.h"
#include "outputs/interlock.h"
#include "outputs/lease.h"

#include <stdbool.h>
#include <stdint.h>

/* The air is warmed this far above what is kept, and cools this far below too warm again. */
#define OW_HEAT_BAND_MK 500
#define OW_TOO_WARM_BAND_MK 1000

/* A reading of the air outside this is no reading. */
#define OW_AIR_MIN_MC (-60000)
#define OW_AIR_MAX_MC 70000

/* How often off is sent again, and steps further apart than this count as held up. */
#define OW_OFF_AGAIN_MS 10000u
#define OW_STEP_LATE_MS 10000u

/* Usual time that a device is given to report, or a meter to show, what was commanded. */
#define OW_GRACE_MS 30000u

/* On for so long, its air must be warmer for it (common practice, no source). */
#define OW_WARM_WITHIN_MS 2400000u

/* What the garden file says. Spans of 0 are missing; so are 0 watts and OW_MILLI_NONE. */
typedef struct ow_heater_spec {
    bool cautions_read;
    bool reports;        /* it has a topic of its own state */
    bool measures_power; /* its power is measured */
    bool has_doors;      /* blocked_while_open is not empty */
    bool on_circuit;
    uint32_t watts;
    int32_t keep_mc;     /* keep_air_above_c */
    int32_t too_warm_mc;
    uint32_t lease_ms;
    uint32_t off_by_itself_ms;
    uint32_t longest_run_ms;
    uint32_t least_rest_ms;   /* may be 0 */
    uint32_t shortest_on_ms;  /* may be 0; never holds against an interlock */
    uint32_t shortest_off_ms; /* may be 0 */
    uint32_t air_stale_ms;
    uint32_t power_stale_ms;  /* where power is measured */
    uint32_t grace_ms;
    uint32_t slack_ms;        /* added to OW_STEP_LATE_MS; 0, but for a clock that is too fast */
} ow_heater_spec;

typedef struct ow_heater_inputs {
    ow_hosting hosting;
    ow_sensed air;     /* thousandths of a degree Celsius, at its place */
    ow_sensed power;   /* thousandths of a watt */
    ow_contact doors;  /* the worst of blocked_while_open */
    ow_said reported;
    ow_accord air_fits; /* the reading of the air, with the weather and what glass makes of it */
    ow_accord warms;    /* the air, with the heat that was given since it came on */
    bool granted;      /* by ow_circuit_share in this step */
} ow_heater_inputs;

#define OW_HEATER_STATE_LIST(X)                                                                    \
    X(OW_HEATER_OFF, "off")                                                                        \
    X(OW_HEATER_ON, "on")                                                                          \
    X(OW_HEATER_STOPPING, "stopping")                                                              \
    X(OW_HEATER_RESTING, "resting")

typedef enum ow_heater_state {
#define OW_HEATER_ENUM(id, word) id,
    OW_HEATER_STATE_LIST(OW_HEATER_ENUM)
#undef OW_HEATER_ENUM
        OW_HEATER_STATES
} ow_heater_state;

/* The shape of ow_heater as saved; a store of another shape is not read. */
#define OW_HEATER_VERSION 2u

/* All that is kept about a heater. Plain data, no pointers: it may be saved whole. */
typedef struct ow_heater {
    uint32_t version;
    ow_heater_state state;
    uint32_t last_ms;     /* the clock at the last step */
    uint32_t in_state_ms; /* since it came into its state */
    uint32_t ran_ms;      /* on since the last rest */
    uint32_t rested_ms;   /* off since it was last on */
    uint32_t since_off_ms; /* since off was first sent after the last on */
    uint32_t off_again_ms; /* until off is sent again */
    uint32_t own_left_ms;  /* until the device's own off-timer has surely ended it */
    ow_lease lease;
    bool wanted;    /* the air is to be warmed */
    bool off_sent;  /* since the last on */
    bool off_owed;  /* off is not confirmed yet */
    bool commanded; /* was sent on and is not confirmed off */
    ow_interlocks locks;
    uint64_t used_uj; /* energy, in millionths of a joule: measured, else watts times time on */
} ow_heater;

typedef enum ow_heater_command {
    OW_HEATER_SEND_NOTHING,
    OW_HEATER_SEND_ON,
    OW_HEATER_SEND_OFF
} ow_heater_command;

typedef struct ow_heater_answer {
    ow_heater_command command;
    uint32_t lease_s;    /* with OW_HEATER_SEND_ON */
    bool would_switch;   /* on, or would be but for an interlock of OW_NEVER_COMMANDED */
    ow_blocks blocked;   /* the interlocks that hold */
} ow_heater_answer;

/* A heater as the program starts: off is owed, OW_BLOCK_STARTED holds, it rests its shortest off. */
ow_heater ow_heater_started(const ow_heater_spec *spec, uint32_t now_ms);

/*
 * The same after a restart, from what was saved: latches, the run so far and the energy go on, a
 * rest begins anew. Where `saved` is of another version or not sound, a heater that
 * OW_BLOCK_FORGOT keeps off until a person has released it.
 */
ow_heater ow_heater_resumed(const ow_heater_spec *spec, const ow_heater *saved, uint32_t now_ms);

/* One step; `now_ms` is the monotonic clock cut to 32 bits (see span.h). */
ow_heater_answer ow_heater_step(ow_heater *heater, const ow_heater_spec *spec,
                                const ow_heater_inputs *in, uint32_t now_ms);

/* Somebody stops it by hand: off at the next step, until released. */
void ow_heater_stop(ow_heater *heater);

/* Somebody releases it; returns the interlocks to blame where that is refused, else 0. The caller
 * has made sure that a person, by name, asked for it. */
ow_blocks ow_heater_release(ow_heater *heater);

/* How it stands towards its circuit, after the last step, for ow_circuit_share. */
ow_circuit_member ow_heater_member(const ow_heater *heater, const ow_heater_spec *spec,
                                   ow_sensed air);

/* Energy used, in thousandths of a watt-hour. */
uint64_t ow_heater_used_mwh(const ow_heater *heater);

/* "off", "on"...; "?" outside the enum. */
const char *ow_heater_state_word(ow_heater_state state);

#endif
