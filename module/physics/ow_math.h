/* SPDX-License-Identifier: MIT */
/*
 * The few transcendental functions that forcing and tables need, from basic arithmetic only, so
 * that every x86-64 machine gives the same last bit (the C library may choose another code path
 * on another processor). Within a relative error of 1e-15 of the true value on the ranges named
 * (ow_pow: see there), near zeros of the result too; a NAN in gives a NAN out.
 */
#ifndef OVERWINTER_PHYSICS_OW_MATH_H
#define OVERWINTER_PHYSICS_OW_MATH_H

#define OW_PI 3.14159265358979323846

double ow_exp(double x);             /* |x| <= 700; beyond it 0 or the largest double */
double ow_log(double x);             /* x > 0; NAN otherwise */
double ow_pow(double x, double y);   /* x > 0, by exp and log: within 1e-15 (1 + |y log x|) */
double ow_third_root(double x);      /* x^(1/3), x >= 0; NAN otherwise; below DBL_MIN 0 */
double ow_four_fifths(double x);     /* x^(4/5), alike */
double ow_sin(double x);             /* |x| <= 1e6 rad; NAN otherwise */
double ow_cos(double x);             /* |x| <= 1e6 rad; NAN otherwise */
double ow_atan2(double y, double x); /* -pi..pi, as in C */
double ow_asin(double x);            /* x is clamped to -1..1 */
double ow_acos(double x);            /* x is clamped to -1..1 */

#endif
