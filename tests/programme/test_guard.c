/* SPDX-License-Identifier: GPL-3.0-or-later */
/* GLPK must neither end the program nor print. What it does when misused is written in the GLPK
 * reference manual (glp_error_hook, glp_term_hook, glp_free_env); here it is provoked. */
#include "support/check.h"
#include "programme/guard.h"
#include "ballastry/fit.h"

#include <fcntl.h>
#include <glpk.h>
#include <pthread.h>
#include <unistd.h>

typedef struct Case {
    ProgGuard *guard;
    bool nested_good;
    int ran;
} Case;

static void misuse(void *context) {
    Case *c = context;
    c->ran++;
    glp_prob *lp = glp_create_prob();
    glp_add_cols(lp, 1000);
    glp_set_obj_coef(lp, 77777, 1); /* no such column: GLPK aborts */
    c->ran++;
}

static void too_long_name(void *context) {
    Case *c = context;
    char name[400];
    memset(name, 'x', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    glp_set_prob_name(glp_create_prob(), name);
    c->ran++;
}

static void solve_noisily(void *context) {
    Case *c = context;
    glp_prob *lp = glp_create_prob();
    glp_add_rows(lp, 1);
    glp_add_cols(lp, 2);
    glp_set_row_bnds(lp, 1, GLP_UP, 0, 1);
    for (int j = 1; j <= 2; j++) {
        int row[2] = {0, 1};
        double one[2] = {0, 1};
        glp_set_col_bnds(lp, j, GLP_LO, 0, 0);
        glp_set_obj_coef(lp, j, -j);
        glp_set_mat_col(lp, j, 1, row, one);
    }
    glp_smcp parameters;
    glp_init_smcp(&parameters);
    parameters.msg_lev = GLP_MSG_ALL;
    assert_int_equal(glp_simplex(lp, &parameters), 0);
    assert_close(glp_get_obj_val(lp), -2, 1e-12, 0); /* by hand: all on the second column */
    c->ran++;
}

static void nested(void *context) {
    Case *c = context;
    c->nested_good = prog_guard_run(c->guard, solve_noisily, c, NULL);
    glp_create_prob();
    (void)prog_guard_run(c->guard, misuse, c, NULL);
    c->ran += 100;
}

/* Runs `check` with standard output and error going to a file, and returns what came out. */
static long bytes_printed(void (*check)(void)) {
    char path[] = "/tmp/bly_guard_XXXXXX";
    int file = mkstemp(path), out = dup(1), error = dup(2);
    assert_true(file >= 0 && out >= 0 && error >= 0);
    fflush(stdout);
    fflush(stderr);
    dup2(file, 1);
    dup2(file, 2);
    check();
    fflush(stdout);
    fflush(stderr);
    dup2(out, 1);
    dup2(error, 2);
    long size = (long)lseek(file, 0, SEEK_END);
    close(file);
    close(out);
    close(error);
    unlink(path);
    return size;
}

static void provoke(void) {
    ProgGuard guard = {0};
    BlyError err = {0};
    Case c = {.guard = &guard};
    for (int round = 0; round < 50; round++) {
        c.ran = 0;
        err = (BlyError){0};
        assert_false(prog_guard_run(&guard, misuse, &c, &err));
        assert_int_equal(c.ran, 1);
        assert_int_equal(err.code, BLY_E_INTERNAL);
        assert_non_null(strstr(err.text, "77777"));
        assert_false(prog_guard_run(&guard, too_long_name, &c, NULL));
        assert_int_equal(c.ran, 1);
        assert_true(prog_guard_run(&guard, solve_noisily, &c, &err));
        assert_int_equal(c.ran, 2);
    }
}

static void errors_come_back_in_silence(void **state) {
    (void)state;
    assert_int_equal(bytes_printed(provoke), 0);
}

static void provoke_nested(void) {
    ProgGuard guard = {0};
    Case c = {.guard = &guard};
    assert_false(prog_guard_run(&guard, nested, &c, NULL));
    assert_true(c.nested_good);
    assert_int_equal(c.ran, 2); /* the noisy solve, and the misuse up to its fault */
    assert_false(guard.armed);
    assert_true(prog_guard_run(&guard, solve_noisily, &c, NULL));
}

static void an_inner_error_ends_the_outer_run(void **state) {
    (void)state;
    assert_int_equal(bytes_printed(provoke_nested), 0);
}

/* The bytes of standard output do count: the same misuse without the hook's silence shows it. */
static void say_something(void) {
    printf("x");
}

static void the_counter_counts(void **state) {
    (void)state;
    assert_int_equal(bytes_printed(say_something), 1);
}

static void code_and_status_are_read_together(void **state) {
    (void)state;
    /* GLPK reference manual, glp_simplex and glp_intopt, "Returns". */
    static const struct {
        int code, status;
        ProgSolverStatus want;
    } table[] = {
        {0, GLP_OPT, PROG_SOLVER_OPTIMAL},
        {0, GLP_FEAS, PROG_SOLVER_FEASIBLE},
        {0, GLP_NOFEAS, PROG_SOLVER_INFEASIBLE},
        {0, GLP_UNBND, PROG_SOLVER_UNBOUNDED},
        {0, GLP_UNDEF, PROG_SOLVER_FAILED},
        {GLP_EMIPGAP, GLP_FEAS, PROG_SOLVER_FEASIBLE},
        {GLP_ENOPFS, GLP_UNDEF, PROG_SOLVER_INFEASIBLE},
        {GLP_ENODFS, GLP_UNDEF, PROG_SOLVER_UNBOUNDED},
        {GLP_ETMLIM, GLP_FEAS, PROG_SOLVER_FEASIBLE},
        {GLP_ETMLIM, GLP_UNDEF, PROG_SOLVER_LIMIT},
        {GLP_EITLIM, GLP_INFEAS, PROG_SOLVER_LIMIT},
        {GLP_ESTOP, GLP_FEAS, PROG_SOLVER_FEASIBLE},
        {GLP_ESTOP, GLP_UNDEF, PROG_SOLVER_STOPPED},
        {GLP_EROOT, GLP_UNDEF, PROG_SOLVER_FAILED},
        {GLP_EBOUND, GLP_OPT, PROG_SOLVER_FAILED},
        {GLP_ESING, GLP_UNDEF, PROG_SOLVER_FAILED},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        assert_int_equal(prog_solver_status(table[i].code, table[i].status), table[i].want);
}

/* ---- threads ---- */

static void count_blocks(void *context) {
    void *block = glp_alloc(7, 100);
    glp_mem_usage(context, NULL, NULL, NULL);
    glp_free(block);
}

static void *count_in_thread(void *context) {
    ProgGuard guard = {0};
    (void)prog_guard_run(&guard, count_blocks, context, NULL);
    return NULL;
}

/* With three blocks of this thread held, another thread sees its own one alone, and what it frees
 * at its end is not ours (GLPK 5.0 reference manual: glp_config "TLS", glp_free_env). */
static void each_thread_has_an_environment_of_its_own(void **state) {
    (void)state;
    pthread_t thread;
    int theirs = 0, ours = 0;
    assert_int_equal(bly_fit_threads(), glp_config("TLS") != NULL);
    if (!bly_fit_threads())
        skip(); /* this GLPK serves one thread: the bench's fits wait for each other */
    void *blocks[3];
    for (int i = 0; i < 3; i++)
        blocks[i] = glp_alloc(1, 10);
    assert_int_equal(pthread_create(&thread, NULL, count_in_thread, &theirs), 0);
    assert_int_equal(pthread_join(thread, NULL), 0);
    glp_mem_usage(&ours, NULL, NULL, NULL);
    assert_int_equal(theirs, 1);
    assert_int_equal(ours, 3);
    for (int i = 0; i < 3; i++)
        glp_free(blocks[i]);
    glp_free_env();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_counter_counts),
        cmocka_unit_test(errors_come_back_in_silence),
        cmocka_unit_test(an_inner_error_ends_the_outer_run),
        cmocka_unit_test(code_and_status_are_read_together),
        cmocka_unit_test(each_thread_has_an_environment_of_its_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
