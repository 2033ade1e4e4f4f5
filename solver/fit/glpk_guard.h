/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running GLPK inside a program that must neither print nor abort.
 *
 * GLPK answers a bad argument or a failed allocation with abort(), prints on standard output, and
 * keeps its memory per thread. fit_guard_run calls a body with both hooks set: an error inside
 * comes back as false with GLPK's own words, whatever GLPK had allocated is freed on this thread,
 * and not a byte is printed. GLPK objects therefore never outlive the body.
 *
 * The body's own allocations must be reachable through its context, since an error jumps out of it.
 * A guarded body may call fit_guard_run again with the same guard: the inner call is a plain call,
 * and an error inside it ends the outer one. The calling thread must not hold GLPK objects of its
 * own. Feed GLPK finite numbers only: it calls a programme with NaN optimal. */
#ifndef BALLASTRY_FIT_GLPK_GUARD_H
#define BALLASTRY_FIT_GLPK_GUARD_H

#include "ballastry/error.h"

#include <setjmp.h>
#include <stdbool.h>
#include <stddef.h>

enum { FIT_GUARD_TEXT_MAX = 256 };

typedef struct FitGuard {
    jmp_buf back;
    bool armed;
    char text[FIT_GUARD_TEXT_MAX]; /* the last words GLPK wanted to print */
} FitGuard;

/* Zeroed guard before the first call. False (BLY_E_INTERNAL) when GLPK gave up. */
bool fit_guard_run(FitGuard *guard, void (*body)(void *), void *context, BlyError *err);

typedef enum FitSolverStatus {
    FIT_SOLVER_OPTIMAL,    /* solved and proven */
    FIT_SOLVER_FEASIBLE,   /* a solution, stopped before the proof */
    FIT_SOLVER_INFEASIBLE, /* proven: there is none */
    FIT_SOLVER_UNBOUNDED,
    FIT_SOLVER_LIMIT,   /* time or iterations ended it without a solution */
    FIT_SOLVER_STOPPED, /* ended by the callback without a solution */
    FIT_SOLVER_FAILED   /* refused the input, or lost its way numerically */
} FitSolverStatus;

/* Reads GLPK's return code and solution status (glp_get_status or glp_mip_status) together: the
 * code alone says 0 for an infeasible programme, and the status alone does not say why it ended. */
FitSolverStatus fit_solver_status(int return_code, int solution_status);

#endif
