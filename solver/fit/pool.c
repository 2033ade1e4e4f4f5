/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void pool_release(Pool *pool) {
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
            if (x->of[kind].part != y->of[kind].part)
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
    to->candidate = malloc((p->set_count + 1) * sizeof *to->candidate);
    to->filed = malloc((p->set_count + 1) * sizeof *to->filed);
    if (to->candidate == NULL || to->filed == NULL) {
        free(to->candidate);
        free(to->filed);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
    }
    memcpy(to->candidate, from->candidate, p->set_count * sizeof *to->candidate);
    memcpy(to->filed, from->filed, p->set_count * sizeof *to->filed);
    return true;
}

bool pool_add(Pool *pool, const Problem *p, const Pick *pick, BlyError *err) {
    BlyRig rig = {0};
    bool good = problem_rig(p, pick, &rig, err);
    if (good && !pool_has(pool, &rig)) {
        Worked one = {0};
        good = pool_grow(pool, err) && pick_copy(p, pick, &one.pick, err);
        if (good && !rig_rework(p->build, &rig, &one.rig, err)) {
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

static int by_merit(const void *pa, const void *pb) {
    const BlyFitRig *a = &((const Worked *)pa)->rig, *b = &((const Worked *)pb)->rig;
    int64_t ma = rig_steps(rig_merit(a)), mb = rig_steps(rig_merit(b));
    if (ma != mb)
        return ma < mb ? -1 : 1;
    return rig_order(&a->rig, &b->rig);
}

void pool_sort(Pool *pool) {
    if (pool->count > 0)
        qsort(pool->at, pool->count, sizeof *pool->at, by_merit);
}

const BlyFitRig *pool_best(const Pool *pool) {
    const BlyFitRig *best = NULL;
    for (size_t i = 0; i < pool->count; i++) {
        if (best == NULL || rig_merit(&pool->at[i].rig) < rig_merit(best))
            best = &pool->at[i].rig;
    }
    return best;
}
