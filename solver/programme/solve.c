/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of the stages, and the answer in the caller's terms. */
#include "programme/internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Some 50 ms of enumeration; then a tree is worth a try where few columns are left. */
enum { NODE_CAP = 5000000, TIE_CAP = 20000, TREE_CAP = 3000, TREE_COLUMNS = 400 };

typedef struct Run {
    ProgModel model;
    ProgCuts cuts;
    ProgPool pool;
    ProgClock clock;
    ProgGuard guard;
    ProgReach reach;
} Run;

static bool done(const Run *run, const ProgOptions *options, const ProgStats *stats) {
    return run->clock.over || !run->reach.capped ||
           prog_tired(options->patience, options->enough, &run->pool, stats);
}

static bool enumerate(Run *run, const ProgOptions *options, size_t cap, ProgStats *stats,
                      BlyError *err) {
    double start = prog_clock_secs(&run->clock);
    const ProgPatience patience = {.node_cap = cap,
                                   .tie_cap = options->exact_ties ? SIZE_MAX : TIE_CAP,
                                   .patience = options->patience,
                                   .enough = options->enough};
    bool good = prog_enumerate(&run->model, &run->cuts, &run->pool, &run->guard, &run->clock,
                               &patience, &run->reach, stats, err);
    stats->enumerate_secs += prog_clock_secs(&run->clock) - start;
    return good;
}

static bool tree(Run *run, size_t cap, ProgStats *stats, BlyError *err) {
    double start = prog_clock_secs(&run->clock);
    bool good = prog_tree(&run->model, &run->cuts, &run->pool, &run->guard, &run->clock, cap,
                          &run->reach, stats, err);
    stats->tree_secs += prog_clock_secs(&run->clock) - start;
    return good;
}

/* Hard rows that no mixture of columns can keep. */
static bool impossible(const Run *run) {
    for (size_t j = 0; j < run->cuts.count; j++) {
        if (run->cuts.cut[j].ray && prog_cut_floor(&run->model, &run->cuts.cut[j]) > PROG_ROUND)
            return true;
    }
    return false;
}

static bool search(Run *run, const ProgOptions *options, ProgStats *stats, BlyError *err) {
    if (impossible(run)) {
        run->reach.bound = INFINITY;
        return true;
    }
    if (options->method == PROG_RELAX)
        return true;
    if (options->method == PROG_TREE)
        return tree(run, 0, stats, err);
    if (options->method == PROG_ENUMERATE)
        return enumerate(run, options, 0, stats, err);
    size_t cap = options->node_cap > 0 ? options->node_cap : NODE_CAP;
    if (!enumerate(run, options, cap, stats, err))
        return false;
    size_t tree_cap = options->tree_cap > 0 ? options->tree_cap : TREE_CAP;
    if (!done(run, options, stats) && stats->kept_columns <= TREE_COLUMNS &&
        !tree(run, tree_cap, stats, err))
        return false;
    return done(run, options, stats) || enumerate(run, options, 0, stats, err);
}

/* ---- the answer ---- */

static void *take(char **store, size_t bytes) {
    void *at = *store;
    *store += bytes;
    return at;
}

static size_t rig_bytes(const Programme *in) {
    return in->group_count * (sizeof(size_t) + sizeof(double)) +
           (3 * in->row_count + in->target_count) * sizeof(double);
}

static void fill_rows(const ProgModel *model, const ProgEntry *entry, ProgRig *rig) {
    const Programme *in = model->in;
    double sums[PROG_FEATURES_MAX];
    prog_sums(model, entry, sums);
    for (size_t r = 0; r < in->row_count; r++) {
        const ProgRow *row = &in->rows[r];
        rig->value[r] = row->base + sums[row->feature];
        rig->margin[r] = row->margin != PROG_NONE ? sums[row->margin] : 0;
        rig->violation[r] = 0;
    }
    rig->in_bands = true;
    for (size_t s = 0; s < model->side_count; s++) {
        double over = prog_side_over(&model->side[s], sums);
        if (over <= PROG_ROUND)
            continue;
        rig->violation[model->side[s].row] = fmax(rig->violation[model->side[s].row], over);
        rig->in_bands = false;
    }
    for (size_t t = 0; t < in->target_count; t++)
        rig->off[t] = in->targets[t].base - in->targets[t].centre + sums[in->targets[t].feature];
}

static void fill_rig(const ProgModel *model, const ProgEntry *entry, ProgRig *rig, char *store) {
    const Programme *in = model->in;
    rig->objective = entry->objective;
    rig->cost = entry->cost;
    rig->deviation = entry->deviation;
    rig->penalty = entry->penalty;
    rig->distance = entry->distance;
    rig->columns = take(&store, in->group_count * sizeof *rig->columns);
    rig->delta = take(&store, in->group_count * sizeof *rig->delta);
    rig->value = take(&store, in->row_count * sizeof *rig->value);
    rig->margin = take(&store, in->row_count * sizeof *rig->margin);
    rig->violation = take(&store, in->row_count * sizeof *rig->violation);
    rig->off = take(&store, in->target_count * sizeof *rig->off);
    memcpy(rig->columns, entry->column, in->group_count * sizeof *rig->columns);
    memcpy(rig->delta, entry->delta, in->group_count * sizeof *rig->delta);
    fill_rows(model, entry, rig);
}

/* The rigs and all their arrays are one block, so that freeing them is one call. */
static bool fill_result(const Run *run, const ProgOptions *options, ProgResult *result,
                        BlyError *err) {
    size_t wanted = options->best;
    double enough = options->enough;
    size_t count = run->pool.count, bytes = rig_bytes(run->model.in);
    char *block = malloc(count * (sizeof(ProgRig) + bytes) + 1);
    if (block == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the answer");
    result->rigs = (ProgRig *)(void *)block;
    result->count = count;
    for (size_t i = 0; i < count; i++)
        fill_rig(&run->model, &run->pool.entry[i], &result->rigs[i],
                 block + count * sizeof(ProgRig) + i * bytes);
    result->bound = run->reach.bound;
    result->ties_open = run->reach.ties_cut;
    result->out_of_time = run->clock.over;
    bool full = count == run->pool.best;
    bool all = isinf(run->reach.bound), limited = enough > 0 && run->reach.bound >= enough;
    result->proven = limited ? true
                     : full  ? result->rigs[count - 1].objective <= run->reach.bound + PROG_EQUAL
                             : all;
    if (result->proven && count < wanted && !limited)
        result->bound = INFINITY;
    result->impossible = count == 0 && isinf(run->reach.bound);
    return true;
}

bool programme_solve(const Programme *programme, const ProgOptions *options, ProgResult *result,
                     BlyError *err) {
    *result = (ProgResult){0};
    if (!prog_check(programme, options, err))
        return false;
    Run *run = calloc(1, sizeof *run);
    if (run == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
    prog_model_init(&run->model, programme);
    prog_clock_start(&run->clock, options);
    result->stats.columns = run->model.column_count;
    ProgPrices prices[PROG_PRICES_MAX];
    size_t price_count = 0;
    bool good =
        prog_pool_init(&run->pool, &run->model, options->best, options->visibly_different, err) &&
        prog_relax(&run->model, &run->guard, prices, &price_count, &result->stats, err);
    if (good) {
        for (size_t i = 0; i < price_count; i++)
            prog_cut_from_prices(&run->model, &prices[i], &run->cuts.cut[i]);
        run->cuts.count = run->cuts.relaxed = price_count;
        prog_cuts_plain(&run->model, &prices[0], &run->cuts);
        prog_cuts_neutral(&run->model, &run->cuts);
        result->stats.lp_secs = prog_clock_secs(&run->clock);
        result->relaxed = run->reach.bound = prog_cut_floor(&run->model, &run->cuts.cut[0]);
        good = search(run, options, &result->stats, err) && fill_result(run, options, result, err);
    }
    prog_pool_free(&run->pool);
    free(run);
    if (!good)
        programme_free(result);
    return good;
}

void programme_free(ProgResult *result) {
    free(result->rigs);
    *result = (ProgResult){0};
}
