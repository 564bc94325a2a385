/* SPDX-License-Identifier: MIT */
/* The heater's step. */
#include "prove/contracts.h"

/*@ requires \valid_read(heater) && \valid_read(spec);
    assigns \nothing; */
static uint64_t used_uj(const ow_heater *heater, const ow_heater_spec *spec, ow_sensed power,
                        uint32_t span_ms);

/*@ requires \valid(heater) && \valid_read(spec) && \separated(heater, spec);
    assigns heater->in_state_ms, heater->off_again_ms, heater->own_left_ms, heater->lease,
        heater->since_off_ms, heater->ran_ms, heater->rested_ms; */
static void pass(ow_heater *heater, const ow_heater_spec *spec, uint32_t span_ms);

/*@ requires \valid(heater) && \valid_read(spec) && \valid_read(in);
    requires \separated(heater, spec, in);
    assigns heater->locks.awaiting, heater->locks.since_event_ms; */
static void notice_events(ow_heater *heater, const ow_heater_spec *spec,
                          const ow_heater_inputs *in, uint32_t now_ms);

/*@ requires \valid(heater) && \valid_read(spec) && \separated(heater, spec);
    requires heater->state == OW_HEATER_ON ==> heater->commanded && !heater->off_sent;
    assigns heater->state, heater->in_state_ms, heater->lease, heater->off_sent, heater->off_owed,
        heater->commanded, heater->rested_ms, heater->since_off_ms, heater->off_again_ms,
        heater->own_left_ms;
    ensures heater->state == OW_HEATER_ON ==> blocked == 0 && heater->commanded && !heater->off_sent;
    ensures \old(heater->state) == OW_HEATER_ON && heater->state != OW_HEATER_ON ==>
        heater->state == OW_HEATER_STOPPING && heater->off_owed && heater->off_again_ms == 0 &&
        heater->commanded && !heater->off_sent; */
static void settle(ow_heater *heater, const ow_heater_spec *spec, ow_said said, ow_blocks blocked);

/*@ requires \valid(heater) && \valid_read(spec) && \separated(heater, spec);
    assigns heater->lease, heater->own_left_ms;
    ensures \result == OW_HEATER_SEND_ON || \result == OW_HEATER_SEND_NOTHING;
    ensures \result == OW_HEATER_SEND_ON ==> heater->lease.left_ms == spec->lease_ms &&
        heater->own_left_ms == spec->off_by_itself_ms; */
static ow_heater_command keep_on(ow_heater *heater, const ow_heater_spec *spec);

/*@ requires \valid(heater) && \valid_read(spec) && \valid_read(in);
    requires \separated(heater, spec, in);
    assigns heater->off_owed, heater->commanded, heater->off_again_ms, heater->off_sent;
    ensures \result == OW_HEATER_SEND_OFF || \result == OW_HEATER_SEND_NOTHING;
    ensures !in->hosting.connected ==> \result == OW_HEATER_SEND_NOTHING;
    ensures \old(heater->off_owed) && \old(heater->off_again_ms) == 0 &&
        \old(heater->commanded) && !\old(heater->off_sent) && in->hosting.connected ==>
        \result == OW_HEATER_SEND_OFF; */
static ow_heater_command keep_off(ow_heater *heater, const ow_heater_spec *spec,
                                  const ow_heater_inputs *in, ow_blocks blocked);

#include "outputs/heater.c"
