/* SPDX-License-Identifier: MIT */
/*
 * Bounded model checking by enumeration: from the start of the program, every sequence of moments
 * of a small alphabet, breadth first, each state taken once, to the depth stated. A plug and a motor
 * of their own answer the commands, and an account apart from the code under test is part of the
 * state. What must hold is checked at every step; and from every state that was reached, a person
 * who releases and a world that permits bring the heater on and the cloth shut within a stated
 * time: a controller that is always off is not safe, it is useless.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "outputs/bench.h"
#include "outputs/drive_causes.h"

#ifdef OW_NO_CLONES /* under the sanitizers, which are slow */
enum { HEATER_DEPTH = 6, DRIVE_DEPTH = 6 };
#else
enum { HEATER_DEPTH = 8, DRIVE_DEPTH = 9 };
#endif

/* ---- states that were met -------------------------------------------------------------------- */

typedef struct {
    uint64_t *mark; /* fingerprints; 0: empty */
    size_t room, count;
} met;

static uint64_t mixed(uint64_t sum, uint64_t value)
{
    sum = (sum ^ value) * 0x9E3779B97F4A7C15u;
    return sum ^ (sum >> 29);
}

static void put(met *m, uint64_t mark)
{
    size_t at = (size_t)mark & (m->room - 1);
    while (m->mark[at] != 0) {
        at = (at + 1) & (m->room - 1);
    }
    m->mark[at] = mark;
}

static void grow(met *m)
{
    met bigger = {.room = m->room == 0 ? 1024 : 2 * m->room, .count = m->count};
    bigger.mark = calloc(bigger.room, sizeof *bigger.mark);
    assert_non_null(bigger.mark);
    for (size_t i = 0; i < m->room; i++) {
        if (m->mark[i] != 0) {
            put(&bigger, m->mark[i]);
        }
    }
    free(m->mark);
    *m = bigger;
}

/* True when it is new. */
static bool meets(met *m, uint64_t mark)
{
    mark = mark != 0 ? mark : 1;
    if (2 * (m->count + 1) > m->room) {
        grow(m);
    }
    for (size_t at = (size_t)mark & (m->room - 1); m->mark[at] != 0; at = (at + 1) & (m->room - 1)) {
        if (m->mark[at] == mark) {
            return false;
        }
    }
    put(m, mark);
    m->count++;
    return true;
}

/* Those of one depth, growing as needed. */
typedef struct {
    unsigned char *item;
    size_t count, room;
} front;

static void add(front *f, const void *item, size_t size)
{
    if (f->count == f->room) {
        f->room = 2 * f->room + 256;
        f->item = realloc(f->item, f->room * size);
        assert_non_null(f->item);
    }
    memcpy(f->item + f->count++ * size, item, size);
}

static uint32_t at_most(uint32_t span_ms)
{
    return span_ms < OW_H_MS ? span_ms : OW_H_MS; /* beyond an hour nothing here makes a difference */
}

static uint64_t locks_mark(uint64_t sum, const ow_interlocks *locks)
{
    sum = mixed(sum, locks->causes);
    sum = mixed(sum, locks->latched);
    sum = mixed(sum, locks->holding);
    sum = mixed(sum, locks->awaiting);
    sum = mixed(sum, locks->since_event_ms);
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        sum = mixed(sum, locks->recover_ms[i]);
    }
    return sum;
}

/* ---- the heater ------------------------------------------------------------------------------ */

enum { HEATER_STEP_MS = 20000, HEATER_LATE_MS = 140000, HEATER_ON_WITHIN = 45 };

typedef enum {
    CLEAR,
    WARM,
    DOOR,
    OFFLINE,
    NO_GRANT,
    NO_AIR,
    SAYS_WRONG,
    CLOCK_JUMPS,
    HELD_UP,
    BY_HAND,
    RELEASED,
    HEATER_MOMENTS
} heater_moment;

/* The heater, its plug (on until its timer ends it) and the account. */
typedef struct {
    ow_heater heater;
    uint32_t plug_left_ms;
    bool on;
    uint32_t ran_ms, off_ms; /* since the last rest; since it was last on */
} heater_state;

static ow_heater_spec small_heater(void)
{
    ow_heater_spec spec = a_heater_spec();
    spec.measures_power = false;
    spec.lease_ms = 60 * OW_S_MS;
    spec.off_by_itself_ms = 120 * OW_S_MS;
    spec.longest_run_ms = 180 * OW_S_MS;
    spec.least_rest_ms = 120 * OW_S_MS;
    spec.shortest_on_ms = 60 * OW_S_MS;
    spec.shortest_off_ms = 40 * OW_S_MS;
    spec.grace_ms = 20 * OW_S_MS;
    spec.slack_ms = 110 * OW_S_MS; /* so that twenty seconds are no late step, and 140 are */
    return spec;
}

static ow_heater_inputs heater_moment_of(heater_moment moment, bool plug_on)
{
    ow_heater_inputs in = a_cold_night();
    in.air.milli = moment == WARM ? 5000 : 1000;
    in.air.known = moment != NO_AIR;
    in.doors = moment == DOOR ? OW_CONTACT_OPEN : OW_CONTACT_SHUT;
    in.hosting.connected = moment != OFFLINE;
    in.hosting.clock_jumped = moment == CLOCK_JUMPS;
    in.granted = moment != NO_GRANT;
    in.reported = plug_on != (moment == SAYS_WRONG) ? OW_SAID_ON : OW_SAID_OFF;
    return in;
}

static void check_heater(heater_state *s, const ow_heater_spec *spec, heater_moment moment,
                         const ow_heater_answer *answer, uint32_t span_ms)
{
    bool was_on = s->on, on = s->heater.state == OW_HEATER_ON;
    assert_true(!on || (answer->blocked == 0 && (moment == CLEAR || moment == WARM ||
                                                  moment == SAYS_WRONG || moment == RELEASED)));
    assert_true(moment != OFFLINE || answer->command == OW_HEATER_SEND_NOTHING);
    assert_true(answer->command != OW_HEATER_SEND_ON || on);
    assert_true(!was_on || on || moment == OFFLINE || answer->command == OW_HEATER_SEND_OFF);
    s->ran_ms = was_on ? s->ran_ms + span_ms : s->ran_ms;
    s->off_ms = was_on ? 0 : at_most(s->off_ms + span_ms);
    assert_true(!on || !was_on || s->ran_ms < spec->longest_run_ms);
    if (on && !was_on) {
        assert_true(s->off_ms >= spec->shortest_off_ms);
        s->ran_ms = s->off_ms >= spec->least_rest_ms ? 0 : s->ran_ms;
        assert_true(s->ran_ms < spec->longest_run_ms);
    }
    s->on = on;
}

/* A plug that may be on is either meant to be, or is owed an off, or ends by its own timer. */
static void plug_hears(heater_state *s, const ow_heater_answer *answer)
{
    if (answer->command == OW_HEATER_SEND_ON) {
        s->plug_left_ms = answer->lease_s * OW_S_MS;
    } else if (answer->command == OW_HEATER_SEND_OFF) {
        s->plug_left_ms = 0;
    }
    assert_true(s->plug_left_ms == 0 || s->on || s->heater.off_owed);
    assert_true(s->plug_left_ms <= s->heater.own_left_ms);
}

static void step_heater(heater_state *s, const ow_heater_spec *spec, heater_moment moment)
{
    uint32_t span_ms = moment == HELD_UP ? HEATER_LATE_MS : HEATER_STEP_MS;
    s->plug_left_ms = s->plug_left_ms > span_ms ? s->plug_left_ms - span_ms : 0;
    if (moment == BY_HAND) {
        ow_heater_stop(&s->heater);
    } else if (moment == RELEASED) {
        (void)ow_heater_release(&s->heater);
    }
    ow_heater_inputs in = heater_moment_of(moment, s->plug_left_ms > 0);
    ow_heater_answer answer = ow_heater_step(&s->heater, spec, &in, span_ms);
    check_heater(s, spec, moment, &answer, span_ms);
    plug_hears(s, &answer);
    ow_heater *h = &s->heater;
    h->last_ms = 0; /* only spans count */
    h->used_uj = 0;
    h->in_state_ms = at_most(h->in_state_ms);
    h->rested_ms = at_most(h->rested_ms);
    h->since_off_ms = at_most(h->since_off_ms);
    h->locks.since_event_ms = at_most(h->locks.since_event_ms);
}

static uint64_t heater_mark(const heater_state *s)
{
    const ow_heater *h = &s->heater;
    const uint32_t words[] = {h->state,        h->in_state_ms,   h->ran_ms,        h->rested_ms,
                              h->since_off_ms, h->off_again_ms,  h->own_left_ms,   h->wanted,
                              h->off_sent,     h->off_owed,      h->commanded,     s->plug_left_ms,
                              h->lease.left_ms, h->lease.length_ms, s->on, s->ran_ms, s->off_ms};
    uint64_t sum = 14695981039346656037u;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        sum = mixed(sum, words[i]);
    }
    return locks_mark(sum, &h->locks);
}

/* Somebody releases it as soon as that is taken, the world permits: it comes on. */
static void heater_comes_on(heater_state s, const ow_heater_spec *spec)
{
    for (int i = 0; i < HEATER_ON_WITHIN && !s.on; i++) {
        step_heater(&s, spec, RELEASED);
    }
    assert_true(s.on);
}

static void a_heater_holds_for_every_sequence(void **state)
{
    (void)state;
    ow_heater_spec spec = small_heater();
    heater_state start = {.heater = ow_heater_started(&spec, 0), .off_ms = OW_H_MS};
    met all = {0};
    front now = {0}, next = {0};
    unsigned long steps = 0;
    add(&now, &start, sizeof start);
    for (int depth = 0; depth < HEATER_DEPTH; depth++) {
        next.count = 0;
        for (size_t i = 0; i < now.count; i++) {
            for (int moment = 0; moment < HEATER_MOMENTS; moment++, steps++) {
                heater_state s;
                memcpy(&s, now.item + i * sizeof s, sizeof s);
                step_heater(&s, &spec, (heater_moment)moment);
                if (meets(&all, heater_mark(&s))) {
                    heater_comes_on(s, &spec);
                    add(&next, &s, sizeof s);
                }
            }
        }
        front other = now;
        now = next;
        next = other;
    }
    print_message("# heater: depth %d, %zu states, %lu steps\n", HEATER_DEPTH, all.count, steps);
    assert_true(all.count > 1000);
    free(all.mark);
    free(now.item);
    free(next.item);
}

/* ---- the drive ------------------------------------------------------------------------------- */

enum { DRIVE_STEP_MS = 5000, DRIVE_STILL_MS = 60000, DRIVE_LATE_MS = 80000, SHUT_WITHIN = 200 };

typedef enum {
    TO_CLOSE,
    TO_OPEN,
    TO_STAY,
    WINDY,
    WETTED,
    DOWN,
    JAMMED,
    DELAYED,
    HALTED,
    LET_GO,
    DRIVE_MOMENTS
} drive_moment;

/* The drive, its motor and the account. */
typedef struct {
    ow_drive drive;
    bool contacts;
    int way; /* +1: the motor closes, -1: it opens */
    uint32_t position_ms, motor_left_ms, stood_ms, moving_ms;
    ow_drive_state before;
    uint32_t start_age_ms[4];
} drive_state;

static ow_drive_spec small_drive(bool contacts)
{
    ow_drive_spec spec = a_drive_spec();
    spec.has_closed_end = spec.has_open_end = contacts;
    spec.travel_ms = 20 * OW_S_MS;
    spec.lease_ms = 15 * OW_S_MS;
    spec.off_by_itself_ms = 30 * OW_S_MS;
    spec.dead_ms = 10 * OW_S_MS;
    spec.starts_per_h = 3;
    spec.slack_ms = 60 * OW_S_MS;
    return spec;
}

static void motor_turns(drive_state *s, uint32_t span_ms, uint32_t travel_ms, bool jammed)
{
    uint32_t ran_ms = span_ms < s->motor_left_ms ? span_ms : s->motor_left_ms;
    s->stood_ms = s->way == 0 ? at_most(s->stood_ms + span_ms) : span_ms - ran_ms;
    s->motor_left_ms -= ran_ms;
    if (s->way > 0 && !jammed) {
        s->position_ms = s->position_ms + ran_ms < travel_ms ? s->position_ms + ran_ms : travel_ms;
    } else if (s->way < 0 && !jammed) {
        s->position_ms = s->position_ms > ran_ms ? s->position_ms - ran_ms : 0;
    }
    s->way = s->motor_left_ms > 0 ? s->way : 0;
}

static ow_drive_inputs drive_moment_of(const drive_state *s, drive_moment moment, uint32_t travel_ms)
{
    ow_drive_inputs in = a_still_evening();
    in.hosting.connected = moment != DOWN;
    in.wind.milli = moment == WINDY ? 12000 : 1000;
    in.cloth = moment == WETTED ? OW_CLOTH_WET : OW_CLOTH_DRY;
    in.wish = moment == TO_OPEN ? OW_WISH_OPEN : moment == TO_STAY ? OW_WISH_STAY : OW_WISH_CLOSE;
    in.closed_end = s->position_ms >= travel_ms ? OW_CONTACT_SHUT : OW_CONTACT_OPEN;
    in.open_end = s->position_ms == 0 ? OW_CONTACT_SHUT : OW_CONTACT_OPEN;
    return in;
}

static void motor_hears(drive_state *s, const ow_drive_spec *spec, const ow_drive_answer *answer)
{
    bool closes = answer->command == OW_DRIVE_SEND_CLOSE;
    if (closes || answer->command == OW_DRIVE_SEND_OPEN) {
        int way = closes ? 1 : -1;
        assert_int_equal(answer->blocked, 0);
        assert_true(s->way == way || (s->way == 0 && s->stood_ms >= spec->dead_ms));
        s->way = way;
        s->motor_left_ms = answer->lease_s * OW_S_MS;
    } else if (answer->command == OW_DRIVE_SEND_STOP) {
        s->stood_ms = s->way == 0 ? s->stood_ms : 0;
        s->way = 0;
        s->motor_left_ms = 0;
    }
    bool meant = ow_drive_moving(&s->drive);
    assert_true(s->way == 0 || meant || s->drive.stop_owed);
    assert_true(s->motor_left_ms <= s->drive.own_left_ms);
}

static void check_drive(drive_state *s, const ow_drive_spec *spec, drive_moment moment,
                        const ow_drive_answer *answer, uint32_t span_ms)
{
    bool moves = ow_drive_moving(&s->drive);
    bool moved = s->before == OW_DRIVE_CLOSING || s->before == OW_DRIVE_OPENING;
    assert_true(!moves || (answer->blocked == 0 && moment != WINDY && moment != WETTED &&
                           moment != DOWN && moment != HALTED));
    assert_true(moment != DOWN || answer->command == OW_DRIVE_SEND_NOTHING);
    assert_true(!moves || !moved || s->drive.state == s->before);
    assert_true(!moved || moves || moment == DOWN || answer->command == OW_DRIVE_SEND_STOP);
    for (int i = 0; i < 4; i++) {
        s->start_age_ms[i] = at_most(s->start_age_ms[i] + span_ms);
    }
    s->moving_ms = moved ? s->moving_ms + span_ms : 0;
    assert_true(!moves || s->moving_ms < spec->travel_ms + OW_TRAVEL_MARGIN_MS(spec->travel_ms));
    if (moves && !moved) {
        assert_true(s->start_age_ms[spec->starts_per_h - 1] >= OW_H_MS);
        memmove(s->start_age_ms + 1, s->start_age_ms, 3 * sizeof s->start_age_ms[0]);
        s->start_age_ms[0] = 0;
    }
    s->before = s->drive.state;
}

static void step_drive(drive_state *s, const ow_drive_spec *spec, drive_moment moment,
                       uint32_t span_ms)
{
    motor_turns(s, span_ms, spec->travel_ms, moment == JAMMED);
    if (moment == HALTED) {
        ow_drive_stop(&s->drive);
    } else if (moment == LET_GO) {
        (void)ow_drive_release(&s->drive);
    }
    ow_drive_inputs in = drive_moment_of(s, moment, spec->travel_ms);
    ow_drive_answer answer = ow_drive_step(&s->drive, spec, &in, span_ms);
    check_drive(s, spec, moment, &answer, span_ms);
    motor_hears(s, spec, &answer);
    s->drive.last_ms = 0;
    s->drive.locks.since_event_ms = at_most(s->drive.locks.since_event_ms);
}

static uint64_t drive_mark(const drive_state *s)
{
    const ow_drive *d = &s->drive;
    const uint32_t words[] = {d->state,       d->position_ms,   d->moved_ms,   d->allowed_ms,
                              d->dead_left_ms, d->stop_again_ms, d->own_left_ms, d->lease.left_ms,
                              d->lease.length_ms, d->located,   d->stop_owed,  d->stop_sent,
                              d->commanded,   (uint32_t)(s->way + 1), s->position_ms,
                              s->motor_left_ms, s->stood_ms,    s->moving_ms};
    uint64_t sum = 14695981039346656037u;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        sum = mixed(sum, words[i]);
    }
    for (int i = 0; i < 4; i++) {
        sum = mixed(sum, s->start_age_ms[i]);
    }
    return locks_mark(sum, &d->locks);
}

static void cloth_comes_shut(drive_state s, const ow_drive_spec *spec)
{
    for (int i = 0; i < SHUT_WITHIN && s.drive.state != OW_DRIVE_CLOSED; i++) {
        step_drive(&s, spec, LET_GO, s.way != 0 ? DRIVE_STEP_MS : DRIVE_STILL_MS);
    }
    assert_int_equal(s.drive.state, OW_DRIVE_CLOSED);
    assert_int_equal(s.position_ms, spec->travel_ms);
}

static void a_drive_holds_for_every_sequence_with(bool contacts)
{
    ow_drive_spec spec = small_drive(contacts);
    drive_state start = {.drive = ow_drive_started(&spec, 0),
                         .contacts = contacts,
                         .stood_ms = OW_H_MS,
                         .before = OW_DRIVE_UNKNOWN,
                         .start_age_ms = {OW_H_MS, OW_H_MS, OW_H_MS, OW_H_MS}};
    met all = {0};
    front now = {0}, next = {0};
    unsigned long steps = 0;
    for (int i = 0; i < 4; i++) { /* the minute after the start, which is the same for all */
        step_drive(&start, &spec, TO_STAY, DRIVE_STILL_MS);
    }
    add(&now, &start, sizeof start);
    for (int depth = 0; depth < DRIVE_DEPTH; depth++) {
        next.count = 0;
        for (size_t i = 0; i < now.count; i++) {
            for (int moment = 0; moment < DRIVE_MOMENTS; moment++, steps++) {
                drive_state s;
                if (moment == JAMMED && !contacts) {
                    continue; /* nobody could tell */
                }
                memcpy(&s, now.item + i * sizeof s, sizeof s);
                step_drive(&s, &spec, (drive_moment)moment,
                           moment == DELAYED ? DRIVE_LATE_MS : DRIVE_STEP_MS);
                if (meets(&all, drive_mark(&s))) {
                    cloth_comes_shut(s, &spec);
                    add(&next, &s, sizeof s);
                }
            }
        }
        front other = now;
        now = next;
        next = other;
    }
    print_message("# drive %s contacts: depth %d, %zu states, %lu steps\n",
                  contacts ? "with" : "without", DRIVE_DEPTH, all.count, steps);
    assert_true(all.count > 1000);
    free(all.mark);
    free(now.item);
    free(next.item);
}

static void a_drive_with_contacts_holds_for_every_sequence(void **state)
{
    (void)state;
    a_drive_holds_for_every_sequence_with(true);
}

static void a_drive_without_contacts_holds_for_every_sequence(void **state)
{
    (void)state;
    a_drive_holds_for_every_sequence_with(false);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_heater_holds_for_every_sequence),
        cmocka_unit_test(a_drive_with_contacts_holds_for_every_sequence),
        cmocka_unit_test(a_drive_without_contacts_holds_for_every_sequence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
