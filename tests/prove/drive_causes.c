/* SPDX-License-Identifier: MIT */
/* The drive: no cause is seen only where each of its inputs permits. */
#include "prove/contracts.h"

/*@ assigns \nothing; */
static bool silent(bool has, ow_contact contact);

/*@ requires \valid_read(spec) && \valid_read(in);
    assigns \nothing;
    ensures \result == 0 ==> in->wind.known && !in->wind.contradicted &&
        in->wind.age_ms <= spec->wind_stale_ms && in->wind.milli <= spec->wind_max_milli &&
        in->cloth == OW_CLOTH_DRY; */
static ow_blocks from_weather(const ow_drive_spec *spec, const ow_drive_inputs *in);

/*@ requires \valid_read(spec) && \valid_read(in);
    assigns \nothing; */
static ow_blocks from_ends(const ow_drive_spec *spec, const ow_drive_inputs *in);

/*@ requires \valid_read(drive);
    assigns \nothing;
    ensures \result <= OW_STARTS_MAX; */
static uint32_t starts_within_an_hour(const ow_drive *drive);

/*@ requires \valid_read(spec) && \valid_read(drive);
    assigns \nothing;
    ensures \result == 0 ==> drive->dead_left_ms == 0 && (!drive->stop_owed || drive->stop_sent); */
static ow_blocks from_standing(const ow_drive_spec *spec, const ow_drive *drive);

/*@ requires \valid_read(spec) && \valid_read(drive) && \valid_read(in);
    assigns \nothing;
    ensures \result == 0 ==> in->wish != (drive->state == OW_DRIVE_CLOSING ? OW_WISH_OPEN
                                                                           : OW_WISH_CLOSE); */
static ow_blocks from_moving(const ow_drive_spec *spec, const ow_drive *drive,
                             const ow_drive_inputs *in);

#include "outputs/drive_causes.c"
