/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small made-up choice programmes with everything in them, for comparison with brute force. */
#ifndef BALLASTRY_TESTS_RIDDLE_H
#define BALLASTRY_TESTS_RIDDLE_H

#include "programme/programme.h"
#include "support/dice.h"

typedef struct RiddleShape {
    size_t groups, columns; /* columns: at most, per group */
    size_t waters;          /* 1 to 3 */
    size_t plates;          /* groups whose columns may be filed: 0 to 2 */
    bool margins, hard_price, pairs;
    double heavy; /* grams by which the body is off: above about 2 no rig is in its bands */
    double dead;  /* dead zone, in units */
    size_t long_groups, long_columns; /* so many more groups, each of just so many columns */
} RiddleShape;

typedef struct Riddle {
    Programme programme;
    ProgGroup groups[PROG_GROUPS_MAX];
    ProgRow rows[PROG_ROWS_MAX];
    ProgTarget targets[PROG_TARGETS_MAX];
    double class_weight[3];
    ProgPair pair;
    ProgColumn *columns;
    double *numbers;
} Riddle;

void riddle_make(Riddle *riddle, const RiddleShape *shape, uint64_t seed);
void riddle_free(Riddle *riddle);

#endif
