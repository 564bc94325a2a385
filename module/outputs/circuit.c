/* SPDX-License-Identifier: MIT */
#include "outputs/circuit.h"

/* Takes `watts` from what is left if they fit. What draws beyond the limit leaves nothing. */
static bool take(uint32_t *left, uint32_t watts)
{
    if (watts == 0 || watts > *left) {
        return false;
    }
    *left -= watts;
    return true;
}

static bool waits(const ow_circuit_member *member)
{
    return member->asks && !member->draws;
}

/* The member after `last` in the order of need, or -1. The order: need falling, index rising. */
static int next_in_need(const ow_circuit_member *members, int count, int last)
{
    int best = -1;
    /*@ loop invariant 0 <= i <= count && -1 <= best < i;
        loop invariant best >= 0 ==> members[best].asks && !members[best].draws;
        loop assigns i, best; */
    for (int i = 0; i < count; i++) {
        bool later = last < 0 || members[i].need_mk < members[last].need_mk ||
                     (members[i].need_mk == members[last].need_mk && i > last);
        if (waits(&members[i]) && later &&
            (best < 0 || members[i].need_mk > members[best].need_mk)) {
            best = i;
        }
    }
    return best;
}

void ow_circuit_share(uint32_t max_watts, ow_circuit_member *members, int count)
{
    uint32_t left = max_watts;
    bool within = true;
    int known = count < OW_CIRCUIT_MEMBERS ? count : OW_CIRCUIT_MEMBERS;
    /*@ loop invariant 0 <= i <= count && left <= max_watts;
        loop invariant \forall integer k; 0 <= k < i && members[k].granted ==>
            k < known && members[k].draws && 0 < members[k].watts <= max_watts;
        loop invariant \forall integer k; within && 0 <= k < i && members[k].draws ==>
            members[k].granted;
        loop assigns i, left, within, members[0 .. count - 1].granted; */
    for (int i = 0; i < count; i++) {
        members[i].granted = i < known && members[i].draws && take(&left, members[i].watts);
        within = within && (!members[i].draws || members[i].granted);
    }
    /*@ loop invariant -1 <= i < known && left <= max_watts;
        loop invariant i >= 0 ==> members[i].asks && !members[i].draws;
        loop invariant \forall integer k; 0 <= k < count && members[k].granted ==>
            k < known && (members[k].draws || members[k].asks) &&
            0 < members[k].watts <= max_watts;
        loop invariant \forall integer k; 0 <= k < count && members[k].granted && !within ==>
            members[k].draws;
        loop invariant \forall integer k; within && 0 <= k < count && members[k].draws ==>
            members[k].granted;
        loop assigns i, left, members[0 .. count - 1].granted; */
    for (int i = next_in_need(members, known, -1); within && i >= 0;
         i = next_in_need(members, known, i)) {
        members[i].granted = take(&left, members[i].watts);
    }
}
