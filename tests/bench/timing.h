/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the bench programs share: the processor's clock, the median, and the time of one `rest`. */
#ifndef BALLASTRY_TESTS_BENCH_TIMING_H
#define BALLASTRY_TESTS_BENCH_TIMING_H

#include <stddef.h>
#include <stdlib.h>
#include <time.h>

static inline double cpu_secs(void) {
    return (double)clock() / CLOCKS_PER_SEC;
}

static inline int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* Leaves x sorted, so that the last is the worst. */
static inline double median(double *x, size_t count) {
    qsort(x, count, sizeof *x, by_value);
    return 0.5 * (x[count / 2] + x[(count - 1) / 2]);
}

#endif
