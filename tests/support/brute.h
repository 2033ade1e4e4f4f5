/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ground truth for the choice programme: every rig, worked out by its own arithmetic.
 *
 * Shares no code with solver/fit. A rig's least objective over its deltas is found by trying every
 * corner: a convex piecewise linear function over a box has its least value where lines of the
 * arrangement of all its kinks and the box's edges meet. At most two deltas in a rig. */
#ifndef BALLASTRY_TESTS_BRUTE_H
#define BALLASTRY_TESTS_BRUTE_H

#include "programme/programme.h"

typedef struct BruteRig {
    double objective, cost, distance;
    size_t column[PROG_GROUPS_MAX];
    double delta[PROG_GROUPS_MAX];
} BruteRig;

/* Sum of all that a rig pays at given deltas; INFINITY when a hard row or pair forbids it. Fills
 * cost and distance when not NULL. */
double brute_objective(const Programme *p, const size_t *column, const double *delta, double *cost,
                       double *distance);

/* The `best` first rigs in the order that programme.h promises, in `rigs` (room for `best`).
 * Returns how many there are. */
size_t brute_force(const Programme *p, size_t best, bool visibly, BruteRig *rigs);

#endif
