/* SPDX-License-Identifier: MIT */
/*
 * A command is a lease: it holds until a time unless it is renewed, and it is renewed at a third
 * of its length. A command that got lost, a program that died, a broker that went: the lease ends
 * and with it what was commanded. A lease of 0 is over.
 */
#ifndef OVERWINTER_OUTPUTS_LEASE_H
#define OVERWINTER_OUTPUTS_LEASE_H

#include <stdbool.h>
#include <stdint.h>

typedef struct ow_lease {
    uint32_t length_ms;
    uint32_t left_ms;
} ow_lease;

/* A lease that begins, or begins anew, now. */
ow_lease ow_lease_of(uint32_t length_ms);

/* The lease after `span_ms` more have passed. */
ow_lease ow_lease_after(ow_lease lease, uint32_t span_ms);

/* True from a third of its length on. */
bool ow_lease_due(ow_lease lease);

bool ow_lease_over(ow_lease lease);

#endif
