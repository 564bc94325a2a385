/* SPDX-License-Identifier: MIT */
/* Sharing a circuit. */
#include "prove/contracts.h"

/*@ requires \valid(left);
    assigns *left;
    ensures \result <==> 0 < watts <= \old(*left);
    ensures *left == \old(*left) - (\result ? watts : 0); */
static bool take(uint32_t *left, uint32_t watts);

/*@ requires \valid_read(member);
    assigns \nothing;
    ensures \result <==> member->asks && !member->draws; */
static bool waits(const ow_circuit_member *member);

/*@ requires 0 <= count && \valid_read(members + (0 .. count - 1));
    requires -1 <= last < count;
    assigns \nothing;
    ensures -1 <= \result < count;
    ensures \result >= 0 ==> members[\result].asks && !members[\result].draws; */
static int next_in_need(const ow_circuit_member *members, int count, int last);

#include "outputs/circuit.c"
