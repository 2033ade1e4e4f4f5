/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quadrature rules against their defining property, roots against closed forms. */
#include "numeric/numeric.h"
#include "support/check.h"
#include <gsl/gsl_errno.h>

/* Gauss: n nodes integrate x^k exactly up to k = 2 n - 1, and x^(2 n) no more (closed form 1/(k +
 * 1)). */
static void rules_are_gauss(void **state) {
    (void)state;
    for (size_t n = 1; n <= BLY_RULE_MAX; n++) {
        BlyRule rule;
        assert_true(bly_rule_make(n, &rule, NULL));
        assert_int_equal(rule.count, n);
        for (size_t k = 0; k <= 2 * n; k++) {
            double sum = 0.0, want = 1.0 / (double)(k + 1);
            for (size_t i = 0; i < n; i++)
                sum += rule.weight[i] * pow(rule.at[i], (double)k);
            if (k < 2 * n)
                assert_close(sum, want, 1e-14, 0.0);
            else if (n < 10) /* later the difference falls below rounding */
                assert_true(fabs(sum - want) > 1e-14);
        }
    }
}

static void rules_of_no_size_are_refused(void **state) {
    (void)state;
    BlyRule rule;
    BlyError err = {0};
    assert_false(bly_rule_make(0, &rule, &err));
    assert_int_equal(err.code, BLY_E_INTERNAL);
    assert_false(bly_rule_make(BLY_RULE_MAX + 1, &rule, &err));
}

static double rising(double x, void *user) {
    (void)user;
    return x * x * x - 2.0;
}

static void roots_and_no_roots(void **state) {
    (void)state;
    assert_close(bly_root(rising, NULL, 0.0, 3.0), cbrt(2.0), 1e-15, 0.0);
    assert_close(bly_root(rising, NULL, 2.0, 3.0), 2.0, 0.0, 0.0); /* no change of sign */
    assert_close(bly_root(rising, NULL, -3.0, 1.0), 1.0, 0.0, 0.0);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rules_are_gauss),
        cmocka_unit_test(rules_of_no_size_are_refused),
        cmocka_unit_test(roots_and_no_roots),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
