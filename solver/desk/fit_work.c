/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best rigs of a build, how each can be trimmed, and what is seldom meant of them. */
#include "desk/work.h"

#include <stdlib.h>

static bool halted(const BlyFitOptions *options) {
    return options->stop != NULL && options->stop(options->stop_context);
}

/* Of all rigs or, where the maker says stop meanwhile, of none. */
static bool find_reserves(const BlyBuild *build, const BlyCatalog *catalog,
                          const BlyFitOptions *asked, FitWork *w, BlyError *err) {
    const BlyReserveOptions options = {.finished = w->result.finished};
    bool good = true;
    if (!w->result.met || halted(asked))
        return true;
    w->reserves = calloc(w->result.count + 1, sizeof *w->reserves);
    if (w->reserves == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the reserves");
    for (size_t i = 0; good && i < w->result.count && !halted(asked); i++)
        good = bly_reserve(build, catalog, &w->result.rigs[i].rig, &options, &w->reserves[i], err);
    if (halted(asked)) {
        free(w->reserves);
        w->reserves = NULL;
        w->result.stopped = true;
    }
    return good;
}

/* A search that its time limit stopped has chances of a few hundred lures, good to rank by: what is
 * told is of all that a chance is of. */
static void tell_full_chances(bool after_tests, FitWork *w) {
    for (size_t i = 0; w->reserves != NULL && i < w->result.count; i++)
        w->result.rigs[i].chance =
            after_tests ? bly_reserve_chance(&w->reserves[i]) : w->reserves[i].chance[0];
}

static bool find_slips(const BlyBuild *build, FitWork *w, BlyError *err) {
    bool good = w->result.count > 0 || bly_build_slips(build, &build->fitted, &w->slips, err);
    for (size_t i = 0; good && i < w->result.count; i++)
        good = bly_build_slips(build, &w->result.rigs[i].rig, &w->slips, err);
    return good;
}

static bool find_wished(const BlyBuild *build, FitWork *w, BlyError *err) {
    bool good = true;
    if (!build->has_tow_wish || w->result.count == 0)
        return true;
    w->wished = calloc(w->result.count, sizeof *w->wished);
    if (w->wished == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs on the line");
    for (size_t i = 0; good && i < w->result.count; i++)
        good = bly_tow_wished(build, &w->result.rigs[i].rig, &w->wished[i], err);
    return good;
}

static bool choose(const BlyBuild *build, const BlyCatalog *catalog, FitRank rank,
                   const BlyFitOptions *options, FitWork *w, BlyError *err) {
    BlyFitOptions how = *options;
    bool found;
    how.by_reserve = rank == FIT_FINISHED;
    if (rank == FIT_SUREST)
        return bly_fit_surest(build, catalog, options, &w->result, &w->reserves, err);
    if (rank == FIT_ON_PAPER)
        found = bly_fit(build, catalog, options, &w->result, err);
    else
        found = bly_fit_finished(build, catalog, &how, &w->result, err);
    if (!found || !find_reserves(build, catalog, options, w, err))
        return false;
    if (w->result.finished)
        tell_full_chances(how.by_reserve, w);
    return true;
}

/* Of the first rig; of none where the maker says stop meanwhile. */
static bool find_worth(const BlyBuild *build, const BlyCatalog *catalog,
                       const BlyFitOptions *options, FitWork *w, BlyError *err) {
    const TrimHalt halt = {options->stop, options->stop_context};
    if (w->reserves == NULL || w->result.count == 0 || w->result.finished || halted(options))
        return true;
    bool good = worth_work(build, catalog, &w->result.rigs[0].rig, &halt, &w->worth, err);
    if (halted(options)) {
        free(w->worth);
        w->worth = NULL;
    }
    return good;
}

bool fit_work(const BlyBuild *build, const BlyCatalog *catalog, FitRank rank,
              const BlyFitOptions *options, FitWork *w, BlyError *err) {
    *w = (FitWork){.reserves = NULL};
    return choose(build, catalog, rank, options, w, err) && find_wished(build, w, err) &&
           find_slips(build, w, err) && find_worth(build, catalog, options, w, err);
}

void fit_work_release(FitWork *w) {
    free(w->reserves);
    free(w->wished);
    free(w->worth);
    bly_slips_release(&w->slips);
    bly_fit_release(&w->result);
}
