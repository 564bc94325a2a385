/* SPDX-License-Identifier: MIT */
#include "outputs/lease.h"

#include "outputs/span.h"

ow_lease ow_lease_of(uint32_t length_ms)
{
    return (ow_lease){.length_ms = length_ms, .left_ms = length_ms};
}

ow_lease ow_lease_after(ow_lease lease, uint32_t span_ms)
{
    lease.left_ms = ow_span_less(lease.left_ms, span_ms);
    return lease;
}

bool ow_lease_due(ow_lease lease)
{
    return ow_span_less(lease.length_ms, lease.left_ms) >= lease.length_ms / 3;
}

bool ow_lease_over(ow_lease lease)
{
    return lease.left_ms == 0;
}
