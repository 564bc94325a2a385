/* SPDX-License-Identifier: MIT */
#include "outputs/heater.h"

#include "outputs/common.h"
#include "outputs/heater_causes.h"
#include "outputs/span.h"

static const char *const state_words[OW_HEATER_STATES] = {
#define OW_HEATER_WORD(id, word) [id] = (word),
    OW_HEATER_STATE_LIST(OW_HEATER_WORD)
#undef OW_HEATER_WORD
};

const char *ow_heater_state_word(ow_heater_state state)
{
    return (unsigned)state < OW_HEATER_STATES ? state_words[state] : "?";
}

/* ---- start ----------------------------------------------------------------------------------- */

ow_heater ow_heater_started(const ow_heater_spec *spec, uint32_t now_ms)
{
    /* It may be on from before, so its own off-timer may have its whole time still to run. */
    return (ow_heater){.version = OW_HEATER_VERSION,
                       .state = OW_HEATER_STOPPING,
                       .last_ms = now_ms,
                       .own_left_ms = spec->off_by_itself_ms,
                       .off_owed = true,
                       .locks = ow_interlocks_started()};
}

static bool saved_sound(const ow_heater *saved)
{
    return saved->version == OW_HEATER_VERSION && (unsigned)saved->state < OW_HEATER_STATES &&
           saved->locks.latched < OW_BLOCK(OW_INTERLOCKS) &&
           saved->locks.holding < OW_BLOCK(OW_INTERLOCKS);
}

ow_heater ow_heater_resumed(const ow_heater_spec *spec, const ow_heater *saved, uint32_t now_ms)
{
    ow_heater heater = ow_heater_started(spec, now_ms);
    if (!saved_sound(saved)) {
        ow_interlocks_latch(&heater.locks, OW_BLOCK_FORGOT);
        return heater;
    }
    heater.ran_ms = saved->ran_ms;
    heater.used_uj = saved->used_uj;
    heater.commanded = saved->commanded;
    heater.locks = ow_interlocks_resumed(&saved->locks);
    return heater;
}

/* ---- the passing of time --------------------------------------------------------------------- */

static bool maybe_on(const ow_heater *heater)
{
    return heater->state == OW_HEATER_ON || heater->state == OW_HEATER_STOPPING;
}

/* A step that came late is counted short: what happened meanwhile is not known. */
static uint64_t used_uj(const ow_heater *heater, const ow_heater_spec *spec, ow_sensed power,
                        uint32_t span_ms)
{
    uint64_t late_ms = OW_STEP_LATE_MS + spec->slack_ms;
    uint64_t counted_ms = span_ms < late_ms ? span_ms : late_ms;
    if (spec->measures_power &&
        ow_sensed_usable(power, spec->power_stale_ms, 0, OW_POWER_MAX_MW)) {
        return (uint64_t)power.milli * counted_ms;
    }
    return heater->state == OW_HEATER_ON ? (uint64_t)spec->watts * 1000u * counted_ms : 0;
}

static void pass(ow_heater *heater, const ow_heater_spec *spec, uint32_t span_ms)
{
    heater->in_state_ms = ow_span_add(heater->in_state_ms, span_ms);
    heater->off_again_ms = ow_span_less(heater->off_again_ms, span_ms);
    heater->own_left_ms = ow_span_less(heater->own_left_ms, span_ms);
    heater->lease = ow_lease_after(heater->lease, span_ms);
    if (heater->off_sent) {
        heater->since_off_ms = ow_span_add(heater->since_off_ms, span_ms);
    }
    if (maybe_on(heater)) {
        heater->ran_ms = ow_span_add(heater->ran_ms, heater->commanded ? span_ms : 0);
        return;
    }
    heater->rested_ms = ow_span_add(heater->rested_ms, span_ms);
    if (heater->rested_ms >= spec->least_rest_ms) {
        heater->ran_ms = 0;
    }
}

/* ---- states ---------------------------------------------------------------------------------- */

static void enter(ow_heater *heater, ow_heater_state state)
{
    heater->state = state;
    heater->in_state_ms = 0;
}

static void go_on(ow_heater *heater)
{
    enter(heater, OW_HEATER_ON);
    heater->lease = (ow_lease){0};
    heater->off_sent = false;
    heater->off_owed = false;
    heater->commanded = true;
}

static void go_off(ow_heater *heater)
{
    enter(heater, OW_HEATER_STOPPING);
    heater->lease = (ow_lease){0};
    heater->rested_ms = 0;
    heater->since_off_ms = 0;
    heater->off_again_ms = 0;
    heater->off_owed = true;
}

/* Nothing that was not sent on is sent off while it must never be commanded. */
static bool may_send_off(const ow_heater *heater, ow_blocks blocked)
{
    return heater->commanded || (blocked & OW_NEVER_COMMANDED) == 0;
}

static bool is_off(const ow_heater *heater, const ow_heater_spec *spec, ow_said said,
                   ow_blocks blocked)
{
    return heater->own_left_ms == 0 || !may_send_off(heater, blocked) ||
           (heater->off_sent && (!spec->reports || said == OW_SAID_OFF));
}

static void settle(ow_heater *heater, const ow_heater_spec *spec, ow_said said, ow_blocks blocked)
{
    const ow_blocks rests = OW_BLOCK(OW_BLOCK_REST) | OW_BLOCK(OW_BLOCK_SHORTEST_OFF);
    switch (heater->state) {
    case OW_HEATER_ON:
        if (blocked || (!heater->wanted && heater->in_state_ms >= spec->shortest_on_ms)) {
            go_off(heater);
        }
        return;
    case OW_HEATER_STOPPING:
        if (is_off(heater, spec, said, blocked)) {
            enter(heater, OW_HEATER_RESTING);
        }
        return;
    case OW_HEATER_OFF:
    case OW_HEATER_RESTING:
        if (heater->wanted && !blocked) {
            go_on(heater);
        } else if (heater->state == OW_HEATER_RESTING && !(blocked & rests)) {
            enter(heater, OW_HEATER_OFF);
        }
        return;
    case OW_HEATER_STATES:
        break;
    }
    heater->own_left_ms = spec->off_by_itself_ms; /* no state at all: as if just sent on */
    heater->commanded = true;
    go_off(heater);
}

/* ---- what to send ---------------------------------------------------------------------------- */

static ow_heater_command keep_on(ow_heater *heater, const ow_heater_spec *spec)
{
    if (!ow_lease_due(heater->lease)) {
        return OW_HEATER_SEND_NOTHING;
    }
    heater->lease = ow_lease_of(spec->lease_ms);
    heater->own_left_ms = spec->off_by_itself_ms;
    return OW_HEATER_SEND_ON;
}

/* Owed until it was sent and the device says off, or its own timer has ended it: a timer that
 * nobody can see is no reason to say nothing at all. Owed again whenever the device says on. */
static bool off_owed(const ow_heater *heater, const ow_heater_spec *spec, ow_said said)
{
    if (spec->reports && said == OW_SAID_ON) {
        return true;
    }
    bool confirmed = spec->reports && heater->off_sent && said == OW_SAID_OFF;
    bool ended = heater->off_sent && heater->own_left_ms == 0;
    return heater->off_owed && !confirmed && !ended;
}

static ow_heater_command keep_off(ow_heater *heater, const ow_heater_spec *spec,
                                  const ow_heater_inputs *in, ow_blocks blocked)
{
    heater->off_owed = may_send_off(heater, blocked) && off_owed(heater, spec, in->reported);
    heater->commanded = heater->commanded && heater->off_owed;
    if (!in->hosting.connected) {
        heater->off_again_ms = 0; /* sent at once when the connection is back */
        return OW_HEATER_SEND_NOTHING;
    }
    if (!heater->off_owed || heater->off_again_ms > 0) {
        return OW_HEATER_SEND_NOTHING;
    }
    heater->off_again_ms = OW_OFF_AGAIN_MS;
    heater->off_sent = true;
    return OW_HEATER_SEND_OFF;
}

/* ---- the step -------------------------------------------------------------------------------- */

static void notice_events(ow_heater *heater, const ow_heater_spec *spec,
                          const ow_heater_inputs *in, uint32_t now_ms)
{
    bool lapsed = heater->state == OW_HEATER_ON && ow_lease_over(heater->lease);
    uint32_t late_ms = OW_STEP_LATE_MS + spec->slack_ms;
    bool held_up = lapsed || ow_step_held_up(heater->last_ms, now_ms, late_ms);
    uint32_t age_ms = ow_heater_air_usable(spec, in->air) ? in->air.age_ms : OW_AGE_UNKNOWN;
    ow_interlocks_await(&heater->locks, ow_common_events(&in->hosting, held_up), age_ms);
}

ow_heater_answer ow_heater_step(ow_heater *heater, const ow_heater_spec *spec,
                                const ow_heater_inputs *in, uint32_t now_ms)
{
    uint32_t span_ms = ow_span_between(heater->last_ms, now_ms);
    heater->used_uj += used_uj(heater, spec, in->power, span_ms);
    pass(heater, spec, span_ms);
    ow_interlocks_pass(&heater->locks, span_ms);
    notice_events(heater, spec, in, now_ms);
    heater->last_ms = now_ms;
    heater->wanted = ow_heater_wants(spec, in->air, heater->wanted);

    ow_blocks causes = ow_heater_causes(spec, heater, in);
    ow_blocks blocked = ow_interlocks_judge(&heater->locks, causes, span_ms);
    settle(heater, spec, in->reported, blocked);

    bool on = heater->state == OW_HEATER_ON;
    return (ow_heater_answer){
        .command = on ? keep_on(heater, spec) : keep_off(heater, spec, in, blocked),
        .lease_s = spec->lease_ms / OW_S_MS,
        .would_switch = on || (heater->wanted && (blocked & ~OW_NEVER_COMMANDED) == 0),
        .blocked = blocked};
}

/* ---- people and the circuit ------------------------------------------------------------------ */

void ow_heater_stop(ow_heater *heater)
{
    ow_interlocks_latch(&heater->locks, OW_BLOCK_BY_HAND);
}

ow_blocks ow_heater_release(ow_heater *heater)
{
    return ow_interlocks_release(&heater->locks);
}

ow_circuit_member ow_heater_member(const ow_heater *heater, const ow_heater_spec *spec,
                                   ow_sensed air)
{
    ow_blocks held = heater->locks.holding;
    ow_blocks stuck = OW_BLOCK(OW_BLOCK_STUCK_ON) | OW_BLOCK(OW_BLOCK_POWER_WHILE_OFF);
    ow_blocks others = held & ~(OW_NEVER_COMMANDED | OW_BLOCK(OW_BLOCK_CIRCUIT));
    bool on = heater->state == OW_HEATER_ON;
    ow_circuit_member member = {.watts = spec->watts};
    member.draws = on || heater->off_owed || (held & stuck) != 0;
    member.asks = !on && heater->wanted && others == 0;
    bool ranks = (held & OW_NEVER_COMMANDED) == 0 && ow_heater_wants(spec, air, true);
    if (ranks && ow_heater_spec_sound(spec)) {
        member.need_mk = (uint32_t)((int64_t)spec->keep_mc + OW_HEAT_BAND_MK - air.milli);
    }
    return member;
}

uint64_t ow_heater_used_mwh(const ow_heater *heater)
{
    return heater->used_uj / 3600000u;
}
