/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The Levenberg-Marquardt method within the parameters' ranges, damping after Nielsen (Madsen,
 * Nielsen, Tingleff: Methods for non-linear least squares problems, 2nd ed., IMM, Technical
 * University of Denmark 2004, algorithm 3.16), from memory.
 *
 * Every try is worked from nothing, so that the sum is a function of the parameters alone; only the
 * slopes follow the attitude at hand. A lure may jump from one attitude to another on the way: the
 * sum then has steps, at the foot of which any such method stops. It is said, not hidden. */
#include "tank/descent.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIES_MOST = 120 };
static const double not_there = 1e3; /* miss, in standard deviations, of what does not exist */
static const double arrived = 1e-6;  /* a step, in standard deviations */
static const double nothing = 1e-11; /* what a step would lower the sum by */
static const double little = 1e-2;
/* Readings that lie further off than this contradict, whatever else; then a share of the sum is
 * near enough, for the way down is long where misses are large and all bends. */
static const double hopeless = 25.0, near_enough = 1e-3;       /* a reading; of the sum */
static const double first_damping = 1e-3, most_damping = 1e12; /* of the greatest curvature */

typedef struct Descent {
    Squares *s;
    double ease;
    size_t size;    /* parameters */
    double *z;      /* where it stands */
    double *miss;   /* of each reading there; of those not in use 0 */
    double *slopes; /* readings x parameters, by sigma */
    double *downhill, *step, *trial, *trial_miss, *said;
    double *matrix, *factor; /* parameters x parameters */
    bool *fixed;             /* not felt, or at the end of its range and pressed against it */
    double sum;
    ForwardRests rests; /* the attitudes there */
} Descent;

static bool begin(Descent *d, BlyError *err) {
    size_t n = d->size, m = d->s->count;
    d->miss = calloc(3 * m + 1, sizeof(double));
    d->slopes = calloc(m * n + 1, sizeof(double));
    d->downhill = calloc(3 * n + 1, sizeof(double));
    d->matrix = calloc(2 * n * n + 1, sizeof(double));
    d->fixed = calloc(n + 1, sizeof *d->fixed);
    if (!d->miss || !d->slopes || !d->downhill || !d->matrix || !d->fixed) {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the least squares");
        return false;
    }
    d->trial_miss = d->miss + m;
    d->said = d->miss + 2 * m;
    d->step = d->downhill + n;
    d->trial = d->downhill + 2 * n;
    d->factor = d->matrix + n * n;
    return true;
}

static void end(Descent *d) {
    free(d->miss);
    free(d->slopes);
    free(d->downhill);
    free(d->matrix);
    free(d->fixed);
}

static bool sum_at(Descent *d, const double *z, double *miss, double *sum, BlyError *err) {
    Squares *s = d->s;
    if (!forward_try(s->forward, z, LOOK_AFRESH, s->probes, s->count, d->said, err))
        return false;
    *sum = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        double off = squares_miss(s, i, d->said[i]);
        miss[i] = !s->use[i] ? 0.0 : isfinite(off) ? off / d->ease : not_there;
        *sum += miss[i] * miss[i];
    }
    for (size_t k = 0; k < d->size; k++)
        *sum += z[k] * z[k];
    return true;
}

/* Slopes, curvature I + G'G and the direction downhill, -(z - G' miss); parameters that cannot go
 * that way are fixed. */
static bool look_around(Descent *d, BlyError *err) {
    Squares *s = d->s;
    size_t n = d->size;
    if (!squares_slopes(s, d->z, d->slopes, err))
        return false;
    for (size_t a = 0; a < n; a++) {
        d->downhill[a] = -d->z[a];
        for (size_t b = 0; b < n; b++)
            d->matrix[a * n + b] = a == b ? 1.0 : 0.0;
    }
    for (size_t i = 0; i < s->count; i++) {
        double *row = d->slopes + i * n;
        for (size_t a = 0; s->use[i] && a < n; a++) {
            row[a] = fabs(d->miss[i]) < not_there ? row[a] / d->ease : 0.0;
            d->downhill[a] += row[a] * d->miss[i];
            for (size_t b = 0; b <= a; b++)
                d->matrix[a * n + b] += row[a] * row[b];
        }
    }
    for (size_t k = 0; k < n; k++) {
        double low, high;
        quantities_range(s->forward->quantities, k, &low, &high);
        d->fixed[k] = !s->active[k] || (d->z[k] <= low && d->downhill[k] < 0.0) ||
                      (d->z[k] >= high && d->downhill[k] > 0.0);
    }
    return true;
}

static double greatest_curvature(const Descent *d) {
    double most = 1.0;
    for (size_t k = 0; k < d->size; k++)
        most = fmax(most, d->matrix[k * (d->size + 1)]);
    return most;
}

/* (curvature + damping) step = downhill, for the parameters that are free. */
static bool find_step(Descent *d, double damping) {
    size_t n = d->size;
    for (size_t a = 0; a < n; a++) {
        for (size_t b = 0; b <= a; b++) {
            bool held = d->fixed[a] || d->fixed[b];
            double value = held ? 0.0 : d->matrix[a * n + b];
            if (a == b)
                value = held ? 1.0 : value + damping;
            d->factor[a * n + b] = d->factor[b * n + a] = value;
        }
        d->step[a] = d->fixed[a] ? 0.0 : d->downhill[a];
    }
    gsl_matrix_view matrix = gsl_matrix_view_array(d->factor, n, n);
    gsl_vector_view step = gsl_vector_view_array(d->step, n);
    return gsl_linalg_cholesky_decomp1(&matrix.matrix) == GSL_SUCCESS &&
           gsl_linalg_cholesky_svx(&matrix.matrix, &step.vector) == GSL_SUCCESS;
}

/* The step cut off at the ends of the ranges, and where it leads; how far the farthest parameter
 * goes.
 */
static double take_step(Descent *d) {
    double farthest = 0.0;
    for (size_t k = 0; k < d->size; k++) {
        double low, high;
        quantities_range(d->s->forward->quantities, k, &low, &high);
        d->trial[k] = d->fixed[k] ? d->z[k] : fmin(fmax(d->z[k] + d->step[k], low), high);
        d->step[k] = d->trial[k] - d->z[k];
        farthest = fmax(farthest, fabs(d->step[k]));
    }
    return farthest;
}

/* By how much the step lowers the sum if all were straight. */
static double promised(const Descent *d) {
    double gain = 0.0;
    for (size_t a = 0; a < d->size; a++) {
        double bent = 0.0;
        for (size_t b = 0; b < d->size; b++)
            bent += (b <= a ? d->matrix[a * d->size + b] : d->matrix[b * d->size + a]) * d->step[b];
        gain += d->step[a] * (2.0 * d->downhill[a] - bent);
    }
    return gain;
}

static bool accept(Descent *d, double sum, BlyError *err) {
    memcpy(d->z, d->trial, d->size * sizeof *d->z);
    memcpy(d->miss, d->trial_miss, d->s->count * sizeof *d->miss);
    d->sum = sum;
    d->rests = d->s->forward->rests;
    return look_around(d, err);
}

/* What is still to be gained is not worth a step. */
static double not_worth(const Descent *d) {
    bool far = d->sum > hopeless * (double)d->s->count;
    return far ? near_enough * d->sum : d->ease > 1.0 ? little : nothing;
}

/* What the undamped step would still gain where it stands. */
static bool nothing_left(Descent *d) {
    return find_step(d, 0.0) &&
           (take_step(d) <= arrived || promised(d) <= fmax(little, not_worth(d)));
}

static bool go_down(Descent *d, BlyError *err) {
    double damping = 0.0, growth = 2.0, sum;
    for (int tries = 0; tries < TRIES_MOST; tries++) {
        double scale = greatest_curvature(d);
        bool stepped = find_step(d, damping);
        if (stepped && (take_step(d) <= arrived || damping > most_damping * scale ||
                        (damping <= 1.0 && promised(d) <= not_worth(d))))
            return true;
        if (stepped && !sum_at(d, d->trial, d->trial_miss, &sum, err))
            return false;
        if (stepped && sum < d->sum) {
            double share = (d->sum - sum) / promised(d);
            if (!accept(d, sum, err))
                return false;
            damping *= fmax(1.0 / 3.0, 1.0 - gsl_pow_3(2.0 * share - 1.0));
            damping = damping < 1e-3 ? 0.0 : damping;
            growth = 2.0;
        } else {
            d->s->forward->rests = d->rests;
            damping = damping > 0.0 ? damping * growth : first_damping * scale;
            growth *= 2.0;
        }
    }
    return true;
}

bool descent_run(Squares *s, double ease, double *z, double *sum, bool *settled, BlyError *err) {
    Descent d = {.s = s, .ease = ease, .size = s->forward->parameter_count, .z = z};
    bool good = begin(&d, err);
    *settled = true;
    *sum = 0.0;
    if (good && d.size > 0) {
        good = sum_at(&d, z, d.miss, &d.sum, err);
        d.rests = s->forward->rests;
        good = good && look_around(&d, err) && go_down(&d, err);
        s->forward->rests = d.rests;
        *settled = good && nothing_left(&d);
        *sum = d.sum;
    }
    end(&d);
    return good;
}
