/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Budgets: the enumeration of what costs no more than a limit, under a limit that doubles until the
 * K best lie below it. What a budget has gone through whole is a bound: nothing below is unseen. */
#include "fit/programme_search.h"

#include <math.h>

#define FIRST_BUDGET 0.002

/* One budget: again with sharper cuts while rigs that pass the present ones teach some. */
static bool run_budget(ProgSearch *search, BlyError *err) {
    bool good = true;
    do {
        ProgField *field = &search->field;
        double limit = fmin(search->limit, prog_pool_limit(search->pool));
        if (!prog_field_build(field, search->model, search->cuts, limit, search->visibly, err))
            return false;
        search->stats->rounds++;
        search->stats->kept_columns = field->option_count;
        search->too_dear = 0;
        search->anew = false;
        search->halt = prog_clock_over(search->clock);
        if (!field->empty && !search->halt && !prog_search_field(search))
            good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
        prog_field_free(field);
    } while (good && search->anew && !search->capped && !search->clock->over);
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

bool prog_enumerate(const ProgModel *model, ProgCuts *cuts, ProgPool *pool, FitGuard *guard,
                    ProgClock *clock, size_t node_cap, size_t tie_cap, ProgReach *reach,
                    ProgStats *stats, BlyError *err) {
    ProgSearch search = {.model = model,
                         .cuts = cuts,
                         .pool = pool,
                         .guard = guard,
                         .clock = clock,
                         .stats = stats,
                         .visibly = pool->visibly,
                         .node_cap = node_cap > 0 ? stats->nodes + node_cap : 0,
                         .tie_cap = tie_cap};
    double relaxed = prog_cut_floor(model, &cuts->cut[0]);
    reach->bound = fmax(reach->bound, relaxed);
    reach->capped = false;
    bool good = true, all = false;
    for (double budget = FIRST_BUDGET; good && !all;) {
        budget = fmax(budget, reach->bound - relaxed);
        size_t nodes = stats->nodes;
        search.finished = reach->bound;
        search.limit = budget_limit(&search, relaxed, budget);
        good = run_budget(&search, err);
        if (!good || search.halt)
            break;
        double held = prog_pool_limit(pool);
        all = held <= search.limit || search.limit >= model->worst;
        reach->bound = held <= search.limit ? held : all ? INFINITY : search.limit;
        /* Far from what can be had, distances are larger, and bounds as good. */
        bool far = cuts->cut[0].misses && stats->nodes - nodes <= stats->kept_columns;
        budget *= far ? 4 : 2;
    }
    stats->learnt = cuts->learnt;
    reach->capped = search.capped;
    reach->ties_cut = search.ties_cut;
    return good;
}
