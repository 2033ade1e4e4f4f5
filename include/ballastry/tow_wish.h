/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks of the lure on a line ("tow" in a build's target), held against what the model
 * says: of the lure as it should come out, and of the draws. An estimate, as all of tow.h. */
#ifndef BALLASTRY_TOW_WISH_H
#define BALLASTRY_TOW_WISH_H

#include "ballastry/tow_range.h"

BLY_API_BEGIN

/* The lure as it should come out. An `off` is how far it lies beyond the wish: 0 where it keeps it
 * or nothing is asked, INFINITY where it lies nowhere or is never drawn under. */
typedef struct BlyTowVerdict {
    bool met;
    double nose_off;    /* rad, above 0: too far nose-down */
    double depth_off;   /* m, above 0: too deep */
    double under_off;   /* m/s, above 0: is drawn under only at so much more */
    double draws_under; /* m/s; NAN: not asked */
    BlyTowRun run;      /* at the speed asked for */
} BlyTowVerdict;

/* In still water of these facts. BLY_E_MISSING "/target/tow" for a build without such a wish;
 * errors of lure and tow. */
bool bly_tow_judge(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *water,
                   BlyTowVerdict *out, BlyError *err) BLY_MUST_CHECK;
/* The same of a lure that is made already. */
bool bly_tow_judge_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                        const BlyWater *water, BlyTowVerdict *out, BlyError *err) BLY_MUST_CHECK;

/* How far off all in all, in half-bands as BlyFitRig.off: from the middle of each band, less a
 * quarter; of a band with one end from a point inside it, by 5 degrees or a third of that end, as
 * unsure as the model is, and nothing beyond that point; the speed likewise. At most 10 for each.
 */
double bly_tow_verdict_off(const BlyTowWish *wish, const BlyTowVerdict *verdict);

/* All that is told of a wish: the verdict, ranges at the speed asked for on the line asked for, and
 * how many of the draws keep it. In the first water of the target. */
typedef struct BlyTowWished {
    BlyTowVerdict verdict;
    BlyTowed towed;
    double met, nose_down, depth, draws_under; /* shares of the draws; NAN: not asked */
} BlyTowWished;
bool bly_tow_wished(const BlyBuild *build, const BlyRig *rig, BlyTowWished *out,
                    BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
