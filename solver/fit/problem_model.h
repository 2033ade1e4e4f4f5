/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the fit room: a problem put as a programme, with the features of the candidates under
 * the present frames, rows that bound them and targets that they are to come near. */
#ifndef BALLASTRY_FIT_PROBLEM_MODEL_H
#define BALLASTRY_FIT_PROBLEM_MODEL_H

#include "fit/problem.h"
#include "fit/programme.h"

/* What a miss is of; classes of elastic rows. */
enum { CLASS_WEIGHT, CLASS_ATTITUDE, CLASS_ROLL, CLASSES };

/* Features of a column: five for each water, then price, change and give. */
typedef struct Layout {
    size_t waters, price, change, give, count;
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
} ProblemModel;

/* Group i of the programme is candidate set i, its column c candidate c. At most PROG_GROUPS_MAX
 * sets. The model owns its arrays: problem_model_end releases them, whatever the result. */
bool problem_model_make(const Problem *p, ProblemModel *out, BlyError *err) BLY_MUST_CHECK;
void problem_model_end(ProblemModel *m);

#endif
