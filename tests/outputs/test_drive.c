/* SPDX-License-Identifier: MIT */
/* The cloth drive's times to the millisecond, its ends, its way by reckoning, its restarts. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "outputs/bench.h"
#include "outputs/drive_causes.h"

typedef struct {
    ow_drive_spec spec;
    ow_drive_inputs in;
    ow_drive drive;
    ow_drive_answer answer;
    ow_drive_command last_sent;
    uint32_t at_ms;
    unsigned stops;
} rig;

/* The clock wraps 30 seconds after a rig was made. */
#define BEGAN_MS (UINT32_MAX - 30 * OW_S_MS)

static rig a_rig(void)
{
    return (rig){.spec = a_drive_spec(), .in = a_still_evening(), .drive = a_ready_drive(BEGAN_MS)};
}

/* One without contacts: its way is reckoned. */
static rig a_blind_rig(void)
{
    rig r = a_rig();
    r.spec.has_closed_end = r.spec.has_open_end = false;
    return r;
}

static void step_at(rig *r, uint32_t at_ms)
{
    r->at_ms = at_ms;
    r->answer = ow_drive_step(&r->drive, &r->spec, &r->in, BEGAN_MS + at_ms);
    ow_drive_command sent = r->answer.command;
    r->stops += sent == OW_DRIVE_SEND_STOP;
    assert_true(!ow_drive_moving(&r->drive) || r->answer.blocked == 0);
    /* Between two ways there is a stop. */
    assert_false(sent == OW_DRIVE_SEND_CLOSE && r->last_sent == OW_DRIVE_SEND_OPEN);
    assert_false(sent == OW_DRIVE_SEND_OPEN && r->last_sent == OW_DRIVE_SEND_CLOSE);
    r->last_sent = sent == OW_DRIVE_SEND_NOTHING ? r->last_sent : sent;
}

static void run_until(rig *r, uint32_t at_ms)
{
    while (at_ms - r->at_ms > OW_S_MS) {
        step_at(r, r->at_ms + OW_S_MS);
    }
    if (at_ms != r->at_ms) {
        step_at(r, at_ms);
    }
}

static bool blocked_by(const rig *r, ow_interlock interlock)
{
    return (r->answer.blocked & OW_BLOCK(interlock)) != 0;
}

static void closing(rig *r)
{
    step_at(r, 0);
    assert_int_equal(r->drive.state, OW_DRIVE_CLOSING);
    assert_int_equal(r->answer.command, OW_DRIVE_SEND_CLOSE);
    assert_int_equal(r->answer.would_switch, OW_DRIVE_SEND_CLOSE);
    assert_int_equal(r->answer.lease_s, 20);
    r->in.open_end = OW_CONTACT_OPEN;
}

static void it_stops_at_its_end_contact(void **state)
{
    (void)state;
    rig r = a_rig();
    closing(&r);
    run_until(&r, 30 * OW_S_MS);
    assert_int_equal(r.drive.state, OW_DRIVE_CLOSING);
    r.in.closed_end = OW_CONTACT_SHUT;
    run_until(&r, 30 * OW_S_MS + 100);
    assert_int_equal(r.drive.state, OW_DRIVE_CLOSED);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), 100);
    run_until(&r, 600 * OW_S_MS);
    assert_int_equal(r.answer.would_switch, OW_DRIVE_SEND_NOTHING);
    assert_int_equal(r.drive.state, OW_DRIVE_CLOSED);
}

static void a_move_is_renewed_at_a_third_of_its_lease(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        closing(&r);
        run_until(&r, 6 * OW_S_MS);
        assert_int_equal(r.answer.command, OW_DRIVE_SEND_NOTHING);
        step_at(&r, 6665 + extra); /* 20 s / 3 in whole milliseconds is 6666 */
        assert_int_equal(r.answer.command, extra ? OW_DRIVE_SEND_CLOSE : OW_DRIVE_SEND_NOTHING);
    }
}

static void a_contact_that_does_not_come_ends_at_the_travel_limit(void **state)
{
    (void)state;
    const uint32_t limit_ms = 45000 + 45000 / 4 + 1000;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        closing(&r);
        run_until(&r, limit_ms - 1 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_TRAVEL), extra > 0);
        assert_int_equal(r.drive.state, extra ? OW_DRIVE_UNKNOWN : OW_DRIVE_CLOSING);
        assert_int_equal(r.stops, extra > 0);
    }
    rig r = a_rig();
    closing(&r);
    run_until(&r, limit_ms);
    assert_int_equal(ow_drive_release(&r.drive), OW_BLOCK(OW_BLOCK_TRAVEL));
    run_until(&r, 3600 * OW_S_MS);
    assert_true(blocked_by(&r, OW_BLOCK_TRAVEL)); /* latched */
    assert_int_equal(ow_drive_release(&r.drive), 0);
    run_until(&r, r.at_ms + 60 * OW_S_MS - 1);
    assert_false(ow_drive_moving(&r.drive));
    run_until(&r, r.at_ms + 1);
    assert_true(ow_drive_moving(&r.drive));
}

static void a_contact_that_is_not_left_is_a_jam_too(void **state)
{
    (void)state;
    rig r = a_rig();
    r.spec.has_closed_end = false;
    step_at(&r, 0);
    run_until(&r, 60 * OW_S_MS); /* the open end goes on saying that it is there */
    assert_true(blocked_by(&r, OW_BLOCK_TRAVEL));
}

static void without_contacts_it_runs_its_way_and_a_margin(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_blind_rig();
        closing(&r);
        run_until(&r, 45000 + 12250 - 1 + extra);
        assert_int_equal(r.drive.state, extra ? OW_DRIVE_CLOSED : OW_DRIVE_CLOSING);
    }
    /* Half way back: the same way again and the margin. */
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_blind_rig();
        closing(&r);
        run_until(&r, 18000);
        r.in.wish = OW_WISH_STAY;
        run_until(&r, 20000);
        assert_int_equal(r.drive.state, OW_DRIVE_STOPPED);
        assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), 42); /* 19 of 45 s */
        r.in.wish = OW_WISH_OPEN;
        run_until(&r, 21000); /* the dead time since 19 s is over */
        assert_int_equal(r.drive.state, OW_DRIVE_OPENING);
        run_until(&r, 21000 + 19000 + 12250 - 1 + extra);
        assert_int_equal(r.drive.state, extra ? OW_DRIVE_OPEN : OW_DRIVE_OPENING);
        assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), 0);
    }
    /* From where it is not known: the whole way. */
    rig r = a_blind_rig();
    r.drive.state = OW_DRIVE_UNKNOWN;
    r.drive.located = false;
    r.drive.position_ms = 20000; /* means nothing */
    assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), -1);
    closing(&r);
    run_until(&r, 45000 + 12250 - 1);
    assert_int_equal(r.drive.state, OW_DRIVE_CLOSING);
    run_until(&r, 45000 + 12250);
    assert_int_equal(r.drive.state, OW_DRIVE_CLOSED);
}

static void it_turns_round_after_a_stop_and_the_dead_time(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        closing(&r);
        run_until(&r, 10000);
        r.in.wish = OW_WISH_OPEN;
        step_at(&r, 10500);
        assert_true(blocked_by(&r, OW_BLOCK_OTHER_WAY));
        assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
        step_at(&r, 11500);
        assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_DEAD_TIME));
        step_at(&r, 12499 + extra);
        assert_int_equal(r.answer.command, extra ? OW_DRIVE_SEND_OPEN : OW_DRIVE_SEND_NOTHING);
    }
}

static void stop_is_sent_again_until_its_own_timer_ended_it(void **state)
{
    (void)state;
    rig r = a_blind_rig();
    closing(&r);
    step_at(&r, 1000);
    ow_drive_stop(&r.drive);
    step_at(&r, 2000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    step_at(&r, 6999);
    assert_int_equal(r.stops, 1);
    step_at(&r, 7000);
    assert_int_equal(r.stops, 2);
    run_until(&r, 300 * OW_S_MS); /* 2 s, 7 s ... 57 s: its own timer ended it at 60 s */
    assert_int_equal(r.stops, 12);
    assert_false(r.drive.commanded);
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_BY_HAND));
}

static void a_stop_that_cannot_be_sent_is_owed(void **state)
{
    (void)state;
    rig r = a_rig();
    closing(&r);
    run_until(&r, 10000);
    r.in.hosting.connected = false;
    run_until(&r, 11000);
    assert_int_equal(r.drive.state, OW_DRIVE_UNKNOWN);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_NOTHING);
    run_until(&r, 30000);
    assert_true(blocked_by(&r, OW_BLOCK_DEAD_TIME)); /* it may still run */
    r.in.hosting.connected = true;
    run_until(&r, 30100);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    assert_true(blocked_by(&r, OW_BLOCK_DEAD_TIME));
    run_until(&r, 32100);
    assert_false(blocked_by(&r, OW_BLOCK_DEAD_TIME));
    run_until(&r, 35100);
    assert_int_equal(r.drive.state, OW_DRIVE_CLOSING);
}

static void starts_are_counted_over_any_hour(void **state)
{
    (void)state;
    rig r = a_blind_rig();
    for (uint32_t i = 0; i < 6; i++) {
        r.in.wish = i % 2 ? OW_WISH_OPEN : OW_WISH_CLOSE;
        run_until(&r, i * 300 * OW_S_MS);
        assert_true(i == 0 || ow_drive_moving(&r.drive));
        if (i == 0) {
            step_at(&r, 0);
        }
        assert_true(ow_drive_moving(&r.drive));
        run_until(&r, i * 300 * OW_S_MS + 299 * OW_S_MS);
    }
    r.in.wish = OW_WISH_CLOSE;
    rig before = r;
    for (uint32_t extra = 0; extra < 3; extra++) {
        r = before;
        run_until(&r, OW_H_MS - 1 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_STARTS), extra == 0);
        assert_int_equal(ow_drive_moving(&r.drive), extra > 0);
    }
}

static void wind_stops_it_at_once_and_holds_it_for_five_minutes(void **state)
{
    (void)state;
    rig r = a_rig();
    closing(&r);
    r.in.wind.milli = 9000;
    step_at(&r, 1000);
    assert_true(ow_drive_moving(&r.drive));
    r.in.wind.milli = 9001;
    step_at(&r, 2000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    r.in.wind.milli = 9000;
    run_until(&r, 3000 + 5 * OW_MIN_MS - 1);
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_WIND));
    step_at(&r, 3000 + 5 * OW_MIN_MS);
    assert_true(ow_drive_moving(&r.drive));
}

/* It set out from nobody knows where and is stopped on its way: that is no place either. */
static void a_cloth_that_was_lost_stays_lost_when_it_is_stopped(void **state)
{
    (void)state;
    rig r = a_blind_rig();
    r.drive.state = OW_DRIVE_UNKNOWN;
    r.drive.located = false;
    closing(&r);
    run_until(&r, 5000);
    r.in.wind.milli = 12000;
    step_at(&r, 6000);
    assert_int_equal(r.drive.state, OW_DRIVE_UNKNOWN);
    assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), -1);
}

/* No wind at all is a reading; less than none, or more than any storm, is not. */
/* A contact says where it is, to the millisecond of its way. */
static void a_contact_locates_it(void **state)
{
    (void)state;
    for (int closed = 0; closed < 2; closed++) {
        rig r = a_rig();
        r.drive.state = OW_DRIVE_UNKNOWN;
        r.drive.located = false;
        r.drive.position_ms = 7000;
        r.in.wish = OW_WISH_STAY;
        r.in.closed_end = closed ? OW_CONTACT_SHUT : OW_CONTACT_OPEN;
        r.in.open_end = closed ? OW_CONTACT_OPEN : OW_CONTACT_SHUT;
        step_at(&r, 1000);
        assert_int_equal(r.drive.state, closed ? OW_DRIVE_CLOSED : OW_DRIVE_OPEN);
        assert_true(r.drive.located);
        assert_int_equal(r.drive.position_ms, closed ? r.spec.travel_ms : 0);
    }
}

static void how_far_it_is_closed_is_rounded(void **state)
{
    (void)state;
    rig r = a_rig();
    r.spec.travel_ms = 1000;
    const uint32_t at_ms[] = {0, 4, 5, 994, 995, 1000, 1001};
    const int pct[] = {0, 0, 1, 99, 100, 100, 100};
    for (int i = 0; i < 7; i++) {
        r.drive.position_ms = at_ms[i];
        assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), pct[i]);
    }
}

/* A stop that was sent a moment ago keeps no new one waiting, nor does a break of the link. */
static void each_move_has_its_own_stop_at_once(void **state)
{
    (void)state;
    rig r = a_blind_rig();
    closing(&r);
    step_at(&r, 1000);
    r.in.wish = OW_WISH_OPEN;
    step_at(&r, 2000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    run_until(&r, 4000); /* the dead time is over */
    assert_int_equal(r.drive.state, OW_DRIVE_OPENING);
    r.in.wind.milli = 12000;
    step_at(&r, 5000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    r.in.hosting.connected = false;
    step_at(&r, 6000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_NOTHING);
    r.in.hosting.connected = true;
    step_at(&r, 7000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
}

/* The dead time counts from the first stop after a move, not from those sent again. */
static void stops_sent_again_do_not_lengthen_the_dead_time(void **state)
{
    (void)state;
    rig r = a_blind_rig();
    r.spec.dead_ms = 7000;
    closing(&r);
    step_at(&r, 1000);
    r.in.wish = OW_WISH_OPEN;
    step_at(&r, 2000);
    run_until(&r, 8999);
    assert_int_equal(r.stops, 2);
    assert_false(ow_drive_moving(&r.drive));
    step_at(&r, 9000);
    assert_int_equal(r.drive.state, OW_DRIVE_OPENING);
}

static void a_fast_clock_has_longer_steps(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.slack_ms = 5000;
        r.in.wish = OW_WISH_STAY;
        step_at(&r, 1000);
        step_at(&r, 1000 + OW_DRIVE_LATE_MS + 4999 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_HELD_UP), extra > 1);
    }
}

static void wind_outside_what_can_be_is_no_reading(void **state)
{
    (void)state;
    const int32_t milli[] = {-1, 0, OW_WIND_MAX_MILLI, OW_WIND_MAX_MILLI + 1};
    for (int i = 0; i < 4; i++) {
        rig r = a_rig();
        r.in.wind.milli = milli[i];
        step_at(&r, 1000);
        bool usable = i == 1 || i == 2;
        assert_int_equal(ow_drive_wind_usable(&r.spec, r.in.wind), usable);
        assert_int_equal(blocked_by(&r, OW_BLOCK_NO_WIND), !usable);
        assert_int_equal(ow_drive_moving(&r.drive), i == 1);
    }
}

static void wind_is_stale_past_its_time(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.in.wind.age_ms = 10 * OW_MIN_MS - 1 + extra;
        step_at(&r, 1000);
        assert_int_equal(blocked_by(&r, OW_BLOCK_NO_WIND), extra == 2);
    }
    const int32_t beyond[] = {-1, OW_WIND_MAX_MILLI + 1};
    for (int i = 0; i < 2; i++) {
        rig r = a_rig();
        r.in.wind.milli = beyond[i];
        step_at(&r, 1000);
        assert_true(blocked_by(&r, OW_BLOCK_NO_WIND));
    }
}

static void a_lease_that_lapsed_or_a_late_step_loses_its_place(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_blind_rig();
        closing(&r);
        step_at(&r, OW_DRIVE_LATE_MS - 1 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_HELD_UP), extra == 2);
        assert_int_equal(r.drive.located, extra < 2);
    }
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_blind_rig();
        r.spec.lease_ms = 2000;
        step_at(&r, 0);
        step_at(&r, 1999 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_HELD_UP), extra > 0);
        assert_int_equal(r.answer.command, extra ? OW_DRIVE_SEND_STOP : OW_DRIVE_SEND_CLOSE);
    }
}

static void it_starts_with_a_stop_and_waits_for_the_wind(void **state)
{
    (void)state;
    ow_drive_spec spec = a_drive_spec();
    ow_drive fresh = ow_drive_started(&spec, 0);
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        assert_int_equal(fresh.start_age_ms[i], OW_H_MS); /* none within the hour */
    }
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.drive = ow_drive_started(&r.spec, BEGAN_MS);
        r.in.wind.age_ms = 5000;
        step_at(&r, 1000);
        assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
        assert_int_equal(r.drive.state, OW_DRIVE_OPEN);
        r.in.wind.age_ms = 500;
        step_at(&r, 2000);
        run_until(&r, 62000 - 1 + extra);
        assert_int_equal(ow_drive_moving(&r.drive), extra > 0);
    }
}

static void its_place_its_starts_and_its_latches_survive_a_restart(void **state)
{
    (void)state;
    rig r = a_blind_rig();
    closing(&r);
    run_until(&r, 9000);
    ow_drive moving = r.drive;
    ow_drive resumed = ow_drive_resumed(&r.spec, &moving, 0);
    assert_int_equal(resumed.state, OW_DRIVE_UNKNOWN);
    assert_false(resumed.located);
    assert_true(resumed.commanded);
    assert_true(resumed.stop_owed);
    ow_drive_stop(&r.drive);
    run_until(&r, 10000);
    resumed = ow_drive_resumed(&r.spec, &r.drive, 0);
    assert_int_equal(resumed.state, OW_DRIVE_STOPPED);
    assert_int_equal(resumed.position_ms, 10000);
    assert_int_equal(resumed.locks.latched, OW_BLOCK(OW_BLOCK_BY_HAND));
    assert_int_equal(resumed.start_age_ms[0], 10000);
    assert_true(resumed.located);
    ow_drive closed = r.drive;
    closed.position_ms = r.spec.travel_ms;
    assert_int_equal(ow_drive_resumed(&r.spec, &closed, 0).position_ms, r.spec.travel_ms);
    for (int i = 0; i < 5; i++) {
        ow_drive saved = r.drive;
        saved.version += i == 0;
        saved.state = i == 1 ? OW_DRIVE_STATES : saved.state;
        saved.locks.latched = i == 2 ? OW_BLOCK(OW_INTERLOCKS) : 0;
        saved.locks.holding = i == 3 ? OW_BLOCK(OW_INTERLOCKS) : 0;
        saved.position_ms = i == 4 ? r.spec.travel_ms + 1 : saved.position_ms;
        resumed = ow_drive_resumed(&r.spec, &saved, 0);
        assert_int_equal(resumed.locks.latched, OW_BLOCK(OW_BLOCK_FORGOT));
    }
}

static void without_cautions_read_nothing_is_ever_sent(void **state)
{
    (void)state;
    rig r = a_rig();
    r.spec.cautions_read = false;
    r.drive = ow_drive_started(&r.spec, BEGAN_MS);
    for (uint32_t s = 1; s < 300; s++) {
        step_at(&r, s * OW_S_MS);
        assert_int_equal(r.answer.command, OW_DRIVE_SEND_NOTHING);
    }
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_CAUTIONS));
    assert_int_equal(r.answer.would_switch, OW_DRIVE_SEND_CLOSE);
    r.in.wish = OW_WISH_OPEN;
    step_at(&r, 300 * OW_S_MS);
    assert_int_equal(r.answer.would_switch, OW_DRIVE_SEND_NOTHING);
}

static void a_state_outside_the_enum_is_taken_for_moving(void **state)
{
    (void)state;
    rig r = a_rig();
    r.drive.state = OW_DRIVE_STATES;
    r.spec.cautions_read = false; /* even so */
    step_at(&r, 1000);
    assert_int_equal(r.answer.command, OW_DRIVE_SEND_STOP);
    assert_int_equal(r.drive.state, OW_DRIVE_UNKNOWN);
    assert_int_equal(r.drive.own_left_ms, r.spec.off_by_itself_ms);
}

static void settings_that_do_not_fit_together_are_refused(void **state)
{
    (void)state;
    ow_drive_spec good = a_drive_spec();
    assert_true(ow_drive_spec_sound(&good));
    ow_drive_spec bad[20];
    size_t n = 0;
#define BAD(field, value)                                                                          \
    do {                                                                                           \
        bad[n] = good;                                                                             \
        bad[n++].field = (value);                                                                  \
    } while (0)
    BAD(slack_ms, OW_SETTING_MAX_MS + 1);
    BAD(lease_ms, 999);
    BAD(travel_ms, 999);
    BAD(dead_ms, 0);
    BAD(wind_stale_ms, 0);
    BAD(wind_max_milli, 0);
    BAD(wind_max_milli, OW_WIND_MAX_MILLI + 1);
    BAD(starts_per_h, 0);
    BAD(starts_per_h, OW_STARTS_MAX + 1);
#undef BAD
    for (size_t i = 0; i < n; i++) {
        assert_false(ow_drive_spec_sound(&bad[i]));
    }
    good.wind_max_milli = OW_WIND_MAX_MILLI;
    good.starts_per_h = OW_STARTS_MAX;
    good.lease_ms = good.travel_ms = 1000;
    assert_true(ow_drive_spec_sound(&good));
    good.starts_per_h = 1;
    good.dead_ms = good.wind_stale_ms = 1;
    good.wind_max_milli = 1;
    assert_true(ow_drive_spec_sound(&good));
}

static void nothing_filled_in_blocks(void **state)
{
    (void)state;
    rig r = a_rig();
    r.in = (ow_drive_inputs){.wish = OW_WISH_CLOSE};
    step_at(&r, 1000);
    assert_int_not_equal(r.answer.blocked, 0);
    r = a_rig();
    r.spec = (ow_drive_spec){0};
    step_at(&r, 1000);
    assert_true(r.answer.blocked & OW_NEVER_COMMANDED);
    assert_int_equal(ow_drive_closed_pct(&r.drive, &r.spec), -1);
    assert_string_equal(ow_drive_state_word(OW_DRIVE_CLOSING), "closing");
    assert_string_equal(ow_drive_state_word(OW_DRIVE_STATES), "?");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_stops_at_its_end_contact),
        cmocka_unit_test(a_move_is_renewed_at_a_third_of_its_lease),
        cmocka_unit_test(a_contact_that_does_not_come_ends_at_the_travel_limit),
        cmocka_unit_test(a_contact_that_is_not_left_is_a_jam_too),
        cmocka_unit_test(without_contacts_it_runs_its_way_and_a_margin),
        cmocka_unit_test(it_turns_round_after_a_stop_and_the_dead_time),
        cmocka_unit_test(stop_is_sent_again_until_its_own_timer_ended_it),
        cmocka_unit_test(a_stop_that_cannot_be_sent_is_owed),
        cmocka_unit_test(starts_are_counted_over_any_hour),
        cmocka_unit_test(wind_stops_it_at_once_and_holds_it_for_five_minutes),
        cmocka_unit_test(a_cloth_that_was_lost_stays_lost_when_it_is_stopped),
        cmocka_unit_test(a_contact_locates_it),
        cmocka_unit_test(how_far_it_is_closed_is_rounded),
        cmocka_unit_test(each_move_has_its_own_stop_at_once),
        cmocka_unit_test(stops_sent_again_do_not_lengthen_the_dead_time),
        cmocka_unit_test(a_fast_clock_has_longer_steps),
        cmocka_unit_test(wind_outside_what_can_be_is_no_reading),
        cmocka_unit_test(wind_is_stale_past_its_time),
        cmocka_unit_test(a_lease_that_lapsed_or_a_late_step_loses_its_place),
        cmocka_unit_test(it_starts_with_a_stop_and_waits_for_the_wind),
        cmocka_unit_test(its_place_its_starts_and_its_latches_survive_a_restart),
        cmocka_unit_test(without_cautions_read_nothing_is_ever_sent),
        cmocka_unit_test(a_state_outside_the_enum_is_taken_for_moving),
        cmocka_unit_test(settings_that_do_not_fit_together_are_refused),
        cmocka_unit_test(nothing_filled_in_blocks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
