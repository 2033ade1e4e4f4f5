/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The superellipse against closed forms and its own equation. */
#include "oval/oval.h"
#include "support/check.h"

/* n = 2 and 1: disc and square on its corner; area pi and 2, second moment of a quadrant pi/16 and
 * 1/12 (handbook formulas). */
static void quarters_are_the_disc_and_the_square(void **state) {
    (void)state;
    const double pi = acos(-1.0);
    assert_close(bly_oval_quarter(2.0), pi / 4.0, 1e-15, 0.0);
    assert_close(bly_oval_square(2.0), pi / 16.0, 1e-15, 0.0);
    assert_close(bly_oval_quarter(1.0), 0.5, 1e-14, 0.0);
    assert_close(bly_oval_square(1.0), 1.0 / 12.0, 1e-14, 0.0);
}

static void points_lie_on_the_curve(void **state) {
    (void)state;
    for (double n = 1.2; n < 20.0; n *= 1.3) {
        for (double w = 0.01; w < 1.57; w += 0.05) {
            double u, v, du, dv;
            bly_oval_point(n, w, &u, &v, &du, &dv);
            assert_close(pow(u, n) + pow(v, n), 1.0, 1e-12, 0.0);
            /* its way runs along the curve: across the gradient */
            double gu = pow(u, n - 1.0), gv = pow(v, n - 1.0);
            assert_true(fabs(gu * du + gv * dv) < 1e-9 * hypot(gu, gv) * hypot(du, dv));
        }
    }
}

/* The support is the greatest value over the curve (brute force), and 0 cuts the section in halves.
 */
static void support_and_halves(void **state) {
    (void)state;
    const double n = 2.7, b = 0.7, c = 1.1;
    BlyOval oval;
    bly_oval_init(&oval, n);
    for (double heel = 0.1; heel < 1.5; heel += 0.2) {
        double uy = sin(heel), uz = cos(heel), most = 0.0;
        for (double w = 0.0; w <= 1.5708; w += 1e-4) {
            double u, v, du, dv;
            bly_oval_point(n, w, &u, &v, &du, &dv);
            most = fmax(most, uy * b * u + uz * c * v);
        }
        double q = bly_oval_support(n, b, c, uy, uz);
        assert_close(q, most, 1e-7, 0.0);
        BlyBelow half = bly_oval_below(&oval, b, c, uy, uz, 0.0, q);
        assert_close(half.area, 2.0 * bly_oval_quarter(n) * b * c, 1e-10, 0.0);
    }
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
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quarters_are_the_disc_and_the_square),
        cmocka_unit_test(points_lie_on_the_curve),
        cmocka_unit_test(support_and_halves),
        cmocka_unit_test(series_meets_the_ellipse),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
