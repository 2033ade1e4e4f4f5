/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quadrature rules and roots, both from GSL, without heap in the hot
 * path. */
#ifndef BALLASTRY_NUMERIC_NUMERIC_H
#define BALLASTRY_NUMERIC_NUMERIC_H

#include "ballastry/error.h"

enum { BLY_RULE_MAX = 16 };

/* Gauss-Legendre nodes and weights on [0, 1]. */
typedef struct BlyRule {
    size_t count;
    double at[BLY_RULE_MAX], weight[BLY_RULE_MAX];
} BlyRule;

bool bly_rule_make(size_t count, BlyRule *out, BlyError *err) BLY_MUST_CHECK;

typedef double (*BlyFunction)(double at, void *user);

/* The root of f between low and high, where f changes its sign (Brent's method). When the sign
 * does not change, the end with the smaller |f|. */
double bly_root(BlyFunction f, void *user, double low, double high);

#endif
