/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/mps.h"

#include <glpk.h>
#include <math.h>
#include <stdlib.h>

/* Entries of the matrix, from place 1. */
typedef struct Matrix {
    glp_prob *lp;
    int *row, *column;
    double *value;
    size_t count, room;
    bool failed;
} Matrix;

static void entry(Matrix *m, int row, int column, double value) {
    if (fabs(value) < 1e-12 || m->failed)
        return;
    if (m->count + 2 > m->room) {
        m->room = m->room == 0 ? 4096 : 2 * m->room;
        int *rows = realloc(m->row, m->room * sizeof *rows);
        m->row = rows != NULL ? rows : m->row;
        int *columns = realloc(m->column, m->room * sizeof *columns);
        m->column = columns != NULL ? columns : m->column;
        double *values = realloc(m->value, m->room * sizeof *values);
        m->value = values != NULL ? values : m->value;
        m->failed = rows == NULL || columns == NULL || values == NULL;
        if (m->failed)
            return;
    }
    m->count++;
    m->row[m->count] = row;
    m->column[m->count] = column;
    m->value[m->count] = value;
}

static int new_row(Matrix *m, double lo, double hi) {
    int row = glp_add_rows(m->lp, 1);
    int kind = isinf(lo) ? GLP_UP : isinf(hi) ? GLP_LO : lo < hi ? GLP_DB : GLP_FX;
    glp_set_row_bnds(m->lp, row, kind, lo, hi);
    return row;
}

static int new_number(Matrix *m, double most, double cost) {
    int column = glp_add_cols(m->lp, 1);
    glp_set_col_bnds(m->lp, column, isinf(most) ? GLP_LO : GLP_DB, 0, most);
    glp_set_obj_coef(m->lp, column, cost);
    return column;
}

/* Rows of the bands and targets; returns the first, `two` a row with both sides. */
static void add_bands(Matrix *m, const Programme *p, int *high, int *low, int *aim) {
    int pays[PROG_CLASSES_MAX];
    for (size_t c = 0; c < p->class_count; c++)
        pays[c] = new_number(m, INFINITY, p->class_weight[c]);
    for (size_t r = 0; r < p->row_count; r++) {
        const ProgRow *row = &p->rows[r];
        high[r] = isinf(row->hi) ? 0 : new_row(m, -INFINITY, row->hi - row->base);
        low[r] = isinf(row->lo) ? 0 : new_row(m, row->lo - row->base, INFINITY);
        if (row->elastic != PROG_NONE && high[r] > 0)
            entry(m, high[r], pays[row->elastic], -row->unit);
        if (row->elastic != PROG_NONE && low[r] > 0)
            entry(m, low[r], pays[row->elastic], row->unit);
    }
    for (size_t t = 0; t < p->target_count; t++) {
        const ProgTarget *target = &p->targets[t];
        double middle = target->centre - target->base;
        aim[t] = new_row(m, middle - target->dead, middle + target->dead);
        entry(m, aim[t], new_number(m, INFINITY, target->weight), -target->unit);
        entry(m, aim[t], new_number(m, INFINITY, target->weight), target->unit);
    }
}

static void add_features(Matrix *m, const Programme *p, const int *high, const int *low,
                         const int *aim, int column, const double *f, double scale) {
    for (size_t r = 0; r < p->row_count; r++) {
        double margin = p->rows[r].margin != PROG_NONE ? f[p->rows[r].margin] : 0;
        if (high[r] > 0)
            entry(m, high[r], column, scale * (f[p->rows[r].feature] + margin));
        if (low[r] > 0)
            entry(m, low[r], column, scale * (f[p->rows[r].feature] - margin));
    }
    for (size_t t = 0; t < p->target_count; t++)
        entry(m, aim[t], column, scale * f[p->targets[t].feature]);
}

static void add_groups(Matrix *m, const Programme *p, const int *high, const int *low,
                       const int *aim) {
    for (size_t g = 0; g < p->group_count; g++) {
        int one = new_row(m, 1, 1);
        for (size_t c = 0; c < p->groups[g].count; c++) {
            const ProgColumn *from = &p->groups[g].columns[c];
            int column = new_number(m, 1, from->cost);
            glp_set_col_kind(m->lp, column, GLP_BV);
            entry(m, one, column, 1);
            add_features(m, p, high, low, aim, column, from->f, 1);
            if (!(from->range > 0))
                continue;
            int filed = new_number(m, INFINITY, from->cost_slope), gate = new_row(m, -INFINITY, 0);
            entry(m, gate, filed, 1);
            entry(m, gate, column, -from->range);
            add_features(m, p, high, low, aim, filed, from->g, -1);
        }
    }
}

bool mps_write(const Programme *programme, const char *path) {
    Matrix m = {0};
    int high[PROG_ROWS_MAX], low[PROG_ROWS_MAX], aim[PROG_TARGETS_MAX];
    (void)glp_term_out(GLP_OFF);
    m.lp = glp_create_prob();
    add_bands(&m, programme, high, low, aim);
    add_groups(&m, programme, high, low, aim);
    bool good = !m.failed;
    if (good) {
        glp_load_matrix(m.lp, (int)m.count, m.row, m.column, m.value);
        good = glp_write_mps(m.lp, GLP_MPS_FILE, NULL, path) == 0;
    }
    glp_delete_prob(m.lp);
    free(m.row);
    free(m.column);
    free(m.value);
    return good;
}
