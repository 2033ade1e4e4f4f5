/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running GLPK inside a program that must neither print nor abort.
 *
 * GLPK answers a bad argument or a failed allocation with abort(), prints on standard output, and
 * keeps its memory per thread. prog_guard_run calls a body with both hooks set: an error inside
 * comes back as false with GLPK's own words, whatever GLPK had allocated is freed on this thread,
 * and not a byte is printed. GLPK objects therefore never outlive the body.
 *
 * The body's own allocations must be reachable through its context, since an error jumps out of it.
 * A guarded body may call prog_guard_run again with the same guard: the inner call is a plain call,
 * and an error inside it ends the outer one. The calling thread must not hold GLPK objects of its
 * own. Feed GLPK finite numbers only: it calls a programme with NaN optimal. */
#ifndef BALLASTRY_PROGRAMME_GUARD_H
#define BALLASTRY_PROGRAMME_GUARD_H

#include "ballastry/error.h"

#include <setjmp.h>
#include <stdbool.h>
#include <stddef.h>

enum { PROG_GUARD_TEXT_MAX = 256 };

typedef struct ProgGuard {
    jmp_buf back;
    bool armed;
    char text[PROG_GUARD_TEXT_MAX]; /* the last words GLPK wanted to print */
} ProgGuard;

/* Zeroed guard before the first call. False (BLY_E_INTERNAL) when GLPK gave up. */
bool prog_guard_run(ProgGuard *guard, void (*body)(void *), void *context, BlyError *err);

typedef enum ProgSolverStatus {
    PROG_SOLVER_OPTIMAL,    /* solved and proven */
    PROG_SOLVER_FEASIBLE,   /* a solution, stopped before the proof */
    PROG_SOLVER_INFEASIBLE, /* proven: there is none */
    PROG_SOLVER_UNBOUNDED,
    PROG_SOLVER_LIMIT,   /* time or iterations ended it without a solution */
    PROG_SOLVER_STOPPED, /* ended by the callback without a solution */
    PROG_SOLVER_FAILED   /* refused the input, or lost its way numerically */
} ProgSolverStatus;

/* Reads GLPK's return code and solution status (glp_get_status or glp_mip_status) together: the
 * code alone says 0 for an infeasible programme, and the status alone does not say why it ended. */
ProgSolverStatus prog_solver_status(int return_code, int solution_status);

#endif
