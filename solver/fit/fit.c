/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit: choose by the programme, work every pick through the full physics, set the bands anew
 * from the best, and again until both agree. */
#include "fit/pool.h"
#include "fit/staged.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS_MOST = 8, PICKS_A_RIG = 4, PICKS_LEAST = 20 };
static const double agreed = 0.02; /* frames closer than this, in half-bands, are the same */

/* The candidate of middling mass stands for a seat before anything is chosen. */
static size_t middling(const CandidateSet *set) {
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < set->count; i++) {
        low = fmin(low, set->at[i].lump.m);
        high = fmax(high, set->at[i].lump.m);
    }
    size_t best = 0;
    double middle = (low + high) / 2;
    for (size_t i = 1; i < set->count; i++) {
        if (fabs(set->at[i].lump.m - middle) < fabs(set->at[best].lump.m - middle))
            best = i;
    }
    return best;
}

bool problem_first_frames(Problem *p, BlyError *err) {
    BlyRig like = {0};
    bool good = bly_rig_copy(&like, &p->build->fitted, err);
    for (size_t i = 0; good && i < p->set_count; i++)
        like.at[p->sets[i].seat] = p->sets[i].at[middling(&p->sets[i])].choice;
    good = good && problem_frames(p, &like, NULL, err);
    bly_rig_release(&like);
    return good;
}

/* Ended before any rig was worked through: there is a nearest miss all the same. */
static bool add_middling(Problem *p, Pool *pool, BlyError *err) {
    if (pool->count > 0)
        return true;
    Pick pick = {.count = p->set_count,
                 .candidate = calloc(p->set_count + 1, sizeof *pick.candidate),
                 .filed = calloc(p->set_count + 1, sizeof *pick.filed)};
    bool good = (pick.candidate != NULL && pick.filed != NULL) ||
                bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
    for (size_t i = 0; good && i < p->set_count; i++)
        pick.candidate[i] = middling(&p->sets[i]);
    good = good && pool_add(pool, p, &pick, err);
    free(pick.candidate);
    free(pick.filed);
    return good;
}

/* Sets the frames from the best rig so far; tells how far they moved. */
static bool move_frames(Problem *p, const Pool *pool, double *moved, BlyError *err) {
    Frame before[BLY_FIT_WATERS_MAX];
    const LineRows line = p->line;
    memcpy(before, p->frame, sizeof before);
    *moved = 0;
    const BlyFitRig *best = pool_best(pool);
    if (best == NULL)
        return true;
    if (!problem_frames(p, &best->rig, best->outcome, err))
        return false;
    for (size_t w = 0; w < p->water_count; w++)
        *moved = fmax(*moved, frame_distance(&before[w], &p->frame[w]));
    *moved = fmax(*moved, line_rows_distance(&line, &p->line));
    return true;
}

static void tell(const Problem *p, BlyFitStage stage, const Pool *pool, bool proven) {
    const BlyFitRig *best = pool_best(pool);
    double gap = proven ? 0 : rig_gap(best, p->cost_least);
    const BlyFitProgress progress = {.stage = stage,
                                     .rigs = pool->count,
                                     .met = best != NULL && best->met,
                                     .off = best != NULL ? best->off : NAN,
                                     .gap = gap};
    fit_tell(p->options, &progress);
}

/* Ended early: whatever was proven was proven of an earlier look. */
static void stop(BlyFitResult *out) {
    out->stopped = true;
    out->complete = out->proven = false;
}

static bool work_through(Problem *p, const PickList *picks, Pool *pool, BlyFitResult *out,
                         BlyError *err) {
    for (size_t i = 0; i < picks->count; i++) {
        if (pool->count > 0 && problem_over(p)) {
            stop(out);
            return true;
        }
        if (!pool_add(pool, p, &picks->at[i], err))
            return false;
        tell(p, BLY_FIT_WORKS, pool, false);
    }
    return true;
}

/* Where another try follows, rounds after the first ask only for what keeps its bands. */
static bool run_rounds(Problem *p, Pool *pool, bool last_try, BlyFitResult *out, BlyError *err) {
    size_t wanted = p->rigs_wanted * PICKS_A_RIG;
    wanted = wanted < PICKS_LEAST ? PICKS_LEAST : wanted;
    double moved = INFINITY;
    for (out->rounds = 0; out->rounds < ROUNDS_MOST && moved > agreed; out->rounds++) {
        if (out->stopped || problem_over(p)) {
            stop(out);
            return true;
        }
        PickList picks;
        tell(p, BLY_FIT_CHOOSES, pool, false);
        if (!problem_choose(p, wanted, &picks, err))
            return false;
        out->complete = picks.proven;
        out->stopped = picks.stopped;
        out->nodes += picks.nodes;
        out->columns = picks.columns;
        bool good = work_through(p, &picks, pool, out, err);
        picks_release(&picks);
        if (!good || !move_frames(p, pool, &moved, err))
            return false;
        const BlyFitRig *best = pool_best(pool);
        p->enough = last_try || (best != NULL && best->met) ? 0 : problem_in_bands(p);
    }
    p->enough = 0;
    return true;
}

/* Hooks, lips and surface metal are what a maker sees; see choice_look in candidates.c. */
bool fit_looks_alike(const BlyRig *a, const BlyRig *b) {
    static const BlyPartKind seen[] = {BLY_PART_HOOK, BLY_PART_SHEET, BLY_PART_OUTLINE,
                                       BLY_PART_STRIP, BLY_PART_DOT};
    for (size_t s = 0; s < a->count; s++) {
        for (size_t k = 0; k < sizeof seen / sizeof seen[0]; k++) {
            if (a->at[s].of[seen[k]].part != b->at[s].of[seen[k]].part)
                return false;
        }
    }
    return true;
}

static bool alike_before(const Pool *pool, size_t index) {
    for (size_t k = 0; k < index; k++) {
        if (fit_looks_alike(&pool->at[k].rig.rig, &pool->at[index].rig.rig))
            return true;
    }
    return false;
}

/* Polishes the best rig of each look, twice as many as are wanted, and puts all in order. */
static bool polish_best(const Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
    if (pool->count == 0)
        return true;
    pool_sort(pool);
    size_t polished = 0, most = 2 * p->rigs_wanted;
    for (size_t i = 0; i < pool->count && polished < most; i++) {
        if (problem_over(p))
            break;
        if (alike_before(pool, i))
            continue;
        if (!rig_polish(p, &pool->at[i].pick, &pool->at[i].rig, err))
            return false;
        polished++;
    }
    if (problem_over(p))
        stop(out);
    pool_sort(pool);
    return true;
}

/* ---- every rig, where they are few ---- */

/* Worked through for the proof; afloat each costs ten times as much. */
enum { RESTS_FOR_PROOF = 3000, RESTS_AFLOAT = 600 };

typedef struct Proving {
    const Problem *p;
    Pool *pool;
    double below; /* merit from which on a rig changes nothing */
} Proving;

static bool pool_has_pick(const Pool *pool, const Pick *pick, size_t sets) {
    for (size_t i = 0; i < pool->count; i++) {
        if (memcmp(pool->at[i].pick.candidate, pick->candidate, sets * sizeof *pick->candidate) ==
            0)
            return true;
    }
    return false;
}

/* The merit of the last rig that would be listed; INFINITY while there are fewer that meet the
 * target. The pool is in order. */
static double last_listed(const Problem *p, const Pool *pool) {
    size_t listed = 0;
    for (size_t i = 0; i < pool->count && pool->at[i].rig.met; i++) {
        if (!alike_before(pool, i) && ++listed == p->rigs_wanted)
            return rig_merit(&pool->at[i].rig);
    }
    return INFINITY;
}

static bool prove_one(void *context, const Pick *pick, BlyError *err) {
    Proving *proving = context;
    size_t before = proving->pool->count;
    if (pool_has_pick(proving->pool, pick, proving->p->set_count))
        return true;
    if (!pool_add(proving->pool, proving->p, pick, err))
        return false;
    tell(proving->p, BLY_FIT_WORKS, proving->pool, false);
    if (proving->pool->count > before && proving->pool->at[before].rig.met) {
        pool_sort(proving->pool);
        proving->below = last_listed(proving->p, proving->pool);
    }
    return true;
}

/* Works through all rigs that might yet be listed, where they are few enough: a proof. */
static bool prove(const Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
    Proving proving = {p, pool, INFINITY};
    size_t rests = p->build->target.state == BLY_FLOATS ? RESTS_AFLOAT : RESTS_FOR_PROOF;
    if (pool->count == 0 && out->complete) { /* limits leave no rig, whatever the physics */
        out->proven = true;
        return true;
    }
    if (out->stopped)
        return true;
    pool_sort(pool);
    proving.below = last_listed(p, pool);
    if (!problem_every_rig(p, &proving.below, rests / p->water_count, prove_one, &proving,
                           &out->proven, err))
        return false;
    pool_sort(pool);
    return true;
}

/* Afloat a plan costs ten times as much. */
static size_t ranked_most(const Problem *p) {
    const bool afloat = p->build->target.state == BLY_FLOATS;
    size_t most = afloat ? FIT_RANKED_MOST / 2 : FIT_RANKED_MOST;
    if (p->a_look > 0) /* besides those on paper */
        return afloat ? FIT_RANKED_AFLOAT : most;
    return p->rigs_wanted > most ? p->rigs_wanted : most;
}

bool problem_finish(const Problem *p, BlyFitRig *rig, BlyError *err) {
    return rig_finish(p->build, rig, err) && rig_equals(p, &rig->rig, &rig->equals, err);
}

/* Moves the best rigs of the pool into the result: different ones, or some of a look. Those that
 * are ranked anew are finished after that. */
static bool take_best(const Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
    const bool met = pool->count > 0 && pool->at[0].rig.met, ranked = p->ranked && met;
    const size_t most = ranked ? ranked_most(p) : p->rigs_wanted;
    out->rigs = calloc(most, sizeof *out->rigs);
    if (out->rigs == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    bool good = true;
    out->met = met;
    for (size_t i = 0; good && i < pool->count && out->count < most; i++) {
        size_t alike = 0;
        for (size_t k = 0; k < out->count; k++)
            alike += fit_looks_alike(&out->rigs[k].rig, &pool->at[i].rig.rig);
        if (alike >= (p->a_look > 0 ? p->a_look : 1) || pool->at[i].rig.met != out->met)
            continue;
        BlyFitRig *rig = &out->rigs[out->count++];
        *rig = pool->at[i].rig;
        memset(&pool->at[i].rig, 0, sizeof pool->at[i].rig);
        good = ranked || problem_finish(p, rig, err);
    }
    return good;
}

/* The nearest miss alone, for the next try to start from. */
static bool take_nearest(Pool *pool, BlyFitResult *out, BlyError *err) {
    pool_sort(pool);
    if (pool->count == 0)
        return true;
    out->rigs = calloc(1, sizeof *out->rigs);
    if (out->rigs == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    out->rigs[out->count++] = pool->at[0].rig;
    memset(&pool->at[0].rig, 0, sizeof pool->at[0].rig);
    out->met = out->rigs[0].met;
    return true;
}

static bool search(Problem *p, const BlyFitRig *near, FitTry which, Pool *pool, BlyFitResult *out,
                   BlyError *err) {
    const bool last_try = which == FIT_TRY_LAST || which == FIT_TRY_WIDER;
    out->cost_least = p->cost_least;
    out->gap = NAN;
    if (problem_over(p)) { /* before there was anything to choose from */
        stop(out);
    } else {
        if (!(near != NULL ? problem_frames(p, &near->rig, near->outcome, err)
                           : problem_first_frames(p, err)))
            return false;
        problem_impossible(p, out->impossible, sizeof out->impossible);
        if (!run_rounds(p, pool, last_try, out, err))
            return false;
    }
    if (out->stopped && !add_middling(p, pool, err))
        return false;
    bool nothing = !out->stopped && (pool_best(pool) == NULL || !pool_best(pool)->met);
    if ((which == FIT_TRY_FIRST || which == FIT_TRY_WIDER) && nothing)
        return take_nearest(pool, out, err);
    if (which != FIT_TRY_WIDER && !prove(p, pool, out, err))
        return false;
    if (which == FIT_TRY_BEYOND && nothing && (pool->count == 0 || !pool_best(pool)->met))
        return take_nearest(pool, out, err);
    tell(p, BLY_FIT_POLISHES, pool, false);
    const bool rough = which == FIT_TRY_WIDER && p->build->target.state == BLY_FLOATS;
    if (rough)
        pool_sort(pool);
    else if (!out->proven && !polish_best(p, pool, out, err))
        return false;
    tell(p, BLY_FIT_FINISHES, pool, out->proven);
    if (!take_best(p, pool, out, err))
        return false;
    if (out->count == 0 && !out->stopped && out->impossible[0] == '\0')
        problem_nothing_left(p, out->impossible, sizeof out->impossible);
    out->gap = rig_gap(out->count > 0 ? &out->rigs[0] : NULL, p->cost_least);
    out->proven = out->proven || (out->gap <= 0 && !out->stopped);
    out->gap = out->proven ? 0 : out->gap;
    return true;
}

bool fit_search(Problem *p, const BlyFitRig *near, FitTry which, BlyFitResult *out, BlyError *err) {
    Pool pool = {0};
    memset(out, 0, sizeof *out);
    bool good = search(p, near, which, &pool, out, err);
    pool_release(&pool);
    return good;
}

void bly_fit_release(BlyFitResult *result) {
    for (size_t i = 0; i < result->count; i++)
        fit_rig_release(&result->rigs[i]);
    free(result->rigs);
    memset(result, 0, sizeof *result);
}
