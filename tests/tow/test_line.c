/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line in the water against closed forms and plain small steps. */
#include "ballastry/sink.h"
#include "ballastry/tow.h"
#include "lure/kit.h"

static const BlyWater tap = {
    .temperature = 20, .salinity = 0, .density = 998.2067, .viscosity = 1.001567e-3};

static BlyTowCurve curve_of(BlyTowLine line, double pull, double rise, double speed) {
    BlyTowCurve curve;
    must(bly_tow_line(&line, &tap, pull, rise, speed, &curve, err));
    return curve;
}

/* A pull beside which the line's own drag and weight are nothing: straight from rod to lure. */
static void a_line_without_drag_is_straight(void **state) {
    (void)state;
    for (double rise = 0.1; rise < 1.5; rise += 0.2) {
        BlyTowCurve curve = curve_of((BlyTowLine){30, 0.3e-3, 1, 1140}, 1e9, rise, 1);
        assert_close(curve.depth, 30 * sin(rise) - 1, 1e-5, 0);
        assert_close(curve.wet, 30 - 1 / sin(rise), 1e-5, 0);
    }
}

/* Catenary: the level part of the pull stays, the tension grows by the weight of what is risen.
 * Any textbook of statics. Steel wire, so slow that nothing drags. */
static void a_heavy_line_hangs_as_a_catenary(void **state) {
    (void)state;
    double d = 1e-3, weight = (7850 - tap.density) * M_PI_4 * d * d * BLY_GRAVITY;
    BlyTowCurve curve = curve_of((BlyTowLine){12, d, 0.5, 7850}, 1.5, 0.3, BLY_TOW_SLOWEST);
    assert_close(curve.tension - 1.5, weight * curve.depth, 0, 2e-3);
    double level = 1.5 * cos(0.3), top = acosh(curve.tension / level), foot = asinh(tan(0.3));
    assert_close(curve.wet, level / weight * (sinh(top) - sinh(foot)), 0, 2e-3);
}

/* Only the part square to the line, one Cd, even tension: cot psi = cot phi + k s/T, so depth =
 * T/k (asinh cot psi - asinh cot phi). [own derivation.] The Cd is that half way; 2.5 % for its
 * change. */
static void a_dragged_line_in_closed_form(void **state) {
    (void)state;
    double d = 3e-3, u = 1.5, rise = 0.45, pull = 15; /* thick: its Cd is all but even */
    BlyTowCurve curve = curve_of((BlyTowLine){30, d, 1, tap.density}, pull, rise, u);
    double middle = 0.7 * rise, re = tap.density * u * sin(middle) * d / tap.viscosity;
    double k = 0.5 * tap.density * bly_drag_wire(re) * d * u * u;
    double cot0 = 1 / tan(rise), mean = (pull + curve.tension) / 2;
    double depth = mean / k * (asinh(cot0 + k * curve.wet / mean) - asinh(cot0));
    assert_close(curve.depth, depth, 0, 0.025); /* a straight line: 12 m */
    assert_between(curve.depth, 3, 8);
}

/* The same line in 40,000 plain steps from its equations. */
static void small_steps_come_to_the_same(void **state) {
    (void)state;
    double d = 0.3e-3, u = 1.2, psi = 0.4, t = 0.4, x = 0, z = 0, s = 0, step = 30.0 / 40000;
    double w = (1140 - tap.density) * M_PI_4 * d * d * BLY_GRAVITY;
    while ((30 - s) * sin(psi) > 1) {
        double across = 0.5 * tap.density * u * u * d * sin(psi) * sin(psi) *
                        bly_drag_wire(tap.density * u * sin(psi) * d / tap.viscosity);
        double along = 0.5 * tap.density * u * u * M_PI * d * 0.01 * cos(psi) * cos(psi);
        x += step * cos(psi);
        z += step * sin(psi);
        psi -= step * (across - w * cos(psi)) / t;
        t += step * (along + w * sin(psi));
        s += step;
    }
    BlyTowCurve curve = curve_of((BlyTowLine){30, d, 1, 1140}, 0.4, 0.4, u);
    assert_close(curve.depth, z, 0, 5e-4);
    assert_close(curve.wet, s, 0, 5e-4);
    assert_close(curve.tension, t, 0, 5e-4);
    assert_true(curve.count > 10 && curve.count <= BLY_TOW_POINTS);
    assert_close(curve.below[0], curve.depth, 1e-12, 0);
    assert_close(curve.below[curve.count - 1], 0, 1e-9, 0);
    assert_close(curve.ahead[curve.count - 1], x, 0, 1e-3);
}

/* Where the line's length and angle do not reach below the rod's height: on the surface. */
static void at_the_surface(void **state) {
    (void)state;
    assert_close(curve_of((BlyTowLine){2.5, 0.3e-3, 1, 1140}, 0.2, 0.4, 1).depth, 0, 0, 0);
    assert_true(curve_of((BlyTowLine){2.7, 0.3e-3, 1, 1140}, 1e3, 0.4, 1).depth > 0);
    assert_close(curve_of((BlyTowLine){30, 0.3e-3, 1, 1140}, 0.2, -0.4, 1).depth, 0, 0, 0);
    BlyTowLine line = bly_tow_line_usual();
    BlyTowCurve curve;
    BlyError err = {0};
    line.diameter = 0;
    assert_false(bly_tow_line(&line, &tap, 0.2, 0.4, 1, &curve, &err));
    assert_string_equal(err.where, "/diameter");
}

/* Reeled in from a point at the surface, stepped: each step takes line in and carries the lure
 * along a path that keeps its angle to the line. */
static void reeled_in_from_a_cast(void **state) {
    (void)state;
    for (double rise = 0.1; rise < 1.2; rise += 0.2) {
        double left = 30, slope = 0, deepest = 0;
        while (left > 1) {
            double moved = 1e-4 * left; /* along the path */
            slope += moved * sin(rise) / left;
            left -= moved * cos(rise);
            deepest = fmax(deepest, left * sin(slope));
        }
        assert_close(bly_tow_cast_most(rise, 30), deepest, 0, 1e-3);
    }
    assert_close(bly_tow_cast_most(12 * M_PI / 180, 30), 30 * tan(12 * M_PI / 180) / M_E, 0, 0.01);
    assert_close(bly_tow_cast_most(-0.1, 30), 0, 0, 0);
}

/* Common practice, no source: a thin line runs deeper, more line out too, and ever less so. */
static void thin_and_long_lines(void **state) {
    (void)state;
    double thick = curve_of((BlyTowLine){30, 0.4e-3, 1, 1140}, 0.2, 0.35, 1).depth;
    double thin = curve_of((BlyTowLine){30, 0.2e-3, 1, 1140}, 0.2, 0.35, 1).depth;
    assert_true(thin > 1.2 * thick);
    double by_length[3];
    for (int i = 0; i < 3; i++)
        by_length[i] = curve_of((BlyTowLine){15 << i, 0.3e-3, 1, 1140}, 0.2, 0.35, 1).depth;
    assert_true(by_length[1] > by_length[0] && by_length[2] > by_length[1]);
    assert_true(by_length[2] / by_length[1] < by_length[1] / by_length[0]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_without_drag_is_straight),
        cmocka_unit_test(a_heavy_line_hangs_as_a_catenary),
        cmocka_unit_test(a_dragged_line_in_closed_form),
        cmocka_unit_test(small_steps_come_to_the_same),
        cmocka_unit_test(at_the_surface),
        cmocka_unit_test(reeled_in_from_a_cast),
        cmocka_unit_test(thin_and_long_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
