/* SPDX-License-Identifier: MIT */
/* Values of which nothing is known, for the analyser. Read by frama-c only. */
#ifndef OVERWINTER_TESTS_PROVE_ANY_H
#define OVERWINTER_TESTS_PROVE_ANY_H

#include <limits.h>
#include <stdbool.h>
#include <stdint.h>

#include "__fc_builtin.h"

static uint32_t any_u32(void)
{
    return Frama_C_unsigned_int_interval(0, UINT_MAX);
}

static int32_t any_i32(void)
{
    return Frama_C_interval(INT_MIN, INT_MAX);
}

static bool any_bool(void)
{
    return Frama_C_interval(0, 1) != 0;
}

static unsigned any_below(unsigned n)
{
    return Frama_C_unsigned_int_interval(0, n - 1);
}

#endif
