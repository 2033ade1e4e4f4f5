/* SPDX-License-Identifier: GPL-3.0-or-later */
/* GSL's solvers of one unknown with their state in the caller's own room instead of on the heap:
 * they are begun by the hundred thousand, and must not fail, or quietly go another way, for want of
 * memory. Each function begins a solver; GSL's own functions carry it on, nothing is to be freed.
 * They return GSL's status, GSL_ENOMEM should GSL ever want more room than there is. */
#ifndef BALLASTRY_NUMERIC_ROOTS_H
#define BALLASTRY_NUMERIC_ROOTS_H

#include <gsl/gsl_errno.h>
#include <gsl/gsl_min.h>
#include <gsl/gsl_roots.h>
#include <stddef.h>

typedef struct BlySolverRoom {
    _Alignas(max_align_t) unsigned char bytes[256];
} BlySolverRoom;

/* Brent's method for a root between low and high, where f changes its sign. */
static inline int bly_brent_begin(gsl_root_fsolver *solver, BlySolverRoom *room, gsl_function *f,
                                  double low, double high) {
    *solver = (gsl_root_fsolver){.type = gsl_root_fsolver_brent, .state = room->bytes};
    return solver->type->size <= sizeof room->bytes ? gsl_root_fsolver_set(solver, f, low, high)
                                                    : GSL_ENOMEM;
}

/* Newton's method, or the secant method, which takes the slope at `guess` alone. */
static inline int bly_slope_begin(gsl_root_fdfsolver *solver, BlySolverRoom *room,
                                  const gsl_root_fdfsolver_type *type, gsl_function_fdf *f,
                                  double guess) {
    *solver = (gsl_root_fdfsolver){.type = type, .state = room->bytes};
    return type->size <= sizeof room->bytes ? gsl_root_fdfsolver_set(solver, f, guess) : GSL_ENOMEM;
}

/* Brent's method for the least value between low and high; f at `middle` is below both. */
static inline int bly_least_begin(gsl_min_fminimizer *solver, BlySolverRoom *room, gsl_function *f,
                                  double low, double middle, double high) {
    *solver = (gsl_min_fminimizer){.type = gsl_min_fminimizer_brent, .state = room->bytes};
    return solver->type->size <= sizeof room->bytes
               ? gsl_min_fminimizer_set(solver, f, middle, low, high)
               : GSL_ENOMEM;
}

#endif
