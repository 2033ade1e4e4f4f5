/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The short way to a lure's rest at the surface against the long one: the same equation. */
#include "balance/lures.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

static const double rho = 998.2;

static BlyFloat near_to(const TestLure *test, double guess) {
    BlyWater water = {.temperature = 20, .density = rho, .viscosity = 1e-3};
    BlyError err = {0};
    BlyFloat out;
    if (!bly_balance_float_near(&test->lure, &water, guess, &out, &err))
        fail_msg("%s", err.text);
    return out;
}

static BlyFloat full(const TestLure *test) {
    BlyWater water = {.temperature = 20, .density = rho, .viscosity = 1e-3};
    BlyError err = {0};
    BlyFloat out;
    if (!bly_balance_float(&test->lure, &water, &out, &err))
        fail_msg("%s", err.text);
    return out;
}

static void assert_same(BlyFloat a, BlyFloat b) {
    assert_close(a.nose_down, b.nose_down, 1e-8, 0);
    assert_close(a.heel, b.heel, 1e-8, 0);
    assert_close(a.shows, b.shows, 1e-8, 0);
    assert_close(a.draft, b.draft, 1e-9, 0);
    assert_close(a.roll_height, b.roll_height, 1e-8, 0);
    assert_true(a.upright_unstable == b.upright_unstable);
}

static void test_upright(void **state) {
    (void)state;
    for (int grams = 1; grams <= 5; grams += 2) {
        TestLure test;
        start_minnow(&test, 0.08, 0.017, 0.013);
        add_body(&test, 350);
        add_hanging(&test, 0.5e-3 * grams, 0.06e-6 * grams, bly_vec(0.03, 0, -0.01), 0.002, 0.02);
        BlyFloat want = full(&test);
        assert_false(want.upright_unstable);
        for (double off = -0.09; off < 0.1; off += 0.06)
            assert_same(near_to(&test, want.nose_down + off), want);
        lure_end(&test);
    }
}

/* Far off, none at all, or of a lure that rolls over: the long way. */
static void test_left_to_the_long_way(void **state) {
    (void)state;
    for (int rolls = 0; rolls < 2; rolls++) {
        TestLure test;
        start_minnow(&test, 0.08, 0.013, 0.016);
        add_body(&test, 500);
        add_lump(&test, 0.001, 0, bly_vec(0.035, 0, rolls ? 0.006 : -0.006));
        BlyFloat want = full(&test);
        assert_true(want.upright_unstable == (rolls == 1));
        const double guess[] = {NAN, INFINITY, want.nose_down + 1, -M_PI, want.nose_down};
        for (size_t i = 0; i < sizeof guess / sizeof guess[0]; i++)
            assert_same(near_to(&test, guess[i]), want);
        lure_end(&test);
    }
}

static void test_sinker(void **state) {
    (void)state;
    TestLure test;
    start_minnow(&test, 0.08, 0.013, 0.016);
    add_body(&test, 1200);
    BlyWater water = {.temperature = 20, .density = rho, .viscosity = 1e-3};
    BlyError err = {0};
    BlyFloat out;
    assert_false(bly_balance_float_near(&test.lure, &water, 0.1, &out, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    lure_end(&test);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_upright),
        cmocka_unit_test(test_left_to_the_long_way),
        cmocka_unit_test(test_sinker),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
