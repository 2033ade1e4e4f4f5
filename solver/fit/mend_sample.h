/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How mends come out over all lures that the build may be: each lure is drawn once, and every mend
 * is tried on all of them, off by what hands, parts and scale leave. */
#ifndef BALLASTRY_FIT_MEND_SAMPLE_H
#define BALLASTRY_FIT_MEND_SAMPLE_H

#include "fit/mend_search.h"
#include "spread/spread.h"

typedef struct MendSample {
    double u[BLY_INPUTS_MAX], sums[SUMS];
    double noise[MENDS_AT_ONCE];
    bool met;            /* as it is, in every water */
    double off, off_all; /* half-bands outside: of what is missed most, and all added */
} MendSample;

typedef struct MendSamples {
    QuickLure *quick; /* owned; its waters are the target's */
    MendSample *at;   /* owned */
    size_t count;
    double chance; /* as it is */
} MendSamples;

/* How a mix comes out. */
typedef struct MendOdds {
    double chance;  /* that the target is met */
    double farther; /* share of lures that are outside then, and farther than before */
    double nearer;  /* by how much nearer, mean of shares of the half-bands that it was outside */
} MendOdds;

bool mend_samples_make(const Bench *bench, size_t count, MendSamples *out,
                       BlyError *err) BLY_MUST_CHECK;
void mend_samples_release(MendSamples *samples);

MendOdds mend_odds(const Bench *bench, const MendSamples *samples, const MendList *mends,
                   const Mix *mix);

#endif
