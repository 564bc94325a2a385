/* SPDX-License-Identifier: MIT */
#include "outputs/heater_causes.h"

#include "outputs/common.h"
#include "outputs/span.h"

static bool within_air(int32_t milli)
{
    return milli >= OW_AIR_MIN_MC && milli <= OW_AIR_MAX_MC;
}

static bool spans_sound(const ow_heater_spec *spec)
{
    return ow_setting_span(spec->slack_ms, 0) && ow_setting_span(spec->lease_ms, OW_S_MS) &&
           ow_setting_span(spec->longest_run_ms, 1) &&
           ow_setting_span(spec->least_rest_ms, 0) && ow_setting_span(spec->shortest_off_ms, 0) &&
           spec->shortest_on_ms <= spec->longest_run_ms && ow_setting_span(spec->air_stale_ms, 1) &&
           ow_setting_span(spec->grace_ms, 1) &&
           (!spec->measures_power || ow_setting_span(spec->power_stale_ms, 1));
}

bool ow_heater_spec_sound(const ow_heater_spec *spec)
{
    return spec->watts >= 1 && spec->watts <= OW_HEATER_WATTS_MAX && within_air(spec->keep_mc) &&
           within_air(spec->too_warm_mc) &&
           (int64_t)spec->too_warm_mc - OW_TOO_WARM_BAND_MK >=
               (int64_t)spec->keep_mc + OW_HEAT_BAND_MK &&
           spans_sound(spec);
}

static bool air_fresh(const ow_heater_spec *spec, ow_sensed air)
{
    return ow_sensed_fresh(air, spec->air_stale_ms, OW_AIR_MIN_MC, OW_AIR_MAX_MC);
}

bool ow_heater_air_usable(const ow_heater_spec *spec, ow_sensed air)
{
    return !air.contradicted && air_fresh(spec, air);
}

bool ow_heater_wants(const ow_heater_spec *spec, ow_sensed air, bool wanted)
{
    int64_t band_mk = wanted ? OW_HEAT_BAND_MK : 0;
    return ow_heater_air_usable(spec, air) && air.milli - band_mk < spec->keep_mc;
}

static bool seen_before(const ow_heater *heater, ow_interlock interlock)
{
    return (heater->locks.causes & OW_BLOCK(interlock)) != 0;
}

/* Once too warm it must cool by a band; what cannot be read has not cooled. */
static bool too_warm(const ow_heater_spec *spec, const ow_heater *heater, ow_sensed air)
{
    bool before = seen_before(heater, OW_BLOCK_TOO_WARM);
    if (!air_fresh(spec, air)) {
        return before;
    }
    return air.milli >= spec->too_warm_mc ||
           (before && (int64_t)air.milli + OW_TOO_WARM_BAND_MK > spec->too_warm_mc);
}

static ow_blocks from_place(const ow_heater_spec *spec, const ow_heater *heater,
                            const ow_heater_inputs *in)
{
    bool shut = !spec->has_doors || in->doors == OW_CONTACT_SHUT;
    bool open = spec->has_doors && in->doors == OW_CONTACT_OPEN;
    bool on_for_long = heater->state == OW_HEATER_ON && heater->in_state_ms >= OW_WARM_WITHIN_MS;
    return ow_cause(OW_BLOCK_TOO_WARM, too_warm(spec, heater, in->air)) |
           ow_cause(OW_BLOCK_DOOR_OPEN, open) |
           ow_cause(OW_BLOCK_DOOR_UNKNOWN, !shut && !open) |
           ow_cause(OW_BLOCK_CONTRADICTED, in->air.contradicted) |
           ow_cause(OW_BLOCK_ASTRAY, ow_parts(in->air_fits)) |
           ow_cause(OW_BLOCK_NO_AIR, !air_fresh(spec, in->air)) |
           ow_cause(OW_BLOCK_NO_WARMTH, on_for_long && ow_parts(in->warms));
}

/* What the device says of itself against what it was sent. */
static ow_blocks from_report(const ow_heater_spec *spec, const ow_heater *heater, ow_said said)
{
    if (!spec->reports) {
        return 0;
    }
    bool on = heater->state == OW_HEATER_ON;
    bool off_for_long = !on && heater->off_sent && heater->since_off_ms >= spec->grace_ms;
    bool on_for_long = on && heater->in_state_ms >= spec->grace_ms;
    return ow_cause(OW_BLOCK_STUCK_ON, off_for_long && said == OW_SAID_ON) |
           ow_cause(OW_BLOCK_STUCK_OFF, on_for_long && said == OW_SAID_OFF) |
           ow_cause(OW_BLOCK_UNREPORTED, said != OW_SAID_ON && said != OW_SAID_OFF);
}

/* A reading speaks of a command only when it was taken a grace time after it. */
static bool speaks_of(ow_sensed power, uint32_t since_ms, uint32_t grace_ms)
{
    return since_ms >= grace_ms && power.age_ms <= since_ms - grace_ms;
}

static ow_blocks from_power(const ow_heater_spec *spec, const ow_heater *heater, ow_sensed power)
{
    if (!spec->measures_power) {
        return 0;
    }
    if (!ow_sensed_usable(power, spec->power_stale_ms, 0, OW_POWER_MAX_MW)) {
        return OW_BLOCK(OW_BLOCK_NO_POWER);
    }
    bool on = heater->state == OW_HEATER_ON;
    bool of_off = !on && heater->off_sent &&
                  speaks_of(power, heater->since_off_ms, spec->grace_ms);
    bool of_on = on && speaks_of(power, heater->in_state_ms, spec->grace_ms);
    /* A hundredth of the watts in milliwatts; sound settings keep the products small. */
    uint64_t share_mw = (uint64_t)spec->watts * 10u;
    uint64_t mw = (uint64_t)power.milli;
    return ow_cause(OW_BLOCK_POWER_WHILE_OFF,
                    of_off && mw > share_mw * OW_POWER_IDLE_PCT + OW_POWER_SLACK_MW) |
           ow_cause(OW_BLOCK_POWER_HIGH, mw > share_mw * OW_POWER_HIGH_PCT + OW_POWER_SLACK_MW) |
           ow_cause(OW_BLOCK_POWER_LOW, of_on && mw < share_mw * OW_POWER_LOW_PCT);
}

static ow_blocks from_run(const ow_heater_spec *spec, const ow_heater *heater)
{
    bool on = heater->state == OW_HEATER_ON, stopping = heater->state == OW_HEATER_STOPPING;
    bool longest = heater->ran_ms >= spec->longest_run_ms;
    bool short_off = !on && (stopping || heater->rested_ms < spec->shortest_off_ms);
    return ow_cause(OW_BLOCK_LONGEST, longest && (on || stopping)) |
           ow_cause(OW_BLOCK_REST, longest && !on && !stopping) |
           ow_cause(OW_BLOCK_SHORTEST_OFF, short_off);
}

ow_blocks ow_heater_causes(const ow_heater_spec *spec, const ow_heater *heater,
                           const ow_heater_inputs *in)
{
    bool needs_watts = heater->wanted || heater->state == OW_HEATER_ON;
    return ow_common_causes(spec->cautions_read, spec->off_by_itself_ms, spec->lease_ms,
                            &in->hosting) |
           ow_cause(OW_BLOCK_SETTINGS, !ow_heater_spec_sound(spec)) |
           ow_cause(OW_BLOCK_CIRCUIT, spec->on_circuit && needs_watts && !in->granted) |
           from_place(spec, heater, in) | from_report(spec, heater, in->reported) |
           from_power(spec, heater, in->power) | from_run(spec, heater);
}
