/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of normal laws, what was found is what was known before times what the lure said: precisions
 * add, so that what it said is the difference of two precisions. */
#include "book/evidence.h"

#include <gsl/gsl_eigen.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Covariance of the figures at `rows` in units of sigma; the identity where matrix is NULL. */
static void fill(const BlyFigure *figure, const double *matrix, size_t stride, const size_t *rows,
                 size_t n, const double *sigma, double *out) {
    for (size_t a = 0; a < n; a++) {
        for (size_t b = 0; b < n; b++) {
            size_t i = rows[a], j = rows[b];
            double r = matrix != NULL ? matrix[i * stride + j] : i == j ? 1.0 : 0.0;
            out[a * n + b] = r * figure[i].give * figure[j].give / (sigma[i] * sigma[j]) /
                             (BLY_SIGMAS_95 * BLY_SIGMAS_95);
        }
    }
}

static bool invert(double *matrix, size_t n) {
    gsl_matrix_view view = gsl_matrix_view_array(matrix, n, n);
    return gsl_linalg_cholesky_decomp1(&view.matrix) == GSL_SUCCESS &&
           gsl_linalg_cholesky_invert(&view.matrix) == GSL_SUCCESS;
}

/* The numbers of one side, of which some figures may not be there. */
typedef struct Side {
    BlyFigure *figure; /* count */
    size_t *rows, n;   /* those that are there */
    double *precision; /* n squared */
} Side;

static void side_end(Side *side) {
    free(side->figure);
    free(side->rows);
    free(side->precision);
}

static bool side_begin(Side *side, const BookLure *lure, bool before, const double *sigma,
                       BlyError *err) {
    size_t count = lure->count;
    *side = (Side){calloc(count + 1, sizeof *side->figure), calloc(count + 1, sizeof *side->rows),
                   0, calloc(count * count + 1, sizeof *side->precision)};
    if (side->figure == NULL || side->rows == NULL || side->precision == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what a lure says");
    for (size_t i = 0; i < count; i++) {
        side->figure[i] = before ? lure->at[i].before : lure->at[i].value;
        if (!isnan(side->figure[i].value))
            side->rows[side->n++] = i;
    }
    fill(side->figure, before ? lure->before : lure->together, count, side->rows, side->n, sigma,
         side->precision);
    return side->n == 0 || invert(side->precision, side->n) ||
           bly_fail(err, BLY_E_CONFLICT, before ? "/together_before" : "/together",
                    "no figures can depend on each other like this");
}

static void add(const Side *side, double sign, size_t count, const double *middle,
                const double *sigma, double *weight, double *pull) {
    for (size_t a = 0; a < side->n; a++) {
        for (size_t b = 0; b < side->n; b++) {
            size_t i = side->rows[a], j = side->rows[b];
            double p = sign * side->precision[a * side->n + b];
            weight[i * count + j] += p;
            pull[i] += p * (side->figure[j].value - middle[j]) / sigma[j];
        }
    }
}

/* A lure takes no knowledge away: directions in which it seems to, by rounding or by hand, tell
 * nothing. */
static bool clip(double *weight, double *pull, size_t n, BlyError *err) {
    gsl_eigen_symmv_workspace *work = gsl_eigen_symmv_alloc(n);
    gsl_matrix *copy = gsl_matrix_alloc(n, n), *ways = gsl_matrix_alloc(n, n);
    gsl_vector *size = gsl_vector_alloc(n);
    bool good = work != NULL && copy != NULL && ways != NULL && size != NULL;
    if (good) {
        memcpy(copy->data, weight, n * n * sizeof *weight);
        good = gsl_eigen_symmv(copy, size, ways, work) == GSL_SUCCESS;
    }
    for (size_t k = 0; good && k < n; k++) {
        double value = gsl_vector_get(size, k), along = 0.0;
        if (value > 1e-9)
            continue;
        for (size_t i = 0; i < n; i++)
            along += gsl_matrix_get(ways, i, k) * pull[i];
        for (size_t i = 0; i < n; i++) {
            double way = gsl_matrix_get(ways, i, k);
            pull[i] -= along * way;
            for (size_t j = 0; j < n; j++)
                weight[i * n + j] -= value * way * gsl_matrix_get(ways, j, k);
        }
    }
    gsl_eigen_symmv_free(work);
    gsl_matrix_free(copy);
    gsl_matrix_free(ways);
    gsl_vector_free(size);
    return good || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what a lure says");
}

bool evidence_of(const BookLure *lure, const double *middle, const double *sigma, double *weight,
                 double *pull, BlyError *err) {
    size_t n = lure->count;
    Side found = {0}, before = {0};
    memset(weight, 0, n * n * sizeof *weight);
    memset(pull, 0, n * sizeof *pull);
    bool good =
        side_begin(&found, lure, false, sigma, err) && side_begin(&before, lure, true, sigma, err);
    if (good) {
        add(&found, 1.0, n, middle, sigma, weight, pull);
        add(&before, -1.0, n, middle, sigma, weight, pull);
        good = n == 0 || clip(weight, pull, n, err);
    }
    side_end(&found);
    side_end(&before);
    return good;
}

bool evidence_possible(const BookLure *lure, BlyError *err) {
    Side found = {0}, before = {0};
    double *sigma = calloc(lure->count + 1, sizeof *sigma);
    if (sigma == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what a lure says");
    for (size_t i = 0; i < lure->count; i++)
        sigma[i] = lure->at[i].value.give;
    bool good =
        side_begin(&found, lure, false, sigma, err) && side_begin(&before, lure, true, sigma, err);
    side_end(&found);
    side_end(&before);
    free(sigma);
    return good;
}
