/* SPDX-License-Identifier: MIT */
#include "outputs/interlock.h"

#include "outputs/span.h"

#include <stddef.h>

static const ow_interlock_row rows[OW_INTERLOCKS] = {
#define OW_INTERLOCK_ROW(id, word_, guards_, leaves_, recover_s, tell_s, text_, clears_)           \
    [id] = {.word = (word_),                                                                       \
            .text = (text_),                                                                       \
            .clears = (clears_),                                                                   \
            .recover_ms = (recover_s) * OW_S_MS,                                                   \
            .tell_ms = (tell_s) * OW_S_MS,                                                         \
            .guards = (guards_),                                                                   \
            .leaves = (leaves_)},
    OW_INTERLOCK_LIST(OW_INTERLOCK_ROW)
#undef OW_INTERLOCK_ROW
};

#define OW_LATCHING_BIT(id, word, guards, leaves, recover_s, tell_s, text, clears)                 \
    | ((leaves) == OW_LATCHES ? OW_BLOCK(id) : 0)
static const ow_blocks latching = 0 OW_INTERLOCK_LIST(OW_LATCHING_BIT);
#undef OW_LATCHING_BIT

const ow_interlock_row *ow_interlock_about(ow_interlock interlock)
{
    return (unsigned)interlock < OW_INTERLOCKS ? &rows[interlock] : NULL;
}

ow_interlock ow_blocks_first(ow_blocks blocks)
{
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        if (blocks & OW_BLOCK(i)) {
            return (ow_interlock)i;
        }
    }
    return OW_INTERLOCKS;
}

ow_interlocks ow_interlocks_started(void)
{
    ow_interlocks locks = {.causes = OW_BLOCK(OW_BLOCK_STARTED),
                           .holding = OW_BLOCK(OW_BLOCK_STARTED),
                           .awaiting = OW_BLOCK(OW_BLOCK_STARTED)};
    locks.recover_ms[OW_BLOCK_STARTED] = rows[OW_BLOCK_STARTED].recover_ms;
    return locks;
}

void ow_interlocks_pass(ow_interlocks *locks, uint32_t span_ms)
{
    locks->since_event_ms = ow_span_add(locks->since_event_ms, span_ms);
}

void ow_interlocks_await(ow_interlocks *locks, ow_blocks events, uint32_t age_ms)
{
    if (events & OW_AWAIT_READING) {
        locks->awaiting |= events & OW_AWAIT_READING;
        locks->since_event_ms = 0;
    }
    if (age_ms < locks->since_event_ms) {
        locks->awaiting = 0;
    }
}

/* The cause must be seen away twice before time counts: it may have gone only just now. */
static uint32_t recovery(const ow_interlocks *locks, unsigned i, ow_blocks causes, uint32_t span_ms)
{
    if ((causes | locks->latched) & OW_BLOCK(i)) {
        return rows[i].recover_ms;
    }
    if (locks->causes & OW_BLOCK(i)) {
        return locks->recover_ms[i];
    }
    return ow_span_less(locks->recover_ms[i], span_ms);
}

ow_blocks ow_interlocks_judge(ow_interlocks *locks, ow_blocks causes, uint32_t span_ms)
{
    causes |= locks->awaiting;
    locks->latched |= causes & latching;
    ow_blocks holding = causes | locks->latched;
    /*@ loop invariant 0 <= i <= OW_INTERLOCKS;
        loop invariant holding == 0 ==> causes == 0 && locks->latched == 0;
        loop assigns i, holding, locks->recover_ms[0 .. OW_INTERLOCKS - 1]; */
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        locks->recover_ms[i] = recovery(locks, i, causes, span_ms);
        holding |= locks->recover_ms[i] > 0 ? OW_BLOCK(i) : 0;
    }
    locks->causes = causes;
    locks->holding = holding;
    return holding;
}

void ow_interlocks_latch(ow_interlocks *locks, ow_interlock interlock)
{
    if ((unsigned)interlock < OW_INTERLOCKS && (latching & OW_BLOCK(interlock))) {
        locks->latched |= OW_BLOCK(interlock);
        locks->holding |= OW_BLOCK(interlock);
        locks->recover_ms[interlock] = rows[interlock].recover_ms;
    }
}

ow_blocks ow_interlocks_release(ow_interlocks *locks)
{
    ow_blocks to_blame = locks->latched & locks->causes;
    if (to_blame == 0) {
        locks->latched = 0;
    }
    return to_blame;
}

ow_interlocks ow_interlocks_resumed(const ow_interlocks *saved)
{
    ow_interlocks locks = ow_interlocks_started();
    locks.latched = saved->latched & latching;
    locks.causes |= locks.latched;
    for (unsigned i = 0; i < OW_INTERLOCKS; i++) {
        bool held = ((saved->holding | saved->latched) & OW_BLOCK(i)) != 0;
        locks.recover_ms[i] = held || i == OW_BLOCK_STARTED ? rows[i].recover_ms : 0;
    }
    locks.holding |= saved->holding | locks.latched;
    return locks;
}
