/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How mends come out over all lures that the build may be: each lure is drawn once, and every mend
 * is tried on all of them. For mends that leave what is mounted in its place; another part brings a
 * doubt of its own and is for bly_reserve. */
#ifndef BALLASTRY_FIT_MEND_SAMPLE_H
#define BALLASTRY_FIT_MEND_SAMPLE_H

#include "fit/mend_search.h"
#include "spread/spread.h"

typedef struct MendSample {
    double u[BLY_INPUTS_MAX], sums[SUMS];
    double noise[MENDS_AT_ONCE];
    bool met; /* as it is, in every water */
    double off;
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
    double near;    /* mean of 1 / (1 + half-bands that a lure is outside): 1 on target */
} MendOdds;

bool mend_samples_make(const Bench *bench, size_t count, MendSamples *out,
                       BlyError *err) BLY_MUST_CHECK;
void mend_samples_release(MendSamples *samples);

/* What hands and parts make a mend be off by, as a share of what it adds, 95 of 100. */
double mend_give(const Bench *bench, const Mend *mend);
/* Of mends that are trims. */
MendOdds mend_odds(const Bench *bench, const MendSamples *samples, const MendList *mends,
                   const Mix *mix);

#endif
