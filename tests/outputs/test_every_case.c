/* SPDX-License-Identifier: MIT */
/*
 * Every combination of the levels of reference.h, built in numbers, stepped once and compared with
 * what the reference says of it: the interlocks, the state, the command, the rehearsed command.
 * All times are taken a millisecond before, at and after each of the heater's limits; the worlds of
 * all inputs take one time between each two of them. Under the sanitizers, which are slow, every
 * eleventh world is taken.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "outputs/bench.h"
#include "outputs/reference.h"

#ifdef OW_NO_CLONES
#define STRIDE 11u
#else
#define STRIDE 1u
#endif

#define NOW 77u /* so that every stamp before it lies before a wrap of the clock */

static uint32_t span_of(event happened)
{
    return happened == LATE ? OW_STEP_LATE_MS + 1 : OW_S_MS;
}

static ow_hosting hosting_of(install installed, event happened, bool connected)
{
    return (ow_hosting){.promises_off = installed != NO_PROMISE,
                        .connected = connected,
                        .clock_jumped = happened == JUMP,
                        .reloaded = happened == RELOAD};
}

static uint32_t timer_of(install installed, uint32_t lease_ms)
{
    return installed == NO_TIMER ? 0 : installed == SHORT_TIMER ? lease_ms - 1 : 2 * lease_ms;
}

static ow_interlocks locks_of(touch touched, event happened)
{
    ow_interlocks locks = {.since_event_ms = 24 * OW_H_MS};
    if (happened == START) {
        locks = ow_interlocks_started();
    }
    if (touched != UNTOUCHED) {
        ow_interlocks_latch(&locks, touched == HAND ? OW_BLOCK_BY_HAND : OW_BLOCK_FORGOT);
    }
    return locks;
}

static ow_contact contact_of(contact c)
{
    return c == SHUT ? OW_CONTACT_SHUT : c == OPEN ? OW_CONTACT_OPEN : OW_CONTACT_UNKNOWN;
}

/* ---- heater ---- */

static ow_heater_spec heater_spec_of(const heater_world *w)
{
    ow_heater_spec spec = a_heater_spec();
    spec.cautions_read = w->installed != UNREAD;
    spec.off_by_itself_ms = timer_of(w->installed, spec.lease_ms);
    spec.shortest_on_ms = w->installed == NONSENSE ? spec.longest_run_ms + 1 : spec.shortest_on_ms;
    spec.reports = w->said != SAYS_NOT_FITTED;
    spec.measures_power = w->draws != W_NOT_FITTED;
    return spec;
}

static ow_sensed air_of(air a)
{
    static const int32_t milli[AIRS] = {[AIR_STALE] = 1000,  [AIR_SPLIT] = 1000, [AIR_COLD] = 1000,
                                        [AIR_RIGHT] = 5000, [AIR_HOT] = 20000};
    return (ow_sensed){.known = a != AIR_NONE,
                       .contradicted = a == AIR_SPLIT,
                       .milli = milli[a],
                       .age_ms = a == AIR_STALE ? 31 * OW_MIN_MS : OW_MIN_MS};
}

static ow_heater_inputs heater_inputs_of(const heater_world *w)
{
    static const int32_t mw[POWERS] = {[W_RIGHT] = 2000000, [W_HIGH] = 3000000};
    static const ow_said said[SAYS] = {[SAYS_OFF] = OW_SAID_OFF, [SAYS_ON] = OW_SAID_ON};
    return (ow_heater_inputs){
        .hosting = hosting_of(w->installed, w->happened, w->connected),
        .air = air_of(w->air_is),
        .power = {.known = w->draws != W_NONE, .milli = mw[w->draws]},
        .doors = contact_of(w->door),
        .reported = said[w->said],
        .air_fits = w->astray ? OW_ACCORD_PARTS : OW_ACCORD_AGREES,
        .warms = w->warms_not ? OW_ACCORD_PARTS : OW_ACCORD_UNKNOWN,
        .granted = w->granted};
}

/* Spans are short by what the step will add. */
static ow_heater heater_of(const heater_world *w, const ow_heater_spec *spec)
{
    uint32_t span_ms = span_of(w->happened), aged_ms = w->aged - span_ms;
    bool on = is_on(w), stopping = w->state == OW_HEATER_STOPPING;
    ow_heater h = {.version = OW_HEATER_VERSION,
                   .state = w->state,
                   .last_ms = NOW - span_ms,
                   .in_state_ms = aged_ms,
                   .since_off_ms = aged_ms,
                   .rested_ms = on || stopping ? 0 : aged_ms,
                   .ran_ms = on || stopping ? w->ran - span_ms : w->ran,
                   .own_left_ms = 100 * OW_S_MS,
                   .off_sent = !on && !(stopping && w->aged < GRACE),
                   .off_owed = stopping,
                   .commanded = on || stopping,
                   .locks = locks_of(w->touched, w->happened)};
    if (on) {
        h.lease = ow_lease_of(spec->lease_ms);
    }
    return h;
}

static void compare_heater(const heater_world *w, ow_blocks *alone, unsigned long *on)
{
    ow_heater_spec spec = heater_spec_of(w);
    ow_heater_inputs in = heater_inputs_of(w);
    ow_heater h = heater_of(w, &spec);
    ow_heater_answer answer = ow_heater_step(&h, &spec, &in, NOW);
    ow_blocks ought = heater_ought_to_be_blocked_by(w);
    ow_heater_state state = heater_ought_to_be(w, ought);
    bool would = state == OW_HEATER_ON || (is_wanted(w) && !(ought & ~OW_NEVER_COMMANDED));
    if (answer.blocked != ought || h.state != state || answer.would_switch != would ||
        answer.command != heater_ought_to_be_sent(w, ought)) {
        fail_msg("installed %d touched %d happened %d connected %d door %d air %d said %d draws %d"
                 " granted %d astray %d warms not %d state %d ran %u aged %u: blocked %llx, ought %llx; state %d, ought"
                 " %d; command %d, ought %d; would %d, ought %d",
                 w->installed, w->touched, w->happened, w->connected, w->door, w->air_is, w->said,
                 w->draws, w->granted, w->astray, w->warms_not, w->state, w->ran, w->aged,
                 (unsigned long long)answer.blocked, (unsigned long long)ought, h.state, state,
                 answer.command, heater_ought_to_be_sent(w, ought), answer.would_switch, would);
    }
    *alone |= (ought & (ought - 1)) == 0 ? ought : 0;
    *on += h.state == OW_HEATER_ON;
}

/* The worlds are counted through like the digits of one number. */
static unsigned digit(unsigned long *number, unsigned base)
{
    unsigned value = (unsigned)(*number % base);
    *number /= base;
    return value;
}

/* Between each two of the heater's times. */
static const uint32_t ages[] = {20000, 150000, 400000, 2500000};
static const uint32_t runs[] = {3000000, LONGEST};

/* False when the number has run past the last world. */
static bool heater_world_at(unsigned long n, heater_world *w)
{
    w->air_is = (air)digit(&n, AIRS);
    w->said = (says)digit(&n, SAYS);
    w->draws = (power)digit(&n, POWERS);
    w->state = (ow_heater_state)digit(&n, OW_HEATER_STATES);
    w->aged = ages[digit(&n, 4)];
    w->ran = runs[digit(&n, 2)];
    w->granted = digit(&n, 2) != 0;
    w->astray = digit(&n, 2) != 0;
    w->warms_not = digit(&n, 2) != 0;
    w->door = (contact)(SILENT + digit(&n, 3));
    w->connected = digit(&n, 2) != 0;
    w->happened = (event)digit(&n, EVENTS);
    w->touched = (touch)digit(&n, TOUCHES);
    w->installed = (install)digit(&n, INSTALLS);
    return n == 0;
}

static ow_blocks all_that_guard(unsigned what)
{
    ow_blocks blocks = 0;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        blocks |= ow_interlock_about((ow_interlock)i)->guards & what ? OW_BLOCK(i) : 0;
    }
    return blocks;
}

typedef struct outcome {
    ow_blocks alone; /* each held the heater off by itself somewhere */
    unsigned long on;
} outcome;

/* Compares each world that a count up to so many makes; there are no more and no fewer of them. */
static outcome compare_heaters(bool (*world_at)(unsigned long n, heater_world *w),
                               unsigned long worlds)
{
    heater_world w;
    outcome seen = {0, 0};
    unsigned long n = 0;
    for (; world_at(n, &w); n += STRIDE) {
        compare_heater(&w, &seen.alone, &seen.on);
    }
    assert_in_range(n, worlds, worlds + STRIDE - 1);
    return seen;
}

#define HEATER_WORLDS (6ul * 4 * 5 * 4 * 4 * 2 * 2 * 2 * 2 * 3 * 2 * 5 * 3 * 6)

static void a_heater_does_as_the_reference_says(void **state)
{
    (void)state;
    outcome seen = compare_heaters(heater_world_at, HEATER_WORLDS);
    assert_true(STRIDE > 1 || seen.alone == all_that_guard(OW_GUARDS_HEATER));
    assert_true(seen.on > 0);
}

/* A cold night with nothing in the way, but for one thing; the first is none. */
enum { ONLY = 15 };

static heater_world world_but_for(unsigned one)
{
    heater_world w = {.connected = true, .door = SHUT, .granted = true};
    w.installed = one < INSTALLS ? (install)one : INSTALLED;
    w.touched = one == 6 ? HAND : one == 7 ? LOST : UNTOUCHED;
    w.happened = one >= 8 && one < 12 ? (event)(JUMP + one - 8) : QUIET;
    w.connected = one != 12;
    w.door = one == 13 ? OPEN : SHUT;
    w.granted = one != 14;
    return w;
}

#define AT(limit_ms) (limit_ms) - 1, (limit_ms), (limit_ms) + 1
static const uint32_t exact_ages[] = {AT(GRACE), AT(SHORTEST_OFF), AT(SHORTEST_ON), AT(REST),
                                      AT(WARM_WITHIN)};
static const uint32_t exact_runs[] = {AT(LONGEST)};

static bool timed_world_at(unsigned long n, heater_world *w)
{
    *w = world_but_for(digit(&n, ONLY));
    w->air_is = (air)digit(&n, AIRS);
    w->said = (says)digit(&n, SAYS);
    w->draws = (power)digit(&n, POWERS);
    w->warms_not = digit(&n, 2) != 0;
    w->state = (ow_heater_state)digit(&n, OW_HEATER_STATES);
    w->aged = exact_ages[digit(&n, 15)];
    w->ran = exact_runs[digit(&n, 3)];
    return n == 0;
}

static void its_times_are_exact_to_the_millisecond(void **state)
{
    (void)state;
    outcome seen = compare_heaters(timed_world_at, 15ul * 6 * 4 * 5 * 2 * 4 * 15 * 3);
    assert_true(seen.on > 0);
}

/* ---- drive ---- */

static ow_drive_spec drive_spec_of(const drive_world *w)
{
    ow_drive_spec spec = a_drive_spec();
    spec.cautions_read = w->installed != UNREAD;
    spec.off_by_itself_ms = timer_of(w->installed, spec.lease_ms);
    spec.dead_ms = w->installed == NONSENSE ? 0 : spec.dead_ms;
    spec.has_closed_end = w->closed_end != NOT_FITTED;
    spec.has_open_end = w->open_end != NOT_FITTED;
    return spec;
}

static ow_drive_inputs drive_inputs_of(const drive_world *w)
{
    static const int32_t wind_milli[WINDS] = {
        [WIND_STALE] = 1000,  [WIND_SPLIT] = 9000,        [WIND_LIGHT] = 9000,
        [WIND_STRONG] = 9001, [WIND_STRONG_SPLIT] = 9001};
    return (ow_drive_inputs){
        .hosting = hosting_of(w->installed, w->happened, w->connected),
        .wind = {.known = w->wind_is != WIND_NONE,
                 .contradicted = w->wind_is == WIND_SPLIT || w->wind_is == WIND_STRONG_SPLIT,
                 .milli = wind_milli[w->wind_is],
                 .age_ms = w->wind_is == WIND_STALE ? 11 * OW_MIN_MS : OW_MIN_MS},
        .closed_end = contact_of(w->closed_end),
        .open_end = contact_of(w->open_end),
        .cloth = w->cloth,
        .wish = w->wish};
}

static ow_drive drive_of(const drive_world *w, const ow_drive_spec *spec)
{
    uint32_t span_ms = span_of(w->happened);
    ow_drive d = a_ready_drive(NOW - span_ms);
    d.state = w->state;
    d.located = w->state != OW_DRIVE_UNKNOWN;
    d.position_ms = spec->travel_ms / 2;
    d.locks = locks_of(w->touched, w->happened);
    for (uint32_t i = 0; i < spec->starts_per_h && w->starts_used; i++) {
        d.start_age_ms[i] = 10 * OW_MIN_MS;
    }
    if (moves(w)) {
        d.lease = ow_lease_of(spec->lease_ms);
        d.commanded = true;
        d.stop_sent = false;
        d.own_left_ms = 2 * spec->lease_ms;
        d.allowed_ms = 50 * OW_S_MS;
        d.moved_ms = d.allowed_ms - 1 + w->time - span_ms;
    } else {
        d.dead_left_ms = span_ms + 1 - w->time;
    }
    return d;
}

static void compare_drive(const drive_world *w, ow_blocks *alone, unsigned long *moving)
{
    ow_drive_spec spec = drive_spec_of(w);
    ow_drive_inputs in = drive_inputs_of(w);
    ow_drive d = drive_of(w, &spec);
    ow_drive_answer answer = ow_drive_step(&d, &spec, &in, NOW);
    ow_blocks ought = drive_ought_to_be_blocked_by(w);
    ow_drive_state state = drive_ought_to_be(w, ought);
    if (answer.blocked != ought || d.state != state ||
        answer.command != drive_ought_to_be_sent(w, ought)) {
        fail_msg("installed %d touched %d happened %d connected %d wind %d cloth %d closed %d open"
                 " %d wish %d state %d time is up %d starts %d: blocked %llx, ought %llx; state %d,"
                 " ought %d; command %d, ought %d",
                 w->installed, w->touched, w->happened, w->connected, w->wind_is, w->cloth,
                 w->closed_end, w->open_end, w->wish, w->state, w->time_is_up, w->starts_used,
                 (unsigned long long)answer.blocked, (unsigned long long)ought, d.state, state,
                 answer.command, drive_ought_to_be_sent(w, ought));
    }
    /* Never straight from one way to the other. */
    assert_false(w->state == OW_DRIVE_CLOSING && answer.command == OW_DRIVE_SEND_OPEN);
    assert_false(w->state == OW_DRIVE_OPENING && answer.command == OW_DRIVE_SEND_CLOSE);
    *alone |= (ought & (ought - 1)) == 0 ? ought : 0;
    *moving += d.state == OW_DRIVE_CLOSING || d.state == OW_DRIVE_OPENING;
}

static bool drive_world_at(unsigned long n, drive_world *w)
{
    w->wind_is = (wind)digit(&n, WINDS);
    w->cloth = (ow_cloth)digit(&n, 4);
    w->closed_end = (contact)digit(&n, CONTACTS);
    w->open_end = (contact)digit(&n, CONTACTS);
    w->wish = (ow_drive_wish)digit(&n, 3);
    w->state = (ow_drive_state)digit(&n, OW_DRIVE_STATES);
    w->time = digit(&n, 3);
    w->time_is_up = w->time > 0;
    w->starts_used = digit(&n, 2) != 0;
    w->connected = digit(&n, 2) != 0;
    w->happened = (event)digit(&n, EVENTS);
    w->touched = (touch)digit(&n, TOUCHES);
    w->installed = (install)digit(&n, INSTALLS);
    return n == 0;
}

#define DRIVE_WORLDS (6ul * 4 * 4 * 4 * 3 * 6 * 3 * 2 * 2 * 5 * 3 * 6)

static void a_drive_does_as_the_reference_says(void **state)
{
    (void)state;
    drive_world w;
    ow_blocks alone = 0;
    unsigned long moving = 0, n = 0;
    for (; drive_world_at(n, &w); n += STRIDE) {
        compare_drive(&w, &alone, &moving);
    }
    assert_in_range(n, DRIVE_WORLDS, DRIVE_WORLDS + STRIDE - 1);
    assert_true(STRIDE > 1 || alone == all_that_guard(OW_GUARDS_DRIVE));
    assert_true(moving > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_heater_does_as_the_reference_says),
        cmocka_unit_test(its_times_are_exact_to_the_millisecond),
        cmocka_unit_test(a_drive_does_as_the_reference_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
