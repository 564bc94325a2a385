/* SPDX-License-Identifier: MIT */
/* What the functions of module/outputs/ promise, in ACSL; proved by Frama-C WP, see tests/prove/run. */
#ifndef OVERWINTER_TESTS_PROVE_CONTRACTS_H
#define OVERWINTER_TESTS_PROVE_CONTRACTS_H

#include "outputs/common.h"
#include "outputs/heater_causes.h"
#include "outputs/lease.h"
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

/*@ assigns \nothing; */
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

/*@ assigns \nothing;
    ensures \result == 0 ==> cautions_read && hosting.promises_off && hosting.connected &&
        off_by_itself_ms != 0 && off_by_itself_ms >= lease_ms; */
ow_blocks ow_common_causes(bool cautions_read, uint32_t off_by_itself_ms, uint32_t lease_ms,
                           ow_hosting hosting);

/*@ assigns \nothing;
    ensures \result <==> least_ms <= span_ms <= OW_SETTING_MAX_MS; */
bool ow_setting_span(uint32_t span_ms, uint32_t least_ms);

/* ---- the heater ------------------------------------------------------------------------------ */

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

/*@ predicate heater_permitted(ow_heater_spec *spec, ow_heater *heater, ow_heater_inputs *in) =
        spec->cautions_read && in->hosting.promises_off && in->hosting.connected &&
        spec->off_by_itself_ms >= spec->lease_ms >= OW_S_MS &&
        in->air.known && !in->air.contradicted && in->air.age_ms <= spec->air_stale_ms &&
        in->air.milli < spec->too_warm_mc &&
        (!spec->has_doors || in->doors == OW_CONTACT_SHUT) &&
        (!spec->reports || in->reported == OW_SAID_ON || in->reported == OW_SAID_OFF) &&
        (!spec->measures_power || in->power.known) &&
        (in->air_fits == OW_ACCORD_UNKNOWN || in->air_fits == OW_ACCORD_AGREES) &&
        (!spec->on_circuit || in->granted || !(heater->wanted || heater->state == OW_HEATER_ON)) &&
        heater->ran_ms < spec->longest_run_ms &&
        (heater->state == OW_HEATER_ON || heater->rested_ms >= spec->shortest_off_ms); */

/*@ requires \valid_read(spec) && \valid_read(heater) && \valid_read(in);
    assigns \nothing;
    ensures \result == 0 ==> heater_permitted(spec, heater, in); */
ow_blocks ow_heater_causes(const ow_heater_spec *spec, const ow_heater *heater,
                           const ow_heater_inputs *in);

#endif
