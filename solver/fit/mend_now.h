/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of bly_mend. */
#ifndef BALLASTRY_FIT_MEND_NOW_H
#define BALLASTRY_FIT_MEND_NOW_H

#include "ballastry/mend.h"
#include "fit/mends.h"

/* What a bench borrows besides; owned. */
typedef struct MendBench {
    Craft craft;
    FitBox box; /* what the maker's box holds few of */
    Bench bench;
} MendBench;

/* Fails where the build has no target, more waters than a fit takes, seats that are empty yet, or
 * nothing that may change; then there is nothing to close. The bench points into *out. */
bool mend_bench_open(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                     bool by_scale, MendBench *out, BlyError *err) BLY_MUST_CHECK;
void mend_bench_close(MendBench *bench);

/* Fills in, for the plan's rig, how sure it is, what it weighs, what the next test should show, and
 * what to do on either side of it. */
bool mend_foretell(const Bench *bench, BlyMendPlan *plan, BlyError *err) BLY_MUST_CHECK;

#endif
