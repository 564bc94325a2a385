/* SPDX-License-Identifier: MIT */
#include "outputs/drive_causes.h"

#include "outputs/common.h"
#include "outputs/span.h"

bool ow_drive_spec_sound(const ow_drive_spec *spec)
{
    return ow_setting_span(spec->slack_ms, 0) && ow_setting_span(spec->lease_ms, OW_S_MS) &&
           ow_setting_span(spec->travel_ms, OW_S_MS) &&
           ow_setting_span(spec->dead_ms, 1) && ow_setting_span(spec->wind_stale_ms, 1) &&
           spec->wind_max_milli > 0 && spec->wind_max_milli <= OW_WIND_MAX_MILLI &&
           spec->starts_per_h >= 1 && spec->starts_per_h <= OW_STARTS_MAX;
}

bool ow_drive_wind_usable(const ow_drive_spec *spec, ow_sensed wind)
{
    return ow_sensed_usable(wind, spec->wind_stale_ms, 0, OW_WIND_MAX_MILLI);
}

bool ow_drive_moving(const ow_drive *drive)
{
    return drive->state == OW_DRIVE_CLOSING || drive->state == OW_DRIVE_OPENING;
}

bool ow_drive_has_end(const ow_drive_spec *spec, bool closing)
{
    return closing ? spec->has_closed_end : spec->has_open_end;
}

bool ow_drive_at_end(const ow_drive_spec *spec, const ow_drive_inputs *in, bool closing)
{
    ow_contact contact = closing ? in->closed_end : in->open_end;
    return ow_drive_has_end(spec, closing) && contact == OW_CONTACT_SHUT;
}

static bool silent(bool has, ow_contact contact)
{
    return has && contact != OW_CONTACT_SHUT && contact != OW_CONTACT_OPEN;
}

static ow_blocks from_weather(const ow_drive_spec *spec, const ow_drive_inputs *in)
{
    bool fresh = ow_sensed_fresh(in->wind, spec->wind_stale_ms, 0, OW_WIND_MAX_MILLI);
    bool clear = in->cloth == OW_CLOTH_DRY || in->cloth == OW_CLOTH_WET ||
                 in->cloth == OW_CLOTH_FROZEN;
    return ow_cause(OW_BLOCK_WIND, fresh && in->wind.milli > spec->wind_max_milli) |
           ow_cause(OW_BLOCK_WINDS_PART, in->wind.contradicted) |
           ow_cause(OW_BLOCK_NO_WIND, !fresh) |
           ow_cause(OW_BLOCK_FROZEN, in->cloth == OW_CLOTH_FROZEN) |
           ow_cause(OW_BLOCK_WET, in->cloth == OW_CLOTH_WET) |
           ow_cause(OW_BLOCK_CLOTH_UNKNOWN, !clear);
}

static ow_blocks from_ends(const ow_drive_spec *spec, const ow_drive_inputs *in)
{
    bool both = ow_drive_at_end(spec, in, true) && ow_drive_at_end(spec, in, false);
    bool unknown = silent(spec->has_closed_end, in->closed_end) ||
                   silent(spec->has_open_end, in->open_end);
    return ow_cause(OW_BLOCK_BOTH_ENDS, both) | ow_cause(OW_BLOCK_END_UNKNOWN, unknown);
}

static uint32_t starts_within_an_hour(const ow_drive *drive)
{
    uint32_t count = 0;
    /*@ loop invariant 0 <= i <= OW_STARTS_MAX && count <= i;
        loop assigns i, count; */
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        count += drive->start_age_ms[i] < OW_H_MS;
    }
    return count;
}

static ow_blocks from_standing(const ow_drive_spec *spec, const ow_drive *drive)
{
    bool may_run_on = drive->stop_owed && !drive->stop_sent;
    return ow_cause(OW_BLOCK_STARTS, starts_within_an_hour(drive) >= spec->starts_per_h) |
           ow_cause(OW_BLOCK_DEAD_TIME, drive->dead_left_ms > 0 || may_run_on);
}

static ow_blocks from_moving(const ow_drive_spec *spec, const ow_drive *drive,
                             const ow_drive_inputs *in)
{
    bool closing = drive->state == OW_DRIVE_CLOSING;
    bool late = drive->moved_ms >= drive->allowed_ms;
    bool arrived = ow_drive_at_end(spec, in, closing) ||
                   (!ow_drive_has_end(spec, closing) && !ow_drive_at_end(spec, in, !closing));
    ow_drive_wish opposite = closing ? OW_WISH_OPEN : OW_WISH_CLOSE;
    return ow_cause(OW_BLOCK_TRAVEL, late && !arrived) | ow_cause(OW_BLOCK_OTHER_WAY, in->wish == opposite);
}

ow_blocks ow_drive_causes(const ow_drive_spec *spec, const ow_drive *drive,
                          const ow_drive_inputs *in)
{
    return ow_common_causes(spec->cautions_read, spec->off_by_itself_ms, spec->lease_ms,
                            &in->hosting) |
           ow_cause(OW_BLOCK_SETTINGS, !ow_drive_spec_sound(spec)) | from_weather(spec, in) |
           from_ends(spec, in) |
           (ow_drive_moving(drive) ? from_moving(spec, drive, in) : from_standing(spec, drive));
}
