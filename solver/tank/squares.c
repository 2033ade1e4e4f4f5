/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least squares themselves: the Levenberg-Marquardt method of GSL on the misses of the readings
 * with the corrections, each in its own standard deviations, as further rows. */
#include "tank/squares.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <stdlib.h>

enum { ROUNDS_MOST = 100 };
/* In standard deviations. */
static const double fine = 1e-4, coarse = 1e-2, not_felt = 1e-7, no_attitude = 1e3;

bool squares_begin(Squares *s, Model *model, const BlyReading *readings, size_t count,
                   BlyError *err) {
    *s = (Squares){.model = model, .count = count};
    s->probes = calloc(count + 1, sizeof *s->probes);
    s->read = calloc(count + 1, sizeof *s->read);
    s->sigma = calloc(count + 1, sizeof *s->sigma);
    s->use = calloc(count + 1, sizeof *s->use);
    s->active = calloc(model->knob_count + 1, sizeof *s->active);
    if (!s->probes || !s->read || !s->sigma || !s->use || !s->active)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the readings");
    for (size_t i = 0; i < count; i++) {
        const BlyReading *r = &readings[i];
        double sigma = r->value.give / SIGMAS_95;
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
    *s = (Squares){0};
}

double squares_miss(const Squares *s, size_t i, double predicted) {
    double miss = s->read[i] - predicted;
    if (s->probes[i].kind == BLY_READ_TILT || s->probes[i].kind == BLY_READ_TILT_AFLOAT)
        miss = remainder(miss, 2.0 * M_PI);
    return miss / s->sigma[i];
}

bool squares_slopes(Squares *s, const double *z, double *slopes, BlyError *err) {
    size_t size = s->model->knob_count;
    if (!model_slopes(s->model, z, s->active, s->probes, s->count, slopes, err))
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
    size_t size = s->model->knob_count;
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

/* ---- GSL's view: x holds the knobs that move, f the readings in use and then x itself ---- */

typedef struct Task {
    Squares *s;
    double *z;             /* all knobs */
    size_t *knob;          /* of each x */
    double *predicted;     /* room for the readings */
    double *slopes;        /* room for their derivatives */
    size_t moving, in_use; /* how many x, how many readings */
    BlyError *err;
} Task;

static void put_x(Task *task, const gsl_vector *x) {
    for (size_t j = 0; j < task->moving; j++)
        task->z[task->knob[j]] = gsl_vector_get(x, j);
}

static int misses(const gsl_vector *x, void *user, gsl_vector *f) {
    Task *task = user;
    Squares *s = task->s;
    size_t row = 0;
    put_x(task, x);
    if (!model_read(s->model, task->z, s->probes, s->count, task->predicted, task->err))
        return GSL_EFAILED;
    for (size_t i = 0; i < s->count; i++) {
        double miss = squares_miss(s, i, task->predicted[i]);
        if (s->use[i])
            gsl_vector_set(f, row++, isfinite(miss) ? -miss : no_attitude);
    }
    for (size_t j = 0; j < task->moving; j++)
        gsl_vector_set(f, row++, gsl_vector_get(x, j));
    return GSL_SUCCESS;
}

static int derivatives(const gsl_vector *x, void *user, gsl_matrix *jacobian) {
    Task *task = user;
    Squares *s = task->s;
    size_t row = 0, size = s->model->knob_count;
    put_x(task, x);
    if (!squares_slopes(s, task->z, task->slopes, task->err))
        return GSL_EFAILED;
    gsl_matrix_set_zero(jacobian);
    for (size_t i = 0; i < s->count; i++) {
        for (size_t j = 0; s->use[i] && j < task->moving; j++)
            gsl_matrix_set(jacobian, row, j, task->slopes[i * size + task->knob[j]]);
        row += s->use[i];
    }
    for (size_t j = 0; j < task->moving; j++)
        gsl_matrix_set(jacobian, row++, j, 1.0);
    return GSL_SUCCESS;
}

/* The method stops by itself when no step helps any more; then the slope of the sum of squares says
 * whether it has arrived: in these units that is at least how far it still has to go. */
static bool arrived(const gsl_multifit_nlinear_workspace *work, const Task *task) {
    gsl_vector *slope = gsl_vector_alloc(task->moving);
    if (!slope)
        return false;
    gsl_blas_dgemv(CblasTrans, 1.0, gsl_multifit_nlinear_jac(work),
                   gsl_multifit_nlinear_residual(work), 0.0, slope);
    double most = fmax(gsl_vector_max(slope), -gsl_vector_min(slope));
    gsl_vector_free(slope);
    return most < coarse;
}

static bool run(Task *task, gsl_multifit_nlinear_workspace *work, gsl_vector *x, BlyError *err) {
    gsl_multifit_nlinear_fdf system = {.f = misses,
                                       .df = derivatives,
                                       .n = task->in_use + task->moving,
                                       .p = task->moving,
                                       .params = task};
    int info;
    BlyError inner = {0};
    task->err = &inner;
    int status = gsl_multifit_nlinear_init(x, &system, work);
    if (status == GSL_SUCCESS)
        status = gsl_multifit_nlinear_driver(ROUNDS_MOST, fine, 1e-8, 0.0, NULL, NULL, &info, work);
    if (inner.code != BLY_OK) /* GSL may go on without it */
        return bly_fail(err, inner.code, inner.where, "%s", inner.text);
    if (status == GSL_SUCCESS || arrived(work, task)) {
        put_x(task, gsl_multifit_nlinear_position(work));
        return true;
    }
    return bly_fail(err, BLY_E_INTERNAL, NULL, "the corrections were not found: %s",
                    gsl_strerror(status));
}

static bool reserve(Task *task, gsl_vector **x, gsl_multifit_nlinear_workspace **work,
                    BlyError *err) {
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    how.scale = gsl_multifit_nlinear_scale_levenberg; /* the knobs have one unit */
    *x = gsl_vector_alloc(task->moving);
    *work = gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how,
                                       task->in_use + task->moving, task->moving);
    return (*x && *work) || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the least squares");
}

static bool solve_moving(Task *task, BlyError *err) {
    gsl_vector *x = NULL;
    gsl_multifit_nlinear_workspace *work = NULL;
    bool good = reserve(task, &x, &work, err);
    for (size_t j = 0; good && j < task->moving; j++)
        gsl_vector_set(x, j, task->z[task->knob[j]]);
    good = good && run(task, work, x, err);
    if (work)
        gsl_multifit_nlinear_free(work);
    gsl_vector_free(x);
    return good;
}

/* Knobs that ran out of their range are set to its end and held there, and the others solved again.
 * False when none did. */
static bool hold_ends(Task *task, bool *held) {
    bool any = false;
    for (size_t j = 0; j < task->moving; j++) {
        size_t k = task->knob[j];
        double low, high;
        quants_range(task->s->model->quants, k, &low, &high);
        double inside = fmin(fmax(task->z[k], low), high);
        held[k] = inside != task->z[k];
        task->z[k] = inside;
        any = any || held[k];
    }
    return any;
}

static bool solve_held(Task *task, BlyError *err) {
    Squares *s = task->s;
    size_t size = s->model->knob_count;
    bool *held = calloc(size + 1, sizeof *held);
    bool good = held != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the ranges");
    for (bool again = good; again;) {
        task->moving = 0;
        for (size_t k = 0; k < size; k++) {
            if (s->active[k] && !held[k])
                task->knob[task->moving++] = k;
        }
        good = task->moving == 0 || solve_moving(task, err);
        again = good && hold_ends(task, held);
    }
    free(held);
    return good;
}

bool squares_solve(Squares *s, double *z, BlyError *err) {
    size_t size = s->model->knob_count;
    Task task = {.s = s, .z = z};
    for (size_t i = 0; i < s->count; i++)
        task.in_use += s->use[i];
    task.knob = calloc(size + 1, sizeof *task.knob);
    task.predicted = calloc(s->count + 1, sizeof *task.predicted);
    task.slopes = calloc(s->count * size + 1, sizeof *task.slopes);
    bool good = task.knob && task.predicted && task.slopes;
    if (!good)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the least squares");
    else if (task.in_use > 0)
        good = solve_held(&task, err);
    free(task.knob);
    free(task.predicted);
    free(task.slopes);
    return good;
}

/* ---- covariance ---- */

bool squares_covariance(const Squares *s, const double *slopes, double *out, BlyError *err) {
    size_t size = s->model->knob_count;
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
