/* SPDX-License-Identifier: MIT */
/* What the functions of module/outputs/ promise, in ACSL; proved by Frama-C WP, see tests/prove/run. */
#ifndef OVERWINTER_TESTS_PROVE_CONTRACTS_H
#define OVERWINTER_TESTS_PROVE_CONTRACTS_H

#include "outputs/alarm.h"
#include "outputs/circuit.h"
#include "outputs/common.h"
#include "outputs/drive_causes.h"
#include "outputs/heater_causes.h"
#include "outputs/lease.h"
#include "outputs/set_point.h"
#include "outputs/span.h"

/* ---- spans and leases ------------------------------------------------------------------------ */

/*@ assigns \nothing;
    ensures \result == (span_ms + more_ms > UINT32_MAX ? UINT32_MAX : span_ms + more_ms); */
uint32_t ow_span_add(uint32_t span_ms, uint32_t more_ms);

/*@ assigns \nothing;
    ensures \result == (less_ms > span_ms ? 0 : span_ms - less_ms); */
uint32_t ow_span_less(uint32_t span_ms, uint32_t less_ms);

/*@ assigns \nothing;
    ensures \result <= INT32_MAX; */
uint32_t ow_span_between(uint32_t then_ms, uint32_t now_ms);

/*@ assigns \nothing;
    ensures \result <==> ((uint32_t)(now_ms - then_ms)) > INT32_MAX; */
bool ow_clock_went_back(uint32_t then_ms, uint32_t now_ms);

/*@ assigns \nothing;
    ensures \result.length_ms == length_ms && \result.left_ms == length_ms; */
ow_lease ow_lease_of(uint32_t length_ms);

/*@ assigns \nothing;
    ensures \result.length_ms == lease.length_ms;
    ensures \result.left_ms == (span_ms > lease.left_ms ? 0 : lease.left_ms - span_ms); */
ow_lease ow_lease_after(ow_lease lease, uint32_t span_ms);

/*@ assigns \nothing;
    ensures \result <==> lease.left_ms == 0; */
bool ow_lease_over(ow_lease lease);

/*@ assigns \nothing;
    ensures lease.left_ms <= lease.length_ms ==>
        (\result <==> lease.length_ms - lease.left_ms >= lease.length_ms / 3); */
bool ow_lease_due(ow_lease lease);

/* ---- inputs ---------------------------------------------------------------------------------- */

/*@ assigns \nothing;
    ensures \result <==> sensed.known && sensed.age_ms <= stale_ms &&
        sensed.age_ms != OW_AGE_UNKNOWN && low <= sensed.milli <= high; */
bool ow_sensed_fresh(ow_sensed sensed, uint32_t stale_ms, int32_t low, int32_t high);

/*@ assigns \nothing;
    ensures \result <==> sensed.known && !sensed.contradicted && sensed.age_ms <= stale_ms &&
        sensed.age_ms != OW_AGE_UNKNOWN && low <= sensed.milli <= high; */
bool ow_sensed_usable(ow_sensed sensed, uint32_t stale_ms, int32_t low, int32_t high);

/*@ assigns \nothing;
    ensures \result <==> accord != OW_ACCORD_UNKNOWN && accord != OW_ACCORD_AGREES; */
bool ow_parts(ow_accord accord);

/* ---- what all outputs share ------------------------------------------------------------------ */

/*@ requires \valid_read(hosting);
    assigns \nothing;
    ensures \result == 0 ==> cautions_read && hosting->promises_off && hosting->connected &&
        off_by_itself_ms != 0 && off_by_itself_ms >= lease_ms; */
ow_blocks ow_common_causes(bool cautions_read, uint32_t off_by_itself_ms, uint32_t lease_ms,
                           const ow_hosting *hosting);

/*@ assigns \nothing;
    ensures \result <==> least_ms <= span_ms <= OW_SETTING_MAX_MS; */
bool ow_setting_span(uint32_t span_ms, uint32_t least_ms);

/*@ requires \valid(locks);
    assigns locks->since_event_ms; */
void ow_interlocks_pass(ow_interlocks *locks, uint32_t span_ms);

/*@ requires \valid(locks);
    assigns locks->awaiting, locks->since_event_ms; */
void ow_interlocks_await(ow_interlocks *locks, ow_blocks events, uint32_t age_ms);

/* None holds only without a cause, without a latch and with nothing to wait for. */
/*@ requires \valid(locks);
    assigns locks->causes, locks->latched, locks->holding,
        locks->recover_ms[0 .. OW_INTERLOCKS - 1];
    ensures \result == locks->holding;
    ensures \result == 0 ==> causes == 0;
    ensures \result == 0 ==> \old(locks->latched) == 0 && locks->latched == 0;
    ensures \result == 0 ==> \old(locks->awaiting) == 0; */
ow_blocks ow_interlocks_judge(ow_interlocks *locks, ow_blocks causes, uint32_t span_ms);

/* A release that is refused changes nothing. */
/*@ requires \valid(locks);
    assigns locks->latched;
    ensures \result != 0 ==> locks->latched == \old(locks->latched);
    ensures \result == 0 ==> locks->latched == 0; */
ow_blocks ow_interlocks_release(ow_interlocks *locks);

/*@ requires \valid_read(hosting);
    assigns \nothing; */
ow_blocks ow_common_events(const ow_hosting *hosting, bool held_up);

/*@ assigns \nothing; */
bool ow_step_held_up(uint32_t last_ms, uint32_t now_ms, uint32_t late_ms);

/* ---- the heater ------------------------------------------------------------------------------ */

#define SET_POINT_FITS(p) ((p).too_warm_mc - OW_TOO_WARM_BAND_MK - OW_HEAT_BAND_MK >= (p).keep_mc)

/*
 * Whatever is wanted: lower than what is kept only down to a set-back that was given, higher only
 * by what is allowed and never nearer to too warm than the heater's bands; and what is wanted
 * within that is what is kept.
 */
/*@ assigns \nothing;
    ensures point.wanted_mc == OW_MILLI_NONE || !SET_POINT_FITS(point) ==>
        \result == point.keep_mc;
    ensures \result < point.keep_mc ==>
        point.set_back_mc != OW_MILLI_NONE && \result >= point.set_back_mc;
    ensures \result > point.keep_mc ==> \result <= point.keep_mc + OW_EARLY_MK &&
        \result <= point.too_warm_mc - OW_TOO_WARM_BAND_MK - OW_HEAT_BAND_MK;
    ensures \result < point.keep_mc ==> point.wanted_mc <= \result;
    ensures \result > point.keep_mc ==> point.wanted_mc >= \result;
    ensures SET_POINT_FITS(point) && point.keep_mc <= point.wanted_mc <= point.keep_mc + OW_EARLY_MK &&
        point.wanted_mc <= point.too_warm_mc - OW_TOO_WARM_BAND_MK - OW_HEAT_BAND_MK &&
        point.wanted_mc != OW_MILLI_NONE ==> \result == point.wanted_mc;
    ensures SET_POINT_FITS(point) && OW_MILLI_NONE < point.set_back_mc <= point.wanted_mc <= point.keep_mc ==>
        \result == point.wanted_mc; */
int32_t ow_heater_set_mc(ow_set_point point);

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result ==> 1 <= spec->watts <= OW_HEATER_WATTS_MAX &&
        spec->keep_mc < spec->too_warm_mc && spec->lease_ms >= OW_S_MS &&
        spec->shortest_on_ms <= spec->longest_run_ms; */
bool ow_heater_spec_sound(const ow_heater_spec *spec);

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result ==> air.known && !air.contradicted && air.age_ms <= spec->air_stale_ms; */
bool ow_heater_air_usable(const ow_heater_spec *spec, ow_sensed air);

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result ==> air.known && !air.contradicted && air.milli < spec->keep_mc + OW_HEAT_BAND_MK; */
bool ow_heater_wants(const ow_heater_spec *spec, ow_sensed air, bool wanted);

/* What must all be so while a heater is on, as postconditions of that. */
#define HEATER_MAY(when, spec, in)                                                                 \
    ensures when ==> (spec)->cautions_read;                                                        \
    ensures when ==> (in)->hosting.promises_off && (in)->hosting.connected;                        \
    ensures when ==> (spec)->off_by_itself_ms >= (spec)->lease_ms >= OW_S_MS;                      \
    ensures when ==> (in)->air.known && !(in)->air.contradicted;                                   \
    ensures when ==> (in)->air.age_ms <= (spec)->air_stale_ms;                                     \
    ensures when ==> (in)->air.milli < (spec)->too_warm_mc;                                        \
    ensures when ==> !(spec)->has_doors || (in)->doors == OW_CONTACT_SHUT;                         \
    ensures when ==> !(spec)->reports || (in)->reported == OW_SAID_ON ||                           \
                         (in)->reported == OW_SAID_OFF;                                            \
    ensures when ==> !(spec)->measures_power || (in)->power.known;                                 \
    ensures when ==> (in)->air_fits == OW_ACCORD_UNKNOWN || (in)->air_fits == OW_ACCORD_AGREES;

/*@ requires \valid_read(spec) && \valid_read(heater) && \valid_read(in);
    assigns \nothing;
    HEATER_MAY(\result == 0, spec, in)
    ensures \result == 0 && spec->on_circuit && (heater->wanted || heater->state == OW_HEATER_ON) ==>
        in->granted;
    ensures \result == 0 ==> heater->ran_ms < spec->longest_run_ms;
    ensures \result == 0 && heater->state != OW_HEATER_ON ==>
        heater->state != OW_HEATER_STOPPING && heater->rested_ms >= spec->shortest_off_ms; */
ow_blocks ow_heater_causes(const ow_heater_spec *spec, const ow_heater *heater,
                           const ow_heater_inputs *in);

/*
 * A step sends on only where everything permits; what is on is not blocked; what goes off is sent
 * off in the same step; nothing is sent while disconnected; an on is a lease that the device's own
 * timer outlasts.
 */
/*@ requires \valid(heater) && \valid_read(spec) && \valid_read(in);
    requires \separated(heater, spec, in);
    requires heater->state == OW_HEATER_ON ==> heater->commanded && !heater->off_sent;
    assigns *heater;
    ensures \result.blocked == heater->locks.holding;
    ensures \result.command == OW_HEATER_SEND_ON ==> heater->state == OW_HEATER_ON;
    ensures heater->state == OW_HEATER_ON ==> \result.blocked == 0;
    HEATER_MAY(heater->state == OW_HEATER_ON, spec, in)
    ensures \result.command == OW_HEATER_SEND_ON ==> heater->lease.left_ms == spec->lease_ms;
    ensures \result.command == OW_HEATER_SEND_ON ==> heater->own_left_ms == spec->off_by_itself_ms;
    ensures !in->hosting.connected ==> \result.command == OW_HEATER_SEND_NOTHING;
    ensures \old(heater->state) == OW_HEATER_ON && heater->state != OW_HEATER_ON &&
        in->hosting.connected ==> \result.command == OW_HEATER_SEND_OFF;
    ensures \old(heater->locks.latched) != 0 ==> heater->state != OW_HEATER_ON;
    ensures heater->state == OW_HEATER_ON ==> heater->commanded && !heater->off_sent; */
ow_heater_answer ow_heater_step(ow_heater *heater, const ow_heater_spec *spec,
                                const ow_heater_inputs *in, uint32_t now_ms);

/* ---- a circuit ------------------------------------------------------------------------------- */

/* Only to what draws or asks, and nothing new while not all of what draws fits. */
/*@ requires 0 <= count && \valid(members + (0 .. count - 1));
    assigns members[0 .. count - 1].granted;
    ensures \forall integer i; 0 <= i < count && members[i].granted ==>
        i < OW_CIRCUIT_MEMBERS && (members[i].draws || members[i].asks) &&
        0 < members[i].watts <= max_watts;
    ensures \forall integer i, k; 0 <= i < count && members[i].draws && !members[i].granted &&
        0 <= k < count && members[k].granted ==> members[k].draws; */
void ow_circuit_share(uint32_t max_watts, ow_circuit_member *members, int count);

/* ---- the drive ------------------------------------------------------------------------------- */

#define MOVING(drive) ((drive)->state == OW_DRIVE_CLOSING || (drive)->state == OW_DRIVE_OPENING)

/* What must all be so while a cloth moves. */
#define DRIVE_MAY(when, spec, in)                                                                  \
    ensures when ==> (spec)->cautions_read;                                                        \
    ensures when ==> (in)->hosting.promises_off && (in)->hosting.connected;                        \
    ensures when ==> (spec)->off_by_itself_ms >= (spec)->lease_ms >= OW_S_MS;                      \
    ensures when ==> (in)->wind.known && !(in)->wind.contradicted;                                 \
    ensures when ==> (in)->wind.age_ms <= (spec)->wind_stale_ms;                                   \
    ensures when ==> (in)->wind.milli <= (spec)->wind_max_milli;                                   \
    ensures when ==> (in)->cloth == OW_CLOTH_DRY;

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result ==> spec->lease_ms >= OW_S_MS && spec->dead_ms >= 1; */
bool ow_drive_spec_sound(const ow_drive_spec *spec);

/*@ requires \valid_read(spec);
    assigns \nothing; */
bool ow_drive_wind_usable(const ow_drive_spec *spec, ow_sensed wind);

/*@ requires \valid_read(drive);
    assigns \nothing;
    ensures \result <==> MOVING(drive); */
bool ow_drive_moving(const ow_drive *drive);

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result <==> (closing ? spec->has_closed_end : spec->has_open_end); */
bool ow_drive_has_end(const ow_drive_spec *spec, bool closing);

/*@ requires \valid_read(spec) && \valid_read(in);
    assigns \nothing; */
bool ow_drive_at_end(const ow_drive_spec *spec, const ow_drive_inputs *in, bool closing);

/*@ requires \valid_read(spec) && \valid_read(drive) && \valid_read(in);
    assigns \nothing;
    DRIVE_MAY(\result == 0, spec, in)
    ensures \result == 0 && !MOVING(drive) ==> drive->dead_left_ms == 0;
    ensures \result == 0 && !MOVING(drive) ==> !drive->stop_owed || drive->stop_sent; */
ow_blocks ow_drive_causes(const ow_drive_spec *spec, const ow_drive *drive,
                          const ow_drive_inputs *in);

/*
 * A step moves the cloth only where everything permits, after a stop that was sent and the dead
 * time; never straight from one way to the other; what ends is sent a stop in the same step; nothing
 * is sent while disconnected.
 */
/*@ requires \valid(drive) && \valid_read(spec) && \valid_read(in);
    requires \separated(drive, spec, in);
    requires MOVING(drive) ==> drive->commanded && !drive->stop_sent;
    assigns *drive;
    ensures \result.blocked == drive->locks.holding;
    ensures \result.command == OW_DRIVE_SEND_CLOSE ==> drive->state == OW_DRIVE_CLOSING;
    ensures \result.command == OW_DRIVE_SEND_OPEN ==> drive->state == OW_DRIVE_OPENING;
    ensures MOVING(drive) ==> \result.blocked == 0;
    DRIVE_MAY(MOVING(drive), spec, in)
    ensures \old(drive->state) == OW_DRIVE_CLOSING ==> drive->state != OW_DRIVE_OPENING;
    ensures \old(drive->state) == OW_DRIVE_OPENING ==> drive->state != OW_DRIVE_CLOSING;
    ensures !\old(MOVING(drive)) && MOVING(drive) ==> drive->dead_left_ms == 0;
    ensures \old(MOVING(drive)) && !MOVING(drive) && in->hosting.connected ==>
        \result.command == OW_DRIVE_SEND_STOP;
    ensures !in->hosting.connected ==> \result.command == OW_DRIVE_SEND_NOTHING;
    ensures \old(drive->locks.latched) != 0 ==> !MOVING(drive);
    ensures MOVING(drive) ==> drive->commanded && !drive->stop_sent; */
ow_drive_answer ow_drive_step(ow_drive *drive, const ow_drive_spec *spec,
                              const ow_drive_inputs *in, uint32_t now_ms);

/* ---- alarms ---------------------------------------------------------------------------------- */

/*@ assigns \nothing;
    ensures interlock < OW_INTERLOCKS ==> \valid_read(\result); */
const ow_interlock_row *ow_interlock_about(ow_interlock interlock);

/* What is latched is always told. */
/*@ requires \valid(alarms) && \valid_read(locks) && \separated(alarms, locks);
    assigns *alarms;
    ensures \result == alarms->told;
    ensures locks->latched != 0 ==> \result != 0; */
ow_blocks ow_alarms_step(ow_alarms *alarms, const ow_interlocks *locks, bool needed,
                         uint32_t span_ms);

#endif
