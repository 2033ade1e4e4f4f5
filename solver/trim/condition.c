/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A normal law given one linear reading: C - C r r' C / (r' C r + sigma^2) (conditional of the
 * multivariate normal, any textbook). What is left does not depend on what was read. */
#include "trim/trim.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <string.h>

static void covariance_of(const double *factor, bool any, size_t n, double *out) {
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j <= i; j++) {
            double sum = i == j ? 1.0 : 0.0;
            if (any) {
                sum = 0.0;
                for (size_t k = 0; k <= j; k++)
                    sum += factor[i * n + k] * factor[j * n + k];
            }
            out[i * n + j] = out[j * n + i] = sum;
        }
    }
}

bool trim_condition(double *factor, bool any, size_t n, const TrimKnown *known, BlyError *err) {
    double c[BLY_INPUTS_MAX * BLY_INPUTS_MAX], along[BLY_INPUTS_MAX];
    double all = known->sigma * known->sigma;
    covariance_of(factor, any, n, c);
    for (size_t i = 0; i < n; i++) {
        along[i] = 0.0;
        for (size_t k = 0; k < n; k++)
            along[i] += c[i * n + k] * known->row[k];
        all += known->row[i] * along[i];
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < n; k++)
            c[i * n + k] -= along[i] * along[k] / all;
        c[i * n + i] += 1e-12; /* tied all but wholly: the factor exists all the same */
    }
    gsl_matrix_view view = gsl_matrix_view_array(c, n, n);
    if (n == 0 || gsl_linalg_cholesky_decomp1(&view.matrix) != GSL_SUCCESS)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "a reading leaves no law of the inputs");
    for (size_t i = 0; i < n; i++) {
        for (size_t k = i + 1; k < n; k++)
            c[i * n + k] = 0.0;
    }
    memcpy(factor, c, n * n * sizeof *factor);
    return true;
}
