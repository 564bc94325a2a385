/* SPDX-License-Identifier: MIT */
/* The interlocks themselves. */
#include "prove/contracts.h"

/*@ requires \valid_read(locks) && i < OW_INTERLOCKS;
    assigns \nothing; */
static uint32_t recovery(const ow_interlocks *locks, unsigned i, ow_blocks causes, uint32_t span_ms);

#include "outputs/interlock.c"
