/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The smallest change that mends a finished lure: searches with no change allowed, then one, then
 * two, until some rig meets the target. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MORE_CHANGES = 1 }; /* looked at beyond the least */

/* As many seats as can change, or as the limits allow. */
static int changes_most(const BlyBuild *build, const BlyFitOptions *options) {
    int seats = 0;
    for (size_t s = 0; s < build->seat_count; s++)
        seats += problem_open(build, options, s) != 0;
    int allowed = build->limits.changes_most;
    return allowed >= 0 && allowed < seats ? allowed : seats;
}

/* Parts and cuts alike: found before with fewer changes allowed. */
static bool found_before(const BlyFitResult *all, const BlyFitRig *rig) {
    for (size_t k = 0; k < all->count; k++) {
        const BlyRig *a = &all->rigs[k].rig, *b = &rig->rig;
        bool same = true;
        for (size_t s = 0; s < a->count; s++) {
            for (int kind = 0; kind < BLY_PART_KINDS; kind++)
                same = same && a->at[s].piece[kind].part == b->at[s].piece[kind].part;
        }
        if (same)
            return true;
    }
    return false;
}

/* Moves what is new from one search to the whole list, which has room for `wanted`. */
static void take_new(BlyFitResult *from, size_t wanted, BlyFitResult *all) {
    for (size_t i = 0; i < from->count && all->count < wanted; i++) {
        if (found_before(all, &from->rigs[i]))
            continue;
        all->rigs[all->count++] = from->rigs[i];
        memset(&from->rigs[i], 0, sizeof from->rigs[i]);
    }
    all->nodes += from->nodes;
    all->columns = from->columns;
    all->rounds += from->rounds;
    all->proven = all->proven && from->proven;
    all->cost_least = fmin(all->cost_least, from->cost_least);
}

static bool search(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                   size_t wanted, BlyFitResult *all, BlyError *err) {
    int most = changes_most(build, options), last = most;
    double deadline = fit_deadline(options);
    BlyBuild capped = *build;
    for (int changes = 0; changes <= last && all->count < wanted; changes++) {
        BlyFitResult one = {0};
        capped.limits.changes_most = changes;
        BlyFitOptions left = *options;
        left.time_limit_secs = fit_secs_left(deadline);
        if (!bly_fit(&capped, catalog, &left, &one, err)) {
            bly_fit_release(&one);
            return false;
        }
        if (one.met) {
            if (!all->met && changes + MORE_CHANGES < last)
                last = changes + MORE_CHANGES;
            all->met = true;
        }
        bool stopped = one.stopped || fit_over(options, deadline);
        if (one.met || (!all->met && (changes == most || stopped)))
            take_new(&one, wanted, all);
        if (stopped) {
            all->stopped = true;
            all->proven = false;
            last = changes;
        }
        memcpy(all->impossible, one.impossible, sizeof all->impossible);
        bly_fit_release(&one);
    }
    all->gap = all->proven ? 0 : rig_gap(all->count > 0 ? &all->rigs[0] : NULL, all->cost_least);
    return true;
}

bool bly_fit_finished(const BlyBuild *build, const BlyCatalog *catalog,
                      const BlyFitOptions *options, BlyFitResult *out, BlyError *err) {
    BlyFitOptions finished = *options;
    size_t wanted = options->rigs == 0 ? 5 : options->rigs;
    finished.after_build = true;
    *out = (BlyFitResult){.finished = true, .proven = true, .cost_least = INFINITY};
    if (wanted > BLY_FIT_RIGS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "at most %d rigs", BLY_FIT_RIGS_MAX);
    out->rigs = calloc(wanted, sizeof *out->rigs);
    if (out->rigs == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    if (search(build, catalog, &finished, wanted, out, err))
        return true;
    bly_fit_release(out);
    return false;
}
