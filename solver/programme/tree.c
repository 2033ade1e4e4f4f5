/* SPDX-License-Identifier: GPL-3.0-or-later */
/* GLPK's branch and bound with a pool: the fallback, and the referee in tests.
 *
 * Whenever the linear programme of a node comes out whole, the rig is kept in the pool and a row
 * forbids it (or all that look like it) below that node; the node's own solution was the best
 * there. Once K are held, GLPK is told of a solution as good as the K-th, so that it prunes there.
 * Forbidden pairs become rows when they are met. No cuts: MIR and Gomory together have called a
 * programme with a solution infeasible. No presolve: the callback would see another programme. */
#include "programme/internal.h"

#include <glpk.h>
#include <math.h>
#include <stdlib.h>

enum { FRAME_MAX = PROG_GROUPS_MAX + PROG_SIDES_MAX + PROG_TARGETS_MAX };
/* GLPK calls 1e-5 whole; ours must not be the stricter, or it would keep solutions to itself. */
#define WHOLE 2e-5

/* Columns with the same loss per unit of delta share one delta: exact, as one of them is chosen. */
typedef struct Shared {
    size_t group, column; /* the first of them */
    int lp_column, lp_row;
} Shared;

typedef struct Tree {
    const ProgModel *model;
    ProgPool *pool;
    ProgGuard *guard;
    ProgClock *clock;
    ProgStats *stats;
    size_t node_cap;
    double least_part[PROG_GROUPS_MAX], room; /* reduced costs, for leaving columns out */
    const ProgCut *cut;
    size_t *column_of; /* per lp column - 1 - frame: column number within its group */
    int first[PROG_GROUPS_MAX], end[PROG_GROUPS_MAX]; /* lp columns of each group */
    Shared *shared;
    size_t shared_count;
    int *index; /* scratch for one row, as long as there are columns */
    double *value;
    double *told; /* scratch for the solution handed to GLPK */
    int over_column;
    glp_prob *lp;
    bool told_any, finished, stopped;
    double told_limit, bound;
    ProgEntry entry;
} Tree;

static int side_row(const Tree *tree, size_t s) {
    return (int)(tree->model->in->group_count + s) + 1;
}

static int target_row(const Tree *tree, size_t t) {
    return side_row(tree, tree->model->side_count) + (int)t;
}

static int add_priced(glp_prob *lp, double price) {
    int column = glp_add_cols(lp, 1);
    glp_set_col_bnds(lp, column, GLP_LO, 0, 0);
    glp_set_obj_coef(lp, column, price);
    return column;
}

static void add_frame(Tree *tree) {
    const ProgModel *model = tree->model;
    const Programme *in = model->in;
    glp_prob *lp = tree->lp;
    glp_add_rows(lp, (int)(in->group_count + model->side_count + in->target_count));
    for (size_t g = 0; g < in->group_count; g++)
        glp_set_row_bnds(lp, (int)g + 1, GLP_FX, 1, 1);
    for (size_t c = 0; c < in->class_count; c++) {
        int column = add_priced(lp, in->class_weight[c]), rows[PROG_SIDES_MAX + 1], n = 0;
        double values[PROG_SIDES_MAX + 1];
        for (size_t s = 0; s < model->side_count; s++) {
            if (model->side[s].elastic != c)
                continue;
            rows[++n] = side_row(tree, s);
            values[n] = -model->side[s].unit;
        }
        glp_set_mat_col(lp, column, n, rows, values);
    }
    for (size_t s = 0; s < model->side_count; s++)
        glp_set_row_bnds(lp, side_row(tree, s), GLP_UP, 0, -model->side[s].constant);
    for (size_t t = 0; t < in->target_count; t++) {
        const ProgTarget *target = &in->targets[t];
        double mid = target->centre - target->base;
        int rows[2] = {0, target_row(tree, t)};
        glp_set_row_bnds(lp, rows[1], target->dead > 0 ? GLP_DB : GLP_FX, mid - target->dead,
                         mid + target->dead);
        for (int way = -1; way <= 1; way += 2) {
            double values[2] = {0, way * target->unit};
            glp_set_mat_col(lp, add_priced(lp, target->weight), 1, rows, values);
        }
    }
    /* In no row: carries the objective of the solution that GLPK is told. */
    tree->over_column = add_priced(lp, 1);
}

/* Fills rows and values with the sign-weighted features: of a column, or of what it loses. */
static int fill_features(const Tree *tree, const double *feature, double scale, int *rows,
                         double *values) {
    const ProgModel *model = tree->model;
    int n = 0;
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        double value = side->sign * feature[side->feature];
        if (side->margin != PROG_NONE)
            value += feature[side->margin];
        rows[++n] = side_row(tree, s);
        values[n] = scale * value;
    }
    for (size_t t = 0; t < model->in->target_count; t++) {
        rows[++n] = target_row(tree, t);
        values[n] = scale * feature[model->in->targets[t].feature];
    }
    return n;
}

static bool same_loss(const Tree *tree, const ProgColumn *a, const ProgColumn *b) {
    if (a->cost_slope < b->cost_slope || a->cost_slope > b->cost_slope)
        return false;
    for (size_t k = 0; k < tree->model->in->feature_count; k++) {
        if (a->g[k] < b->g[k] || a->g[k] > b->g[k])
            return false;
    }
    return true;
}

static const Shared *share(Tree *tree, size_t g, size_t c) {
    const ProgGroup *group = &tree->model->in->groups[g];
    const ProgColumn *column = &group->columns[c];
    for (size_t i = tree->shared_count; i > 0 && tree->shared[i - 1].group == g; i--) {
        if (same_loss(tree, &group->columns[tree->shared[i - 1].column], column))
            return &tree->shared[i - 1];
    }
    Shared *shared = &tree->shared[tree->shared_count++];
    *shared = (Shared){.group = g, .column = c};
    shared->lp_column = add_priced(tree->lp, column->cost_slope);
    shared->lp_row = glp_add_rows(tree->lp, 1);
    glp_set_row_bnds(tree->lp, shared->lp_row, GLP_UP, 0, 0);
    int rows[FRAME_MAX + 2], n = fill_features(tree, column->g, -1, rows, tree->value);
    rows[++n] = shared->lp_row;
    tree->value[n] = 1;
    glp_set_mat_col(tree->lp, shared->lp_column, n, rows, tree->value);
    return shared;
}

static bool worth_a_column(const Tree *tree, size_t g, const ProgColumn *column) {
    double value, slope;
    prog_cut_at(tree->model, tree->cut, column, &value, &slope);
    return fmin(value, value + slope * column->range) - tree->least_part[g] <= tree->room;
}

static void add_group(Tree *tree, size_t g) {
    const ProgGroup *group = &tree->model->in->groups[g];
    for (size_t c = 0; c < group->count; c++)
        if (group->columns[c].range > 0 && worth_a_column(tree, g, &group->columns[c]))
            (void)share(tree, g, c);
    tree->first[g] = glp_get_num_cols(tree->lp) + 1;
    for (size_t c = 0; c < group->count; c++) {
        const ProgColumn *column = &group->columns[c];
        if (!worth_a_column(tree, g, column))
            continue;
        int rows[FRAME_MAX + 3], n = fill_features(tree, column->f, 1, rows, tree->value);
        rows[++n] = (int)g + 1;
        tree->value[n] = 1;
        if (column->range > 0) {
            rows[++n] = share(tree, g, c)->lp_row;
            tree->value[n] = -column->range;
        }
        int lp_column = glp_add_cols(tree->lp, 1);
        glp_set_col_kind(tree->lp, lp_column, GLP_BV);
        glp_set_obj_coef(tree->lp, lp_column, column->cost);
        glp_set_mat_col(tree->lp, lp_column, n, rows, tree->value);
        tree->column_of[lp_column] = c;
    }
    tree->end[g] = glp_get_num_cols(tree->lp) + 1;
}

/* ---- inside the tree ---- */

/* The lp columns chosen at a node whose solution is whole; false when it is not. */
static bool whole_choice(Tree *tree, glp_prob *lp, int *chosen) {
    for (size_t g = 0; g < tree->model->in->group_count; g++) {
        chosen[g] = 0;
        for (int j = tree->first[g]; chosen[g] == 0 && j < tree->end[g]; j++) {
            if (glp_get_col_prim(lp, j) >= 1 - WHOLE)
                chosen[g] = j;
        }
        if (chosen[g] == 0)
            return false;
        tree->entry.column[g] = tree->column_of[chosen[g]];
    }
    return true;
}

static void add_row(Tree *tree, glp_prob *lp, int n, double most) {
    int row = glp_add_rows(lp, 1);
    glp_set_row_bnds(lp, row, GLP_UP, 0, most);
    glp_set_mat_row(lp, row, n, tree->index, tree->value);
}

/* The first forbidden pair of the choice becomes a row; false when there is none. */
static bool forbid_pair(Tree *tree, glp_prob *lp, const int *chosen) {
    const Programme *in = tree->model->in;
    for (size_t i = 0; i < in->pair_count; i++) {
        const ProgPair *pair = &in->pairs[i];
        if (!in->forbidden(in->forbidden_context, i, tree->entry.column[pair->group_a],
                           tree->entry.column[pair->group_b]))
            continue;
        tree->index[1] = chosen[pair->group_a];
        tree->index[2] = chosen[pair->group_b];
        tree->value[1] = tree->value[2] = 1;
        add_row(tree, lp, 2, 1);
        return true;
    }
    return false;
}

static void forbid_choice(Tree *tree, glp_prob *lp, const int *chosen) {
    const Programme *in = tree->model->in;
    int n = 0;
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgColumn *columns = in->groups[g].columns;
        int64_t look = columns[tree->entry.column[g]].visible;
        for (int j = tree->first[g]; j < tree->end[g]; j++) {
            bool same =
                tree->pool->visibly ? columns[tree->column_of[j]].visible == look : j == chosen[g];
            if (!same)
                continue;
            tree->index[++n] = j;
            tree->value[n] = 1;
        }
    }
    add_row(tree, lp, n, (double)in->group_count - 1);
}

static void at_node(Tree *tree, glp_prob *lp) {
    int chosen[PROG_GROUPS_MAX];
    if (!whole_choice(tree, lp, chosen) || forbid_pair(tree, lp, chosen))
        return;
    double limit = prog_pool_limit(tree->pool) + PROG_EQUAL;
    ProgEntry entry = tree->entry;
    if (prog_value(tree->model, tree->guard, limit, &entry))
        (void)prog_pool_offer(tree->pool, &entry);
    forbid_choice(tree, lp, chosen);
}

/* A little worse than the K-th, so that its equals are met as well. */
static void tell_limit(Tree *tree, glp_tree *node) {
    double limit = prog_pool_limit(tree->pool);
    if (isinf(limit) || (tree->told_any && limit >= tree->told_limit))
        return;
    tree->told[tree->over_column] = limit + 3 * PROG_EQUAL * (1 + fabs(limit));
    tree->told_limit = limit;
    tree->told_any = true;
    (void)glp_ios_heur_sol(node, tree->told);
}

static void note_bound(Tree *tree, glp_tree *node) {
    int best = glp_ios_best_node(node), current = glp_ios_curr_node(node);
    double bound = INFINITY;
    if (best != 0)
        bound = glp_ios_node_bound(node, best);
    if (current != 0)
        bound = fmin(bound, glp_ios_node_bound(node, current));
    tree->bound = bound;
}

static void callback(glp_tree *node, void *info) {
    Tree *tree = info;
    int total;
    switch (glp_ios_reason(node)) {
    case GLP_ISELECT:
        glp_ios_tree_size(node, NULL, NULL, &total);
        tree->stats->tree_nodes++;
        if ((tree->node_cap > 0 && (size_t)total >= tree->node_cap) ||
            prog_clock_over(tree->clock)) {
            note_bound(tree, node);
            tree->stopped = true;
            glp_ios_terminate(node);
        }
        break;
    case GLP_IROWGEN:
        at_node(tree, glp_ios_get_prob(node));
        break;
    case GLP_IHEUR:
        tell_limit(tree, node);
        break;
    default:
        break;
    }
}

static bool root(Tree *tree) {
    glp_smcp parameters;
    glp_init_smcp(&parameters);
    parameters.msg_lev = GLP_MSG_OFF;
    glp_scale_prob(tree->lp, GLP_SF_AUTO);
    int code = glp_simplex(tree->lp, &parameters);
    return prog_solver_status(code, glp_get_status(tree->lp)) == PROG_SOLVER_OPTIMAL;
}

static void solve(void *context) {
    Tree *tree = context;
    tree->lp = glp_create_prob();
    add_frame(tree);
    for (size_t g = 0; g < tree->model->in->group_count; g++)
        add_group(tree, g);
    if (!root(tree))
        return;
    glp_iocp parameters;
    glp_init_iocp(&parameters);
    parameters.msg_lev = GLP_MSG_OFF;
    parameters.br_tech = GLP_BR_DTH;
    parameters.bt_tech = GLP_BT_BLB;
    parameters.pp_tech = GLP_PP_ROOT;
    parameters.sr_heur = GLP_OFF; /* would keep a rounded solution without asking the pool */
    parameters.cb_func = callback;
    parameters.cb_info = tree;
    int code = glp_intopt(tree->lp, &parameters);
    ProgSolverStatus status = prog_solver_status(code, glp_mip_status(tree->lp));
    /* The solutions all went to the pool, so "none" is what the end of the tree looks like. */
    tree->finished = !tree->stopped && code == 0 &&
                     (status == PROG_SOLVER_OPTIMAL || status == PROG_SOLVER_INFEASIBLE);
    glp_delete_prob(tree->lp);
}

/* ---- around it ---- */

/* With K rigs in hand, columns whose reduced cost exceeds what is left are left out. */
static void set_room(Tree *tree, const ProgPool *pool) {
    const Programme *in = tree->model->in;
    for (size_t g = 0; g < in->group_count; g++) {
        tree->least_part[g] = INFINITY;
        for (size_t c = 0; c < in->groups[g].count; c++) {
            double value, slope;
            const ProgColumn *column = &in->groups[g].columns[c];
            prog_cut_at(tree->model, tree->cut, column, &value, &slope);
            tree->least_part[g] =
                fmin(tree->least_part[g], fmin(value, value + slope * column->range));
        }
    }
    tree->room =
        prog_pool_limit(pool) + PROG_EQUAL + PROG_ROUND - prog_cut_floor(tree->model, tree->cut);
}

static bool allocate(Tree *tree) {
    const ProgModel *model = tree->model;
    size_t frame = model->in->class_count + 2 * model->in->target_count + 1;
    size_t columns = frame + 2 * model->column_count + 2;
    tree->column_of = calloc(columns, sizeof *tree->column_of);
    tree->shared = calloc(model->column_count, sizeof *tree->shared);
    tree->index = calloc(columns + FRAME_MAX, sizeof *tree->index);
    tree->value = calloc(columns + FRAME_MAX, sizeof *tree->value);
    tree->told = calloc(columns, sizeof *tree->told);
    return tree->column_of != NULL && tree->shared != NULL && tree->index != NULL &&
           tree->value != NULL && tree->told != NULL;
}

static void release(Tree *tree) {
    free(tree->column_of);
    free(tree->shared);
    free(tree->index);
    free(tree->value);
    free(tree->told);
    free(tree);
}

bool prog_tree(const ProgModel *model, const ProgCuts *cuts, ProgPool *pool, ProgGuard *guard,
               ProgClock *clock, size_t node_cap, ProgReach *reach, ProgStats *stats,
               BlyError *err) {
    Tree *tree = calloc(1, sizeof *tree);
    if (tree == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
    tree->model = model;
    tree->pool = pool;
    tree->guard = guard;
    tree->clock = clock;
    tree->stats = stats;
    tree->node_cap = node_cap;
    tree->cut = &cuts->cut[0];
    if (!allocate(tree)) {
        release(tree);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
    }
    set_room(tree, pool);
    stats->tree_rounds++;
    (void)prog_guard_run(guard, solve, tree, NULL);
    reach->capped = !tree->finished;
    if (tree->finished) {
        double held = prog_pool_limit(pool);
        reach->bound = held;
    } else if (tree->stopped && isfinite(tree->bound)) {
        /* GLPK's bounds are good to its own tolerance only. */
        reach->bound = fmax(reach->bound, fmin(tree->bound - 1e-6, prog_pool_limit(pool)));
    }
    release(tree);
    return true;
}
