/* SPDX-License-Identifier: GPL-3.0-or-later */
/* GSL's solvers in a room of their own find what closed forms say. */
#include "support/check.h"
#include "numeric/roots.h"

#include <math.h>

static double square_less_two(double x, void *user) {
    (void)user;
    return x * x - 2;
}

static double its_slope(double x, void *user) {
    (void)user;
    return 2 * x;
}

static void both(double x, void *user, double *f, double *slope) {
    *f = square_less_two(x, user);
    *slope = its_slope(x, user);
}

static void the_room_is_large_enough(void **state) {
    (void)state;
    const size_t room = sizeof((BlySolverRoom *)0)->bytes;
    assert_true(gsl_root_fsolver_brent->size <= room);
    assert_true(gsl_root_fdfsolver_newton->size <= room);
    assert_true(gsl_root_fdfsolver_secant->size <= room);
    assert_true(gsl_min_fminimizer_brent->size <= room);
}

static void brent_finds_a_root(void **state) {
    (void)state;
    gsl_root_fsolver solver;
    BlySolverRoom room;
    gsl_function f = {square_less_two, NULL};
    assert_int_equal(bly_brent_begin(&solver, &room, &f, 0, 2), GSL_SUCCESS);
    for (int i = 0; i < 30; i++)
        assert_int_equal(gsl_root_fsolver_iterate(&solver), GSL_SUCCESS);
    assert_close(gsl_root_fsolver_root(&solver), sqrt(2), 1e-15, 0);
    assert_int_not_equal(bly_brent_begin(&solver, &room, &f, 2, 3), GSL_SUCCESS); /* no change */
}

static void slopes_find_a_root(void **state) {
    (void)state;
    const gsl_root_fdfsolver_type *const types[] = {gsl_root_fdfsolver_newton,
                                                    gsl_root_fdfsolver_secant};
    gsl_function_fdf f = {square_less_two, its_slope, both, NULL};
    for (int t = 0; t < 2; t++) {
        gsl_root_fdfsolver solver;
        BlySolverRoom room;
        double last = 0;
        assert_int_equal(bly_slope_begin(&solver, &room, types[t], &f, 1), GSL_SUCCESS);
        for (int i = 0; i < 30 && gsl_root_fdfsolver_root(&solver) != last; i++) {
            last = gsl_root_fdfsolver_root(&solver);
            assert_int_equal(gsl_root_fdfsolver_iterate(&solver), GSL_SUCCESS);
        }
        assert_close(gsl_root_fdfsolver_root(&solver), sqrt(2), 1e-15, 0);
    }
}

/* cos is least at pi. */
static double cosine(double x, void *user) {
    (void)user;
    return cos(x);
}

static void brent_finds_the_least(void **state) {
    (void)state;
    gsl_min_fminimizer solver;
    BlySolverRoom room;
    gsl_function f = {cosine, NULL};
    assert_int_equal(bly_least_begin(&solver, &room, &f, 1, 3, 5), GSL_SUCCESS);
    for (int i = 0; i < 40; i++)
        assert_int_equal(gsl_min_fminimizer_iterate(&solver), GSL_SUCCESS);
    assert_close(gsl_min_fminimizer_x_minimum(&solver), acos(-1), 1e-7, 0);
    assert_close(gsl_min_fminimizer_f_minimum(&solver), -1, 1e-15, 0);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_room_is_large_enough),
        cmocka_unit_test(brent_finds_a_root),
        cmocka_unit_test(slopes_find_a_root),
        cmocka_unit_test(brent_finds_the_least),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
