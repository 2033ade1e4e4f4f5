/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last step by the full physics. The programme is linear about the best rig, so for another
 * rig its choice of eye, ring, place or length can be a little off. Here the programme is asked
 * once more for each look alone, linear about that look's own rest, with all that looks alike as
 * choices of their own; what it finds is worked through. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIED = 6, TRIED_AFLOAT = 4, PASSES = 3 };

/* The problem of one look: its candidates alone, and where they stand in the whole problem. */
typedef struct Look {
    Problem p;
    size_t **from; /* by set, by candidate */
} Look;

static void look_end(Look *look) {
    for (size_t i = 0; i < look->p.set_count; i++) {
        free(look->p.sets[i].at);
        if (look->from != NULL)
            free(look->from[i]);
    }
    free(look->p.sets);
    free(look->from);
}

/* Seats that are fitted as wanted stay so where changes are limited. */
static bool belongs(const Problem *p, const Candidate *now, const Candidate *other) {
    bool more = other->changed && !now->changed && p->build->limits.changes_most >= 0;
    return other->visible == now->visible && !more;
}

static bool look_set(const Problem *p, const Pick *pick, size_t set, Look *out, BlyError *err) {
    const CandidateSet *all = &p->sets[set];
    const Candidate *now = &all->at[pick->candidate[set]];
    CandidateSet *own = &out->p.sets[set];
    size_t count = 0;
    for (size_t c = 0; c < all->count; c++)
        count += belongs(p, now, &all->at[c]);
    *own = *all;
    own->at = malloc((count + 1) * sizeof *own->at);
    out->from[set] = malloc((count + 1) * sizeof *out->from[set]);
    own->count = own->room = 0;
    if (own->at == NULL || out->from[set] == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu candidates", count);
    for (size_t c = 0; c < all->count; c++) {
        if (!belongs(p, now, &all->at[c]))
            continue;
        own->at[own->count] = all->at[c];
        own->at[own->count].visible = (uint64_t)(own->count + 1) << 1;
        out->from[set][own->count++] = c;
    }
    own->room = own->count;
    return true;
}

static bool look_begin(const Problem *p, const Pick *pick, Look *out, BlyError *err) {
    out->p = *p;
    out->p.sets = calloc(p->set_count, sizeof *out->p.sets);
    out->from = calloc(p->set_count, sizeof *out->from);
    if (out->p.sets == NULL || out->from == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the candidates");
    for (size_t i = 0; i < p->set_count; i++) {
        if (!look_set(p, pick, i, out, err))
            return false;
    }
    return true;
}

bool rig_try(const Problem *p, const Pick *pick, BlyFitRig *rig, bool *better, BlyError *err) {
    BlyRig changed = {0};
    BlyFitRig worked = {0};
    bool good = problem_rig(p, pick, &changed, err) && rig_rework(p->build, &changed, &worked, err);
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

static bool same_pick(const Pick *a, const Pick *b, size_t sets) {
    for (size_t i = 0; i < sets; i++) {
        if (a->candidate[i] != b->candidate[i] || fabs(a->filed[i] - b->filed[i]) > 5e-3)
            return false;
    }
    return true;
}

/* Works the look's picks through; the best of them takes the place of `pick`. */
static bool try_picks(const Problem *p, const Look *look, PickList *picks, Pick *pick,
                      BlyFitRig *rig, bool *better, BlyError *err) {
    for (size_t i = 0; i < picks->count && !problem_over(p); i++) {
        Pick *one = &picks->at[i];
        bool won = false;
        for (size_t set = 0; set < p->set_count; set++)
            one->candidate[set] = look->from[set][one->candidate[set]];
        if (same_pick(one, pick, p->set_count))
            continue;
        if (!rig_try(p, one, rig, &won, err))
            return false;
        if (!won)
            continue;
        memcpy(pick->candidate, one->candidate, p->set_count * sizeof *pick->candidate);
        memcpy(pick->filed, one->filed, p->set_count * sizeof *pick->filed);
        *better = true;
    }
    return true;
}

bool rig_polish(const Problem *p, Pick *pick, BlyFitRig *rig, BlyError *err) {
    Look look = {0};
    bool better = true, good = look_begin(p, pick, &look, err);
    /* A floater costs many times as much to work through. */
    size_t tried = p->build->target.state == BLY_FLOATS ? TRIED_AFLOAT : TRIED;
    for (int pass = 0; good && better && pass < PASSES && !problem_over(p); pass++) {
        PickList picks = {0};
        better = false;
        good = problem_frames(&look.p, &rig->rig, rig->outcome, err) &&
               problem_choose(&look.p, tried, &picks, err);
        good = good && try_picks(p, &look, &picks, pick, rig, &better, err);
        picks_release(&picks);
    }
    look_end(&look);
    bool afloat = p->build->target.state == BLY_FLOATS;
    return good && (afloat || rig_polish_seats(p, pick, rig, err));
}
