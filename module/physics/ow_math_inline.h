/* SPDX-License-Identifier: MIT */
/*
 * Of ow_math.h what loops over lanes call (see lanes.h), to the same last bit. No branches, no
 * whole numbers but by the bits of a double: so it becomes vectors on every processor.
 */
#ifndef OVERWINTER_PHYSICS_OW_MATH_INLINE_H
#define OVERWINTER_PHYSICS_OW_MATH_INLINE_H

#include <float.h>
#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "physics/lanes.h"

OW_INLINE uint64_t ow_bits_of(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

OW_INLINE double ow_of_bits(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/* Sum of coefficient[i] z^i, of two or more: even and odd powers side by side, so that neither
 * waits for the other. */
OW_INLINE double ow_polynomial(const double *coefficient, size_t count, double z)
{
    double square = z * z, high = coefficient[count - 1], low = coefficient[count - 2];
    size_t left = count - 2;
    for (; left >= 2; left -= 2) {
        high = high * square + coefficient[left - 1];
        low = low * square + coefficient[left - 2];
    }
    double sum = low + z * high;
    return left == 0 ? sum : coefficient[0] + z * sum;
}

/* ln 2 in two parts, so that a small whole number times the leading one is exact; they add up to
 * it well beyond double precision. */
#define OW_LN2_HIGH 0x1.62e42feep-1
#define OW_LN2_LOW 0x1.a39ef35793c76p-33
#define OW_LOG2_E 0x1.71547652b82fep+0

OW_INLINE double ow_exp_inline(double x)
{
    /* 1/2! .. 1/13!: the first term left out is below 1e-17 for |r| <= ln(2)/2. */
    static const double series[] = {
        1.0 / 2,       1.0 / 6,        1.0 / 24,        1.0 / 120,
        1.0 / 720,     1.0 / 5040,     1.0 / 40320,     1.0 / 362880,
        1.0 / 3628800, 1.0 / 39916800, 1.0 / 479001600, 1.0 / 6227020800.0,
    };
    /* What is added leaves no room for a fraction: the nearest whole number k is in the last bits,
     * and these, moved up, make 2^k; exact, since |k| <= 1010 and e is near one. */
    const double no_room = 0x1.8p52;
    double held = x * OW_LOG2_E + no_room, k = held - no_room;
    double r = (x - k * OW_LN2_HIGH) - k * OW_LN2_LOW;
    double e = 1.0 + (r + r * r * ow_polynomial(series, sizeof series / sizeof *series, r));
    double value = e * ow_of_bits((ow_bits_of(held) + 1023) << 52);
    return x > 700.0 ? DBL_MAX : x < -700.0 ? 0.0 : value;
}

/*
 * Roots by Newton on y = x^(-1/n), which needs no division by y. A logarithm is nearly a whole
 * number's bits, so a first guess within 3.5 % is a subtraction of bits, of which the upper half
 * is enough; each round squares its error and takes it (n + 1)/2 times.
 */
enum { OW_ROOT_ROUNDS = 4 };

OW_INLINE double ow_root_guess(double of_one, double x, double share)
{
    /* Added to 2^52, a whole number stands in the last bits. */
    const double whole = 0x1p52;
    double upper = ow_of_bits(ow_bits_of(whole) | ow_bits_of(x) >> 32) - whole;
    return ow_of_bits(ow_bits_of((of_one - upper * share) + whole) << 32);
}

/* Beside the roots: nought and below the least normal number 0, below that NAN, infinity itself. */
OW_INLINE double ow_root_or(double root, double x)
{
    double beside = x > DBL_MAX ? x : x >= 0.0 ? 0.0 : NAN;
    return x >= DBL_MIN && x <= DBL_MAX ? root : beside;
}

OW_INLINE double ow_third_root_inline(double x)
{
    double y = ow_root_guess(0x553ef006, x, 1.0 / 3);
    for (int round = 0; round < OW_ROOT_ROUNDS; round++) {
        y += y * ((1.0 - (y * y) * (x * y)) * (1.0 / 3));
    }
    return ow_root_or(x * (y * y), x);
}

OW_INLINE double ow_four_fifths_inline(double x)
{
    double y = ow_root_guess(0x4cb8a843, x, 1.0 / 5);
    for (int round = 0; round < OW_ROOT_ROUNDS; round++) {
        double square = y * y;
        y += y * ((1.0 - (square * square) * (x * y)) * 0.2);
    }
    return ow_root_or(x * y, x);
}

#endif
