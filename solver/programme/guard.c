/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "programme/guard.h"
#include "programme/programme.h"

#include <glpk.h>
#include <stdio.h>
#include <string.h>

/* Non-zero tells GLPK that the text has been dealt with. The last words are kept: on an error they
 * are its message, but for a line that names a place in GLPK's own sources. */
static int swallow(void *info, const char *text) {
    ProgGuard *guard = info;
    if (strncmp(text, "Error detected in file", 22) != 0)
        (void)snprintf(guard->text, sizeof guard->text, "%s", text);
    return 1;
}

static void jump_back(void *info) {
    ProgGuard *guard = info;
    longjmp(guard->back, 1);
}

/* A function of its own, so that nothing the caller keeps in registers is lost by the jump. */
static bool run_armed(ProgGuard *guard, void (*body)(void *), void *context) {
    if (setjmp(guard->back) != 0)
        return false;
    body(context);
    return true;
}

/* One line without control characters, as an error text should be. */
static void tidy(char *text) {
    for (char *c = text; *c != '\0'; c++) {
        if ((unsigned char)*c < ' ')
            *c = c[1] == '\0' ? '\0' : ' ';
        if (*c == '\0')
            break;
    }
}

bool prog_guard_run(ProgGuard *guard, void (*body)(void *), void *context, BlyError *err) {
    if (guard->armed) {
        body(context);
        return true;
    }
    if (glp_init_env() > 1) /* made later on its own it would abort without memory */
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the linear solver");
    guard->armed = true;
    guard->text[0] = '\0';
    /* glp_free_env drops both hooks, so they are set for each run. */
    glp_term_hook(swallow, guard);
    glp_error_hook(jump_back, guard);
    bool good = run_armed(guard, body, context);
    glp_free_env();
    guard->armed = false;
    if (good)
        return true;
    tidy(guard->text);
    return bly_fail(err, BLY_E_INTERNAL, NULL, "the linear solver gave up: %s", guard->text);
}

bool prog_threads(void) {
    return glp_config("TLS") != NULL;
}

ProgSolverStatus prog_solver_status(int return_code, int solution_status) {
    bool found = solution_status == GLP_OPT || solution_status == GLP_FEAS;
    switch (return_code) {
    case 0:
    case GLP_EMIPGAP:
        if (solution_status == GLP_OPT)
            return PROG_SOLVER_OPTIMAL;
        if (solution_status == GLP_FEAS)
            return PROG_SOLVER_FEASIBLE;
        if (solution_status == GLP_NOFEAS)
            return PROG_SOLVER_INFEASIBLE;
        return solution_status == GLP_UNBND ? PROG_SOLVER_UNBOUNDED : PROG_SOLVER_FAILED;
    case GLP_ENOPFS:
        return PROG_SOLVER_INFEASIBLE;
    case GLP_ENODFS:
        return PROG_SOLVER_UNBOUNDED;
    case GLP_ETMLIM:
    case GLP_EITLIM:
        return found ? PROG_SOLVER_FEASIBLE : PROG_SOLVER_LIMIT;
    case GLP_ESTOP:
        return found ? PROG_SOLVER_FEASIBLE : PROG_SOLVER_STOPPED;
    default:
        return PROG_SOLVER_FAILED;
    }
}
