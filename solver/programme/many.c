/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rig with two or more plates that may be filed: a small linear programme in GLPK. Rare, since
 * a lure has one lip. */
#include "programme/internal.h"

#include <glpk.h>
#include <math.h>
#include <string.h>

typedef struct Small {
    const ProgModel *model;
    ProgEntry *entry;
    int delta_column[PROG_GROUPS_MAX]; /* 0: the group's column is fixed */
    double *nearest;
    bool found;
} Small;

/* One row: sum of the deltas' parts by sign and margin, plus up to two priced columns. */
static void set_row(glp_prob *lp, const Small *small, int row, double sign, size_t feature,
                    size_t margin, const int *extra, const double *extra_value, int extra_count) {
    const Programme *in = small->model->in;
    int index[PROG_GROUPS_MAX + 3], n = 0;
    double value[PROG_GROUPS_MAX + 3];
    for (size_t g = 0; g < in->group_count; g++) {
        if (small->delta_column[g] == 0)
            continue;
        const double *lost = in->groups[g].columns[small->entry->column[g]].g;
        double part = -sign * lost[feature] - (margin != PROG_NONE ? lost[margin] : 0);
        index[++n] = small->delta_column[g];
        value[n] = part;
    }
    for (int i = 0; i < extra_count; i++) {
        index[++n] = extra[i];
        value[n] = extra_value[i];
    }
    glp_set_mat_row(lp, row, n, index, value);
}

static int add_priced(glp_prob *lp, double price) {
    int column = glp_add_cols(lp, 1);
    glp_set_col_bnds(lp, column, GLP_LO, 0, 0);
    glp_set_obj_coef(lp, column, price);
    return column;
}

/* How far the target's feature comes to lie from its centre, either way, is paid for beyond `dead`.
 */
static void add_target(glp_prob *lp, const Small *small, const ProgTarget *target, double sum,
                       double dead) {
    int extra[2] = {add_priced(lp, target->weight), add_priced(lp, target->weight)};
    double take[2] = {-target->unit, target->unit};
    double off = target->base - target->centre + sum;
    int row = glp_add_rows(lp, 1);
    glp_set_row_bnds(lp, row, dead > 0 ? GLP_DB : GLP_FX, -dead - off, dead - off);
    set_row(lp, small, row, 1.0, target->feature, PROG_NONE, extra, take, 2);
}

static void add_rows(glp_prob *lp, const Small *small, const double *sums) {
    const ProgModel *model = small->model;
    const Programme *in = model->in;
    int class_column[PROG_CLASSES_MAX] = {0};
    for (size_t c = 0; c < in->class_count; c++)
        class_column[c] = add_priced(lp, in->class_weight[c]);
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        int row = glp_add_rows(lp, 1), extra = 0;
        double take = -side->unit;
        if (side->elastic != PROG_NONE)
            extra = class_column[side->elastic];
        glp_set_row_bnds(lp, row, GLP_UP, 0, -prog_side_over(side, sums));
        set_row(lp, small, row, side->sign, side->feature, side->margin, &extra, &take,
                extra != 0 ? 1 : 0);
    }
    for (size_t t = 0; t < in->target_count; t++)
        add_target(lp, small, &in->targets[t], sums[in->targets[t].feature], in->targets[t].dead);
}

/* The objective becomes a row that holds what was reached, and the whole distance to the centres
 * takes its place: of equals, the one nearest to them. */
static void ask_for_the_nearest(glp_prob *lp, const Small *small, const double *sums) {
    const Programme *in = small->model->in;
    int index[PROG_GROUPS_MAX + PROG_CLASSES_MAX + 2 * PROG_TARGETS_MAX + 1], n = 0;
    double value[PROG_GROUPS_MAX + PROG_CLASSES_MAX + 2 * PROG_TARGETS_MAX + 1];
    double reached = glp_get_obj_val(lp);
    for (int j = 1; j <= glp_get_num_cols(lp); j++) {
        index[++n] = j;
        value[n] = glp_get_obj_coef(lp, j);
        glp_set_obj_coef(lp, j, 0);
    }
    int held = glp_add_rows(lp, 1);
    glp_set_row_bnds(lp, held, GLP_UP, 0, reached + 1e-9);
    glp_set_mat_row(lp, held, n, index, value);
    for (size_t t = 0; t < in->target_count; t++)
        add_target(lp, small, &in->targets[t], sums[in->targets[t].feature], 0);
}

static bool solved(glp_prob *lp) {
    glp_smcp parameters;
    glp_init_smcp(&parameters);
    parameters.msg_lev = GLP_MSG_OFF;
    int code = glp_simplex(lp, &parameters);
    return prog_solver_status(code, glp_get_status(lp)) == PROG_SOLVER_OPTIMAL;
}

static void take_deltas(glp_prob *lp, const Small *small, double *delta) {
    const Programme *in = small->model->in;
    for (size_t g = 0; g < in->group_count; g++) {
        if (small->delta_column[g] == 0)
            continue;
        double range = in->groups[g].columns[small->entry->column[g]].range;
        delta[g] = fmin(fmax(glp_get_col_prim(lp, small->delta_column[g]), 0), range);
    }
}

static void solve_small(void *context) {
    Small *small = context;
    const Programme *in = small->model->in;
    glp_prob *lp = glp_create_prob();
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgColumn *column = &in->groups[g].columns[small->entry->column[g]];
        small->entry->delta[g] = 0;
        small->delta_column[g] = 0;
        if (column->range > 0) {
            small->delta_column[g] = glp_add_cols(lp, 1);
            glp_set_col_bnds(lp, small->delta_column[g], GLP_DB, 0, column->range);
            glp_set_obj_coef(lp, small->delta_column[g], column->cost_slope);
        }
    }
    double sums[PROG_FEATURES_MAX];
    prog_sums(small->model, small->entry, sums);
    add_rows(lp, small, sums);
    glp_std_basis(lp);
    small->found = solved(lp);
    if (small->found) {
        take_deltas(lp, small, small->entry->delta);
        ask_for_the_nearest(lp, small, sums);
        memcpy(small->nearest, small->entry->delta, in->group_count * sizeof *small->nearest);
        if (solved(lp))
            take_deltas(lp, small, small->nearest);
    }
    glp_delete_prob(lp);
}

bool prog_value_many(const ProgModel *model, ProgGuard *guard, ProgEntry *entry, double *nearest) {
    Small small = {.model = model, .entry = entry, .nearest = nearest};
    return prog_guard_run(guard, solve_small, &small, NULL) && small.found;
}
