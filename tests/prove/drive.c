/* SPDX-License-Identifier: MIT */
/* The drive's step. */
#include "prove/contracts.h"

/*@ requires \valid(drive) && \valid_read(spec) && \separated(drive, spec);
    assigns drive->moved_ms, drive->position_ms; */
static void pass_moving(ow_drive *drive, const ow_drive_spec *spec, uint32_t span_ms);

/*@ requires \valid(drive) && \valid_read(spec) && \separated(drive, spec);
    assigns drive->dead_left_ms, drive->stop_again_ms, drive->own_left_ms, drive->lease,
        drive->start_age_ms[0 .. OW_STARTS_MAX - 1], drive->moved_ms, drive->position_ms; */
static void pass(ow_drive *drive, const ow_drive_spec *spec, uint32_t span_ms);

/*@ requires \valid(drive) && \valid_read(spec) && \valid_read(in);
    requires \separated(drive, spec, in);
    assigns drive->locks.awaiting, drive->locks.since_event_ms; */
static void notice_events(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in,
                          uint32_t now_ms);

/*@ requires \valid(drive);
    assigns drive->start_age_ms[0 .. OW_STARTS_MAX - 1]; */
static void count_start(ow_drive *drive);

/*@ requires \valid_read(drive) && \valid_read(spec);
    assigns \nothing; */
static uint32_t way_ms(const ow_drive *drive, const ow_drive_spec *spec, bool closing);

/*@ requires \valid(drive) && \valid_read(spec) && \separated(drive, spec);
    assigns drive->allowed_ms, drive->state, drive->moved_ms, drive->lease, drive->stop_owed,
        drive->stop_sent, drive->commanded, drive->start_age_ms[0 .. OW_STARTS_MAX - 1];
    ensures drive->state == (closing ? OW_DRIVE_CLOSING : OW_DRIVE_OPENING);
    ensures drive->commanded && !drive->stop_sent; */
static void start(ow_drive *drive, const ow_drive_spec *spec, bool closing);

/*@ requires \valid(drive) && \valid_read(spec) && \valid_read(in);
    requires \separated(drive, spec, in);
    requires MOVING(drive) && drive->commanded && !drive->stop_sent;
    assigns drive->state, drive->located, drive->position_ms, drive->lease, drive->stop_owed,
        drive->stop_sent, drive->stop_again_ms;
    ensures MOVING(drive) ==> blocked == 0 && drive->state == \old(drive->state);
    ensures !MOVING(drive) ==> drive->stop_owed && drive->stop_again_ms == 0;
    ensures !drive->stop_sent; */
static void settle_moving(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in,
                          ow_blocks blocked);

/*@ requires \valid(drive) && \valid_read(spec) && \valid_read(in);
    requires \separated(drive, spec, in);
    assigns drive->state, drive->located, drive->position_ms;
    ensures MOVING(drive) ==> \old(MOVING(drive)) && drive->state == \old(drive->state); */
static void look_at_ends(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in);

/*@ requires \valid_read(drive);
    assigns \nothing; */
static ow_drive_wish way_to_go(const ow_drive *drive, ow_drive_wish wish);

/*@ requires \valid(drive) && \valid_read(spec) && \valid_read(in);
    requires \separated(drive, spec, in);
    requires MOVING(drive) ==> drive->commanded && !drive->stop_sent;
    assigns drive->state, drive->located, drive->position_ms, drive->lease, drive->stop_owed,
        drive->stop_sent, drive->stop_again_ms, drive->allowed_ms, drive->moved_ms,
        drive->commanded, drive->own_left_ms, drive->start_age_ms[0 .. OW_STARTS_MAX - 1];
    ensures MOVING(drive) ==> blocked == 0 && drive->commanded && !drive->stop_sent;
    ensures MOVING(drive) && \old(MOVING(drive)) ==> drive->state == \old(drive->state);
    ensures \old(MOVING(drive)) && !MOVING(drive) ==>
        drive->stop_owed && drive->stop_again_ms == 0 && drive->commanded && !drive->stop_sent; */
static void settle(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in,
                   ow_blocks blocked);

/*@ requires \valid(drive) && \valid_read(spec) && \separated(drive, spec);
    assigns drive->lease, drive->own_left_ms;
    ensures \result == OW_DRIVE_SEND_NOTHING ||
        \result == (drive->state == OW_DRIVE_CLOSING ? OW_DRIVE_SEND_CLOSE : OW_DRIVE_SEND_OPEN); */
static ow_drive_command keep_moving(ow_drive *drive, const ow_drive_spec *spec);

/*@ requires \valid(drive) && \valid_read(spec) && \separated(drive, spec);
    assigns drive->stop_owed, drive->commanded, drive->stop_again_ms, drive->dead_left_ms,
        drive->stop_sent;
    ensures \result == OW_DRIVE_SEND_STOP || \result == OW_DRIVE_SEND_NOTHING;
    ensures !connected ==> \result == OW_DRIVE_SEND_NOTHING;
    ensures \old(drive->stop_owed) && \old(drive->stop_again_ms) == 0 && \old(drive->commanded) &&
        !\old(drive->stop_sent) && connected ==> \result == OW_DRIVE_SEND_STOP; */
static ow_drive_command keep_still(ow_drive *drive, const ow_drive_spec *spec, bool connected,
                                   ow_blocks blocked);

/*@ requires \valid_read(drive);
    assigns \nothing; */
static ow_drive_command would_switch(const ow_drive *drive, ow_drive_wish wish, ow_blocks blocked);

#include "outputs/drive.c"
