/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The K best so far, in the one order that does not depend on the way they were found. */
#include "programme/internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Different columns of a group, or visible keys, but no more than `most`. */
static size_t count_choices(const ProgGroup *group, bool visibly, size_t most) {
    if (!visibly)
        return group->count < most ? group->count : most;
    size_t unlike = 0;
    int64_t key[PROG_BEST_MAX];
    for (size_t c = 0; c < group->count && unlike < most; c++) {
        size_t i = 0;
        while (i < unlike && key[i] != group->columns[c].visible)
            i++;
        if (i == unlike)
            key[unlike++] = group->columns[c].visible;
    }
    return unlike;
}

/* How many rigs there can be, but no more than `most`. */
static size_t count_rigs(const Programme *in, bool visibly, size_t most) {
    size_t rigs = 1;
    for (size_t g = 0; g < in->group_count && rigs < most; g++)
        rigs *= count_choices(&in->groups[g], visibly, most);
    return rigs < most ? rigs : most;
}

bool prog_pool_init(ProgPool *pool, const ProgModel *model, size_t wanted, bool visibly,
                    BlyError *err) {
    /* One more than can be had would keep the search looking for it to the end of all budgets. */
    size_t best = count_rigs(model->in, visibly, wanted);
    *pool = (ProgPool){.model = model, .best = best, .visibly = visibly};
    pool->entry = calloc(best + 1, sizeof *pool->entry);
    if (pool->entry == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu rigs", best);
    return true;
}

void prog_pool_free(ProgPool *pool) {
    free(pool->entry);
    *pool = (ProgPool){0};
}

/* Steps instead of a tolerance, because "nearly equal" is not transitive and would let the order
 * depend on who came first. */
static int compare_steps(double a, double b) {
    double step_a = floor(a / PROG_EQUAL + 0.5), step_b = floor(b / PROG_EQUAL + 0.5);
    return (step_a > step_b) - (step_a < step_b);
}

static int compare(const ProgPool *pool, const ProgEntry *a, const ProgEntry *b) {
    int order = compare_steps(a->objective, b->objective);
    if (order == 0)
        order = compare_steps(a->cost, b->cost);
    if (order == 0)
        order = compare_steps(a->distance, b->distance);
    for (size_t g = 0; order == 0 && g < pool->model->in->group_count; g++)
        order = (a->column[g] > b->column[g]) - (a->column[g] < b->column[g]);
    return order;
}

/* The same rig, or in a pool of visibly different ones a rig that looks the same. */
static bool same(const ProgPool *pool, const size_t *a, const size_t *b) {
    const Programme *in = pool->model->in;
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgColumn *columns = in->groups[g].columns;
        if (pool->visibly ? columns[a[g]].visible != columns[b[g]].visible : a[g] != b[g])
            return false;
    }
    return true;
}

static size_t find(const ProgPool *pool, const size_t *column) {
    size_t i = 0;
    while (i < pool->count && !same(pool, pool->entry[i].column, column))
        i++;
    return i;
}

bool prog_pool_offer(ProgPool *pool, const ProgEntry *entry) {
    size_t old = find(pool, entry->column);
    if (old < pool->count) {
        if (compare(pool, entry, &pool->entry[old]) >= 0)
            return false;
        memmove(&pool->entry[old], &pool->entry[old + 1],
                (pool->count - old - 1) * sizeof *pool->entry);
        pool->count--;
    }
    size_t at = pool->count;
    while (at > 0 && compare(pool, entry, &pool->entry[at - 1]) < 0)
        at--;
    if (at == pool->best)
        return false;
    memmove(&pool->entry[at + 1], &pool->entry[at], (pool->count - at) * sizeof *pool->entry);
    pool->entry[at] = *entry;
    if (pool->count < pool->best)
        pool->count++;
    return true;
}

const ProgEntry *prog_pool_last(const ProgPool *pool) {
    return pool->count < pool->best ? NULL : &pool->entry[pool->count - 1];
}

double prog_pool_limit(const ProgPool *pool) {
    const ProgEntry *last = prog_pool_last(pool);
    return last != NULL ? last->objective : INFINITY;
}

const ProgEntry *prog_pool_lookalike(const ProgPool *pool, const size_t *column) {
    size_t i = find(pool, column);
    return i < pool->count ? &pool->entry[i] : NULL;
}
