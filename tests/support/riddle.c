/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/riddle.h"

#include <math.h>
#include <stdlib.h>

/* Features: net weight per water, moment at the low and the high angle per water, moment at the
 * middle angle, margin, price. */
enum { NET = 0, LOW = 3, HIGH = 6, MIDDLE = 9, MARGIN = 10, PRICE = 11, FEATURES = 12 };

static const double water_density[3] = {0.9997, 0.9970, 1.0250}; /* g/cm3, about */

static void set_column(ProgColumn *column, double *f, double *g, Dice *dice, double place,
                       bool plate, bool margins) {
    double mass = dice_stepped(dice, 0.1, 1.6, 0.01), density = plate ? 8.5 : 7.8;
    double price = dice_stepped(dice, 0.0, 2.0, 0.05);
    double drop = dice_between(dice, 3, 9);
    for (size_t w = 0; w < 3; w++) {
        double share = 1 - water_density[w] / density, net = mass * share;
        f[NET + w] = net;
        f[LOW + w] = net * (place * 0.9986 - drop * 0.0523);
        f[HIGH + w] = net * (place * 0.9659 - drop * 0.2588);
    }
    f[MIDDLE] = f[NET] * (place * 0.9903 - drop * 0.1392);
    f[MARGIN] = margins ? 0.012 * mass : 0;
    f[PRICE] = price;
    *column = (ProgColumn){.f = f, .g = NULL, .cost = 0.05 * price};
    if (plate) {
        column->g = g;
        column->range = dice_stepped(dice, 0.1, 0.6, 0.05);
        column->cost_slope = dice_below(dice, 2) == 0 ? 0 : 0.03;
        for (size_t k = 0; k < FEATURES; k++)
            g[k] = k == PRICE ? 0 : f[k] * 0.9 / (column->range + 0.3);
    }
}

static void add_rows(Riddle *riddle, const RiddleShape *shape, const double *middle) {
    Programme *p = &riddle->programme;
    size_t margin = shape->margins ? (size_t)MARGIN : PROG_NONE;
    for (size_t w = 0; w < shape->waters; w++) {
        double base = -middle[NET + w] + shape->heavy;
        riddle->rows[p->row_count++] =
            (ProgRow){(size_t)(NET + w), margin, base, -0.15, 0.15, 0, 0.05};
        double tilt = middle[MIDDLE];
        riddle->rows[p->row_count++] =
            (ProgRow){(size_t)(LOW + w), PROG_NONE, -tilt - 6, -INFINITY, 0, 1, 2};
        riddle->rows[p->row_count++] =
            (ProgRow){(size_t)(HIGH + w), PROG_NONE, -tilt + 6, 0, INFINITY, 1, 2};
    }
    if (shape->hard_price)
        riddle->rows[p->row_count++] =
            (ProgRow){PRICE, PROG_NONE, 0, -INFINITY, 0.8 * (double)p->group_count, PROG_NONE, 1};
    riddle->targets[p->target_count++] =
        (ProgTarget){NET, -middle[NET] + shape->heavy, 0, shape->dead * 0.05, 0.05, 1};
    riddle->targets[p->target_count++] =
        (ProgTarget){MIDDLE, -middle[MIDDLE], 0, shape->dead * 2, 2, 1};
}

static bool touching(void *context, size_t pair, size_t a, size_t b) {
    (void)context;
    (void)pair;
    return (3 * a + 5 * b) % 4 == 0;
}

void riddle_make(Riddle *riddle, const RiddleShape *shape, uint64_t seed) {
    *riddle = (Riddle){.class_weight = {10, 10, 10}};
    Dice dice = {seed};
    size_t groups = shape->groups + shape->long_groups, at = 0;
    size_t room = shape->groups * shape->columns + shape->long_groups * shape->long_columns;
    riddle->columns = calloc(room, sizeof *riddle->columns);
    riddle->numbers = calloc(room * 2 * FEATURES, sizeof *riddle->numbers);
    if (riddle->columns == NULL || riddle->numbers == NULL)
        abort();
    double middle[FEATURES] = {0};
    for (size_t g = 0; g < groups; g++) {
        size_t count = shape->columns > 1 ? 2 + dice_below(&dice, shape->columns - 1) : 1;
        if (g >= shape->groups)
            count = shape->long_columns;
        riddle->groups[g] = (ProgGroup){&riddle->columns[at], count};
        double place = dice_between(&dice, -40, 40);
        size_t kept = dice_below(&dice, count);
        for (size_t c = 0; c < count; c++, at++) {
            double *f = &riddle->numbers[at * 2 * FEATURES];
            set_column(&riddle->columns[at], f, f + FEATURES, &dice, place, g < shape->plates,
                       shape->margins);
            riddle->columns[at].visible = (int64_t)dice_below(&dice, 3);
            for (size_t k = 0; c == kept && k < FEATURES; k++)
                middle[k] += f[k] * (g < shape->plates ? 0.8 : 1);
        }
    }
    for (size_t k = 0; k < FEATURES; k++)
        middle[k] += k < LOW ? dice_between(&dice, -0.1, 0.1) : 0;
    riddle->programme = (Programme){.feature_count = FEATURES,
                                    .groups = riddle->groups,
                                    .group_count = groups,
                                    .rows = riddle->rows,
                                    .targets = riddle->targets,
                                    .class_weight = riddle->class_weight,
                                    .class_count = 2};
    add_rows(riddle, shape, middle);
    if (shape->pairs && groups > 1) {
        riddle->pair = (ProgPair){groups - 1, 0};
        riddle->programme.pairs = &riddle->pair;
        riddle->programme.pair_count = 1;
        riddle->programme.forbidden = touching;
    }
}

void riddle_free(Riddle *riddle) {
    free(riddle->columns);
    free(riddle->numbers);
    *riddle = (Riddle){0};
}
