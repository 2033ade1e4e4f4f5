/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit: choose by the programme, work every pick through the full physics, set the bands anew
 * from the best, and again until both agree. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS_MOST = 8, PICKS_A_RIG = 4, PICKS_LEAST = 20 };
static const double agreed = 0.02; /* frames closer than this, in half-bands, are the same */

/* All rigs worked through so far, in whatever round they came up. */
typedef struct Worked {
    BlyFitRig rig;
    Pick pick;
    bool exact; /* worked through without a stand-in */
} Worked;
typedef struct Pool {
    Worked *at;
    size_t count, room;
} Pool;

static void pool_release(Pool *pool) {
    for (size_t i = 0; i < pool->count; i++) {
        fit_rig_release(&pool->at[i].rig);
        free(pool->at[i].pick.candidate);
        free(pool->at[i].pick.filed);
    }
    free(pool->at);
    memset(pool, 0, sizeof *pool);
}

static bool same_number(double a, double b) {
    return (isnan(a) && isnan(b)) || fabs(a - b) < 1e-9;
}

static bool same_rig(const BlyRig *a, const BlyRig *b) {
    for (size_t s = 0; s < a->count; s++) {
        const BlyChoice *x = &a->at[s], *y = &b->at[s];
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            if (x->piece[kind].part != y->piece[kind].part)
                return false;
        }
        if (!same_number(x->x, y->x) || !same_number(x->length, y->length) ||
            !same_number(x->thickness, y->thickness) || !same_number(x->filed, y->filed) ||
            x->count != y->count)
            return false;
    }
    return true;
}

static bool pool_has(const Pool *pool, const BlyRig *rig) {
    for (size_t i = 0; i < pool->count; i++) {
        if (same_rig(&pool->at[i].rig.rig, rig))
            return true;
    }
    return false;
}

static bool pool_grow(Pool *pool, BlyError *err) {
    if (pool->count < pool->room)
        return true;
    size_t room = pool->room == 0 ? 64 : 2 * pool->room;
    Worked *at = realloc(pool->at, room * sizeof *at);
    if (at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    pool->at = at;
    pool->room = room;
    return true;
}

static bool pick_copy(const Problem *p, const Pick *from, Pick *to, BlyError *err) {
    *to = *from;
    to->candidate = malloc(p->set_count * sizeof *to->candidate);
    to->filed = malloc(p->set_count * sizeof *to->filed);
    if (to->candidate == NULL || to->filed == NULL) {
        free(to->candidate);
        free(to->filed);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
    }
    memcpy(to->candidate, from->candidate, p->set_count * sizeof *to->candidate);
    memcpy(to->filed, from->filed, p->set_count * sizeof *to->filed);
    return true;
}

static bool pool_add(Pool *pool, const Problem *p, const Pick *pick, BlyError *err) {
    BlyRig rig = {0};
    bool good = problem_rig(p, pick, &rig, err);
    if (good && !pool_has(pool, &rig)) {
        Worked one = {0};
        good = pool_grow(pool, err) && pick_copy(p, pick, &one.pick, err);
        if (good && !rig_rework(p->searched, &rig, &one.rig, err)) {
            free(one.pick.candidate);
            free(one.pick.filed);
            good = false;
        }
        if (good) {
            rig_account(p, pick, &one.rig);
            pool->at[pool->count++] = one;
        }
    }
    bly_rig_release(&rig);
    return good;
}

static const BlyFitRig *pool_best(const Pool *pool) {
    const BlyFitRig *best = NULL;
    for (size_t i = 0; i < pool->count; i++) {
        if (best == NULL || rig_merit(&pool->at[i].rig) < rig_merit(best))
            best = &pool->at[i].rig;
    }
    return best;
}

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

static bool first_frames(Problem *p, BlyError *err) {
    BlyRig like = {0};
    bool good = bly_rig_copy(&like, &p->build->fitted, err);
    for (size_t i = 0; good && i < p->set_count; i++)
        like.at[p->sets[i].seat] = p->sets[i].at[middling(&p->sets[i])].choice;
    good = good && problem_frames(p, &like, err);
    bly_rig_release(&like);
    return good;
}

/* Sets the frames from the best rig so far; tells how far they moved. */
static bool move_frames(Problem *p, const Pool *pool, double *moved, BlyError *err) {
    Frame before[BLY_FIT_WATERS_MAX];
    memcpy(before, p->frame, sizeof before);
    *moved = 0;
    const BlyFitRig *best = pool_best(pool);
    if (best == NULL)
        return true;
    if (!problem_frames(p, &best->rig, err))
        return false;
    for (size_t w = 0; w < p->water_count; w++)
        *moved = fmax(*moved, frame_distance(&before[w], &p->frame[w]));
    return true;
}

static void tell(const Problem *p, BlyFitStage stage, const Pool *pool, bool proven) {
    const BlyFitRig *best = pool_best(pool);
    double gap = proven ? 0 : NAN;
    if (!proven && p->searched == p->build) /* a stand-in's rig bounds nothing */
        gap = rig_gap(best, p->cost_least);
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
    out->proven = false;
}

static bool work_through(Problem *p, const PickList *picks, Pool *pool, BlyFitResult *out,
                         BlyError *err) {
    for (size_t i = 0; i < picks->count; i++) {
        if (problem_over(p)) {
            stop(out);
            return true;
        }
        if (!pool_add(pool, p, &picks->at[i], err))
            return false;
        tell(p, BLY_FIT_WORKS, pool, false);
    }
    return true;
}

static bool run_rounds(Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
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
        out->proven = picks.proven;
        out->stopped = picks.stopped;
        out->nodes += picks.nodes;
        out->columns = picks.columns;
        bool good = work_through(p, &picks, pool, out, err);
        picks_release(&picks);
        if (!good || !move_frames(p, pool, &moved, err))
            return false;
    }
    return true;
}

static int by_merit(const void *pa, const void *pb) {
    const BlyFitRig *a = &((const Worked *)pa)->rig, *b = &((const Worked *)pb)->rig;
    double ma = rig_merit(a), mb = rig_merit(b);
    if (fabs(ma - mb) > 1e-9)
        return ma < mb ? -1 : 1;
    for (size_t s = 0; s < a->rig.count; s++) { /* ties by ids, so that the order is stable */
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            const BlyPart *x = a->rig.at[s].piece[kind].part, *y = b->rig.at[s].piece[kind].part;
            int order = strcmp(x != NULL ? x->id : "", y != NULL ? y->id : "");
            if (order != 0)
                return order;
        }
    }
    return 0;
}

/* Hooks, lips and surface metal are what a maker sees; see choice_look in candidates.c. */
static bool looks_alike(const BlyRig *a, const BlyRig *b) {
    static const BlyPartKind seen[] = {BLY_PART_HOOK, BLY_PART_SHEET, BLY_PART_OUTLINE,
                                       BLY_PART_STRIP, BLY_PART_DOT};
    for (size_t s = 0; s < a->count; s++) {
        for (size_t k = 0; k < sizeof seen / sizeof seen[0]; k++) {
            if (a->at[s].piece[seen[k]].part != b->at[s].piece[seen[k]].part)
                return false;
        }
    }
    return true;
}

static bool alike_before(const Pool *pool, size_t index) {
    for (size_t k = 0; k < index; k++) {
        if (looks_alike(&pool->at[k].rig.rig, &pool->at[index].rig.rig))
            return true;
    }
    return false;
}

/* Whatever is shown, and whatever decides what is shown first, is of the hull itself. */
static bool make_exact(const Problem *p, Worked *one, BlyError *err) {
    BlyFitRig exact = {0};
    if (one->exact || p->searched == p->build)
        return true;
    if (!rig_rework(p->build, &one->rig.rig, &exact, err))
        return false;
    rig_account(p, &one->pick, &exact);
    fit_rig_release(&one->rig);
    one->rig = exact;
    one->exact = true;
    return true;
}

/* Polishes the best rig of each look, twice as many as are wanted, and puts all in order. */
static bool polish_best(const Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
    if (pool->count == 0)
        return true;
    qsort(pool->at, pool->count, sizeof *pool->at, by_merit);
    size_t polished = 0;
    for (size_t i = 0; i < pool->count && polished < 2 * p->rigs_wanted; i++) {
        if (problem_over(p))
            break;
        if (alike_before(pool, i))
            continue;
        if (!rig_polish(p, &pool->at[i].pick, &pool->at[i].rig, err) ||
            !make_exact(p, &pool->at[i], err))
            return false;
        polished++;
    }
    if (problem_over(p))
        stop(out);
    qsort(pool->at, pool->count, sizeof *pool->at, by_merit);
    return true;
}

/* Moves the best different rigs of the pool into the result. */
static bool take_best(const Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
    out->rigs = calloc(p->rigs_wanted, sizeof *out->rigs);
    if (out->rigs == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    bool good = pool->count == 0 || make_exact(p, &pool->at[0], err);
    out->met = good && pool->count > 0 && pool->at[0].rig.met;
    for (size_t i = 0; good && i < pool->count && out->count < p->rigs_wanted; i++) {
        bool alike = false;
        for (size_t k = 0; k < out->count; k++)
            alike = alike || looks_alike(&out->rigs[k].rig, &pool->at[i].rig.rig);
        if (alike || pool->at[i].rig.met != out->met)
            continue;
        good = make_exact(p, &pool->at[i], err);
        if (!good || pool->at[i].rig.met != out->met)
            continue;
        BlyFitRig *rig = &out->rigs[out->count++];
        *rig = pool->at[i].rig;
        memset(&pool->at[i].rig, 0, sizeof pool->at[i].rig);
        good = rig_finish(p->build, rig, err) && rig_equals(p, &rig->rig, &rig->equals, err);
    }
    return good;
}

static bool search(Problem *p, Pool *pool, BlyFitResult *out, BlyError *err) {
    out->cost_least = p->cost_least;
    out->gap = NAN;
    if (problem_over(p)) { /* before there was anything to choose from */
        stop(out);
        return true;
    }
    if (!first_frames(p, err))
        return false;
    problem_impossible(p, out->impossible, sizeof out->impossible);
    if (!run_rounds(p, pool, out, err))
        return false;
    tell(p, BLY_FIT_POLISHES, pool, false);
    if (!polish_best(p, pool, out, err))
        return false;
    tell(p, BLY_FIT_FINISHES, pool, out->proven);
    if (!take_best(p, pool, out, err))
        return false;
    if (out->count == 0 && !out->stopped && out->impossible[0] == '\0')
        problem_nothing_left(p, out->impossible, sizeof out->impossible);
    out->gap = out->proven ? 0 : rig_gap(out->count > 0 ? &out->rigs[0] : NULL, p->cost_least);
    bool look = !out->met && out->count > 0 && out->impossible[0] == '\0' &&
                !p->options->after_build && !out->stopped && !problem_over(p);
    return !look || problem_missing(p, &out->rigs[0], out->missing, sizeof out->missing, err);
}

bool bly_fit(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
             BlyFitResult *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    Problem p;
    Pool pool = {0};
    fit_tell(options, &(BlyFitProgress){.stage = BLY_FIT_GATHERS, .off = NAN, .gap = NAN});
    bool good = problem_begin(build, catalog, options, &p, err) && search(&p, &pool, out, err);
    pool_release(&pool);
    problem_end(&p);
    return good;
}

void bly_fit_release(BlyFitResult *result) {
    for (size_t i = 0; i < result->count; i++)
        fit_rig_release(&result->rigs[i]);
    free(result->rigs);
    memset(result, 0, sizeof *result);
}
