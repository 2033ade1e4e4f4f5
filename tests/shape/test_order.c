/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Convergence over the order of the quadrature, on bodies with closed forms. Opens the room's own
 * headers, to exchange the rules inside a body. The printed table is in docs/shape.md. */
#include "bodies.h"
#include "shape/loft.h"
#include <gsl/gsl_errno.h>

static void use_rule(BlyBody *body, size_t nodes) {
    BlyLoft *loft = (BlyLoft *)body;
    BlyRule rule;
    assert_true(bly_rule_make(nodes, &rule, NULL));
    loft->coarse = loft->fine = loft->cut = loft->finest = rule;
}

/* Tilted and heeled cut of an ellipsoid, through the affine map to the sphere. */
static void cut_errors(const BlyBody *body, const double axis[3], double *volume, double *area) {
    BlyVec3 up = bly_vec_up(0.25, 0.5);
    double q = sqrt(pow(axis[0] * up.x, 2.0) + pow(axis[1] * up.y, 2.0) + pow(axis[2] * up.z, 2.0));
    double t = 0.35, det = axis[0] * axis[1] * axis[2];
    BlyCut cut = bly_body_cut(body, (BlyPlane){up, axis[0] * up.x + t * q});
    *volume = fabs(cut.volume / (PI * (2.0 / 3.0 + t - t * t * t / 3.0) * det) - 1.0);
    *area = fabs(cut.area / (PI * (1.0 - t * t) * det / q) - 1.0);
}

static void converges_over_order(void **state) {
    (void)state;
    const double axis[3] = {0.045, 0.007, 0.007};
    double e = sqrt(1.0 - axis[1] * axis[1] / (axis[0] * axis[0]));
    double skin = 2.0 * PI * axis[1] * axis[1] * (1.0 + axis[0] / (axis[1] * e) * asin(e));
    double last[3] = {1.0, 1.0, 1.0}, now[3];
    for (size_t nodes = 2; nodes <= 10; nodes += 2) {
        BlyBody *body = make_ellipsoid(axis[0], axis[1], axis[2], 0.0);
        use_rule(body, nodes);
        bly_loft_solid((BlyLoft *)body);
        bly_loft_skin((BlyLoft *)body);
        now[0] = fabs(bly_body_surface(body)->area / skin - 1.0);
        cut_errors(body, axis, &now[1], &now[2]);
        print_message("%2zu nodes: skin %.1e, cut volume %.1e, waterplane %.1e\n", nodes, now[0],
                      now[1], now[2]);
        for (int i = 0; i < 3; i++) {
            assert_true(now[i] < 0.2 * last[i] || now[i] < 1e-11);
            last[i] = now[i];
        }
        bly_body_free(body);
    }
    for (int i = 0; i < 3; i++)
        assert_true(last[i] < 1e-8);
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

/* Superellipse pieces against the ellipse's closed form: n = 2 sent through the general series. */
static void series_meets_the_ellipse(void **state) {
    (void)state;
    BlyOval general, ellipse;
    bly_oval_init(&ellipse, 2.0);
    double n = 2.0 + 1e-12; /* not equal to 2, so the general way is taken */
    bly_oval_init(&general, n);
    assert_true(ellipse.ellipse && !general.ellipse);
    for (double heel = 0.0; heel < 6.3; heel += 0.37) {
        for (double t = -0.99; t < 1.0; t += 0.11) {
            double b = 0.7, c = 1.1, uy = sin(heel), uz = cos(heel);
            double q = bly_oval_support(2.0, b, c, uy, uz);
            BlyBelow want = bly_oval_below(&ellipse, b, c, uy, uz, t * q, q);
            BlyBelow got =
                bly_oval_below(&general, b, c, uy, uz, t * q, bly_oval_support(n, b, c, uy, uz));
            assert_close(got.area, want.area, 1e-10, 0.0);
            assert_close(got.y, want.y, 1e-10, 0.0);
            assert_close(got.z, want.z, 1e-10, 0.0);
            double chord = hypot(want.y1 - want.y2, want.z1 - want.z2);
            assert_close(hypot(got.y1 - got.y2, got.z1 - got.z2), chord, 1e-9, 0.0);
        }
    }
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(converges_over_order),
        cmocka_unit_test(rules_of_no_size_are_refused),
        cmocka_unit_test(roots_and_no_roots),
        cmocka_unit_test(series_meets_the_ellipse),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
