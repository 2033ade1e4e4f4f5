/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the fit room: a problem put as a programme, with the features of the candidates under
 * the present frames, rows that bound them and targets that they are to come near. */
#ifndef BALLASTRY_FIT_PROBLEM_MODEL_H
#define BALLASTRY_FIT_PROBLEM_MODEL_H

#include "fit/problem.h"
#include "programme/programme.h"

/* What a miss is of; classes of elastic rows. */
enum { CLASS_WEIGHT, CLASS_ATTITUDE, CLASS_ROLL, CLASS_LINE, CLASS_HOOKS, CLASSES };

/* Features of a column: five for each water, price, change and give, what its hook weighs above the
 * usual share, those of the line, two for
 * each pair of hangers that keep hooks clear, some that keep the craft, one for each part that the
 * box has too few of, as far as there is room. */
typedef struct Layout {
    size_t waters, price, change, give, above, line, hooks, craft, box, boxed, count;
} Layout;

typedef struct ProblemModel {
    Layout layout;
    double *numbers; /* features and filings of all columns */
    ProgColumn *columns;
    ProgGroup *groups;
    ProgRow rows[PROG_ROWS_MAX];
    size_t row_count;
    ProgTarget targets[PROG_TARGETS_MAX];
    size_t target_count;
    ProgPair pairs[PROG_PAIRS_MAX];
    size_t pair_count;
    size_t craft_used;            /* features */
    double class_weight[CLASSES]; /* what a unit outside a band costs */
} ProblemModel;

/* Group i of the programme is candidate set i, its column c candidate c. At most PROG_GROUPS_MAX
 * sets. The model owns its arrays: problem_model_end releases them, whatever the result. */
bool problem_model_make(const Problem *p, ProblemModel *out, BlyError *err) BLY_MUST_CHECK;
void problem_model_end(ProblemModel *m);

/* Adds sum of a feature <= most, which nothing may break. */
void problem_row_hard(ProblemModel *m, size_t feature, double most);

/* Adds rows and pairs that keep hooks clear of each other; fills their features. */
void problem_hooks(const Problem *p, ProblemModel *m);

/* Adds rows for the rules of the craft between two seats. */
void problem_craft_rows(const Problem *p, ProblemModel *m);

#endif
