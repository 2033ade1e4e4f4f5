/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the fit room: the steps of a fit by stages. */
#ifndef BALLASTRY_FIT_STAGED_H
#define BALLASTRY_FIT_STAGED_H

#include "fit/problem.h"

/* What follows a search that finds nothing: another (its nearest miss is enough, by a first look);
 * another, but nothing new can come of these candidates (a proof of that is sought as well, where
 * they are few); nothing; nothing, and its rigs are judged by their chance, so that no proof is
 * sought. */
typedef enum FitTry { FIT_TRY_FIRST, FIT_TRY_BEYOND, FIT_TRY_LAST, FIT_TRY_WIDER } FitTry;

/* Ranks what was found anew: called once with the problem that out's rigs are of. */
typedef struct FitRanker {
    bool (*rank)(void *context, const Problem *found, BlyFitResult *out, BlyError *err);
    void *context;
} FitRanker;

/* bly_fit; ranker may be NULL. With one, rigs that meet the target come to it unfinished, up to
 * FIT_RANKED_MOST. */
bool fit_staged(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                const FitRanker *ranker, BlyFitResult *out, BlyError *err) BLY_MUST_CHECK;

/* One search among the problem's candidates, from what the water does to the rig `near` (NULL: from
 * candidates of middling mass). Release *out in every case. */
bool fit_search(Problem *problem, const BlyFitRig *near, FitTry which, BlyFitResult *out,
                BlyError *err) BLY_MUST_CHECK;

/* Tries the rules of `live` one at a time, beside those that `base` has loosened already
 * (`loosened`), and writes to out->craft which of them stands in the way. out->rigs are the nearest
 * misses so far, or none. */
bool fit_loosen(const Problem *base, unsigned live, unsigned loosened, BlyFitResult *out,
                BlyError *err) BLY_MUST_CHECK;

#endif
