/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last step under water, where a rig costs little to work through: drag and the flow's couple
 * differ from rig to rig, which no linear programme knows. Each seat's alternatives of the same
 * look are weighed by what they would change about this rig's own outcome, and the most promising
 * are worked through. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIED_A_SEAT = 12, PASSES = 3 };

/* What is foreseen may be this far wrong, in half-bands: away from the best rig, drag and the
 * couple of the flow differ. */
static const double doubt = 1;

/* Distance beyond the dead zone, in half-bands, were the rig's sums changed by `change`. */
static double foreseen_off(const Problem *p, const BlyFitRig *rig, const Lump *change) {
    double off = 0;
    for (size_t w = 0; w < p->water_count; w++) {
        const Frame *f = &p->frame[w];
        const BlyOutcome *o = &rig->outcome[w];
        if (isfinite(f->n_middle)) {
            double net = 1e3 * o->sums.net_weight + frame_weight(f, change);
            off += fmax(0, fabs(net - f->n_middle) / f->n_half - FIT_DEAD_ZONE);
        }
        double angle = o->nose_down;
        if (f->has_attitude && isfinite(angle)) {
            double turned = angle - frame_moment(f, change, AT_MIDDLE) / (1e6 * o->stiffness);
            double half = fmax((f->angle[AT_HIGH] - f->angle[AT_LOW]) / 2, 1e-9);
            off += fmax(0, fabs(turned - f->angle[AT_MIDDLE]) / half - FIT_DEAD_ZONE);
        }
    }
    return off / (double)p->water_count;
}

typedef struct Promise {
    size_t candidate;
    double merit;
} Promise;

static void keep_promise(Promise best[TRIED_A_SEAT], Promise one) {
    for (int i = 0; i < TRIED_A_SEAT; i++) {
        if (one.merit < best[i].merit) {
            Promise swap = best[i];
            best[i] = one;
            one = swap;
        }
    }
}

/* The alternatives at one seat that look the same and promise most. */
static void find_promises(const Problem *p, const BlyFitRig *rig, const Pick *pick, size_t set,
                          Promise best[TRIED_A_SEAT]) {
    const CandidateSet *s = &p->sets[set];
    const Candidate *now = &s->at[pick->candidate[set]];
    for (int i = 0; i < TRIED_A_SEAT; i++)
        best[i] = (Promise){0, INFINITY};
    for (size_t c = 0; c < s->count; c++) {
        const Candidate *other = &s->at[c];
        bool more = other->changed && !now->changed && p->build->limits.changes_most >= 0;
        if (c == pick->candidate[set] || other->visible != now->visible || other->filing > 0 ||
            more)
            continue;
        Lump change = moments_sum(other->lump, moments_scaled(now->lump, -1));
        double merit = foreseen_off(p, rig, &change) + rig->cost + other->cost - now->cost;
        keep_promise(best, (Promise){c, merit});
    }
}

/* Hooks that would meet are left to the programme's own rule: a swap keeps hooks but may move
 * them, so a place that brings them together is not tried. */
static bool meets_others(const Problem *p, const Pick *pick, size_t set, size_t candidate) {
    for (size_t i = 0; i < p->set_count; i++) {
        if (i != set && problem_clash(p, set, &p->sets[set].at[candidate], i,
                                      &p->sets[i].at[pick->candidate[i]]))
            return true;
    }
    return false;
}

static bool polish_seat(const Problem *p, Pick *pick, BlyFitRig *rig, size_t set, bool *better,
                        BlyError *err) {
    Promise best[TRIED_A_SEAT];
    if (p->sets[set].at[pick->candidate[set]].filing > 0)
        return true;
    find_promises(p, rig, pick, set, best);
    for (int i = 0; i < TRIED_A_SEAT && best[i].merit < rig_merit(rig) + doubt; i++) {
        size_t keep = pick->candidate[set];
        bool won = false;
        if (problem_over(p))
            return true;
        if (meets_others(p, pick, set, best[i].candidate))
            continue;
        pick->candidate[set] = best[i].candidate;
        if (!problem_box_holds(p, pick->candidate)) {
            pick->candidate[set] = keep;
            continue;
        }
        if (!rig_try(p, pick, rig, &won, err))
            return false;
        if (!won)
            pick->candidate[set] = keep;
        *better = *better || won;
    }
    return true;
}

bool rig_polish_seats(const Problem *p, Pick *pick, BlyFitRig *rig, BlyError *err) {
    bool better = true;
    for (int pass = 0; better && pass < PASSES; pass++) {
        better = false;
        for (size_t set = 0; set < p->set_count; set++) {
            if (!polish_seat(p, pick, rig, set, &better, err))
                return false;
        }
    }
    return true;
}
