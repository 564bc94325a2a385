/* SPDX-License-Identifier: MIT */
/* The heater: no cause is seen only where each of its inputs permits. */
#include "prove/contracts.h"

/*@ assigns \nothing;
    ensures \result <==> OW_AIR_MIN_MC <= milli <= OW_AIR_MAX_MC; */
static bool within_air(int32_t milli);

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result ==> spec->lease_ms >= OW_S_MS && spec->shortest_on_ms <= spec->longest_run_ms; */
static bool spans_sound(const ow_heater_spec *spec);

/*@ requires \valid_read(spec);
    assigns \nothing;
    ensures \result <==> air.known && air.age_ms <= spec->air_stale_ms &&
        air.age_ms != OW_AGE_UNKNOWN && OW_AIR_MIN_MC <= air.milli <= OW_AIR_MAX_MC; */
static bool air_fresh(const ow_heater_spec *spec, ow_sensed air);

/*@ requires \valid_read(heater);
    assigns \nothing; */
static bool seen_before(const ow_heater *heater, ow_interlock interlock);

/*@ requires \valid_read(spec) && \valid_read(heater);
    assigns \nothing;
    ensures !\result && air.known && air.age_ms <= spec->air_stale_ms &&
        air.age_ms != OW_AGE_UNKNOWN && OW_AIR_MIN_MC <= air.milli <= OW_AIR_MAX_MC ==>
        air.milli < spec->too_warm_mc; */
static bool too_warm(const ow_heater_spec *spec, const ow_heater *heater, ow_sensed air);

/*@ requires \valid_read(spec) && \valid_read(heater) && \valid_read(in);
    assigns \nothing;
    ensures \result == 0 ==> in->air.known && !in->air.contradicted &&
        in->air.age_ms <= spec->air_stale_ms && in->air.age_ms != OW_AGE_UNKNOWN &&
        OW_AIR_MIN_MC <= in->air.milli <= OW_AIR_MAX_MC && in->air.milli < spec->too_warm_mc;
    ensures \result == 0 ==> !spec->has_doors || in->doors == OW_CONTACT_SHUT;
    ensures \result == 0 ==> in->air_fits == OW_ACCORD_UNKNOWN || in->air_fits == OW_ACCORD_AGREES;
    ensures \result == 0 && heater->state == OW_HEATER_ON &&
        heater->in_state_ms >= OW_WARM_WITHIN_MS ==>
        in->warms == OW_ACCORD_UNKNOWN || in->warms == OW_ACCORD_AGREES; */
static ow_blocks from_place(const ow_heater_spec *spec, const ow_heater *heater,
                            const ow_heater_inputs *in);

/*@ requires \valid_read(spec) && \valid_read(heater);
    assigns \nothing;
    ensures \result == 0 ==> !spec->reports || said == OW_SAID_ON || said == OW_SAID_OFF;
    ensures \result == 0 && spec->reports && heater->state == OW_HEATER_ON &&
        heater->in_state_ms >= spec->grace_ms ==> said == OW_SAID_ON;
    ensures \result == 0 && spec->reports && heater->state != OW_HEATER_ON && heater->off_sent &&
        heater->since_off_ms >= spec->grace_ms ==> said == OW_SAID_OFF; */
static ow_blocks from_report(const ow_heater_spec *spec, const ow_heater *heater, ow_said said);

/*@ assigns \nothing; */
static bool speaks_of(ow_sensed power, uint32_t since_ms, uint32_t grace_ms);

/*@ requires \valid_read(spec) && \valid_read(heater);
    assigns \nothing;
    ensures \result == 0 && spec->measures_power ==>
        power.known && !power.contradicted && power.age_ms <= spec->power_stale_ms &&
        0 <= power.milli <= spec->watts * 10 * OW_POWER_HIGH_PCT + OW_POWER_SLACK_MW; */
static ow_blocks from_power(const ow_heater_spec *spec, const ow_heater *heater, ow_sensed power);

/*@ requires \valid_read(spec) && \valid_read(heater);
    assigns \nothing;
    ensures \result == 0 ==> heater->ran_ms < spec->longest_run_ms;
    ensures \result == 0 && heater->state != OW_HEATER_ON ==>
        heater->state != OW_HEATER_STOPPING && heater->rested_ms >= spec->shortest_off_ms; */
static ow_blocks from_run(const ow_heater_spec *spec, const ow_heater *heater);

#include "outputs/heater_causes.c"
