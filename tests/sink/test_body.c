/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body's drag: Hoelzer & Sommerfeld's formula, its blend into the sphere, and how far it lies
 * from bodies whose drag is known. The deviations are large in places; docs/sink.md lists them, and
 * the bounds here keep them from growing unseen. */
#include "support/check.h"
#include "support/table.h"
#include "sink/drag.h"
#include "shapes.h"

/* Published examples use the simplified form: crosswise in the place of lengthwise. */
static void formula_gives_the_printed_figures(void **state) {
    (void)state;
    Table *table = table_read("tests/sink/hoelzer.csv");
    assert_true(table_rows(table) >= 19);
    for (size_t r = 0; r < table_rows(table); r++) {
        const char *flow = table_text(table, r, "flow");
        BlyDragBody body = test_sphere(1);
        if (strcmp(flow, "sphere") != 0) {
            body = test_cylinder(table_number(table, r, "length_over_diameter"),
                                 strcmp(flow, "lengthwise") == 0);
            body.lengthwise = body.crosswise;
        }
        assert_close(drag_hoelzer(&body, table_number(table, r, "reynolds")),
                     table_number(table, r, "cd"), table_number(table, r, "tolerance"), 0);
    }
    table_free(table);
}

static void far_from_round_it_is_the_formula(void **state) {
    (void)state;
    BlyDragBody body = test_cylinder(2, false); /* sphericity 0.832 */
    for (double re = 1e-3; re < 1e5; re *= 3)
        assert_close(bly_drag_body_cd(&body, re), drag_hoelzer(&body, re), 0, 1e-15);
}

/* The bracket of the speed relies on it, blended or not, up to the sphere's crisis. */
static void re_cd_rises(void **state) {
    (void)state;
    for (double phi = 0.4; phi < 1.01; phi += 0.05) {
        BlyDragBody body = {.volume = 1, .sphericity = phi, .crosswise = 0.7, .lengthwise = 0.9};
        body.end = (BlyDragEnd){.share = 0, .lengthwise = 0.6, .pressure = 0.03};
        for (; body.end.share <= 1; body.end.share += 0.5) {
            for (double re = 1e-6; re < 3.38e5 / 1.002; re *= 1.002)
                assert_true(1.002 * bly_drag_body_cd(&body, re * 1.002) >
                            bly_drag_body_cd(&body, re));
        }
    }
}

static void a_sphere_drags_like_a_sphere(void **state) {
    (void)state;
    BlyDragBody sphere = test_sphere(0.02), above = sphere;
    above.sphericity = 1 + 1e-9; /* as quadrature may give */
    for (double re = 1e-6; re < 1e7; re *= 1.7) {
        assert_true(bly_drag_body_cd(&sphere, re) == bly_drag_sphere(re));
        assert_true(bly_drag_body_cd(&above, re) == bly_drag_sphere(re));
    }
}

/* The raw formula jumps by a third between sphericity 1 and 0.99; the blend must not. */
static void nearly_round_is_nearly_a_sphere(void **state) {
    (void)state;
    for (double re = 0.1; re < 1e5; re *= 3) {
        BlyDragBody body = test_sphere(0.02);
        double sphere = bly_drag_body_cd(&body, re), before = sphere;
        for (double phi = 1; phi >= 0.85; phi -= 1e-4) {
            body.sphericity = phi;
            double cd = bly_drag_body_cd(&body, re);
            assert_close(cd, before, 0, 2e-3); /* no kink: 0.2 % a step at most */
            before = cd;
        }
        body.sphericity = 0.999;
        assert_close(bly_drag_body_cd(&body, re), sphere, 0, 1e-3);
    }
    BlyDragBody body = test_sphere(0.02);
    body.sphericity = 0.99;
    assert_true(drag_hoelzer(&body, 1e5) > 1.3 * 0.42);
}

/* Oberbeck 1876 (closed forms evaluated in creeping.csv), force over that of a sphere of the
 * equatorial radius. Found: -14 to +7 % for prolate ones up to
 * 5 : 1, -24 % broadside at 10 : 1, -6 to +12 % for oblate ones down to 1 : 10. */
static void spheroids_in_creeping_flow(void **state) {
    (void)state;
    Table *table = table_read("tests/sink/creeping.csv");
    assert_true(table_rows(table) >= 20);
    for (size_t r = 0; r < table_rows(table); r++) {
        double ratio = table_number(table, r, "axis_ratio"), re = 1e-6;
        if (ratio < 0.05)
            continue; /* the disc of no thickness has no equal sphere */
        bool along = strcmp(table_text(table, r, "flow"), "axial") == 0;
        BlyDragBody body =
            ratio > 1 ? test_spheroid_at(ratio, 1, along) : test_spheroid(ratio, 1, along);
        double drag = bly_drag_body_cd(&body, re) * re / 24 * cbrt(ratio);
        double known = table_number(table, r, "force_over_sphere");
        assert_close(drag, known, 0, ratio > 5 ? 0.25 : 0.14);
    }
    table_free(table);
}

/* Short cylinders, Re 1e4 to 1e5 (a data book, read from a figure). Found: +3 to +18 % crosswise,
 * -20 to +5 % lengthwise, on their own frontal area. */
static void short_cylinders_in_fast_flow(void **state) {
    (void)state;
    Table *table = table_read("tests/sink/short_cylinder.csv");
    for (size_t r = 0; r < table_rows(table); r++) {
        bool along = strcmp(table_text(table, r, "flow"), "lengthwise") == 0;
        double length = table_number(table, r, "length_over_diameter");
        if (length > 10)
            continue; /* sphericity 0.37: said not to be checked */
        BlyDragBody body = test_cylinder(length, along);
        for (double re = 1e4; re < 1e5; re *= 5) {
            double on_frontal = bly_drag_body_cd(&body, re) * body.crosswise;
            assert_close(on_frontal, table_number(table, r, "cd"), 0, 0.205);
        }
    }
    table_free(table);
}

/* Ellipsoids along their axis, on the frontal area: Cd 0.27, 0.25, 0.20 at length / diameter 2, 4,
 * 8 (White, Fluid Mechanics, Table 7.3, from memory: laminar, Re on the diameter from 1e4 on, which
 * is as fast as lures get). Found: -1, -25, -10 %. Without the end's pressure the formula
 * gives 2.6, 3.1 and 4.4 times as much. */
static void streamlined_bodies_along_their_axis(void **state) {
    (void)state;
    const double known[][2] = {{2, 0.27}, {4, 0.25}, {8, 0.20}};
    for (size_t i = 0; i < 3; i++) {
        BlyDragBody body = test_spheroid_at(known[i][0], 1, 1);
        double re = 1e4 * cbrt(known[i][0]);
        double on_frontal = bly_drag_body_cd(&body, re) * body.end.crosswise;
        assert_between(on_frontal / known[i][1], 0.73, 1.02);
        BlyDragBody plain = test_spheroid(known[i][0], 1, true);
        assert_true(bly_drag_body_cd(&plain, re) > 2 * bly_drag_body_cd(&body, re));
    }
}

/* Computed flow about a spheroid of 2.5 : 1, Cd and Re on the sphere of equal volume: Zastawny,
 * Mallouppas, Zhao & van Wachem 2012, Int. J. Multiphase Flow 39, 227 (coefficients from memory;
 * made for Re 0.1 to 300; below 10 that fit lies a fifth under Oberbeck's closed form, so it is
 * taken from there on). Found: end on -2 to +17 %, broadside 0 to +16 %, between 0 to +12 %. */
static double zastawny(double re, double sine_squared) {
    double end = 5.1 / pow(re, 0.48) + 15.52 / pow(re, 1.05);
    double broad = 24.68 / pow(re, 0.98) + 3.19 / pow(re, 0.21);
    return end + (broad - end) * sine_squared; /* their exponent for this shape: 2.0 */
}

static void a_spheroid_at_any_angle(void **state) {
    (void)state;
    for (double re = 10; re <= 301; re *= pow(30, 0.1)) {
        for (int degrees = 0; degrees <= 90; degrees += 15) {
            double broad = gsl_pow_2(sin(degrees * M_PI / 180));
            BlyDragBody body = test_spheroid_at(2.5, 1, 1 - broad);
            assert_between(bly_drag_body_cd(&body, re) / zastawny(re, broad), 0.97, 1.19);
        }
    }
}

/* Sanjeevi & Padding 2017, J. Fluid Mech. 820, R1 (abstract): the sine-squared law, whatever Re. */
static void between_it_is_the_sine_squared_law(void **state) {
    (void)state;
    for (double re = 1e-3; re < 1e5; re *= 7) {
        BlyDragBody end = test_spheroid_at(4, 1, 1), broad = test_spheroid_at(4, 1, 0);
        double cd_0 = bly_drag_body_cd(&end, re), cd_90 = bly_drag_body_cd(&broad, re);
        assert_true(cd_90 > cd_0);
        for (double phi = 0; phi < 1.57; phi += 0.1) {
            BlyDragBody body = test_spheroid_at(4, 1, gsl_pow_2(cos(phi)));
            double law = cd_0 + (cd_90 - cd_0) * gsl_pow_2(sin(phi));
            assert_close(bly_drag_body_cd(&body, re), law, 0, 1e-12);
        }
    }
}

/* Flat ends drag as the formula says, half a ball or less as a streamlined body; between them and
 * between the two ends nothing jumps. */
static void blunt_ends_drag_as_before(void **state) {
    (void)state;
    BlyError err = {0};
    BlyDragBody body = test_cylinder(4, false), plain = test_cylinder(4, true);
    BlyDragAxis axis = {
        .surface = 4.5 * M_PI, .seen_along = M_PI / 4, .seen_beside = 4, .length = 4};
    double last = 0;
    for (double blunt = 0; blunt <= 1.0001; blunt += 0.01) {
        axis.blunt[0] = axis.blunt[1] = fmin(blunt, 1);
        assert_true(bly_drag_end(&axis, &body, &err));
        body.end.share = 1;
        double cd = bly_drag_body_cd(&body, 2e3);
        assert_true(cd >= last && (last == 0 || cd < 1.05 * last));
        if (blunt <= 0.5)
            assert_close(body.end.pressure * body.end.crosswise, 0.44 / 4, 0, 1e-12);
        last = cd;
    }
    for (double re = 0.01; re < 1e5; re *= 5)
        assert_close(bly_drag_body_cd(&body, re), bly_drag_body_cd(&plain, re), 0, 1e-12);
    double flat = body.end.pressure;
    axis.blunt[1] = 0.3;
    assert_true(bly_drag_end(&axis, &body, &err));
    assert_true(body.end.share == 0);
    assert_close(body.end.pressure * body.end.crosswise, (flat * body.end.crosswise + 0.44 / 4) / 2,
                 0, 1e-12);
    axis.blunt[0] = NAN;
    assert_false(bly_drag_end(&axis, &body, &err));
    assert_string_equal(err.where, "/blunt");
    axis.blunt[0] = 0, axis.length = 0;
    assert_false(bly_drag_end(&axis, &body, &err));
    assert_string_equal(err.where, "/length");
}

static void body_from_its_outside(void **state) {
    (void)state;
    BlyDragBody body = {0};
    BlyError err = {0};
    assert_true(bly_drag_body(M_PI / 6, M_PI, M_PI / 4, M_PI / 4, &body, &err));
    assert_close(body.sphericity, 1, 1e-12, 0);
    assert_close(body.crosswise, 1, 1e-12, 0);
    assert_close(body.lengthwise, 1, 1e-12, 0);
    assert_close(bly_drag_diameter(body.volume), 1, 1e-12, 0);
    /* a cube face on: sphericity (pi/6)^(1/3) = 0.806, a common textbook figure */
    assert_true(bly_drag_body(1, 6, 1, 4 / M_PI, &body, &err));
    assert_close(body.sphericity, 0.806, 5e-4, 0);
    assert_true(bly_drag_body(1, 4.8, 1, 1, &body, &err)); /* less surface than a sphere */
    assert_true(body.sphericity == 1);
}

static void refuses(double v, double s, double along, double beside, const char *where) {
    BlyDragBody body = {.volume = -1};
    BlyError err = {0};
    assert_false(bly_drag_body(v, s, along, beside, &body, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_string_equal(err.where, where);
    assert_true(body.volume == -1);
}

static void unsound_bodies_are_refused(void **state) {
    (void)state;
    const double bad[] = {0, -1, NAN, INFINITY};
    for (size_t i = 0; i < 4; i++) {
        refuses(bad[i], 6, 1, 1, "/volume");
        refuses(1, bad[i], 1, 1, "/surface");
        refuses(1, 6, bad[i], 1, "/seen_along");
        refuses(1, 6, 1, bad[i], "/seen_beside");
        BlyDragBody body = test_sphere(1);
        assert_true(isinf(bad[i]) || isnan(bly_drag_body_cd(&body, bad[i])));
        body.sphericity = bad[i];
        assert_true(isnan(bly_drag_body_cd(&body, 100)));
        body = test_sphere(1);
        body.crosswise = bad[i];
        assert_true(isnan(bly_drag_body_cd(&body, 100)));
        body = test_sphere(1);
        body.lengthwise = bad[i];
        assert_true(isnan(bly_drag_body_cd(&body, 100)));
        body = test_spheroid_at(3, 1, 1);
        body.end.lengthwise = bad[i];
        assert_true(isnan(bly_drag_body_cd(&body, 100)));
    }
    refuses(1, 6, 1, 3, "/surface");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(formula_gives_the_printed_figures),
        cmocka_unit_test(far_from_round_it_is_the_formula),
        cmocka_unit_test(re_cd_rises),
        cmocka_unit_test(a_sphere_drags_like_a_sphere),
        cmocka_unit_test(nearly_round_is_nearly_a_sphere),
        cmocka_unit_test(spheroids_in_creeping_flow),
        cmocka_unit_test(short_cylinders_in_fast_flow),
        cmocka_unit_test(streamlined_bodies_along_their_axis),
        cmocka_unit_test(a_spheroid_at_any_angle),
        cmocka_unit_test(between_it_is_the_sine_squared_law),
        cmocka_unit_test(blunt_ends_drag_as_before),
        cmocka_unit_test(body_from_its_outside),
        cmocka_unit_test(unsound_bodies_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
