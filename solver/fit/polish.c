/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last step by the full physics. The programme is linear about the best rig, so for another
 * rig its choice of eye, ring, place or length can be a little off: each seat's alternatives of
 * the same look are weighed by what they would change about this rig's own outcome, and the most
 * promising are worked through. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIED_A_SEAT = 12, TRIED_AFLOAT = 4, PASSES = 3 };

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
        bool afloat = p->build->target.state == BLY_FLOATS && o->has_surface;
        double angle = afloat ? o->surface.nose_down : o->nose_down;
        if (f->has_attitude && isfinite(angle)) {
            double stiffness = afloat ? f->stiffness : 1e6 * o->stiffness;
            double turned = angle - frame_moment(f, change, AT_MIDDLE) / stiffness;
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
        Lump change = lump_add(other->lump, lump_scale(now->lump, -1));
        double merit = foreseen_off(p, rig, &change) + rig->cost + other->cost - now->cost;
        keep_promise(best, (Promise){c, merit});
    }
}

static bool try_one(const Problem *p, Pick *pick, BlyFitRig *rig, bool *better, BlyError *err) {
    BlyRig changed = {0};
    BlyFitRig worked = {0};
    bool good =
        problem_rig(p, pick, &changed, err) && rig_rework(p->searched, &changed, &worked, err);
    bly_rig_release(&changed);
    if (!good)
        return false;
    rig_account(p, pick, &worked);
    *better = rig_merit(&worked) < rig_merit(rig) - 1e-9;
    if (*better) {
        fit_rig_release(rig);
        *rig = worked;
    } else {
        fit_rig_release(&worked);
    }
    return true;
}

/* Hooks that would meet are left to the programme's own rule: a swap keeps hooks but may move
 * them, so a place that brings them together is not tried. */
static bool meets_others(const Problem *p, const Pick *pick, size_t set, size_t candidate) {
    const Candidate *a = &p->sets[set].at[candidate];
    for (size_t i = 0; i < p->set_count; i++) {
        const Candidate *b = &p->sets[i].at[pick->candidate[i]];
        double apart = bly_vec_norm(bly_vec_sub(a->hook_at, b->hook_at));
        if (i != set && a->hook_reach > 0 && b->hook_reach > 0 &&
            a->hook_reach + b->hook_reach > apart)
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
    /* A floater costs many times as much to work through. */
    int tried = p->build->target.state == BLY_FLOATS ? TRIED_AFLOAT : TRIED_A_SEAT;
    for (int i = 0; i < tried && best[i].merit < rig_merit(rig) + doubt; i++) {
        size_t keep = pick->candidate[set];
        bool won = false;
        if (problem_over(p))
            return true;
        if (meets_others(p, pick, set, best[i].candidate))
            continue;
        pick->candidate[set] = best[i].candidate;
        if (!try_one(p, pick, rig, &won, err))
            return false;
        if (!won)
            pick->candidate[set] = keep;
        *better = *better || won;
    }
    return true;
}

bool rig_polish(const Problem *p, Pick *pick, BlyFitRig *rig, BlyError *err) {
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
