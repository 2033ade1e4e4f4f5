/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The time of one `rest` of a build as fitted, in fresh water at 12 C. */
#ifndef BALLASTRY_TESTS_BENCH_TIME_REST_H
#define BALLASTRY_TESTS_BENCH_TIME_REST_H

#include "build/build.h"
#include "bench/timing.h"

#include <stdio.h>

static inline _Noreturn void stop(const BlyError *err) {
    (void)fprintf(stderr, "bench: %s: %s\n", err->where, err->text);
    exit(1);
}

/* Fills runs[count], s; each is the mean of `each` rests. */
static inline void time_rest(const BlyBuild *build, int each, double *runs, int count) {
    BlyWater water;
    BlyLure lure;
    BlyOutcome outcome;
    BlyError err = {0};
    if (!bly_water_at(12, 0, &water, &err) ||
        !bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, &err))
        stop(&err);
    for (int r = 0; r < count; r++) {
        double start = cpu_secs();
        for (int i = 0; i < each; i++) {
            if (!bly_rest(&lure, &water, &outcome, &err))
                stop(&err);
        }
        runs[r] = (cpu_secs() - start) / each;
    }
    bly_lure_release(&lure);
}

#endif
