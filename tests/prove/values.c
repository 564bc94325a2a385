/* SPDX-License-Identifier: MIT */
/*
 * Drives all of module/outputs/ with values of which nothing is known: settings, readings, times,
 * words outside their enums, saved states that are rubbish, in any order and for ever. Frama-C's EVA
 * then shows that no run has an undefined behaviour: no overflow of a signed number, no index
 * outside its array, no shift too far, nothing read that was never written.
 */
#include <float.h>
#include <math.h>

#include "any.h"
#include "outputs/alarm.h"
#include "outputs/circuit.h"
#include "outputs/common.h"
#include "outputs/drive.h"
#include "outputs/drive_causes.h"
#include "outputs/heater.h"
#include "outputs/heater_causes.h"
#include "outputs/set_point.h"
#include "outputs/span.h"

static ow_hosting any_hosting(void)
{
    return (ow_hosting){.promises_off = any_bool(),
                        .connected = any_bool(),
                        .clock_jumped = any_bool(),
                        .reloaded = any_bool()};
}

static ow_sensed any_sensed(void)
{
    return (ow_sensed){.known = any_bool(),
                       .contradicted = any_bool(),
                       .milli = any_i32(),
                       .age_ms = any_u32()};
}

static ow_interlocks any_locks(void)
{
    ow_interlocks locks = {.causes = Frama_C_unsigned_long_long_interval(0, ULLONG_MAX),
                           .latched = Frama_C_unsigned_long_long_interval(0, ULLONG_MAX),
                           .holding = Frama_C_unsigned_long_long_interval(0, ULLONG_MAX),
                           .awaiting = Frama_C_unsigned_long_long_interval(0, ULLONG_MAX),
                           .since_event_ms = any_u32()};
    for (int i = 0; i < OW_INTERLOCKS; i++) {
        locks.recover_ms[i] = any_u32();
    }
    return locks;
}

/* ---- the heater ------------------------------------------------------------------------------ */

static ow_heater_spec any_heater_spec(void)
{
    return (ow_heater_spec){.cautions_read = any_bool(),
                            .reports = any_bool(),
                            .measures_power = any_bool(),
                            .has_doors = any_bool(),
                            .on_circuit = any_bool(),
                            .watts = any_u32(),
                            .keep_mc = any_i32(),
                            .too_warm_mc = any_i32(),
                            .lease_ms = any_u32(),
                            .off_by_itself_ms = any_u32(),
                            .longest_run_ms = any_u32(),
                            .least_rest_ms = any_u32(),
                            .shortest_on_ms = any_u32(),
                            .shortest_off_ms = any_u32(),
                            .air_stale_ms = any_u32(),
                            .power_stale_ms = any_u32(),
                            .grace_ms = any_u32(),
                            .slack_ms = any_u32()};
}

static ow_heater_inputs any_heater_inputs(void)
{
    return (ow_heater_inputs){.hosting = any_hosting(),
                              .air = any_sensed(),
                              .power = any_sensed(),
                              .doors = (ow_contact)any_u32(),
                              .reported = (ow_said)any_u32(),
                              .air_fits = (ow_accord)any_u32(),
                              .warms = (ow_accord)any_u32(),
                              .granted = any_bool()};
}

static ow_heater any_saved_heater(void)
{
    return (ow_heater){.version = any_u32(),
                       .state = (ow_heater_state)any_u32(),
                       .last_ms = any_u32(),
                       .in_state_ms = any_u32(),
                       .ran_ms = any_u32(),
                       .rested_ms = any_u32(),
                       .since_off_ms = any_u32(),
                       .off_again_ms = any_u32(),
                       .own_left_ms = any_u32(),
                       .lease = {any_u32(), any_u32()},
                       .wanted = any_bool(),
                       .off_sent = any_bool(),
                       .off_owed = any_bool(),
                       .commanded = any_bool(),
                       .locks = any_locks(),
                       .used_uj = Frama_C_unsigned_long_long_interval(0, ULLONG_MAX)};
}

static ow_heater begun_heater(const ow_heater_spec *spec)
{
    ow_heater saved = any_saved_heater();
    switch (any_below(3)) {
    case 0:
        return ow_heater_started(spec, any_u32());
    case 1:
        return ow_heater_resumed(spec, &saved, any_u32());
    default:
        return saved; /* even a state that no program wrote */
    }
}

static void play_heater(void)
{
    ow_heater_spec spec = any_heater_spec();
    ow_heater heater = begun_heater(&spec);
    ow_alarms alarms = {0};
    while (any_bool()) {
        ow_heater_inputs in = any_heater_inputs();
        if (any_bool()) {
            ow_heater_stop(&heater);
        }
        if (any_bool()) {
            (void)ow_heater_release(&heater);
        }
        (void)ow_heater_step(&heater, &spec, &in, any_u32());
        (void)ow_alarms_step(&alarms, &heater.locks, any_bool(), any_u32());
        (void)ow_heater_member(&heater, &spec, in.air);
        (void)ow_heater_used_mwh(&heater);
        (void)ow_heater_state_word(heater.state);
    }
}

/* ---- the drive ------------------------------------------------------------------------------- */

static ow_drive_spec any_drive_spec(void)
{
    return (ow_drive_spec){.cautions_read = any_bool(),
                           .has_closed_end = any_bool(),
                           .has_open_end = any_bool(),
                           .lease_ms = any_u32(),
                           .off_by_itself_ms = any_u32(),
                           .travel_ms = any_u32(),
                           .dead_ms = any_u32(),
                           .wind_max_milli = any_i32(),
                           .wind_stale_ms = any_u32(),
                           .starts_per_h = any_u32(),
                           .slack_ms = any_u32()};
}

static ow_drive_inputs any_drive_inputs(void)
{
    return (ow_drive_inputs){.hosting = any_hosting(),
                             .wind = any_sensed(),
                             .closed_end = (ow_contact)any_u32(),
                             .open_end = (ow_contact)any_u32(),
                             .cloth = (ow_cloth)any_u32(),
                             .wish = (ow_drive_wish)any_u32()};
}

static ow_drive any_saved_drive(void)
{
    ow_drive drive = {.version = any_u32(),
                      .state = (ow_drive_state)any_u32(),
                      .last_ms = any_u32(),
                      .position_ms = any_u32(),
                      .moved_ms = any_u32(),
                      .allowed_ms = any_u32(),
                      .dead_left_ms = any_u32(),
                      .stop_again_ms = any_u32(),
                      .own_left_ms = any_u32(),
                      .lease = {any_u32(), any_u32()},
                      .located = any_bool(),
                      .stop_owed = any_bool(),
                      .stop_sent = any_bool(),
                      .commanded = any_bool(),
                      .locks = any_locks()};
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        drive.start_age_ms[i] = any_u32();
    }
    return drive;
}

static void play_drive(void)
{
    ow_drive_spec spec = any_drive_spec();
    ow_drive saved = any_saved_drive();
    ow_drive drive = any_bool() ? ow_drive_resumed(&spec, &saved, any_u32()) : saved;
    ow_alarms alarms = {0};
    while (any_bool()) {
        ow_drive_inputs in = any_drive_inputs();
        if (any_bool()) {
            ow_drive_stop(&drive);
        }
        if (any_bool()) {
            (void)ow_drive_release(&drive);
        }
        (void)ow_drive_step(&drive, &spec, &in, any_u32());
        (void)ow_alarms_step(&alarms, &drive.locks, any_bool(), any_u32());
        (void)ow_drive_closed_pct(&drive, &spec);
        (void)ow_drive_state_word(drive.state);
    }
}

/* ---- the rest -------------------------------------------------------------------------------- */

static void share_circuit(void)
{
    static ow_circuit_member members[OW_CIRCUIT_MEMBERS + 1];
    for (int i = 0; i <= OW_CIRCUIT_MEMBERS; i++) {
        members[i].watts = any_u32();
        members[i].draws = any_bool();
        members[i].asks = any_bool();
        members[i].need_mk = any_u32();
        members[i].granted = any_bool();
    }
    ow_circuit_share(any_u32(), members, Frama_C_interval(0, OW_CIRCUIT_MEMBERS + 1));
}

/* What is promised of numbers with a point stands here: it is no matter for the provers. */
static void turn(double number)
{
    uint32_t s_ms = ow_span_of_s(number), min_ms = ow_span_of_min(number);
    (void)ow_milli_of(number);
    (void)ow_sensed_of(number, any_u32());
    /*@ assert s_ms <= OW_SETTING_MAX_MS && min_ms <= OW_SETTING_MAX_MS; */
}

static void keep_air(void)
{
    (void)ow_heater_set_mc((ow_set_point){.keep_mc = any_i32(),
                                          .set_back_mc = any_i32(),
                                          .too_warm_mc = any_i32(),
                                          .wanted_mc = any_i32()});
}

static void look_up(void)
{
    turn(Frama_C_double_interval(-DBL_MAX, DBL_MAX));
    turn((double)INFINITY);
    turn(-(double)INFINITY);
    (void)ow_interlock_about((ow_interlock)any_u32());
    (void)ow_blocks_first(Frama_C_unsigned_long_long_interval(0, ULLONG_MAX));
    (void)ow_contact_worse((ow_contact)any_u32(), (ow_contact)any_u32());
}

int main(void)
{
    play_heater();
    play_drive();
    share_circuit();
    keep_air();
    look_up();
    return 0;
}
