/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Added mass of ellipsoids against Lamb's tables, closed forms and plain integration. */
#include "support/check.h"
#include "support/table.h"
#include "ballastry/sink.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_math.h>

static void added(double a, double b, double c, double k[3]) {
    BlyError err = {0};
    assert_true(bly_added_mass((const double[]){a, b, c}, k, &err));
}

static void prolate_spheroids_meet_lambs_tables(void **state) {
    (void)state;
    Table *table = table_read("tests/sink/added_mass.csv");
    assert_true(table_rows(table) >= 69);
    for (size_t r = 0; r < table_rows(table); r++) {
        const char *quantity = table_text(table, r, "quantity");
        double k[3];
        added(0.045 * table_number(table, r, "ratio"), 0.045, 0.045, k);
        double got = strcmp(quantity, "k1") == 0   ? k[0]
                     : strcmp(quantity, "k2") == 0 ? k[1]
                                                   : k[1] - k[0];
        assert_close(got, table_number(table, r, "value"), table_number(table, r, "tolerance"), 0);
        assert_close(k[2], k[1], 1e-14, 0);
    }
    table_free(table);
}

/* Lamb, Hydrodynamics (1932), art 114: closed form of the prolate spheroid. */
static void prolate_spheroids_meet_the_closed_form(void **state) {
    (void)state;
    for (double ratio = 1.05; ratio < 50; ratio *= 1.3) {
        double e2 = 1 - 1 / (ratio * ratio), e = sqrt(e2), l = 2 * atanh(e), k[3];
        double alpha = 2 * (1 - e2) / (e2 * e) * (l / 2 - e);
        double beta = 1 / e2 - (1 - e2) / (2 * e2 * e) * l;
        added(ratio, 1, 1, k);
        assert_close(k[0], alpha / (2 - alpha), 0, 1e-10);
        assert_close(k[1], beta / (2 - beta), 0, 1e-10);
    }
}

/* Lamb 1918, R&M 623: sphere exactly 1/2, long cylinder broadside 1. Lamb art 102: thin disc of
 * radius R carries 8/3 density R^3 face on (from memory). */
static void limits(void **state) {
    (void)state;
    double k[3];
    added(0.01, 0.01, 0.01, k);
    for (int i = 0; i < 3; i++)
        assert_close(k[i], 0.5, 1e-14, 0);
    added(1e5, 1, 1, k);
    assert_close(k[0], 0, 1e-8, 0);
    assert_close(k[1], 1, 1e-8, 0);
    added(1, 1, 1e-5, k);
    assert_close(k[2] * 4 / 3 * M_PI * 1e-5, 8.0 / 3, 0, 1e-4);
    assert_between(k[0], 0, 1e-4);
}

/* Lamb's integral as he wrote it. */
static double lamb_integrand(double lambda, void *params) {
    const double *semi = params;
    double root = 1;
    for (int i = 0; i < 3; i++)
        root *= semi[i] * semi[i] + lambda;
    return semi[0] * semi[1] * semi[2] / ((semi[0] * semi[0] + lambda) * sqrt(root));
}

static void triaxial_ellipsoids_meet_plain_integration(void **state) {
    (void)state;
    const double shapes[][3] = {{4.5, 0.7, 1.1}, {1, 2, 3}, {0.2, 5, 0.9}, {9, 1, 0.5}};
    gsl_integration_workspace *work = gsl_integration_workspace_alloc(500);
    assert_non_null(work);
    for (size_t s = 0; s < sizeof shapes / sizeof shapes[0]; s++) {
        double k[3], sum = 0;
        added(shapes[s][0], shapes[s][1], shapes[s][2], k);
        for (int i = 0; i < 3; i++) {
            double turned[3], alpha, error;
            for (int j = 0; j < 3; j++)
                turned[j] = shapes[s][(i + j) % 3];
            gsl_function f = {.function = lamb_integrand, .params = turned};
            assert_int_equal(gsl_integration_qagiu(&f, 0, 0, 1e-9, 500, work, &alpha, &error), 0);
            assert_close(k[i], alpha / (2 - alpha), 0, 1e-8);
            sum += 2 * k[i] / (1 + k[i]); /* alpha again: the three add up to 2 */
        }
        assert_close(sum, 2, 1e-12, 0);
    }
    gsl_integration_workspace_free(work);
}

static void order_and_size_do_not_matter(void **state) {
    (void)state;
    double k[3], turned[3], small[3], large[3];
    added(4.5, 0.7, 1.1, k);
    added(1.1, 4.5, 0.7, turned);
    added(4.5e-150, 0.7e-150, 1.1e-150, small);
    added(4.5e150, 0.7e150, 1.1e150, large);
    for (int i = 0; i < 3; i++) {
        assert_close(turned[(i + 1) % 3], k[i], 1e-14, 0);
        assert_close(small[i], k[i], 1e-13, 0);
        assert_close(large[i], k[i], 1e-13, 0);
    }
    assert_true(k[0] < k[2] && k[2] < k[1]); /* the shorter the axis, the more water it moves */
}

/* Munk 1924, NACA report 184: 1 m/s in 1000 kg/m3; two worked values (evaluated from the report's
 * formula with Lamb's k). */
static void munk_couple(void **state) {
    (void)state;
    const BlyWater water = {.density = 1000, .viscosity = 1e-3};
    double k[3], degree = M_PI / 180;
    added(4, 1, 1, k);
    assert_close(bly_munk_couple(&water, 1e-5, 1, k[0], k[1], 10 * degree), 1.330806e-3, 5e-10, 0);
    assert_close(bly_munk_couple(&water, 1e-5, -1, k[0], k[1], 10 * degree), 1.330806e-3, 5e-10, 0);
    assert_close(bly_munk_couple(&water, 1e-5, 1, k[0], k[1], -10 * degree), -1.330806e-3, 5e-10,
                 0);
    added(6, 1, 1, k);
    assert_close(bly_munk_couple(&water, 2e-5, 1, k[0], k[1], 5 * degree), 1.514109e-3, 5e-10, 0);
    assert_close(bly_munk_couple(&water, 2e-5, 1, k[0], k[1], 90 * degree), 0, 1e-15, 0);
    assert_close(bly_munk_couple(&water, 2e-5, 1, 0.5, 0.5, 45 * degree), 0, 0, 0); /* sphere */
}

static void unsound_axes_are_refused(void **state) {
    (void)state;
    const double bad[] = {0, -1, NAN, INFINITY, 1e-7};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        for (int axis = 0; axis < 3; axis++) {
            double semi[3] = {1, 1, 1}, k[3] = {7, 7, 7};
            semi[axis] = bad[i];
            BlyError err = {0};
            assert_false(bly_added_mass(semi, k, &err));
            assert_int_equal(err.code, BLY_E_RANGE);
            assert_string_equal(err.where, "/semi");
            assert_true(k[0] == 7 && k[1] == 7 && k[2] == 7);
        }
    }
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(prolate_spheroids_meet_lambs_tables),
        cmocka_unit_test(prolate_spheroids_meet_the_closed_form),
        cmocka_unit_test(limits),
        cmocka_unit_test(triaxial_ellipsoids_meet_plain_integration),
        cmocka_unit_test(order_and_size_do_not_matter),
        cmocka_unit_test(munk_couple),
        cmocka_unit_test(unsound_axes_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
