/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of bly_mend. */
#ifndef BALLASTRY_FIT_MEND_NOW_H
#define BALLASTRY_FIT_MEND_NOW_H

#include "ballastry/mend.h"
#include "fit/mends.h"

/* That the build has a target, no more waters than a fit takes, and something that may change. */
bool mend_check(const BlyBuild *build, const BlyFitOptions *options, BlyError *err) BLY_MUST_CHECK;

/* What the maker's box holds few of; box_end. */
bool mend_open_box(const BlyBuild *build, const BlyCatalog *catalog, FitBox *out,
                   BlyError *err) BLY_MUST_CHECK;

/* Fills in, for the plan's rig, how sure it is, what it weighs, what the next test should show, and
 * what to do on either side of it. */
bool mend_foretell(const Bench *bench, BlyMendPlan *plan, BlyError *err) BLY_MUST_CHECK;

#endif
