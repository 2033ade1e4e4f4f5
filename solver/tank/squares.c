/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least squares themselves: the misses of the readings with the corrections, each in its own
 * standard deviations, as further rows. */
#include "tank/descent.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

static const double not_felt = 1e-7; /* in standard deviations */

bool squares_begin(Squares *s, Forward *forward, const BlyReading *readings, size_t count,
                   BlyError *err) {
    *s = (Squares){.forward = forward, .count = count};
    s->probes = calloc(count + 1, sizeof *s->probes);
    s->read = calloc(count + 1, sizeof *s->read);
    s->sigma = calloc(count + 1, sizeof *s->sigma);
    s->use = calloc(count + 1, sizeof *s->use);
    s->active = calloc(forward->parameter_count + 1, sizeof *s->active);
    s->said = calloc(count + 1, sizeof *s->said);
    s->other = calloc(forward->parameter_count + 1, sizeof *s->other);
    if (!s->probes || !s->read || !s->sigma || !s->use || !s->active || !s->said || !s->other)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the readings");
    for (size_t i = 0; i < count; i++) {
        const BlyReading *r = &readings[i];
        double sigma = r->value.give / BLY_SIGMAS_95;
        s->probes[i] = (Probe){r->kind, r->stage, true};
        s->use[i] = true;
        s->read[i] = r->value.value;
        s->sigma[i] = sigma;
        if (r->kind == BLY_READ_DRIFT) {
            s->read[i] = drift_signed_square(r->value.value);
            s->sigma[i] = hypot(2.0 * r->value.value * sigma, sigma * sigma);
        }
    }
    return true;
}

void squares_end(Squares *s) {
    free(s->probes);
    free(s->read);
    free(s->sigma);
    free(s->use);
    free(s->active);
    free(s->said);
    free(s->other);
    *s = (Squares){0};
}

double squares_miss(const Squares *s, size_t i, double predicted) {
    return probe_difference(&s->probes[i], s->read[i], predicted) / s->sigma[i];
}

bool squares_slopes(Squares *s, const double *z, double *slopes, BlyError *err) {
    size_t size = s->forward->parameter_count;
    if (!forward_slopes(s->forward, z, s->active, s->probes, s->count, slopes, err))
        return false;
    for (size_t i = 0; i < s->count; i++) {
        for (size_t k = 0; k < size; k++) {
            double *slope = &slopes[i * size + k];
            *slope = isfinite(*slope) ? *slope / s->sigma[i] : 0.0;
        }
    }
    return true;
}

bool squares_find_active(Squares *s, const double *z, BlyError *err) {
    size_t size = s->forward->parameter_count;
    double *slopes = calloc(s->count * size + 1, sizeof *slopes);
    if (!slopes)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the derivatives");
    for (size_t k = 0; k < size; k++)
        s->active[k] = true;
    bool good = squares_slopes(s, z, slopes, err);
    for (size_t k = 0; k < size; k++) {
        double most = 0.0;
        for (size_t i = 0; i < s->count; i++)
            most = fmax(most, fabs(slopes[i * size + k]));
        s->active[k] = most > not_felt;
    }
    free(slopes);
    return good;
}

/* Where readings are many doubts away, the way there may lead over attitudes that are none of the
 * lure's: they are eased first, and tightened step by step. */
static bool ease_in(Squares *s, double *z, double *sum, bool *settled, BlyError *err) {
    static const double tighter = 4.0;
    double worst = 0.0, ease;
    if (!forward_try(s->forward, z, LOOK_AFRESH, s->probes, s->count, s->said, err))
        return false;
    for (size_t i = 0; i < s->count; i++) {
        double miss = fabs(squares_miss(s, i, s->said[i]));
        if (s->use[i] && isfinite(miss))
            worst = fmax(worst, miss);
    }
    ease = fmax(worst / 3.0, 1.0);
    while (ease > 1.0) {
        if (!descent_run(s, ease, z, sum, settled, err))
            return false;
        ease /= tighter;
    }
    return descent_run(s, 1.0, z, sum, settled, err);
}

/* Straight down; and where that did not settle, or all is far off, once more eased in. */
static bool try_both(Squares *s, double *z, BlyError *err) {
    static const double far_off = 9.0; /* a reading */
    size_t bytes = s->forward->parameter_count * sizeof *z;
    double sum, other_sum;
    bool settled;
    memcpy(s->other, z, bytes);
    if (!descent_run(s, 1.0, z, &sum, &s->settled, err))
        return false;
    if (s->settled && sum <= far_off * (double)s->count)
        return true;
    if (!ease_in(s, s->other, &other_sum, &settled, err))
        return false;
    if (other_sum < sum - 1e-6 || (settled && !s->settled && other_sum <= sum + 1e-6)) {
        memcpy(z, s->other, bytes);
        s->settled = settled;
    }
    return true;
}

bool squares_solve(Squares *s, double *z, BlyError *err) {
    enum { HULLS_MOST = 4 };
    static const double same = 2e-6; /* m */
    double sum;
    s->settled = true;
    bool any = false;
    for (size_t i = 0; i < s->count; i++)
        any = any || s->use[i];
    if (!forward_settle_for(s->forward, z, s->probes, s->count, err))
        return false;
    for (int hulls = 0; any && hulls < HULLS_MOST; hulls++) {
        if (!(hulls == 0 ? try_both(s, z, err) : descent_run(s, 1.0, z, &sum, &s->settled, err)))
            return false;
        if (forward_unsettled(s->forward, z) <= same)
            break;
        if (!forward_settle_for(s->forward, z, s->probes, s->count, err))
            return false;
    }
    return true;
}

/* ---- covariance ---- */

bool squares_covariance(const Squares *s, const double *slopes, double *out, BlyError *err) {
    size_t size = s->forward->parameter_count;
    if (size == 0)
        return true;
    gsl_matrix_view matrix = gsl_matrix_view_array(out, size, size);
    gsl_matrix_set_identity(&matrix.matrix);
    for (size_t i = 0; i < s->count; i++) {
        gsl_vector_const_view row = gsl_vector_const_view_array(slopes + i * size, size);
        if (s->use[i])
            gsl_blas_dsyr(CblasLower, 1.0, &row.vector, &matrix.matrix);
    }
    if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != GSL_SUCCESS ||
        gsl_linalg_cholesky_invert(&matrix.matrix) != GSL_SUCCESS)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "the corrections have no uncertainty");
    return true;
}

double squares_variance(const double *row, const double *covariance, size_t size) {
    double sum = 0.0;
    for (size_t a = 0; a < size; a++) {
        for (size_t b = 0; b < size; b++)
            sum += row[a] * covariance[a * size + b] * row[b];
    }
    return sum;
}
