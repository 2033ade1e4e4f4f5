/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every test program includes: cmocka, and a comparison of doubles that refuses NaN. */
#ifndef BALLASTRY_TESTS_CHECK_H
#define BALLASTRY_TESTS_CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Passes when |actual - expected| <= abs_tol + rel_tol |expected|. NaN and infinity never pass. */
#define assert_close(actual, expected, abs_tol, rel_tol)                                           \
    check_close_((actual), (expected), (abs_tol), (rel_tol), #actual, __FILE__, __LINE__)

static inline void check_close_(double actual, double expected, double abs_tol, double rel_tol,
                                const char *what, const char *file, int line) {
    double tol = abs_tol + rel_tol * fabs(expected);
    if (isfinite(actual) && isfinite(expected) && fabs(actual - expected) <= tol)
        return;
    print_error("%s: got %.12g, want %.12g, off by %.3g, tolerance %.3g\n", what, actual, expected,
                actual - expected, tol);
    _fail(file, line);
}

/* How often a sweep over made-up cases repeats: `sample` times, or `full` times with FULL=1, as
 * .ci/run runs it. The first `sample` cases are the same in both. */
static inline int repeats(int full, int sample) {
    const char *said = getenv("FULL");
    return said != NULL && said[0] != '\0' ? full : sample;
}

#define assert_between(actual, low, high)                                                          \
    check_between_((actual), (low), (high), #actual, __FILE__, __LINE__)

static inline void check_between_(double actual, double low, double high, const char *what,
                                  const char *file, int line) {
    if (isfinite(actual) && actual >= low && actual <= high)
        return;
    print_error("%s: got %.12g, want %.12g to %.12g\n", what, actual, low, high);
    _fail(file, line);
}

#endif
