/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Convergence over the order of the quadrature, on bodies with closed forms. Opens the room's own
 * headers, to exchange the rules inside a body. The printed table is in docs/loft.md. */
#include "loft/bodies.h"
#include "loft/loft_body.h"
#include <gsl/gsl_errno.h>

static void use_rule(BlyBody *body, size_t nodes) {
    Loft *loft = (Loft *)body;
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
        loft_solid((Loft *)body);
        loft_skin((Loft *)body);
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

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(converges_over_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
