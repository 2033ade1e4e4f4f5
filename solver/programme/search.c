/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depth-first enumeration of every rig within a budget.
 *
 * A partial rig carries one sum per cut, the increments of its columns. The sums only grow, so the
 * branch is dead once one of them passes its room. Asked for visibly different rigs, the tree first
 * chooses what is seen (each visible key stands for the least increments among its columns) and
 * then, below each full combination, looks for its best representative alone. */
#include "programme/search.h"

#include <math.h>
#include <stdlib.h>

enum { CLOCK_EVERY = 1024, LEARN_FROM = 32 };

/* What a further rig has to come before: the K-th, or below a combination of visible keys the
 * representative held so far. NULL while the budget alone limits. */
static const ProgEntry *rival(const ProgSearch *search) {
    const ProgEntry *last = prog_pool_last(search->pool), *own = NULL;
    if (search->visibly && search->representing)
        own = prog_pool_lookalike(search->pool, search->entry.column);
    return own != NULL && (last == NULL || own->objective <= last->objective) ? own : last;
}

/* Three rooms per cut: what may come at least level with the rival, what must beat it, and for
 * equals of a rival that pays for columns alone, what may lie nearer to the centres. */
static void set_rooms(ProgSearch *search) {
    const ProgEntry *first = rival(search);
    double limit = first != NULL ? fmin(search->limit, first->objective) : search->limit;
    if (first != NULL && first->objective > search->limit + PROG_EQUAL + PROG_ROUND)
        first = NULL;
    bool pure = first != NULL && first->objective - first->cost < PROG_ROUND;
    bool near = pure && first->distance <= PROG_NEAR && search->tie_cap < SIZE_MAX;
    bool ties_over = near || (first != NULL && search->tie_nodes >= search->tie_cap);
    search->ties_cut = search->ties_cut || near;
    const ProgField *field = &search->field;
    search->full = first != NULL;
    search->reach = limit;
    for (size_t j = 0; j < field->width; j++) {
        bool priced = j < field->cut_count && !field->ray[j];
        double room = j >= field->cut_count ? INFINITY : field->ray_room[j];
        search->room[j] = search->tight[j] = search->nearer[j] = room;
        if (!priced)
            continue;
        const ProgCut *cut = field->cut[j];
        double start = field->floor[j] - PROG_ROUND;
        double tight = prog_cut_reach(search->model, cut, limit - PROG_EQUAL) - start;
        room = prog_cut_reach(search->model, cut, limit + PROG_EQUAL) - start;
        search->tight[j] = tight;
        search->room[j] = ties_over ? tight : room;
        search->nearer[j] = room;
        if (pure)
            search->nearer[j] = fmin(room, limit + PROG_EQUAL - cut->dead - start +
                                               cut->target_charge * (first->distance + PROG_EQUAL));
    }
}

/* sum = base + inc while it fits the rooms. */
static bool add_within(const double *base, const double *inc, const double *room, double *sum,
                       size_t width) {
    for (size_t j = 0; j < width; j += 4) {
        sum[j] = base[j] + inc[j];
        sum[j + 1] = base[j + 1] + inc[j + 1];
        sum[j + 2] = base[j + 2] + inc[j + 2];
        sum[j + 3] = base[j + 3] + inc[j + 3];
        bool out = (sum[j] > room[j]) | (sum[j + 1] > room[j + 1]) | (sum[j + 2] > room[j + 2]) |
                   (sum[j + 3] > room[j + 3]);
        if (out)
            return false;
    }
    return true;
}

/* Whether some delta of the plate fits all rooms at once. The sums hold each cut's least part over
 * all deltas, so each cut leaves an interval; with two plates this is only necessary. */
static bool delta_fits(const ProgSearch *search, size_t line, const double *sum) {
    const ProgField *field = &search->field;
    const double *slope = &field->slope[line * field->width];
    double range = field->range[line], lo = 0, hi = range;
    for (size_t j = 0; j < field->cut_count; j++) {
        double left = search->room[j] - sum[j];
        if (slope[j] > 0) {
            if (left < hi * slope[j])
                hi = left / slope[j];
        } else if (left < (lo - range) * slope[j]) {
            lo = range + left / slope[j];
        }
    }
    return lo <= hi;
}

/* A branch that can at best hold equals of the rival and is not worth following: they would lie
 * further from the centres, or enough of them have been looked at. */
static bool only_ties(ProgSearch *search, const double *sum) {
    if (!search->full)
        return false;
    size_t j = 0, count = search->field.cut_count;
    while (j < count && sum[j] <= search->tight[j])
        j++;
    if (j == count)
        return false;
    for (j = 0; j < count; j++) {
        if (sum[j] > search->nearer[j])
            return true;
    }
    if (search->tie_nodes++ < search->tie_cap)
        return false;
    if (!search->ties_cut) {
        search->ties_cut = true;
        set_rooms(search);
    }
    return true;
}

static bool pairs_allow(const ProgSearch *search, size_t depth, size_t group, size_t column) {
    const Programme *in = search->model->in;
    for (size_t i = 0; i < in->pair_count; i++) {
        const ProgPair *pair = &in->pairs[i];
        if (pair->group_a != group && pair->group_b != group)
            continue;
        size_t other = pair->group_a == group ? pair->group_b : pair->group_a;
        for (size_t l = search->first_column_level; l < depth; l++) {
            if (search->level[l].group != other)
                continue;
            size_t theirs = search->entry.column[other];
            bool forbidden = pair->group_a == group
                                 ? in->forbidden(in->forbidden_context, i, column, theirs)
                                 : in->forbidden(in->forbidden_context, i, theirs, column);
            if (forbidden)
                return false;
        }
    }
    return true;
}

static void count_node(ProgSearch *search) {
    size_t nodes = ++search->stats->nodes;
    if (search->representing && search->look_cap > 0 && nodes >= search->look_ends_at)
        search->leave = search->skipped = true;
    if (search->node_cap > 0 && nodes >= search->node_cap)
        search->halt = search->capped = true;
    if (nodes % CLOCK_EVERY != 0)
        return;
    if (prog_clock_over(search->clock))
        search->halt = true;
    if (prog_tired(search->patience, search->enough, search->pool, search->stats))
        search->halt = search->capped = true;
    if (search->give_up_at > 0 && nodes >= search->give_up_at &&
        search->pool->count < search->pool->best)
        search->halt = search->given_up = true;
}

/* Each such rig costs its own working out. Once they have cost what it takes to sieve the columns
 * again, and one of them has taught something, that is done. */
static void learn(ProgSearch *search) {
    ProgCuts *cuts = search->cuts;
    search->too_dear++;
    if (!search->learns)
        return;
    (void)prog_cuts_learn(search->model, search->field.known_cuts, search->entry.column,
                          search->reach + PROG_EQUAL, cuts);
    if (cuts->count > search->field.known_cuts &&
        search->too_dear >= LEARN_FROM + search->field.option_count)
        search->halt = search->anew = true;
}

static void leaf(ProgSearch *search) {
    search->stats->leaves++;
    const ProgEntry *first = rival(search);
    double most = first != NULL ? first->objective : INFINITY, slack = PROG_EQUAL + PROG_ROUND;
    bool worth = prog_value(search->model, search->guard, most + slack, &search->entry);
    if (!worth || search->entry.objective > search->reach + slack)
        learn(search);
    /* Also from beyond the budget: K of them say where the next one need not go further. */
    if (worth && prog_pool_offer(search->pool, &search->entry))
        set_rooms(search);
}

static void descend(ProgSearch *search, size_t depth);

static void choose_column(ProgSearch *search, size_t depth, size_t number) {
    const ProgField *field = &search->field;
    const ProgOption *option = &field->option[number];
    size_t group = search->level[depth].group, width = field->width;
    double *sum = &search->sums[(depth + 1) * width];
    count_node(search);
    if (!add_within(&search->base[depth * width], &field->inc[number * width], search->room, sum,
                    width) ||
        only_ties(search, sum) || !pairs_allow(search, depth, group, option->column))
        return;
    size_t lines = search->line_count;
    if (option->line >= 0)
        search->line_at[search->line_count++] = (size_t)option->line;
    bool fits = true;
    for (size_t i = 0; fits && i < search->line_count; i++)
        fits = delta_fits(search, search->line_at[i], sum);
    if (fits) {
        search->entry.column[group] = option->column;
        descend(search, depth + 1);
    }
    search->line_count = lines;
}

static void choose_columns(ProgSearch *search, size_t depth) {
    const ProgField *field = &search->field;
    size_t width = field->width, group = search->level[depth].group;
    const ProgLook *look = &field->look[search->look_of[group]];
    const double *sum = &search->sums[depth * width];
    double *base = &search->base[depth * width];
    /* What the visible choice has added already is contained in the column's own increment. */
    const double *counted = &field->look_inc[search->look_of[group] * width];
    bool chosen = field->look_span[group].count > 1;
    for (size_t j = 0; j < width; j++)
        base[j] = chosen ? sum[j] - counted[j] : sum[j];
    bool by_window;
    ProgSpan span = prog_window_span(&search->windows, group, look, base, search->room, &by_window);
    for (size_t i = span.first; i < span.first + span.count && !search->halt && !search->leave;
         i++) {
        size_t number = by_window ? search->windows.option[i] : i;
        choose_column(search, depth, number);
    }
}

static void choose_looks(ProgSearch *search, size_t depth) {
    const ProgField *field = &search->field;
    size_t width = field->width, group = search->level[depth].group;
    const ProgSpan *span = &field->look_span[group];
    for (size_t i = span->first; i < span->first + span->count && !search->halt; i++) {
        double *sum = &search->sums[(depth + 1) * width];
        count_node(search);
        if (!add_within(&search->sums[depth * width], &field->look_inc[i * width], search->room,
                        sum, width) ||
            only_ties(search, sum))
            continue;
        search->look_of[group] = i;
        search->entry.column[group] = field->option[field->look[i].first].column;
        descend(search, depth + 1);
    }
}

static void choose_representative(ProgSearch *search, size_t depth) {
    /* The budgets before this one have seen all that could be better. */
    const ProgEntry *held = prog_pool_lookalike(search->pool, search->entry.column);
    if (held != NULL && held->objective <= search->finished)
        return;
    search->representing = true;
    search->look_ends_at = search->stats->nodes + search->look_cap;
    set_rooms(search);
    choose_columns(search, depth);
    search->representing = search->leave = false;
    set_rooms(search);
}

static void descend(ProgSearch *search, size_t depth) {
    if (depth == search->level_count)
        leaf(search);
    else if (search->level[depth].looks)
        choose_looks(search, depth);
    else if (search->visibly && depth == search->first_column_level)
        choose_representative(search, depth);
    else
        choose_columns(search, depth);
}

/* ---- setting up ---- */

/* Groups with few options first; the largest is last, where the window is narrowest. */
static void order_levels(ProgSearch *search) {
    const ProgField *field = &search->field;
    size_t groups = search->model->in->group_count, order[PROG_GROUPS_MAX];
    for (size_t g = 0; g < groups; g++) {
        size_t at = g;
        for (; at > 0 && field->group[order[at - 1]].count > field->group[g].count; at--)
            order[at] = order[at - 1];
        order[at] = g;
        search->look_of[g] = field->look_span[g].first;
        search->entry.column[g] = field->option[field->group[g].first].column;
    }
    search->level_count = 0;
    for (size_t i = 0; search->visibly && i < groups; i++) {
        if (field->look_span[order[i]].count > 1)
            search->level[search->level_count++] = (ProgLevel){order[i], true};
    }
    search->first_column_level = search->level_count;
    for (size_t i = 0; i < groups; i++)
        search->level[search->level_count++] = (ProgLevel){order[i], false};
}

bool prog_search_field(ProgSearch *search) {
    size_t width = search->field.width;
    order_levels(search);
    search->representing = false;
    search->line_count = 0;
    search->sums = calloc((search->level_count + 1) * width, sizeof *search->sums);
    search->base = calloc((search->level_count + 1) * width, sizeof *search->base);
    set_rooms(search);
    bool good = search->sums != NULL && search->base != NULL &&
                prog_windows_init(&search->windows, search->model, &search->field, search->room);
    if (good)
        descend(search, 0);
    free(search->sums);
    free(search->base);
    prog_windows_free(&search->windows);
    search->sums = search->base = NULL;
    return good;
}
