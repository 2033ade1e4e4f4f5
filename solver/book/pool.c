/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The normal hierarchical model with known and unknown scatter; docs/book.md has the formulas. */
#include "book/pool.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SWEEPS_MOST = 8 };
static const double stays = 0.01; /* share by which tau squared may still move */

/* A sum over lures: precision and pull of theta, and the logarithm of what stands before. */
typedef struct Total {
    double *precision, *pull; /* key_count squared, key_count; owned */
    double log;
} Total;

typedef struct Pool {
    const PoolProblem *p;
    double *tau2; /* one a key: where it stands now */
    Total rest, all;
    double *solved;                   /* key_count: theta's mean */
    double *work, *second, *solution; /* room for one lure: count squared, twice; count */
    /* Of the key that is looked at: theta's mean and covariance at each of its nodes. */
    double logs[POOL_NODES], means[POOL_NODES], variances[POOL_NODES];
    double *more;  /* key_count: variance of theta's mean over the nodes, and that of the nodes */
    double *shift; /* key_count: mean over the nodes */
} Pool;

static bool total_begin(Total *total, size_t keys) {
    total->precision = calloc(keys * keys + 1, sizeof *total->precision);
    total->pull = calloc(keys + 1, sizeof *total->pull);
    return total->precision != NULL && total->pull != NULL;
}

static void total_end(Total *total) {
    free(total->precision);
    free(total->pull);
}

/* Before any lure. */
static void total_prior(const PoolProblem *p, Total *total) {
    size_t keys = p->key_count;
    memset(total->precision, 0, keys * keys * sizeof *total->precision);
    total->log = 0.0;
    for (size_t k = 0; k < keys; k++) {
        double precision = 1.0 / (p->keys[k].sigma * p->keys[k].sigma);
        total->precision[k * keys + k] = precision;
        total->pull[k] = precision * p->keys[k].mean;
        total->log += 0.5 * log(precision) - 0.5 * precision * p->keys[k].mean * p->keys[k].mean;
    }
}

static void total_copy(const Total *from, size_t keys, Total *to) {
    memcpy(to->precision, from->precision, keys * keys * sizeof *to->precision);
    memcpy(to->pull, from->pull, keys * sizeof *to->pull);
    to->log = from->log;
}

/* L of B = 1 + S A S = L L' into pool->work, with S and A as below. False where there is none. */
static bool factor_lure(Pool *pool, const PoolLure *lure) {
    size_t n = lure->count;
    double *b = pool->work;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++) {
            double s = sqrt(pool->tau2[lure->key[i]] * pool->tau2[lure->key[j]]);
            b[i * n + j] = s * lure->weight[i * n + j] + (i == j ? 1.0 : 0.0);
        }
    }
    gsl_matrix_view factor = gsl_matrix_view_array(b, n, n);
    return gsl_linalg_cholesky_decomp1(&factor.matrix) == GSL_SUCCESS;
}

/* L^-1 S (A | pull): the columns of A into pool->second, that of pull into pool->solution. */
static void solve_lure(Pool *pool, const PoolLure *lure) {
    size_t n = lure->count;
    const double *b = pool->work;
    for (size_t c = 0; c <= n; c++) {
        double *column = c < n ? pool->second + c * n : pool->solution;
        for (size_t i = 0; i < n; i++) {
            double value = c < n ? lure->weight[i * n + c] : lure->pull[i];
            double sum = sqrt(pool->tau2[lure->key[i]]) * value;
            for (size_t j = 0; j < i; j++)
                sum -= b[i * n + j] * column[j];
            column[i] = sum / b[i * n + i];
        }
    }
}

/* With S = diag(tau): B = 1 + S A S; what is left of the lure's likelihood once e is integrated
 * over is A - A S B^-1 S A about theta, and (A's pull) - A S B^-1 S pull. */
static bool add_lure(Pool *pool, const PoolLure *lure, Total *to) {
    size_t n = lure->count, keys = pool->p->key_count;
    const double *y = pool->second;
    if (!factor_lure(pool, lure))
        return false;
    double log_root = 0.0;
    for (size_t i = 0; i < n; i++)
        log_root += log(pool->work[i * n + i]);
    to->log -= log_root;
    solve_lure(pool, lure); /* what is taken off is the products of its columns */
    for (size_t i = 0; i < n; i++) {
        double pull = lure->pull[i];
        for (size_t k = 0; k < n; k++)
            pull -= y[i * n + k] * pool->solution[k];
        to->pull[lure->key[i]] += pull;
        for (size_t j = 0; j < n; j++) {
            double weight = lure->weight[i * n + j];
            for (size_t k = 0; k < n; k++)
                weight -= y[i * n + k] * y[j * n + k];
            to->precision[lure->key[i] * keys + lure->key[j]] += weight;
        }
        to->log += 0.5 * pool->solution[i] * pool->solution[i];
    }
    return true;
}

/* theta's mean into pool->solved, its covariance over total->precision; the logarithm of how
 * likely all of it is. */
static bool solve(Pool *pool, Total *total, double *log_likely) {
    size_t keys = pool->p->key_count;
    gsl_matrix_view view = gsl_matrix_view_array(total->precision, keys, keys);
    gsl_vector_const_view pull = gsl_vector_const_view_array(total->pull, keys);
    gsl_vector_view mean = gsl_vector_view_array(pool->solved, keys);
    if (gsl_linalg_cholesky_decomp1(&view.matrix) != GSL_SUCCESS ||
        gsl_linalg_cholesky_solve(&view.matrix, &pull.vector, &mean.vector) != GSL_SUCCESS)
        return false;
    *log_likely = total->log;
    for (size_t k = 0; k < keys; k++) {
        *log_likely -= log(total->precision[k * keys + k]);
        *log_likely += 0.5 * total->pull[k] * pool->solved[k];
    }
    return gsl_linalg_cholesky_invert(&view.matrix) == GSL_SUCCESS;
}

static bool has_key(const PoolLure *lure, size_t key) {
    for (size_t i = 0; i < lure->count; i++) {
        if (lure->key[i] == key)
            return true;
    }
    return false;
}

static bool sum_lures(Pool *pool, size_t key, bool of_key, Total *to) {
    for (size_t l = 0; l < pool->p->lure_count; l++) {
        const PoolLure *lure = &pool->p->lures[l];
        if (has_key(lure, key) == of_key && !add_lure(pool, lure, to))
            return false;
    }
    return true;
}

/* The likelihood over the nodes of one key, the others staying; its tau squared becomes the mean
 * over them. */
static bool look_at(Pool *pool, size_t key) {
    size_t keys = pool->p->key_count;
    const PoolScatter *scatter = &pool->p->keys[key].scatter;
    double most = -INFINITY, sum = 0.0, tau2 = 0.0, mean = 0.0, square = 0.0;
    total_prior(pool->p, &pool->rest);
    if (!sum_lures(pool, key, false, &pool->rest))
        return false;
    for (size_t i = 0; i < scatter->count; i++) {
        pool->tau2[key] = scatter->at[i] * scatter->at[i];
        total_copy(&pool->rest, keys, &pool->all);
        if (!sum_lures(pool, key, true, &pool->all) || !solve(pool, &pool->all, &pool->logs[i]))
            return false;
        pool->means[i] = pool->solved[key];
        pool->variances[i] = pool->all.precision[key * keys + key];
        most = fmax(most, pool->logs[i]);
    }
    for (size_t i = 0; i < scatter->count; i++) {
        double share = scatter->share[i] * exp(pool->logs[i] - most);
        sum += share;
        tau2 += share * scatter->at[i] * scatter->at[i];
        mean += share * pool->means[i];
        square += share * (pool->variances[i] + pool->means[i] * pool->means[i]);
    }
    pool->tau2[key] = tau2 / sum;
    pool->shift[key] = mean / sum;
    pool->more[key] = square / sum - pool->shift[key] * pool->shift[key];
    return isfinite(sum) && sum > 0.0;
}

static bool sweep(Pool *pool, bool *settled) {
    *settled = true;
    for (size_t k = 0; k < pool->p->key_count; k++) {
        double before = pool->tau2[k];
        if (!look_at(pool, k))
            return false;
        *settled = *settled && fabs(pool->tau2[k] - before) <= stays * before;
    }
    return true;
}

static void start(Pool *pool) {
    for (size_t k = 0; k < pool->p->key_count; k++) {
        const PoolScatter *scatter = &pool->p->keys[k].scatter;
        double sum = 0.0, square = 0.0;
        for (size_t i = 0; i < scatter->count; i++) {
            sum += scatter->share[i];
            square += scatter->share[i] * scatter->at[i] * scatter->at[i];
        }
        pool->tau2[k] = square / sum;
    }
}

/* Means and variances are those over each key's nodes; how they hang together is that where all
 * tau stand. */
static bool finish(Pool *pool, double *mean, double *covariance, double *scatter) {
    size_t keys = pool->p->key_count;
    double unused;
    total_prior(pool->p, &pool->all);
    for (size_t l = 0; l < pool->p->lure_count; l++) {
        if (!add_lure(pool, &pool->p->lures[l], &pool->all))
            return false;
    }
    if (!solve(pool, &pool->all, &unused))
        return false;
    const double *c = pool->all.precision;
    for (size_t a = 0; a < keys; a++) {
        mean[a] = pool->shift[a];
        scatter[a] = pool->tau2[a];
        for (size_t b = 0; b < keys; b++)
            covariance[a * keys + b] = c[a * keys + b] * sqrt(pool->more[a] / c[a * keys + a]) *
                                       sqrt(pool->more[b] / c[b * keys + b]);
    }
    return true;
}

static bool begin(Pool *pool, const PoolProblem *problem) {
    size_t keys = problem->key_count, most = 0;
    for (size_t l = 0; l < problem->lure_count; l++)
        most = problem->lures[l].count > most ? problem->lures[l].count : most;
    pool->p = problem;
    pool->tau2 = calloc(keys + 1, sizeof *pool->tau2);
    pool->solved = calloc(keys + 1, sizeof *pool->solved);
    pool->more = calloc(keys + 1, sizeof *pool->more);
    pool->shift = calloc(keys + 1, sizeof *pool->shift);
    pool->work = calloc(most * most + 1, sizeof *pool->work);
    pool->second = calloc(most * most + 1, sizeof *pool->second);
    pool->solution = calloc(most + 1, sizeof *pool->solution);
    return total_begin(&pool->rest, keys) && total_begin(&pool->all, keys) && pool->tau2 != NULL &&
           pool->solved != NULL && pool->more != NULL && pool->shift != NULL &&
           pool->work != NULL && pool->second != NULL && pool->solution != NULL;
}

static void end(Pool *pool) {
    total_end(&pool->rest);
    total_end(&pool->all);
    free(pool->tau2);
    free(pool->solved);
    free(pool->more);
    free(pool->shift);
    free(pool->work);
    free(pool->second);
    free(pool->solution);
}

bool pool_solve(const PoolProblem *problem, double *mean, double *covariance, double *scatter,
                BlyError *err) {
    Pool pool = {0};
    bool settled = false;
    if (!begin(&pool, problem)) {
        end(&pool);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lures of the book");
    }
    start(&pool);
    bool good = true;
    for (int i = 0; good && !settled && i < SWEEPS_MOST; i++)
        good = sweep(&pool, &settled);
    good = good && finish(&pool, mean, covariance, scatter);
    end(&pool);
    return good || bly_fail(err, BLY_E_INTERNAL, NULL, "the lures of the book cannot be pooled");
}
