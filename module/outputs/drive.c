/* SPDX-License-Identifier: MIT */
#include "outputs/drive.h"

#include "outputs/common.h"
#include "outputs/drive_causes.h"
#include "outputs/span.h"

static const char *const state_words[OW_DRIVE_STATES] = {
#define OW_DRIVE_WORD(id, word) [id] = (word),
    OW_DRIVE_STATE_LIST(OW_DRIVE_WORD)
#undef OW_DRIVE_WORD
};

const char *ow_drive_state_word(ow_drive_state state)
{
    return (unsigned)state < OW_DRIVE_STATES ? state_words[state] : "?";
}

/* ---- start ----------------------------------------------------------------------------------- */

ow_drive ow_drive_started(const ow_drive_spec *spec, uint32_t now_ms)
{
    ow_drive drive = {.version = OW_DRIVE_VERSION,
                      .state = OW_DRIVE_UNKNOWN,
                      .last_ms = now_ms,
                      .own_left_ms = spec->off_by_itself_ms,
                      .stop_owed = true,
                      .locks = ow_interlocks_started()};
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        drive.start_age_ms[i] = OW_H_MS;
    }
    return drive;
}

static bool saved_sound(const ow_drive_spec *spec, const ow_drive *saved)
{
    return saved->version == OW_DRIVE_VERSION && (unsigned)saved->state < OW_DRIVE_STATES &&
           saved->position_ms <= spec->travel_ms &&
           saved->locks.latched < OW_BLOCK(OW_INTERLOCKS) &&
           saved->locks.holding < OW_BLOCK(OW_INTERLOCKS);
}

ow_drive ow_drive_resumed(const ow_drive_spec *spec, const ow_drive *saved, uint32_t now_ms)
{
    ow_drive drive = ow_drive_started(spec, now_ms);
    if (!saved_sound(spec, saved)) {
        ow_interlocks_latch(&drive.locks, OW_BLOCK_FORGOT);
        return drive;
    }
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        drive.start_age_ms[i] = saved->start_age_ms[i];
    }
    if (!ow_drive_moving(saved)) {
        drive.state = saved->state;
        drive.located = saved->located;
        drive.position_ms = saved->position_ms;
    }
    drive.commanded = saved->commanded;
    drive.locks = ow_interlocks_resumed(&saved->locks);
    return drive;
}

/* ---- the passing of time --------------------------------------------------------------------- */

static void pass_moving(ow_drive *drive, const ow_drive_spec *spec, uint32_t span_ms)
{
    drive->moved_ms = ow_span_add(drive->moved_ms, span_ms);
    if (drive->state == OW_DRIVE_OPENING) {
        drive->position_ms = ow_span_less(drive->position_ms, span_ms);
        return;
    }
    uint32_t position_ms = ow_span_add(drive->position_ms, span_ms);
    drive->position_ms = position_ms < spec->travel_ms ? position_ms : spec->travel_ms;
}

static void pass(ow_drive *drive, const ow_drive_spec *spec, uint32_t span_ms)
{
    drive->dead_left_ms = ow_span_less(drive->dead_left_ms, span_ms);
    drive->stop_again_ms = ow_span_less(drive->stop_again_ms, span_ms);
    drive->own_left_ms = ow_span_less(drive->own_left_ms, span_ms);
    drive->lease = ow_lease_after(drive->lease, span_ms);
    /*@ loop invariant 0 <= i <= OW_STARTS_MAX;
        loop assigns i, drive->start_age_ms[0 .. OW_STARTS_MAX - 1]; */
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        uint32_t age_ms = ow_span_add(drive->start_age_ms[i], span_ms);
        drive->start_age_ms[i] = age_ms < OW_H_MS ? age_ms : OW_H_MS;
    }
    if (ow_drive_moving(drive)) {
        pass_moving(drive, spec, span_ms);
    }
}

/* ---- states ---------------------------------------------------------------------------------- */

static void locate(ow_drive *drive, const ow_drive_spec *spec, bool closed)
{
    drive->state = closed ? OW_DRIVE_CLOSED : OW_DRIVE_OPEN;
    drive->located = true;
    drive->position_ms = closed ? spec->travel_ms : 0;
}

static void lose(ow_drive *drive)
{
    drive->state = OW_DRIVE_UNKNOWN;
    drive->located = false;
}

static void owe_stop(ow_drive *drive)
{
    drive->lease = (ow_lease){0};
    drive->stop_owed = true;
    drive->stop_sent = false;
    drive->stop_again_ms = 0;
}

static void count_start(ow_drive *drive)
{
    int oldest = 0;
    /*@ loop invariant 1 <= i <= OW_STARTS_MAX && 0 <= oldest < OW_STARTS_MAX;
        loop assigns i, oldest; */
    for (int i = 1; i < OW_STARTS_MAX; i++) {
        if (drive->start_age_ms[i] > drive->start_age_ms[oldest]) {
            oldest = i;
        }
    }
    drive->start_age_ms[oldest] = 0;
}

/* The whole way where a contact will say when it is there or the start is not known. */
static uint32_t way_ms(const ow_drive *drive, const ow_drive_spec *spec, bool closing)
{
    if (!drive->located || ow_drive_has_end(spec, closing)) {
        return spec->travel_ms;
    }
    return closing ? ow_span_less(spec->travel_ms, drive->position_ms) : drive->position_ms;
}

static void start(ow_drive *drive, const ow_drive_spec *spec, bool closing)
{
    drive->allowed_ms = ow_span_add(way_ms(drive, spec, closing),
                                    OW_TRAVEL_MARGIN_MS(spec->travel_ms));
    drive->state = closing ? OW_DRIVE_CLOSING : OW_DRIVE_OPENING;
    drive->moved_ms = 0;
    drive->lease = (ow_lease){0};
    drive->stop_owed = false;
    drive->stop_sent = false;
    drive->commanded = true;
    count_start(drive);
}

/* A stop that cannot be sent now, or that comes late, or a jam leaves it somewhere on its way. */
static void halt(ow_drive *drive, const ow_drive_inputs *in, ow_blocks blocked)
{
    const ow_blocks doubts = OW_BLOCK(OW_BLOCK_HELD_UP) | OW_BLOCK(OW_BLOCK_TRAVEL);
    bool lost = !in->hosting.connected || (blocked & doubts);
    drive->state = OW_DRIVE_STOPPED;
    if (lost || !drive->located) {
        lose(drive);
    }
    owe_stop(drive);
}

static void settle_moving(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in,
                          ow_blocks blocked)
{
    bool closing = drive->state == OW_DRIVE_CLOSING;
    bool ran_its_way = !blocked && drive->moved_ms >= drive->allowed_ms;
    if (ran_its_way || (ow_drive_at_end(spec, in, closing) &&
                        !ow_drive_at_end(spec, in, !closing))) {
        locate(drive, spec, closing);
        owe_stop(drive);
        return;
    }
    if (blocked || in->wish != (closing ? OW_WISH_CLOSE : OW_WISH_OPEN)) {
        halt(drive, in, blocked);
    }
}

/* The contacts know better than the reckoning. */
static void look_at_ends(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in)
{
    bool at_closed = ow_drive_at_end(spec, in, true), at_open = ow_drive_at_end(spec, in, false);
    bool left_closed = drive->state == OW_DRIVE_CLOSED && spec->has_closed_end && !at_closed;
    bool left_open = drive->state == OW_DRIVE_OPEN && spec->has_open_end && !at_open;
    if (at_closed != at_open) {
        locate(drive, spec, at_closed);
    } else if (at_closed || left_closed || left_open) {
        lose(drive);
    }
}

/* The way that is wished and not yet reached; OW_WISH_STAY: none. */
static ow_drive_wish way_to_go(const ow_drive *drive, ow_drive_wish wish)
{
    bool close = wish == OW_WISH_CLOSE && drive->state != OW_DRIVE_CLOSED;
    bool open = wish == OW_WISH_OPEN && drive->state != OW_DRIVE_OPEN;
    return close || open ? wish : OW_WISH_STAY;
}

static void settle(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in,
                   ow_blocks blocked)
{
    switch (drive->state) {
    case OW_DRIVE_CLOSING:
    case OW_DRIVE_OPENING:
        settle_moving(drive, spec, in, blocked);
        return;
    case OW_DRIVE_UNKNOWN:
    case OW_DRIVE_OPEN:
    case OW_DRIVE_CLOSED:
    case OW_DRIVE_STOPPED:
        look_at_ends(drive, spec, in);
        if (!blocked && way_to_go(drive, in->wish) != OW_WISH_STAY) {
            start(drive, spec, in->wish == OW_WISH_CLOSE);
        }
        return;
    case OW_DRIVE_STATES:
        break;
    }
    drive->own_left_ms = spec->off_by_itself_ms; /* no state at all: as if it just began to move */
    drive->commanded = true;
    lose(drive);
    owe_stop(drive);
}

/* ---- what to send ---------------------------------------------------------------------------- */

static ow_drive_command way_command(bool closing)
{
    return closing ? OW_DRIVE_SEND_CLOSE : OW_DRIVE_SEND_OPEN;
}

static ow_drive_command keep_moving(ow_drive *drive, const ow_drive_spec *spec)
{
    if (!ow_lease_due(drive->lease)) {
        return OW_DRIVE_SEND_NOTHING;
    }
    drive->lease = ow_lease_of(spec->lease_ms);
    drive->own_left_ms = spec->off_by_itself_ms;
    return way_command(drive->state == OW_DRIVE_CLOSING);
}

static ow_drive_command keep_still(ow_drive *drive, const ow_drive_spec *spec, bool connected,
                                   ow_blocks blocked)
{
    bool may_send = drive->commanded || (blocked & OW_NEVER_COMMANDED) == 0;
    bool ended = drive->stop_sent && drive->own_left_ms == 0;
    drive->stop_owed = drive->stop_owed && may_send && !ended;
    drive->commanded = drive->commanded && drive->stop_owed;
    if (!connected) {
        drive->stop_again_ms = 0; /* sent at once when the connection is back */
        return OW_DRIVE_SEND_NOTHING;
    }
    if (!drive->stop_owed || drive->stop_again_ms > 0) {
        return OW_DRIVE_SEND_NOTHING;
    }
    if (!drive->stop_sent) {
        drive->dead_left_ms = spec->dead_ms;
    }
    drive->stop_sent = true;
    drive->stop_again_ms = OW_STOP_AGAIN_MS;
    return OW_DRIVE_SEND_STOP;
}

/* ---- the step -------------------------------------------------------------------------------- */

static void notice_events(ow_drive *drive, const ow_drive_spec *spec, const ow_drive_inputs *in,
                          uint32_t now_ms)
{
    bool lapsed = ow_drive_moving(drive) && ow_lease_over(drive->lease);
    uint32_t late_ms = OW_DRIVE_LATE_MS + spec->slack_ms;
    bool held_up = lapsed || ow_step_held_up(drive->last_ms, now_ms, late_ms);
    uint32_t age_ms = ow_drive_wind_usable(spec, in->wind) ? in->wind.age_ms : OW_AGE_UNKNOWN;
    ow_interlocks_await(&drive->locks, ow_common_events(&in->hosting, held_up), age_ms);
}

/* What moves is not blocked and moves as it is wished. */
static ow_drive_command would_switch(const ow_drive *drive, ow_drive_wish wish, ow_blocks blocked)
{
    ow_drive_wish way = way_to_go(drive, wish);
    if (way == OW_WISH_STAY || (blocked & ~OW_NEVER_COMMANDED) != 0) {
        return OW_DRIVE_SEND_NOTHING;
    }
    return way_command(way == OW_WISH_CLOSE);
}

ow_drive_answer ow_drive_step(ow_drive *drive, const ow_drive_spec *spec,
                              const ow_drive_inputs *in, uint32_t now_ms)
{
    uint32_t span_ms = ow_span_between(drive->last_ms, now_ms);
    pass(drive, spec, span_ms);
    ow_interlocks_pass(&drive->locks, span_ms);
    notice_events(drive, spec, in, now_ms);
    drive->last_ms = now_ms;

    ow_blocks causes = ow_drive_causes(spec, drive, in);
    ow_blocks blocked = ow_interlocks_judge(&drive->locks, causes, span_ms);
    settle(drive, spec, in, blocked);

    ow_drive_answer answer = {.lease_s = spec->lease_ms / OW_S_MS, .blocked = blocked};
    answer.command = ow_drive_moving(drive)
                         ? keep_moving(drive, spec)
                         : keep_still(drive, spec, in->hosting.connected, blocked);
    answer.would_switch = would_switch(drive, in->wish, blocked);
    return answer;
}

/* ---- people ---------------------------------------------------------------------------------- */

void ow_drive_stop(ow_drive *drive)
{
    ow_interlocks_latch(&drive->locks, OW_BLOCK_BY_HAND);
}

ow_blocks ow_drive_release(ow_drive *drive)
{
    return ow_interlocks_release(&drive->locks);
}

int ow_drive_closed_pct(const ow_drive *drive, const ow_drive_spec *spec)
{
    if (!drive->located || spec->travel_ms == 0) {
        return -1;
    }
    uint64_t position_ms = drive->position_ms < spec->travel_ms ? drive->position_ms
                                                                : spec->travel_ms;
    return (int)((position_ms * 100u + spec->travel_ms / 2) / spec->travel_ms);
}
