/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the book: partial pooling by the normal hierarchical model.
 *
 * Of lure l the figures are x = theta(key) + e, e normal with the key's own scatter tau; theta is
 * normal about the key's mean. Given all tau everything is linear and normal; over tau, of which a
 * few values stand with shares, is summed. */
#ifndef BALLASTRY_BOOK_POOL_H
#define BALLASTRY_BOOK_POOL_H

#include "book/book.h"

enum { POOL_NODES = 96 };

/* What tau of a key may be, and how likely before any lure. */
typedef struct PoolScatter {
    size_t count;
    double at[POOL_NODES], share[POOL_NODES]; /* shares need not add up to 1 */
} PoolScatter;

typedef struct PoolKey {
    double mean, sigma; /* of theta before any lure */
    PoolScatter scatter;
} PoolKey;

/* A lure's likelihood, exp(-x' weight x / 2 + x' pull). */
typedef struct PoolLure {
    size_t count;
    const size_t *key;           /* count */
    const double *weight, *pull; /* count squared, without a negative direction; count */
} PoolLure;

typedef struct PoolProblem {
    const PoolKey *keys;
    size_t key_count;
    const PoolLure *lures;
    size_t lure_count;
} PoolProblem;

/* mean: key_count; covariance: key_count squared, of theta; scatter: key_count, the mean of tau
 * squared. By one key exact; of several, each key's tau is summed over with the others at their
 * root mean square, again and again until they stay. */
bool pool_solve(const PoolProblem *problem, double *mean, double *covariance, double *scatter,
                BlyError *err) BLY_MUST_CHECK;

#endif
