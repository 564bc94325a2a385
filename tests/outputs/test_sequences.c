/* SPDX-License-Identifier: MIT */
/*
 * Long sequences of chance, the same on every run: a plug that reports late and a cloth with
 * contacts stand in a garden where everything goes wrong now and then. What must hold for any
 * sequence is kept account of apart from the code under test.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "outputs/bench.h"
#include "outputs/drive_causes.h"

#define STEPS 200000

typedef struct {
    uint64_t seed;
} dice;

/* xorshift64; one in `n` throws is true. */
static bool one_in(dice *d, uint64_t n)
{
    d->seed ^= d->seed << 13;
    d->seed ^= d->seed >> 7;
    d->seed ^= d->seed << 17;
    return (d->seed >> 11) % n == 0;
}

static uint32_t throw_below(dice *d, uint32_t n)
{
    return (void)one_in(d, 1), (uint32_t)((d->seed >> 11) % n);
}

/* Once a second or so, now and then much later. */
static uint32_t next_span_ms(dice *d)
{
    return one_in(d, 20000) ? 12000 + throw_below(d, 400000) : 900 + throw_below(d, 200);
}

/* True in spells: begins once in `rare` steps and ends once in `lasts`. */
static void spell(dice *d, bool *holds, uint32_t rare, uint32_t lasts)
{
    *holds = one_in(d, *holds ? lasts : rare) ? !*holds : *holds;
}

static uint64_t mixed(uint64_t sum, uint64_t value)
{
    return (sum ^ value) * 1099511628211u;
}

/* ---- heater ---- */

typedef struct {
    dice d;
    uint64_t now_ms; /* never wraps: the account's own clock */
    bool door_open, offline, no_air, stuck, full, frost;
    int32_t air_mc;
    bool plug_on;
    uint64_t plug_until_ms;
    ow_said said;
    uint64_t said_at_ms;
} garden;

/* The account of what was sent, kept apart from the heater. */
typedef struct {
    bool on, broke; /* broke: the connection was down since off was last sent */
    uint64_t on_ms, off_ms, ran_ms, renewed_ms, last_off_ms;
    unsigned runs, longest_runs;
} account;

static ow_heater_inputs next_moment(garden *g)
{
    spell(&g->d, &g->door_open, 5000, 60);
    spell(&g->d, &g->offline, 8000, 100);
    spell(&g->d, &g->no_air, 9000, 100);
    spell(&g->d, &g->stuck, 60000, 200);
    spell(&g->d, &g->full, 5000, 100);
    spell(&g->d, &g->frost, 3000, 3000);
    int32_t pull = !g->plug_on ? -3 : g->frost ? 0 : 6; /* in frost it only just holds */
    g->air_mc += pull + (int32_t)throw_below(&g->d, 5) - 2;
    g->air_mc = g->air_mc < -2000 ? -2000 : g->air_mc;
    if (g->now_ms >= g->plug_until_ms && !g->stuck) {
        g->plug_on = false;
    }
    if (g->now_ms >= g->said_at_ms + 3000) { /* it reports every three seconds */
        g->said = g->plug_on ? OW_SAID_ON : OW_SAID_OFF;
        g->said_at_ms = g->now_ms;
    }
    return (ow_heater_inputs){
        .hosting = {.promises_off = true,
                    .connected = !g->offline,
                    .clock_jumped = one_in(&g->d, 30000),
                    .reloaded = one_in(&g->d, 30000)},
        .air = {.known = !g->no_air, .milli = g->air_mc, .contradicted = one_in(&g->d, 20000)},
        .doors = g->door_open ? OW_CONTACT_OPEN : OW_CONTACT_SHUT,
        .reported = g->said,
        .granted = !g->full};
}

static void plug_hears(garden *g, const ow_heater_answer *answer)
{
    if (answer->command == OW_HEATER_SEND_ON) {
        g->plug_on = true;
        g->plug_until_ms = g->now_ms + answer->lease_s * 1000u;
    } else if (answer->command == OW_HEATER_SEND_OFF && !g->stuck) {
        g->plug_on = false;
    }
}

static void account_for_on(account *a, const ow_heater_spec *spec, const ow_heater_answer *answer,
                           uint64_t now_ms)
{
    assert_int_equal(answer->blocked, 0);
    if (!a->on) {
        assert_true(a->runs == 0 || now_ms - a->off_ms >= spec->shortest_off_ms);
        a->ran_ms = now_ms - a->off_ms >= spec->least_rest_ms ? 0 : a->ran_ms;
        a->on = true;
        a->on_ms = now_ms;
        a->runs++;
    } else {
        assert_true(now_ms - a->renewed_ms >= spec->lease_ms / 3);
        assert_true(now_ms - a->renewed_ms < spec->lease_ms);
    }
    a->renewed_ms = now_ms;
}

/* `span_ms`: since the step before; a limit that is reached between two steps shows at the second. */
static void account_for_end(account *a, const ow_heater_spec *spec, const ow_heater_answer *answer,
                            uint64_t now_ms, uint32_t span_ms)
{
    assert_true(answer->blocked != 0 || now_ms - a->on_ms >= spec->shortest_on_ms);
    a->on = false;
    a->off_ms = now_ms;
    a->ran_ms += now_ms - a->on_ms;
    assert_true(a->ran_ms < (uint64_t)spec->longest_run_ms + span_ms);
    a->longest_runs += (answer->blocked & OW_BLOCK(OW_BLOCK_LONGEST)) != 0;
}

static uint64_t play_heater(uint32_t clock_ms, account *a, ow_blocks *seen)
{
    ow_heater_spec spec = a_heater_spec();
    spec.measures_power = false;
    spec.longest_run_ms = 20 * OW_MIN_MS;
    garden g = {.d = {88172645463325252u}, .now_ms = OW_H_MS, .air_mc = 3000};
    ow_heater heater = ow_heater_started(&spec, clock_ms + (uint32_t)g.now_ms);
    uint64_t sum = 14695981039346656037u;
    for (int i = 0; i < STEPS; i++) {
        uint32_t span_ms = next_span_ms(&g.d);
        g.now_ms += span_ms;
        ow_heater_inputs in = next_moment(&g);
        if (one_in(&g.d, 20000)) {
            ow_heater_stop(&heater);
        } else if (one_in(&g.d, 500)) {
            (void)ow_heater_release(&heater);
        }
        ow_heater_answer answer =
            ow_heater_step(&heater, &spec, &in, clock_ms + (uint32_t)g.now_ms);
        assert_true(in.hosting.connected || answer.command == OW_HEATER_SEND_NOTHING);
        plug_hears(&g, &answer);
        if (answer.command == OW_HEATER_SEND_ON) {
            account_for_on(a, &spec, &answer, g.now_ms);
        } else if (a->on && heater.state != OW_HEATER_ON) {
            account_for_end(a, &spec, &answer, g.now_ms, span_ms);
            assert_true(answer.command == OW_HEATER_SEND_OFF || !in.hosting.connected);
        } else if (answer.command == OW_HEATER_SEND_OFF && !a->on) {
            assert_true(a->broke || g.now_ms - a->last_off_ms >= OW_OFF_AGAIN_MS);
        }
        assert_int_equal(a->on, heater.state == OW_HEATER_ON);
        a->broke = (a->broke && answer.command != OW_HEATER_SEND_OFF) || !in.hosting.connected;
        a->last_off_ms = answer.command == OW_HEATER_SEND_OFF ? g.now_ms : a->last_off_ms;
        *seen |= answer.blocked;
        sum = mixed(sum, answer.blocked ^ ((uint64_t)answer.command << 60));
    }
    return sum;
}

static void a_heater_keeps_its_runs_and_rests_whatever_comes(void **state)
{
    (void)state;
    account a = {0};
    ow_blocks seen = 0;
    uint64_t sum = play_heater(0, &a, &seen);
    assert_true(a.runs > 100);
    assert_true(a.longest_runs > 10);
    const ow_blocks all = OW_BLOCK(OW_BLOCK_STUCK_ON) | OW_BLOCK(OW_BLOCK_BY_HAND) |
                          OW_BLOCK(OW_BLOCK_CIRCUIT) | OW_BLOCK(OW_BLOCK_DOOR_OPEN) |
                          OW_BLOCK(OW_BLOCK_CONTRADICTED) | OW_BLOCK(OW_BLOCK_NO_AIR) |
                          OW_BLOCK(OW_BLOCK_OFFLINE) | OW_BLOCK(OW_BLOCK_CLOCK) |
                          OW_BLOCK(OW_BLOCK_HELD_UP) | OW_BLOCK(OW_BLOCK_RELOADED) |
                          OW_BLOCK(OW_BLOCK_STARTED) | OW_BLOCK(OW_BLOCK_LONGEST) |
                          OW_BLOCK(OW_BLOCK_REST) | OW_BLOCK(OW_BLOCK_SHORTEST_OFF);
    assert_int_equal(seen & all, all);
    /* Where the clock stands, and where it wraps, makes no difference. */
    const uint32_t clocks[] = {1, UINT32_MAX - 5000000, 0x80000000u - 7000000};
    for (int i = 0; i < 3; i++) {
        account b = {0};
        assert_int_equal(play_heater(clocks[i], &b, &seen), sum);
    }
}

/* ---- drive ---- */

typedef struct {
    dice d;
    uint64_t now_ms;
    bool offline, windy, jammed;
    int way; /* +1: the motor closes, -1: it opens */
    int64_t position_ms;
    uint64_t motor_until_ms, stood_ms;
    ow_drive_wish wish;
    ow_cloth cloth;
} terrace;

static void motor_runs(terrace *t, uint32_t span_ms, uint32_t travel_ms)
{
    if (t->way != 0 && !t->jammed) {
        t->position_ms += t->way * (int64_t)span_ms;
        t->position_ms = t->position_ms < 0 ? 0 : t->position_ms;
        t->position_ms = t->position_ms > (int64_t)travel_ms ? (int64_t)travel_ms : t->position_ms;
    }
    if (t->way != 0 && t->now_ms >= t->motor_until_ms) {
        t->way = 0;
        t->stood_ms = t->motor_until_ms;
    }
}

static ow_drive_inputs next_look(terrace *t, uint32_t travel_ms)
{
    spell(&t->d, &t->offline, 4000, 30);
    spell(&t->d, &t->windy, 4000, 30);
    spell(&t->d, &t->jammed, 4000, 400);
    t->cloth = one_in(&t->d, 5000) ? (ow_cloth)throw_below(&t->d, 4) : t->cloth;
    t->cloth = one_in(&t->d, 50) ? OW_CLOTH_DRY : t->cloth;
    t->wish = one_in(&t->d, 200) ? (ow_drive_wish)throw_below(&t->d, 3) : t->wish;
    bool closed = t->position_ms >= (int64_t)travel_ms, open = t->position_ms == 0;
    return (ow_drive_inputs){
        .hosting = {.promises_off = true,
                    .connected = !t->offline,
                    .clock_jumped = one_in(&t->d, 30000),
                    .reloaded = one_in(&t->d, 30000)},
        .wind = {.known = !one_in(&t->d, 20000), .milli = t->windy ? 12000 : 2000},
        .closed_end = closed ? OW_CONTACT_SHUT : OW_CONTACT_OPEN,
        .open_end = open ? OW_CONTACT_SHUT : OW_CONTACT_OPEN,
        .cloth = t->cloth,
        .wish = t->wish};
}

/* The motor's relays: the other way only after it has stood for the dead time. */
static void motor_hears(terrace *t, const ow_drive_answer *answer, uint32_t dead_ms)
{
    int way = answer->command == OW_DRIVE_SEND_CLOSE ? 1 : -1;
    switch (answer->command) {
    case OW_DRIVE_SEND_NOTHING:
        return;
    case OW_DRIVE_SEND_STOP:
        t->stood_ms = t->way != 0 ? t->now_ms : t->stood_ms;
        t->way = 0;
        return;
    case OW_DRIVE_SEND_CLOSE:
    case OW_DRIVE_SEND_OPEN:
        assert_int_equal(answer->blocked, 0);
        assert_true(t->way == way || (t->way == 0 && t->now_ms - t->stood_ms >= dead_ms));
        t->way = way;
        t->motor_until_ms = t->now_ms + answer->lease_s * 1000u;
        return;
    }
}

/* The account: when the last starts were, and how long the move under way has lasted. */
typedef struct {
    uint64_t began_ms[64];
    unsigned starts;
    ow_drive_state way;
} moves;

static void account_for_moves(moves *m, const ow_drive *drive, const ow_drive_spec *spec,
                              uint64_t now_ms)
{
    bool moving = ow_drive_moving(drive);
    if (moving && m->way != drive->state) {
        assert_int_equal(m->way, OW_DRIVE_STOPPED);
        unsigned n = spec->starts_per_h;
        assert_true(m->starts < n || now_ms - m->began_ms[(m->starts - n) % 64] >= OW_H_MS);
        m->began_ms[m->starts++ % 64] = now_ms;
    }
    if (moving) {
        assert_true(now_ms - m->began_ms[(m->starts - 1) % 64] <
                    spec->travel_ms + OW_TRAVEL_MARGIN_MS(spec->travel_ms));
    }
    m->way = moving ? drive->state : OW_DRIVE_STOPPED;
}

static uint64_t play_drive(uint32_t clock_ms, bool contacts, moves *m, ow_blocks *seen)
{
    ow_drive_spec spec = a_drive_spec();
    spec.has_closed_end = spec.has_open_end = contacts;
    terrace t = {.d = {362436069362436069u}, .now_ms = OW_H_MS, .cloth = OW_CLOTH_DRY};
    ow_drive drive = ow_drive_started(&spec, clock_ms + (uint32_t)t.now_ms);
    uint64_t sum = 14695981039346656037u;
    for (int i = 0; i < STEPS; i++) {
        uint32_t span_ms = next_span_ms(&t.d);
        t.now_ms += span_ms;
        motor_runs(&t, span_ms, spec.travel_ms);
        ow_drive_inputs in = next_look(&t, spec.travel_ms);
        if (one_in(&t.d, 20000)) {
            ow_drive_stop(&drive);
        } else if (one_in(&t.d, 500)) {
            (void)ow_drive_release(&drive);
        }
        ow_drive_answer answer = ow_drive_step(&drive, &spec, &in, clock_ms + (uint32_t)t.now_ms);
        assert_true(in.hosting.connected || answer.command == OW_DRIVE_SEND_NOTHING);
        motor_hears(&t, &answer, spec.dead_ms);
        account_for_moves(m, &drive, &spec, t.now_ms);
        *seen |= answer.blocked;
        sum = mixed(sum, answer.blocked ^ ((uint64_t)answer.command << 60));
    }
    return sum;
}

static void a_drive_keeps_its_ways_and_starts_whatever_comes(void **state)
{
    (void)state;
    for (int contacts = 0; contacts < 2; contacts++) {
        moves m = {.way = OW_DRIVE_STOPPED};
        ow_blocks seen = 0;
        uint64_t sum = play_drive(0, contacts != 0, &m, &seen);
        assert_true(m.starts > 100);
        ow_blocks all = OW_BLOCK(OW_BLOCK_BY_HAND) | OW_BLOCK(OW_BLOCK_WIND) |
                        OW_BLOCK(OW_BLOCK_OFFLINE) | OW_BLOCK(OW_BLOCK_HELD_UP) |
                        OW_BLOCK(OW_BLOCK_STARTS) | OW_BLOCK(OW_BLOCK_OTHER_WAY) |
                        OW_BLOCK(OW_BLOCK_DEAD_TIME) | OW_BLOCK(OW_BLOCK_FROZEN);
        all |= contacts ? OW_BLOCK(OW_BLOCK_TRAVEL) : 0;
        assert_int_equal(seen & all, all);
        const uint32_t clocks[] = {1, UINT32_MAX - 5000000, 0x80000000u - 7000000};
        for (int i = 0; i < 3; i++) {
            moves again = {.way = OW_DRIVE_STOPPED};
            assert_int_equal(play_drive(clocks[i], contacts != 0, &again, &seen), sum);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_heater_keeps_its_runs_and_rests_whatever_comes),
        cmocka_unit_test(a_drive_keeps_its_ways_and_starts_whatever_comes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
