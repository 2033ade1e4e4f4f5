/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Budgets: the enumeration of what costs no more than a limit, under a limit that doubles until the
 * K best lie below it. What a budget has gone through whole is a bound: nothing below is unseen. */
#include "programme/search.h"

#include <math.h>

#define FIRST_BUDGET 0.002
/* Nodes below one combination of visible keys while the list is still to be filled. */
enum { LOOK_CAP = 2000 };

/* What is left of the columns under the present cuts; the same twice: what was learnt taught
 * nothing that they did not say. */
typedef struct Left {
    size_t options, cuts, same;
} Left;

static bool learns(const ProgField *field, Left *left) {
    enum { SAME_MOST = 2 };
    bool same = field->option_count == left->options && field->cut_count == left->cuts;
    *left = (Left){field->option_count, field->cut_count, same ? left->same + 1 : 0};
    return left->same < SAME_MOST;
}

/* One budget: again with sharper cuts while rigs that pass the present ones teach some. */
static bool run_budget(ProgSearch *search, BlyError *err) {
    bool good = true;
    Left left = {0};
    do {
        ProgField *field = &search->field;
        double limit = fmin(search->limit, prog_pool_limit(search->pool));
        if (!prog_field_build(field, search->model, search->cuts, limit, search->visibly, err))
            return false;
        search->stats->rounds++;
        search->stats->kept_columns = field->option_count;
        search->too_dear = 0;
        search->anew = false;
        search->learns = learns(field, &left);
        search->halt = prog_clock_over(search->clock);
        if (!field->empty && !search->halt && !prog_search_field(search))
            good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
        prog_field_free(field);
    } while (good && search->anew && !search->given_up && !search->capped && !search->clock->over);
    return good;
}

/* Where costs have a grid, rigs without deviation lie on it: a budget that ends between two steps
 * would keep columns for nothing. K rigs in hand make a budget up to the K-th the last one. */
static double budget_limit(const ProgSearch *search, double relaxed, double budget) {
    double limit = relaxed + budget, grid = search->model->grid;
    double held = prog_pool_limit(search->pool);
    if (2 * budget >= held - relaxed)
        return held;
    if (!(grid > 0))
        return limit;
    double down = grid * floor(limit / grid), next = grid * ceil(relaxed / grid - 1e-6);
    return fmax(down, fmin(next, limit + grid));
}

bool prog_tired(size_t patience, double enough, const ProgPool *pool, const ProgStats *stats) {
    enum { ANY_LIST = 4, LEAF = 8 }; /* a leaf is as much work as so many nodes */
    size_t work = stats->nodes + LEAF * stats->leaves;
    if (patience == 0 || work < patience)
        return false;
    bool limited = enough > 0 && isfinite(enough); /* a full list is in other hands */
    return limited || pool->count == pool->best || (pool->count > 0 && work / ANY_LIST >= patience);
}

/* Nothing is missing below this once a budget has gone through whole. */
static double bound_of(const ProgSearch *search, double enough, bool all) {
    double held = prog_pool_limit(search->pool);
    if (held <= search->limit)
        return held;
    return search->limit >= enough ? enough : all ? INFINITY : search->limit;
}

static bool full(const ProgPool *pool) {
    return pool->count == pool->best;
}

static size_t give_up_at(size_t patience, size_t nodes) {
    return patience > 0 ? nodes + patience / 4 : 0;
}

bool prog_enumerate(const ProgModel *model, ProgCuts *cuts, ProgPool *pool, ProgGuard *guard,
                    ProgClock *clock, const ProgPatience *patience, ProgReach *reach,
                    ProgStats *stats, BlyError *err) {
    size_t node_cap = patience->node_cap;
    double enough = patience->enough > 0 ? patience->enough : INFINITY;
    ProgSearch search = {.model = model,
                         .cuts = cuts,
                         .pool = pool,
                         .guard = guard,
                         .clock = clock,
                         .stats = stats,
                         .visibly = pool->visibly,
                         .node_cap = node_cap > 0 ? stats->nodes + node_cap : 0,
                         .tie_cap = patience->tie_cap,
                         .patience = patience->patience,
                         .enough = enough};
    double relaxed = prog_cut_floor(model, &cuts->cut[0]);
    reach->bound = fmax(reach->bound, relaxed);
    reach->capped = false;
    bool good = true, all = false;
    for (double budget = FIRST_BUDGET; good && !all;) {
        budget = fmax(budget, reach->bound - relaxed);
        size_t nodes = stats->nodes;
        search.finished = reach->bound;
        search.limit = fmin(budget_limit(&search, relaxed, budget), enough);
        bool last = search.limit >= fmin(enough, model->worst);
        search.give_up_at = last ? 0 : give_up_at(patience->patience, nodes);
        search.look_cap = last || patience->patience == 0 || full(pool) ? 0 : LOOK_CAP;
        search.given_up = search.skipped = false;
        good = run_budget(&search, err);
        if (good && (search.given_up || search.skipped) && !search.capped && !clock->over) {
            budget *= full(pool) ? 1 : 2;
            continue;
        }
        if (!good || search.halt)
            break;
        all = prog_pool_limit(pool) <= search.limit || search.limit >= model->worst ||
              search.limit >= enough;
        reach->bound = bound_of(&search, enough, all);
        /* Far from what can be had, distances are larger, and bounds as good. */
        bool far = cuts->cut[0].misses && stats->nodes - nodes <= stats->kept_columns;
        budget *= far ? 4 : 2;
    }
    stats->learnt = cuts->learnt;
    reach->capped = search.capped;
    reach->ties_cut = search.ties_cut;
    return good;
}
