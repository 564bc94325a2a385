/* SPDX-License-Identifier: MIT */
#include "physics/ow_math.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "physics/ow_math_inline.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* Split as OW_LN2_HIGH and _LOW are. */
static const double half_pi_high = 0x1.921fb544p+0;
static const double half_pi_middle = 0x1.0b4611a6p-34;
static const double half_pi_low = 0x1.3198a2e037073p-69;

static const double two_over_pi = 0x1.45f306dc9c883p-1;
static const double half_pi = 0x1.921fb54442d18p+0;
static const double half_pi_rest = 0x1.1a62633145c07p-54;

double ow_exp(double x)
{
    return ow_exp_inline(x);
}

double ow_log(double x)
{
    /* log m = 2 atanh(s), s = (m - 1)/(m + 1), |s| < 0.172; terms 1/3 .. 1/23 in s^2. */
    static const double series[] = {
        1.0 / 3,  1.0 / 5,  1.0 / 7,  1.0 / 9,  1.0 / 11, 1.0 / 13,
        1.0 / 15, 1.0 / 17, 1.0 / 19, 1.0 / 21, 1.0 / 23,
    };
    static const double sqrt_half = 0x1.6a09e667f3bcdp-1;
    if (!(x > 0.0)) {
        return NAN;
    }
    if (isinf(x)) {
        return x;
    }
    bool subnormal = x < DBL_MIN;
    uint64_t bits = ow_bits_of(subnormal ? x * 0x1p54 : x), half = ow_bits_of(0.5);
    uint64_t fraction = bits & (((uint64_t)1 << 52) - 1);
    int exponent = (int)(bits >> 52) - 1022 - (subnormal ? 54 : 0);
    double m = ow_of_bits(half | fraction); /* x = m 2^exponent, 0.5 <= m < 1 */
    if (m < sqrt_half) {
        m *= 2.0;
        exponent--;
    }
    double s = (m - 1.0) / (m + 1.0);
    double z = s * s;
    double log_m = 2.0 * s + 2.0 * s * z * ow_polynomial(series, COUNT(series), z);
    double k = (double)exponent;
    return k * OW_LN2_HIGH + (k * OW_LN2_LOW + log_m);
}

double ow_pow(double x, double y)
{
    return ow_exp(y * ow_log(x));
}

double ow_third_root(double x)
{
    return ow_third_root_inline(x);
}

double ow_four_fifths(double x)
{
    return ow_four_fifths_inline(x);
}

/* sin and cos for |r| <= pi/4. */
static double sin_near_zero(double r)
{
    static const double series[] = {
        -1.0 / 6,
        1.0 / 120,
        -1.0 / 5040,
        1.0 / 362880,
        -1.0 / 39916800,
        1.0 / 6227020800.0,
        -1.0 / 1307674368000.0,
        1.0 / 355687428096000.0,
    };
    double z = r * r;
    return r + r * z * ow_polynomial(series, COUNT(series), z);
}

static double cos_near_zero(double r)
{
    static const double series[] = {
        1.0 / 24,
        -1.0 / 720,
        1.0 / 40320,
        -1.0 / 3628800,
        1.0 / 479001600,
        -1.0 / 87178291200.0,
        1.0 / 20922789888000.0,
    };
    double z = r * r;
    return 1.0 - (0.5 * z - z * z * ow_polynomial(series, COUNT(series), z));
}

/* sin(x + quarter turns * pi/2). */
static double sin_turned(double x, int quarter_turns)
{
    if (!(fabs(x) <= 1e6)) {
        return NAN;
    }
    double n = floor(x * two_over_pi + 0.5);
    double r = ((x - n * half_pi_high) - n * half_pi_middle) - n * half_pi_low;
    unsigned quadrant = ((unsigned)(int)n + (unsigned)quarter_turns) & 3U;
    double value = (quadrant & 1U) != 0 ? cos_near_zero(r) : sin_near_zero(r);
    return (quadrant & 2U) != 0 ? -value : value;
}

double ow_sin(double x)
{
    return sin_turned(x, 0);
}

double ow_cos(double x)
{
    return sin_turned(x, 1);
}

/* atan for 0 <= q <= 1: the nearest eighth from a table, the rest (|t| <= 1/16) by series. */
static double atan_to_one(double q)
{
    static const double eighths[] = {
        0.0,
        0x1.fd5ba9aac2f6ep-4,
        0x1.f5b75f92c80ddp-3,
        0x1.6f61941e4def1p-2,
        0x1.dac670561bb4fp-2,
        0x1.1e00babdefeb4p-1,
        0x1.4978fa3269ee1p-1,
        0x1.700a7c5784634p-1,
        0x1.921fb54442d18p-1,
    };
    static const double series[] = {
        -1.0 / 3, 1.0 / 5, -1.0 / 7, 1.0 / 9, -1.0 / 11, 1.0 / 13,
    };
    int k = (int)floor(q * 8.0 + 0.5);
    double c = (double)k / 8.0;
    double t = (q - c) / (1.0 + q * c);
    double z = t * t;
    return eighths[k] + (t + t * z * ow_polynomial(series, COUNT(series), z));
}

double ow_atan2(double y, double x)
{
    if (isnan(x) || isnan(y)) {
        return NAN;
    }
    double up = fabs(y);
    double along = fabs(x);
    if (isinf(up) && isinf(along)) {
        up = along = 1.0;
    }
    double low = fmin(up, along);
    double high = fmax(up, along);
    double angle = high > 0.0 ? atan_to_one(low / high) : 0.0;
    if (up > along) {
        angle = half_pi - (angle - half_pi_rest);
    }
    if (signbit(x)) {
        angle = 2.0 * half_pi - (angle - 2.0 * half_pi_rest);
    }
    return copysign(angle, y);
}

static double clamp_to_unit(double x)
{
    if (x > 1.0) {
        return 1.0;
    }
    return x < -1.0 ? -1.0 : x;
}

double ow_asin(double x)
{
    double s = clamp_to_unit(x);
    return ow_atan2(s, sqrt((1.0 - s) * (1.0 + s)));
}

double ow_acos(double x)
{
    double c = clamp_to_unit(x);
    return ow_atan2(sqrt((1.0 - c) * (1.0 + c)), c);
}
