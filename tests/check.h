/* SPDX-License-Identifier: MIT */
/*
 * Checks of numbers for the tests. A check that fails prints what was compared, what came out and
 * what was wanted, and ends the test. Include it after <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_CHECK_H
#define OVERWINTER_TESTS_CHECK_H

#include <math.h>

#include "truth/note.h"

/* Under the sanitizers all is an order slower. What they look for does not hang on how long a run
 * lasts: long ones are cut there, with the same calls made and the same checks held. */
#if defined(__SANITIZE_ADDRESS__)
#define CHECKED_BUILD 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define CHECKED_BUILD 1
#endif
#endif
#ifndef CHECKED_BUILD
#define CHECKED_BUILD 0
#endif

/* Passes when |got - want| <= abs_tol + rel_tol |want|; never for a NAN. */
static inline void check_close(const char *what, double got, double want, double abs_tol,
                               double rel_tol)
{
    double allowed = abs_tol + rel_tol * fabs(want);
    truth_note(what, fabs(got - want), allowed);
    if (!(fabs(got - want) <= allowed)) {
        fail_msg("%s: got %.17g, want %.17g, off by %.3g, allowed %.3g", what, got, want,
                 got - want, allowed);
    }
}

/* Passes when low <= got <= high; never for a NAN. */
static inline void check_between(const char *what, double got, double low, double high)
{
    if (got >= 0) {
        truth_note(what, got, high);
    }
    if (!(got >= low && got <= high)) {
        fail_msg("%s: got %.17g, want %.17g to %.17g", what, got, low, high);
    }
}

#endif
