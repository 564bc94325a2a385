/* SPDX-License-Identifier: MIT */
/* The heater's times to the millisecond: a moment before, at, and a moment after each. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "outputs/bench.h"
#include "outputs/heater_causes.h"

typedef struct {
    ow_heater_spec spec;
    ow_heater_inputs in;
    ow_heater heater;
    ow_heater_answer answer;
    uint32_t began_ms; /* the clock when it was made ready */
    uint32_t at_ms;    /* since then */
    unsigned sent_off;
} rig;

/* The clock of every rig wraps three minutes after it was made. */
#define BEGAN_MS (UINT32_MAX - 3 * OW_MIN_MS)

static rig a_rig(void)
{
    rig r = {.spec = a_heater_spec(), .in = a_cold_night(), .began_ms = BEGAN_MS};
    r.spec.reports = false;
    r.spec.measures_power = false;
    r.heater = a_ready_heater(r.began_ms);
    return r;
}

static void step_at(rig *r, uint32_t at_ms)
{
    r->at_ms = at_ms;
    r->answer = ow_heater_step(&r->heater, &r->spec, &r->in, r->began_ms + at_ms);
    r->sent_off += r->answer.command == OW_HEATER_SEND_OFF;
    /* However it came about: what is on is not blocked, what is sent on is on. */
    assert_true(r->heater.state != OW_HEATER_ON || r->answer.blocked == 0);
    assert_true(r->answer.command != OW_HEATER_SEND_ON || r->heater.state == OW_HEATER_ON);
}

/* Steps every second, and a last time just then. */
static void run_until(rig *r, uint32_t at_ms)
{
    while (at_ms - r->at_ms > OW_S_MS) {
        step_at(r, r->at_ms + OW_S_MS);
    }
    if (at_ms != r->at_ms) {
        step_at(r, at_ms);
    }
}

static bool on(const rig *r)
{
    return r->heater.state == OW_HEATER_ON;
}

static bool blocked_by(const rig *r, ow_interlock interlock)
{
    return (r->answer.blocked & OW_BLOCK(interlock)) != 0;
}

static rig a_running_rig(void)
{
    rig r = a_rig();
    step_at(&r, 0);
    assert_true(on(&r));
    assert_int_equal(r.answer.command, OW_HEATER_SEND_ON);
    assert_int_equal(r.answer.lease_s, 300);
    return r;
}

static void warm(rig *r)
{
    r->in.air.milli = 10000;
}

static void cold(rig *r)
{
    r->in.air.milli = 1000;
}

/* ---- wish ---- */

static void it_warms_from_below_what_is_kept_to_a_band_above(void **state)
{
    (void)state;
    ow_heater_spec spec = a_heater_spec();
    const struct {
        int32_t milli;
        bool wanted, wants;
    } cases[] = {{2999, false, true}, {3000, false, false}, {3001, false, false},
                 {3499, true, true},  {3500, true, false},  {3501, true, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_sensed air = {.known = true, .milli = cases[i].milli};
        assert_int_equal(ow_heater_wants(&spec, air, cases[i].wanted), cases[i].wants);
    }
    ow_sensed none = {.milli = 1000};
    assert_false(ow_heater_wants(&spec, none, true));
}

/* ---- leases ---- */

static void a_lease_is_renewed_at_a_third(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        run_until(&r, 99 * OW_S_MS);
        assert_int_equal(r.answer.command, OW_HEATER_SEND_NOTHING);
        step_at(&r, 100 * OW_S_MS - 1 + extra);
        assert_int_equal(r.answer.command,
                         extra ? OW_HEATER_SEND_ON : OW_HEATER_SEND_NOTHING);
    }
}

static void a_lease_that_lapsed_is_not_taken_up_again(void **state)
{
    (void)state;
    rig r = a_rig();
    r.spec.lease_ms = 5 * OW_S_MS;
    for (uint32_t late = 0; late < 2; late++) {
        rig q = r;
        step_at(&q, 0);
        step_at(&q, 4999 + late);
        assert_int_equal(on(&q), !late);
        assert_int_equal(q.answer.command, late ? OW_HEATER_SEND_OFF : OW_HEATER_SEND_ON);
        assert_int_equal(blocked_by(&q, OW_BLOCK_HELD_UP), late);
    }
}

/* ---- shortest on and off, longest run, rest ---- */

static void shortest_on_holds_against_warmth_but_not_against_an_interlock(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        warm(&r);
        run_until(&r, 3 * OW_MIN_MS - 1 + extra);
        assert_int_equal(on(&r), extra == 0);
        assert_int_equal(r.sent_off, extra > 0);
    }
    rig r = a_running_rig();
    r.in.doors = OW_CONTACT_OPEN;
    step_at(&r, 1);
    assert_false(on(&r));
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
}

static void shortest_off_is_counted_from_off(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        r.in.doors = OW_CONTACT_OPEN;
        step_at(&r, 1000);
        r.in.doors = OW_CONTACT_SHUT;
        step_at(&r, 2000); /* off was sent a second ago: it rests from here */
        assert_int_equal(r.heater.state, OW_HEATER_RESTING);
        run_until(&r, 2000 + 2 * OW_MIN_MS - 1 + extra);
        assert_int_equal(on(&r), extra > 0);
        assert_int_equal(blocked_by(&r, OW_BLOCK_SHORTEST_OFF), extra == 0);
    }
}

static void the_longest_run_ends_in_a_rest(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        run_until(&r, 180 * OW_MIN_MS - 1 + extra);
        assert_int_equal(on(&r), extra == 0);
        assert_int_equal(blocked_by(&r, OW_BLOCK_LONGEST), extra > 0);
    }
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        run_until(&r, 180 * OW_MIN_MS);
        run_until(&r, 180 * OW_MIN_MS + 1000);
        assert_int_equal(r.heater.state, OW_HEATER_RESTING);
        run_until(&r, 185 * OW_MIN_MS + 999 + extra);
        assert_int_equal(on(&r), extra > 0);
        assert_int_equal(r.answer.blocked, extra ? 0 : OW_BLOCK(OW_BLOCK_REST));
    }
}

static void a_short_pause_does_not_begin_the_longest_run_anew(void **state)
{
    (void)state;
    rig r = a_running_rig();
    run_until(&r, 100 * OW_MIN_MS);
    warm(&r);
    run_until(&r, 103 * OW_MIN_MS); /* at 100:01 off; rests 2:59, below least_rest */
    cold(&r);
    run_until(&r, 103 * OW_MIN_MS + 1000);
    assert_true(on(&r));
    uint32_t ran_ms = r.heater.ran_ms;
    assert_in_range(ran_ms, 100 * OW_MIN_MS, 100 * OW_MIN_MS + 2000);
    run_until(&r, r.at_ms + 180 * OW_MIN_MS - ran_ms - 1);
    assert_true(on(&r));
    run_until(&r, r.at_ms + 1);
    assert_false(on(&r));
    assert_true(blocked_by(&r, OW_BLOCK_LONGEST));
}

/* ---- readings ---- */

static void a_reading_is_stale_past_its_time(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        r.in.air.age_ms = 30 * OW_MIN_MS - 1 + extra;
        step_at(&r, 1);
        assert_int_equal(on(&r), extra < 2);
        assert_int_equal(r.answer.blocked, extra < 2 ? 0 : OW_BLOCK(OW_BLOCK_NO_AIR));
    }
    rig r = a_running_rig();
    r.in.air.age_ms = OW_AGE_UNKNOWN;
    r.spec.air_stale_ms = OW_SETTING_MAX_MS;
    step_at(&r, 1);
    assert_false(on(&r));
}

static void air_outside_what_can_be_is_no_reading(void **state)
{
    (void)state;
    const struct {
        int32_t milli;
        bool usable;
    } cases[] = {{-60001, false}, {-60000, true}, {-59999, true}, {69999, true},
                 {70000, true},   {70001, false}, {INT32_MIN, false}, {INT32_MAX, false}};
    ow_heater_spec spec = a_heater_spec();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_sensed air = {.known = true, .milli = cases[i].milli};
        assert_int_equal(ow_heater_air_usable(&spec, air), cases[i].usable);
    }
}

static void too_warm_trips_at_once_and_cools_by_a_band(void **state)
{
    (void)state;
    const int32_t at[] = {19999, 20000, 20001};
    for (int i = 0; i < 3; i++) {
        rig r = a_running_rig();
        r.in.air.milli = at[i];
        step_at(&r, 1000);
        assert_int_equal(blocked_by(&r, OW_BLOCK_TOO_WARM), i > 0);
    }
    const int32_t down_to[] = {19001, 19000, 18999};
    for (int i = 0; i < 3; i++) {
        rig r = a_running_rig();
        r.in.air.milli = 25000;
        step_at(&r, 1000);
        r.in.air.known = false; /* what cannot be read has not cooled */
        step_at(&r, 2000);
        r.in.air.known = true;
        r.in.air.milli = down_to[i];
        run_until(&r, 3000 + 5 * OW_MIN_MS);
        assert_int_equal(blocked_by(&r, OW_BLOCK_TOO_WARM), i == 0);
    }
}

/* ---- start and events ---- */

/* A number that is no reading, whatever it says, neither cools nor warms. */
static void what_cannot_be_read_is_as_warm_as_before(void **state)
{
    (void)state;
    rig r = a_rig();
    r.in.air.milli = r.spec.too_warm_mc;
    step_at(&r, 1000);
    r.in.air = (ow_sensed){.known = false, .milli = 1000};
    run_until(&r, 20 * OW_MIN_MS);
    assert_true(blocked_by(&r, OW_BLOCK_TOO_WARM));
    rig cold = a_rig();
    cold.in.air = (ow_sensed){.known = false, .milli = r.spec.too_warm_mc};
    step_at(&cold, 1000);
    assert_false(blocked_by(&cold, OW_BLOCK_TOO_WARM));
}

static void after_the_start_it_takes_a_fresh_reading_and_a_minute(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.shortest_off_ms = 0;
        r.heater = ow_heater_started(&r.spec, r.began_ms);
        r.in.air.age_ms = 100 * OW_S_MS; /* read before the start */
        step_at(&r, 1000);
        assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
        run_until(&r, 99 * OW_S_MS);
        r.in.air.age_ms = 100 * OW_S_MS;
        step_at(&r, 100 * OW_S_MS);
        assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_STARTED));
        r.in.air.age_ms = 99999;
        step_at(&r, 100 * OW_S_MS + 1); /* read within the first two milliseconds: after it */
        run_until(&r, 160 * OW_S_MS + extra);
        assert_int_equal(on(&r), extra > 0);
    }
}

static void each_event_switches_off_until_it_has_read_anew(void **state)
{
    (void)state;
    const ow_interlock events[] = {OW_BLOCK_CLOCK, OW_BLOCK_RELOADED, OW_BLOCK_HELD_UP};
    for (int i = 0; i < 3; i++) {
        rig r = a_running_rig();
        r.spec.shortest_off_ms = 0;
        r.in.hosting.clock_jumped = events[i] == OW_BLOCK_CLOCK;
        r.in.hosting.reloaded = events[i] == OW_BLOCK_RELOADED;
        r.in.air.age_ms = 5000;
        step_at(&r, events[i] == OW_BLOCK_HELD_UP ? OW_STEP_LATE_MS + 1 : 1000);
        assert_int_equal(r.answer.blocked, OW_BLOCK(events[i]));
        assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
        r.in.hosting.clock_jumped = r.in.hosting.reloaded = false;
        uint32_t event_ms = r.at_ms;
        run_until(&r, event_ms + 5000); /* this reading is as old as the event */
        assert_true(blocked_by(&r, events[i]));
        step_at(&r, event_ms + 5001);
        run_until(&r, event_ms + 15000);
        assert_true(blocked_by(&r, events[i]));
        step_at(&r, event_ms + 15001);
        assert_true(on(&r));
    }
}

static void a_step_is_held_up_past_ten_seconds(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_running_rig();
        step_at(&r, OW_STEP_LATE_MS - 1 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_HELD_UP), extra == 2);
    }
    rig r = a_running_rig();
    r.began_ms -= 2000; /* the clock goes back */
    step_at(&r, 1000);
    assert_true(blocked_by(&r, OW_BLOCK_HELD_UP));
    assert_false(on(&r));
}

/* ---- off is sent and sent again ---- */

static void off_is_sent_again_every_ten_seconds_until_its_own_timer_ended_it(void **state)
{
    (void)state;
    rig r = a_running_rig();
    warm(&r);
    ow_heater_stop(&r.heater);
    step_at(&r, 1000);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
    step_at(&r, 10999);
    assert_int_equal(r.sent_off, 1);
    step_at(&r, 11000);
    assert_int_equal(r.sent_off, 2);
    run_until(&r, 599 * OW_S_MS); /* 600 s after the last on its own timer has ended it */
    assert_int_equal(r.sent_off, 60);
    run_until(&r, 700 * OW_S_MS);
    assert_int_equal(r.sent_off, 60);
}

static void off_is_sent_until_the_device_says_off(void **state)
{
    (void)state;
    rig r = a_rig();
    r.spec.reports = true;
    step_at(&r, 0);
    r.in.reported = OW_SAID_ON;
    warm(&r);
    run_until(&r, 180 * OW_S_MS);
    assert_int_equal(r.sent_off, 1);
    run_until(&r, 195 * OW_S_MS);
    assert_int_equal(r.sent_off, 2);
    assert_int_equal(r.heater.state, OW_HEATER_STOPPING);
    assert_true(ow_heater_member(&r.heater, &r.spec, r.in.air).draws);
    r.in.reported = OW_SAID_OFF;
    run_until(&r, 196 * OW_S_MS);
    assert_int_equal(r.heater.state, OW_HEATER_RESTING);
    assert_false(ow_heater_member(&r.heater, &r.spec, r.in.air).draws);
    run_until(&r, 400 * OW_S_MS);
    assert_int_equal(r.sent_off, 2);
    r.in.reported = OW_SAID_ON; /* somebody pressed its knob: off again, and it is stuck on */
    step_at(&r, 401 * OW_S_MS);
    assert_int_equal(r.sent_off, 3);
    assert_true(blocked_by(&r, OW_BLOCK_STUCK_ON));
}

static void nothing_is_sent_while_disconnected_and_off_at_once_after(void **state)
{
    (void)state;
    rig r = a_running_rig();
    r.in.hosting.connected = false;
    for (uint32_t s = 1; s <= 30; s++) {
        step_at(&r, s * OW_S_MS);
        assert_int_equal(r.answer.command, OW_HEATER_SEND_NOTHING);
        assert_int_equal(r.heater.state, OW_HEATER_STOPPING);
    }
    r.in.hosting.connected = true;
    step_at(&r, 31 * OW_S_MS);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
    /* An off that was sent just before the link went may be lost: it does not wait for its turn. */
    rig s = a_running_rig();
    s.spec.shortest_on_ms = 0;
    warm(&s);
    step_at(&s, 1 * OW_S_MS);
    assert_int_equal(s.answer.command, OW_HEATER_SEND_OFF);
    s.in.hosting.connected = false;
    step_at(&s, 2 * OW_S_MS);
    s.in.hosting.connected = true;
    step_at(&s, 3 * OW_S_MS);
    assert_int_equal(s.answer.command, OW_HEATER_SEND_OFF);
    step_at(&s, 4 * OW_S_MS);
    assert_int_equal(s.answer.command, OW_HEATER_SEND_NOTHING);
    /* Not connected at all: its own timer ends it 600 s after the last on. */
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig q = a_running_rig();
        q.in.hosting.connected = false;
        run_until(&q, 600 * OW_S_MS - 1 + extra);
        assert_int_equal(q.heater.state, extra ? OW_HEATER_RESTING : OW_HEATER_STOPPING);
    }
}

static void a_trip_soon_after_an_off_is_not_kept_waiting(void **state)
{
    (void)state;
    rig r = a_running_rig();
    r.spec.shortest_off_ms = 0;
    r.in.doors = OW_CONTACT_OPEN;
    step_at(&r, 1000);
    r.in.doors = OW_CONTACT_SHUT;
    run_until(&r, 12000); /* off was sent at 1 s and 11 s; now it is on again */
    assert_true(on(&r));
    assert_int_equal(r.sent_off, 2);
    r.in.doors = OW_CONTACT_OPEN;
    step_at(&r, 13000);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
}

static void what_is_off_for_sure_is_ours_no_more(void **state)
{
    (void)state;
    rig r = a_running_rig();
    r.spec.reports = true;
    warm(&r);
    ow_heater_stop(&r.heater);
    step_at(&r, 1000);
    assert_true(r.heater.commanded);
    step_at(&r, 2000); /* it says off */
    assert_false(r.heater.commanded);
    r.in.hosting.promises_off = false;
    r.in.reported = OW_SAID_ON; /* somebody else's doing */
    run_until(&r, 30000);
    assert_int_equal(r.sent_off, 1);
}

/* ---- believing the device ---- */

static void what_is_said_is_held_against_it_after_the_grace_time(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.reports = true;
        step_at(&r, 0);
        run_until(&r, OW_GRACE_MS - 1 + extra); /* it goes on saying off */
        assert_int_equal(blocked_by(&r, OW_BLOCK_STUCK_OFF), extra > 0);
        assert_int_equal(on(&r), extra == 0);
    }
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.reports = true;
        step_at(&r, 0);
        r.in.reported = OW_SAID_ON;
        r.in.doors = OW_CONTACT_OPEN;
        step_at(&r, 1000);
        run_until(&r, 1000 + OW_GRACE_MS - 1 + extra); /* it goes on saying on */
        assert_int_equal(blocked_by(&r, OW_BLOCK_STUCK_ON), extra > 0);
        assert_int_equal(ow_heater_release(&r.heater),
                         extra ? OW_BLOCK(OW_BLOCK_STUCK_ON) : 0);
    }
}

static void power_speaks_of_a_command_a_grace_time_after_it(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.measures_power = true;
        step_at(&r, 0);
        r.in.power.age_ms = 5000; /* nothing drawn, read five seconds ago */
        run_until(&r, OW_GRACE_MS + 5000 - 1 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_POWER_LOW), extra > 0);
    }
    const struct {
        int32_t mw;
        bool low, high;
    } cases[] = {{999999, true, false},   {1000000, false, false}, {2605000, false, false},
                 {2605001, false, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        rig r = a_rig();
        r.spec.measures_power = true;
        step_at(&r, 0);
        r.in.power.milli = cases[i].mw;
        run_until(&r, OW_GRACE_MS);
        assert_int_equal(blocked_by(&r, OW_BLOCK_POWER_LOW), cases[i].low);
        assert_int_equal(blocked_by(&r, OW_BLOCK_POWER_HIGH), cases[i].high);
    }
    for (int32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.measures_power = true;
        r.in.power.milli = 105000 - 1 + extra; /* a twentieth of 2000 W and 5 W */
        step_at(&r, 1000);
        assert_int_equal(blocked_by(&r, OW_BLOCK_POWER_WHILE_OFF), extra == 2);
    }
}

/* ---- by hand, and what was kept ---- */

static void a_stop_by_hand_lasts_until_it_is_released(void **state)
{
    (void)state;
    rig r = a_running_rig();
    ow_heater_stop(&r.heater);
    step_at(&r, 1000);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
    run_until(&r, 24 * 3600 * OW_S_MS / 10);
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_BY_HAND));
    assert_int_equal(ow_heater_release(&r.heater), 0);
    uint32_t released_ms = r.at_ms;
    run_until(&r, released_ms + 4999);
    assert_false(on(&r));
    step_at(&r, released_ms + 5000);
    assert_true(on(&r));
}

static void latches_runs_and_energy_survive_a_restart(void **state)
{
    (void)state;
    rig r = a_running_rig();
    run_until(&r, 60 * OW_MIN_MS);
    ow_heater_stop(&r.heater);
    ow_heater saved = r.heater;
    r.heater = ow_heater_resumed(&r.spec, &saved, 12345);
    r.began_ms = 12345;
    r.at_ms = 0;
    assert_int_equal(r.heater.ran_ms, 60 * OW_MIN_MS);
    assert_int_equal(ow_heater_used_mwh(&r.heater), 2000000);
    assert_true(r.heater.commanded);
    assert_int_equal(r.heater.state, OW_HEATER_STOPPING);
    step_at(&r, 1000);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
    run_until(&r, 10 * OW_MIN_MS);
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_BY_HAND));
}

static void what_cannot_be_read_keeps_it_off_until_released(void **state)
{
    (void)state;
    rig r = a_rig();
    for (int i = 0; i < 4; i++) {
        ow_heater saved = a_ready_heater(0);
        saved.version += i == 0;
        saved.state = i == 1 ? OW_HEATER_STATES : saved.state;
        saved.locks.latched = i == 2 ? OW_BLOCK(OW_INTERLOCKS) : 0;
        saved.locks.holding = i == 3 ? OW_BLOCK(OW_INTERLOCKS) : 0;
        ow_heater heater = ow_heater_resumed(&r.spec, &saved, 0);
        assert_int_equal(heater.locks.latched, OW_BLOCK(OW_BLOCK_FORGOT));
    }
    ow_heater sound = a_ready_heater(0);
    assert_int_equal(ow_heater_resumed(&r.spec, &sound, 0).locks.latched, 0);
}

static void a_state_outside_the_enum_is_taken_for_on(void **state)
{
    (void)state;
    rig r = a_rig();
    r.heater.state = OW_HEATER_STATES;
    r.spec.cautions_read = false; /* even so */
    step_at(&r, 1000);
    assert_int_equal(r.heater.state, OW_HEATER_STOPPING);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
}

/* Off could not be sent for long: what the device says counts from when it was. */
static void it_is_blamed_from_when_off_was_sent(void **state)
{
    (void)state;
    for (uint32_t extra = 0; extra < 3; extra++) {
        rig r = a_rig();
        r.spec.reports = true;
        step_at(&r, 0);
        r.in.reported = OW_SAID_ON;
        r.in.hosting.connected = false;
        run_until(&r, 60 * OW_S_MS);
        r.in.hosting.connected = true;
        step_at(&r, 61 * OW_S_MS);
        assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
        run_until(&r, 61 * OW_S_MS + OW_GRACE_MS - 1 + extra);
        assert_int_equal(blocked_by(&r, OW_BLOCK_STUCK_ON), extra > 0);
    }
}

/* The time after the start, when off is only owed, is no run. */
static void what_was_never_on_has_not_run(void **state)
{
    (void)state;
    rig r = a_rig();
    r.heater = ow_heater_started(&r.spec, r.began_ms);
    r.in.hosting.connected = false;
    run_until(&r, 20 * OW_S_MS);
    assert_int_equal(r.heater.state, OW_HEATER_STOPPING);
    assert_int_equal(r.heater.ran_ms, 0);
}

/* ---- only rehearsed ---- */

static void without_cautions_read_nothing_is_ever_sent(void **state)
{
    (void)state;
    rig r = a_rig();
    r.spec.cautions_read = false;
    r.spec.reports = true;
    r.heater = ow_heater_started(&r.spec, r.began_ms);
    for (uint32_t s = 1; s < 600; s++) {
        r.in.reported = s % 7 < 3 ? OW_SAID_ON : OW_SAID_OFF; /* somebody plays with the plug */
        step_at(&r, s * OW_S_MS);
        assert_int_equal(r.answer.command, OW_HEATER_SEND_NOTHING);
        assert_int_equal(ow_blocks_first(r.answer.blocked), OW_BLOCK_CAUTIONS);
    }
    assert_true(r.answer.would_switch);
    assert_false(ow_heater_member(&r.heater, &r.spec, r.in.air).draws);
    warm(&r);
    step_at(&r, 600 * OW_S_MS);
    assert_false(r.answer.would_switch);
}

static void what_was_sent_on_is_sent_off_even_so(void **state)
{
    (void)state;
    rig r = a_running_rig();
    r.in.hosting.promises_off = false;
    step_at(&r, 1000);
    assert_int_equal(r.answer.command, OW_HEATER_SEND_OFF);
    run_until(&r, 11000);
    assert_int_equal(r.sent_off, 2);
}

/* ---- settings ---- */

static void settings_that_do_not_fit_together_are_refused(void **state)
{
    (void)state;
    ow_heater_spec good = a_heater_spec();
    assert_true(ow_heater_spec_sound(&good));
    ow_heater_spec bad[20];
    size_t n = 0;
#define BAD(field, value)                                                                          \
    do {                                                                                           \
        bad[n] = good;                                                                             \
        bad[n++].field = (value);                                                                  \
    } while (0)
    BAD(slack_ms, OW_SETTING_MAX_MS + 1);
    BAD(watts, 0);
    BAD(watts, OW_HEATER_WATTS_MAX + 1);
    BAD(keep_mc, OW_MILLI_NONE);
    BAD(keep_mc, 70001);
    BAD(too_warm_mc, OW_MILLI_NONE);
    BAD(too_warm_mc, 4499);
    BAD(lease_ms, 999);
    BAD(lease_ms, OW_SETTING_MAX_MS + 1);
    BAD(longest_run_ms, 0);
    BAD(least_rest_ms, OW_SETTING_MAX_MS + 1);
    BAD(shortest_off_ms, OW_SETTING_MAX_MS + 1);
    BAD(shortest_on_ms, good.longest_run_ms + 1);
    BAD(air_stale_ms, 0);
    BAD(grace_ms, 0);
    BAD(power_stale_ms, 0);
#undef BAD
    for (size_t i = 0; i < n; i++) {
        assert_false(ow_heater_spec_sound(&bad[i]));
    }
    ow_heater_spec edge = good;
    edge.too_warm_mc = 4500;
    edge.watts = OW_HEATER_WATTS_MAX;
    edge.shortest_on_ms = edge.longest_run_ms;
    edge.least_rest_ms = edge.shortest_off_ms = 0;
    assert_true(ow_heater_spec_sound(&edge));
    edge.watts = 1;
    edge.keep_mc = OW_AIR_MIN_MC;
    edge.too_warm_mc = OW_AIR_MAX_MC;
    assert_true(ow_heater_spec_sound(&edge));
    edge.longest_run_ms = edge.air_stale_ms = edge.grace_ms = edge.power_stale_ms = 1;
    edge.shortest_on_ms = 1;
    assert_true(ow_heater_spec_sound(&edge));
    edge.power_stale_ms = 0;
    edge.measures_power = false;
    assert_true(ow_heater_spec_sound(&edge));
}

static void nothing_filled_in_blocks(void **state)
{
    (void)state;
    rig r = a_rig();
    r.in = (ow_heater_inputs){0};
    step_at(&r, 1000);
    assert_int_not_equal(r.answer.blocked, 0);
    r = a_rig();
    r.spec = (ow_heater_spec){0};
    step_at(&r, 1000);
    assert_true(r.answer.blocked & OW_NEVER_COMMANDED);
}

/* ---- energy and the circuit ---- */

static void energy_is_measured_or_reckoned(void **state)
{
    (void)state;
    rig r = a_running_rig();
    run_until(&r, 30 * OW_MIN_MS);
    assert_int_equal(ow_heater_used_mwh(&r.heater), 1000000);
    rig q = a_rig();
    q.spec.measures_power = true;
    step_at(&q, 0);
    q.in.power.milli = 1800000;
    run_until(&q, 30 * OW_MIN_MS);
    assert_int_equal(ow_heater_used_mwh(&q.heater), 900000);
    rig p = a_running_rig();
    step_at(&p, 3600 * OW_S_MS); /* what happened meanwhile is not known: ten seconds count */
    assert_int_equal(p.heater.used_uj, 2000ull * 1000 * 10000);
    rig slack = a_running_rig();
    slack.spec.slack_ms = 5000; /* a clock that runs fast has longer steps */
    step_at(&slack, 3600 * OW_S_MS);
    assert_int_equal(slack.heater.used_uj, 2000ull * 1000 * 15000);
    rig idle = a_rig();
    idle.spec.measures_power = true;
    step_at(&idle, 0);
    idle.in.power.milli = 0; /* nothing is a reading too */
    run_until(&idle, 20 * OW_S_MS);
    assert_true(on(&idle));
    assert_int_equal(ow_heater_used_mwh(&idle.heater), 0);
}

static void it_asks_its_circuit_by_need(void **state)
{
    (void)state;
    rig r = a_rig();
    r.in.granted = false;
    step_at(&r, 1000);
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_CIRCUIT));
    ow_circuit_member member = ow_heater_member(&r.heater, &r.spec, r.in.air);
    assert_true(member.asks);
    assert_false(member.draws);
    assert_int_equal(member.watts, 2000);
    assert_int_equal(member.need_mk, 2500);
    r.in.granted = true;
    step_at(&r, 2000);
    assert_true(on(&r));
    member = ow_heater_member(&r.heater, &r.spec, r.in.air);
    assert_true(member.draws);
    assert_false(member.asks);
    ow_sensed within_the_band = {.known = true, .milli = 3250};
    assert_int_equal(ow_heater_member(&r.heater, &r.spec, within_the_band).need_mk, 250);
    r.in.granted = false;
    step_at(&r, 3000);
    assert_false(on(&r));
    warm(&r);
    step_at(&r, 4000);
    member = ow_heater_member(&r.heater, &r.spec, r.in.air);
    assert_false(member.asks);
    assert_int_equal(member.need_mk, 0);
}

/* What its circuit is told of one that is stuck, blocked, never commanded or of nonsense. */
static void it_tells_its_circuit_what_it_may_draw(void **state)
{
    (void)state;
    rig r = a_rig();
    ow_circuit_member member;
    r.heater.wanted = true;
    static const ow_interlock stuck[] = {OW_BLOCK_STUCK_ON, OW_BLOCK_POWER_WHILE_OFF};
    for (int i = 0; i < 2; i++) {
        r.heater.locks.holding = OW_BLOCK(stuck[i]);
        member = ow_heater_member(&r.heater, &r.spec, r.in.air);
        assert_true(member.draws && !member.asks);
        assert_int_equal(member.need_mk, 2500);
    }
    r.heater.locks.holding = OW_BLOCK(OW_BLOCK_DOOR_OPEN);
    member = ow_heater_member(&r.heater, &r.spec, r.in.air);
    assert_false(member.draws || member.asks);
    r.heater.locks.holding = OW_BLOCK(OW_BLOCK_CAUTIONS) | OW_BLOCK(OW_BLOCK_CIRCUIT);
    member = ow_heater_member(&r.heater, &r.spec, r.in.air);
    assert_true(member.asks && !member.draws);
    assert_int_equal(member.need_mk, 0); /* only rehearsed: last in line */
    r.heater.locks.holding = 0;
    r.spec.lease_ms = 0;
    assert_int_equal(ow_heater_member(&r.heater, &r.spec, r.in.air).need_mk, 0);
}

/* A reading far from what can be, and heat that warms nothing, each switch off; to the millisecond. */
static void what_the_model_does_not_believe_switches_off(void **state)
{
    (void)state;
    rig r = a_rig();
    step_at(&r, 0);
    r.in.warms = OW_ACCORD_PARTS;
    run_until(&r, OW_WARM_WITHIN_MS - 1);
    assert_true(on(&r));
    step_at(&r, OW_WARM_WITHIN_MS);
    assert_int_equal(r.answer.blocked, OW_BLOCK(OW_BLOCK_NO_WARMTH));
    run_until(&r, OW_WARM_WITHIN_MS + 30 * OW_MIN_MS);
    assert_true(r.answer.blocked & OW_BLOCK(OW_BLOCK_NO_WARMTH));
    run_until(&r, OW_WARM_WITHIN_MS + 31 * OW_MIN_MS); /* then it is tried again */
    assert_true(on(&r));
    r.in.warms = OW_ACCORD_UNKNOWN;
    r.in.air_fits = OW_ACCORD_AGREES;
    step_at(&r, r.at_ms + OW_S_MS);
    assert_true(on(&r));
    r.in.air_fits = OW_ACCORD_PARTS;
    step_at(&r, r.at_ms + OW_S_MS);
    assert_int_equal(r.answer.blocked & ~OW_BLOCK(OW_BLOCK_SHORTEST_OFF), OW_BLOCK(OW_BLOCK_ASTRAY));
    assert_true(ow_parts((ow_accord)3));
}

static void states_have_words(void **state)
{
    (void)state;
    assert_string_equal(ow_heater_state_word(OW_HEATER_OFF), "off");
    assert_string_equal(ow_heater_state_word(OW_HEATER_STOPPING), "stopping");
    assert_string_equal(ow_heater_state_word(OW_HEATER_STATES), "?");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_warms_from_below_what_is_kept_to_a_band_above),
        cmocka_unit_test(a_lease_is_renewed_at_a_third),
        cmocka_unit_test(a_lease_that_lapsed_is_not_taken_up_again),
        cmocka_unit_test(shortest_on_holds_against_warmth_but_not_against_an_interlock),
        cmocka_unit_test(shortest_off_is_counted_from_off),
        cmocka_unit_test(the_longest_run_ends_in_a_rest),
        cmocka_unit_test(a_short_pause_does_not_begin_the_longest_run_anew),
        cmocka_unit_test(a_reading_is_stale_past_its_time),
        cmocka_unit_test(air_outside_what_can_be_is_no_reading),
        cmocka_unit_test(too_warm_trips_at_once_and_cools_by_a_band),
        cmocka_unit_test(what_cannot_be_read_is_as_warm_as_before),
        cmocka_unit_test(after_the_start_it_takes_a_fresh_reading_and_a_minute),
        cmocka_unit_test(each_event_switches_off_until_it_has_read_anew),
        cmocka_unit_test(a_step_is_held_up_past_ten_seconds),
        cmocka_unit_test(off_is_sent_again_every_ten_seconds_until_its_own_timer_ended_it),
        cmocka_unit_test(off_is_sent_until_the_device_says_off),
        cmocka_unit_test(nothing_is_sent_while_disconnected_and_off_at_once_after),
        cmocka_unit_test(a_trip_soon_after_an_off_is_not_kept_waiting),
        cmocka_unit_test(what_is_off_for_sure_is_ours_no_more),
        cmocka_unit_test(what_is_said_is_held_against_it_after_the_grace_time),
        cmocka_unit_test(power_speaks_of_a_command_a_grace_time_after_it),
        cmocka_unit_test(a_stop_by_hand_lasts_until_it_is_released),
        cmocka_unit_test(latches_runs_and_energy_survive_a_restart),
        cmocka_unit_test(what_cannot_be_read_keeps_it_off_until_released),
        cmocka_unit_test(a_state_outside_the_enum_is_taken_for_on),
        cmocka_unit_test(it_is_blamed_from_when_off_was_sent),
        cmocka_unit_test(what_was_never_on_has_not_run),
        cmocka_unit_test(without_cautions_read_nothing_is_ever_sent),
        cmocka_unit_test(what_was_sent_on_is_sent_off_even_so),
        cmocka_unit_test(settings_that_do_not_fit_together_are_refused),
        cmocka_unit_test(nothing_filled_in_blocks),
        cmocka_unit_test(energy_is_measured_or_reckoned),
        cmocka_unit_test(it_asks_its_circuit_by_need),
        cmocka_unit_test(it_tells_its_circuit_what_it_may_draw),
        cmocka_unit_test(what_the_model_does_not_believe_switches_off),
        cmocka_unit_test(states_have_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
