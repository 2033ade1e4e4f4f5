/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Volume, centroid, second moments, skin, side and plan against closed forms of elementary
 * geometry; convergence over stations; what is refused. */
#include "loft/bodies.h"
#include "support/table.h"
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>

static void sphere_is_exact(void **state) {
    (void)state;
    double r = 0.01, v = 4.0 / 3.0 * PI * r * r * r;
    BlyBody *body = make_ellipsoid(r, r, r, 0.002);
    const BlySolid *solid = bly_body_solid(body);
    assert_close(solid->volume, v, 0.0, 1e-12);
    assert_vec_close(solid->centroid, bly_vec(r, 0.0, 0.002), 1e-14);
    assert_close(solid->xx, v * r * r / 5.0, 0.0, 1e-11);
    assert_close(solid->yy, v * r * r / 5.0, 0.0, 1e-11);
    assert_close(solid->zz, v * r * r / 5.0, 0.0, 1e-11);
    assert_close(solid->xz, 0.0, 1e-18, 0.0);
    assert_close(bly_body_surface(body)->area, 4.0 * PI * r * r, 0.0, 1e-10);
    assert_close(bly_body_side(body)->area, PI * r * r, 0.0, 1e-10);
    assert_close(bly_body_plan(body)->area, PI * r * r, 0.0, 1e-10);
    assert_vec_close(bly_body_surface(body)->centroid, bly_vec(r, 0.0, 0.002), 1e-12);
    BlyBox box = bly_body_box(body);
    assert_vec_close(box.low, bly_vec(0.0, -r, 0.002 - r), 1e-12);
    assert_vec_close(box.high, bly_vec(2.0 * r, r, 0.002 + r), 1e-12);
    bly_body_free(body);
}

/* Uneven stations leave the sphere exact as long as one of them is its greatest section. */
static void sphere_through_uneven_stations(void **state) {
    (void)state;
    const double place[] = {-1.0, -0.83, -0.31, 0.0, 0.2, 0.77, 0.95, 1.0};
    BlyStation stations[8];
    for (int i = 0; i < 8; i++) {
        double size = 0.03 * sqrt((1.0 - place[i]) * (1.0 + place[i]));
        stations[i] = (BlyStation){0.015 * place[i], size, size, 0.0, 2.0};
    }
    BlyBody *body = make_body(stations, 8);
    double r = 0.015;
    assert_close(bly_body_solid(body)->volume, 4.0 / 3.0 * PI * r * r * r, 0.0, 1e-12);
    assert_close(bly_body_surface(body)->area, 4.0 * PI * r * r, 0.0, 1e-10);
    bly_body_free(body);
}

/* Source: tests/loft/hydrostatics.csv, "prolate spheroid whole", b = 1, a = 4. */
static void spheroid_matches_published_values(void **state) {
    (void)state;
    Table *table = table_read("tests/loft/hydrostatics.csv");
    double b = 0.01;
    BlyBody *body = make_ellipsoid(4.0 * b, b, b, 0.0);
    int seen = 0;
    for (size_t i = 0; i < table_rows(table); i++) {
        if (strcmp(table_text(table, i, "case"), "prolate spheroid whole") != 0)
            continue;
        double value = table_number(table, i, "value");
        bool volume = strcmp(table_text(table, i, "quantity"), "volume") == 0;
        seen++;
        if (volume)
            assert_close(bly_body_solid(body)->volume / (b * b * b), value, 0.5e-8, 0.0);
        else
            assert_close(bly_body_surface(body)->area / (b * b), value, 0.5e-8, 0.0);
    }
    assert_int_equal(seen, 2);
    bly_body_free(body);
    table_free(table);
}

/* Area of an ellipsoid with a != b != c: Legendre's formula, by elliptic integrals, evaluated here
 * as the integral over the sphere of directions (GSL, adaptive). */
static double ellipsoid_ring(double t, void *user) {
    const double *axis = user;
    double sum = 0.0;
    for (int i = 0; i < 400; i++) {
        double f = 2.0 * PI * (i + 0.5) / 400.0, s = sqrt(1.0 - t * t);
        double x = t / axis[0], y = s * cos(f) / axis[1], z = s * sin(f) / axis[2];
        sum += sqrt(x * x + y * y + z * z) * 2.0 * PI / 400.0;
    }
    return sum * axis[0] * axis[1] * axis[2];
}

static void ellipsoid_area(void **state) {
    (void)state;
    double axis[3] = {0.045, 0.007, 0.011}, expected, error;
    gsl_function f = {ellipsoid_ring, axis};
    gsl_integration_workspace *work = gsl_integration_workspace_alloc(200);
    assert_int_equal(
        gsl_integration_qag(&f, -1.0, 1.0, 0.0, 1e-11, 200, 4, work, &expected, &error),
        GSL_SUCCESS);
    gsl_integration_workspace_free(work);
    BlyBody *body = make_ellipsoid(axis[0], axis[1], axis[2], 0.0);
    assert_close(bly_body_surface(body)->area, expected, 0.0, 1e-7);
    assert_close(bly_body_solid(body)->volume, 4.0 / 3.0 * PI * axis[0] * axis[1] * axis[2], 0.0,
                 1e-12);
    assert_close(bly_body_side(body)->area, PI * axis[0] * axis[2], 0.0, 1e-10);
    assert_close(bly_body_plan(body)->area, PI * axis[0] * axis[1], 0.0, 1e-10);
    bly_body_free(body);
}

static void cylinder_with_faces(void **state) {
    (void)state;
    double l = 0.08, r = 0.006, v = PI * r * r * l;
    BlyBody *body = make_cylinder(l, r);
    const BlySolid *solid = bly_body_solid(body);
    assert_close(solid->volume, v, 0.0, 1e-12);
    assert_close(solid->xx, v * l * l / 12.0, 0.0, 1e-12);
    assert_close(solid->zz, v * r * r / 4.0, 0.0, 1e-12);
    assert_close(bly_body_surface(body)->area, 2.0 * PI * r * (l + r), 0.0, 1e-12);
    assert_close(bly_body_side(body)->area, 2.0 * r * l, 0.0, 1e-12);
    bly_body_free(body);
}

static void cone_and_frustum(void **state) {
    (void)state;
    double l = 0.05, r = 0.01;
    BlyBody *cone = make_frustum(l, 0.0, r);
    assert_close(bly_body_solid(cone)->volume, PI * r * r * l / 3.0, 0.0, 1e-12);
    assert_close(bly_body_solid(cone)->centroid.x, 0.75 * l, 0.0, 1e-12);
    assert_close(bly_body_surface(cone)->area, PI * r * (r + hypot(l, r)), 0.0, 1e-10);
    bly_body_free(cone);
    double q = 0.004;
    BlyBody *frustum = make_frustum(l, r, q);
    assert_close(bly_body_solid(frustum)->volume, PI * l * (r * r + r * q + q * q) / 3.0, 0.0,
                 1e-12);
    double skin = PI * (r + q) * hypot(l, r - q) + PI * (r * r + q * q);
    assert_close(bly_body_surface(frustum)->area, skin, 0.0, 1e-10);
    bly_body_free(frustum);
}

/* Of a spheroid the mean of (n.x)^2 over what it shows along its axis is the integral of
 * w/(k - (k - 1) w) over 0..1, k the square of the axes' ratio: (k ln k/(k - 1) - 1)/(k - 1). */
static void blunt_ends(void **state) {
    (void)state;
    double blunt[2], r = 0.01;
    BlyBody *ball = make_ellipsoid(r, r, r, 0.0);
    bly_body_blunt(ball, blunt);
    assert_close(blunt[0], 0.5, 2e-3, 0.0);
    assert_close(blunt[1], 0.5, 2e-3, 0.0);
    bly_body_free(ball);
    for (double ratio = 1.5; ratio < 9.0; ratio *= 1.5) {
        double k = ratio * ratio;
        BlyBody *body = make_ellipsoid(ratio * r, r, r, 0.0);
        bly_body_blunt(body, blunt);
        assert_close(blunt[0], (k * log(k) / (k - 1.0) - 1.0) / (k - 1.0), 2e-3, 0.0);
        assert_close(blunt[1], blunt[0], 1e-9, 0.0);
        bly_body_free(body);
    }
    BlyBody *cone = make_frustum(0.05, 0.0, r); /* sin^2 of its half angle, and its base */
    bly_body_blunt(cone, blunt);
    assert_close(blunt[0], r * r / (r * r + 0.05 * 0.05), 0.0, 1e-9);
    assert_close(blunt[1], 1.0, 1e-12, 0.0);
    bly_body_free(cone);
}

/* Area of a superellipse by gamma functions; its girth by GSL's adaptive quadrature over the
 * graph up to 45 deg (an eighth), with the power that makes it smooth. */
static double eighth_arc(double s, void *user) {
    double n = *(double *)user, p = n < 2.0 ? 1.0 / (n - 1.0) : 1.0, k = pow(s, p);
    double v = pow(1.0 + pow(k, n), -1.0 / n), speed = v / (1.0 + pow(k, n));
    return s == 0.0 ? 0.0 : speed * hypot(1.0, pow(k, n - 1.0)) * p * k / s;
}

static void superellipse_prism(void **state) {
    (void)state;
    const double exponent[] = {1.2, 1.5, 2.5, 3.0, 4.0, 8.0, 20.0};
    gsl_integration_workspace *work = gsl_integration_workspace_alloc(400);
    for (size_t i = 0; i < sizeof exponent / sizeof exponent[0]; i++) {
        double n = exponent[i], r = 0.01, l = 0.1, arc, error;
        const BlyStation stations[] = {{0.0, 2.0 * r, 2.0 * r, 0.0, n},
                                       {l, 2.0 * r, 2.0 * r, 0.0, n}};
        BlyBody *body = make_body(stations, 2);
        double area = 4.0 * r * r * pow(tgamma(1.0 + 1.0 / n), 2.0) / tgamma(1.0 + 2.0 / n);
        assert_close(bly_body_solid(body)->volume, area * l, 0.0, 1e-12);
        gsl_function f = {eighth_arc, &n};
        assert_int_equal(gsl_integration_qag(&f, 0.0, 1.0, 0.0, 1e-10, 400, 4, work, &arc, &error),
                         GSL_SUCCESS);
        assert_close(bly_body_surface(body)->area, 8.0 * arc * r * l + 2.0 * area, 0.0,
                     n >= 8.0 ? 1e-4 : 1e-6);
        bly_body_free(body);
    }
    gsl_integration_workspace_free(work);
}

/* A sphere whose greatest section lies between stations: the monotone curve is flat there, and the
 * error falls with the square of the spacing or faster. Printed in docs/shape.md. */
static double sphere_error(size_t count) {
    BlyStation stations[65];
    double r = 0.01;
    for (size_t i = 0; i < count; i++) {
        double x = 2.0 * pow((double)i / (double)(count - 1), 1.3) - 1.0;
        double size = 2.0 * r * sqrt(fmax(0.0, (1.0 - x) * (1.0 + x)));
        stations[i] = (BlyStation){r * x, size, size, 0.0, 2.0};
    }
    BlyBody *body = make_body(stations, count);
    double error = fabs(bly_body_solid(body)->volume / (4.0 / 3.0 * PI * r * r * r) - 1.0);
    bly_body_free(body);
    return error;
}

static void converges_over_stations(void **state) {
    (void)state;
    double last = sphere_error(4);
    assert_between(last, 1e-4, 0.2);
    for (size_t count = 8; count <= 64; count *= 2) {
        double now = sphere_error(count);
        print_message("%zu uneven stations, greatest section missed: volume off by %.2e\n", count,
                      now);
        assert_true(now < last);
        last = now;
    }
    assert_true(last < 1e-4);
}

static void scaling_and_mirroring(void **state) {
    (void)state;
    BlyBody *plain = make_minnow(2.4, 1.0), *flipped = make_minnow(2.4, -1.0);
    const BlySolid *a = bly_body_solid(plain), *b = bly_body_solid(flipped);
    assert_close(a->volume, b->volume, 0.0, 1e-14);
    assert_close(a->centroid.x, b->centroid.x, 1e-15, 0.0);
    assert_close(a->centroid.z, -b->centroid.z, 1e-15, 0.0);
    assert_close(a->xz, -b->xz, 1e-20, 0.0);
    assert_close(bly_body_surface(plain)->area, bly_body_surface(flipped)->area, 0.0, 1e-13);
    assert_close(bly_body_surface(plain)->centroid.z, -bly_body_surface(flipped)->centroid.z, 1e-15,
                 0.0);
    BlyStation small[2] = {{0.0, 0.010, 0.012, 0.001, 3.0}, {0.040, 0.006, 0.004, 0.0, 2.0}};
    BlyStation large[2] = {small[0], small[1]};
    double k = 3.0;
    for (int i = 0; i < 2; i++) {
        large[i].x *= k;
        large[i].width *= k;
        large[i].height *= k;
        large[i].centre *= k;
    }
    BlyBody *one = make_body(small, 2), *three = make_body(large, 2);
    assert_close(bly_body_solid(three)->volume, k * k * k * bly_body_solid(one)->volume, 0.0,
                 1e-12);
    assert_close(bly_body_solid(three)->xz, pow(k, 5.0) * bly_body_solid(one)->xz, 0.0, 1e-11);
    assert_close(bly_body_surface(three)->area, k * k * bly_body_surface(one)->area, 0.0, 1e-12);
    bly_body_free(plain);
    bly_body_free(flipped);
    bly_body_free(one);
    bly_body_free(three);
}

static void sections_and_half_widths(void **state) {
    (void)state;
    BlyBody *body = make_ellipsoid(0.04, 0.006, 0.01, 0.001);
    BlySection at;
    assert_true(bly_body_section(body, 0.02, &at));
    double part = sqrt(0.75); /* half-way from the middle to the nose */
    assert_close(at.width, 0.012 * part, 1e-15, 0.0);
    assert_close(at.belly, 0.001 - 0.01 * part, 1e-15, 0.0);
    assert_close(at.back, 0.001 + 0.01 * part, 1e-15, 0.0);
    assert_close(at.back_slope, 0.01 / 0.04 * 0.5 / part, 1e-12, 0.0);
    assert_close(at.belly_slope, -at.back_slope, 1e-12, 0.0);
    assert_close(at.exponent, 2.0, 0.0, 0.0);
    assert_close(bly_body_half_width(body, 0.04, 0.001 + 0.006), 0.006 * 0.8, 1e-15, 0.0);
    assert_close(bly_body_half_width(body, 0.04, 0.0111), 0.0, 0.0, 0.0);
    assert_close(bly_body_half_width(body, -0.001, 0.0), 0.0, 0.0, 0.0);
    assert_false(bly_body_section(body, 0.081, &at));
    assert_false(bly_body_section(body, -0.001, &at));
    assert_true(bly_body_section(body, 0.0, &at)); /* the tip: finite slopes */
    assert_true(isfinite(at.belly_slope) && at.belly_slope < -100.0);
    assert_true(isfinite(at.back_slope) && at.back_slope > 100.0);
    assert_true(bly_body_section(body, 0.08, &at));
    assert_true(isfinite(at.belly_slope) && at.belly_slope > 100.0);
    bly_body_free(body);
    body = make_minnow(3.0, 1.0); /* |y/b|^3 + |z/c|^3 = 1 at a station */
    assert_close(bly_body_half_width(body, 0.034, 0.0018 + 0.5 * 0.0095), 0.007 * cbrt(0.875),
                 1e-12, 0.0);
    assert_true(bly_body_section(body, 0.055, &at));
    assert_close(at.width, 0.011, 1e-12, 0.0);
    assert_close(at.centre, 0.0012, 1e-12, 0.0);
    bly_body_free(body);
}

static void refuse(const BlyStation *stations, size_t count, const char *where, BlyCode code) {
    BlyError err = {0};
    BlyBody *body = NULL;
    assert_false(bly_body_from_stations(stations, count, &body, &err));
    assert_null(body);
    assert_string_equal(err.where, where);
    assert_int_equal(err.code, code);
    assert_true(strlen(err.text) > 10);
}

static void bad_stations_are_named(void **state) {
    (void)state;
    const BlyStation good[3] = {
        {0.0, 0.0, 0.0, 0.0, 2.0}, {0.04, 0.01, 0.01, 0.0, 2.0}, {0.08, 0.0, 0.0, 0.0, 2.0}};
    const double bad[] = {NAN, INFINITY, -INFINITY, -0.001, 2.1};
    BlyStation bent[3];
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        memcpy(bent, good, sizeof good);
        bent[1].width = bad[i];
        refuse(bent, 3, "/stations/1/width", BLY_E_RANGE);
        memcpy(bent, good, sizeof good);
        bent[2].height = bad[i];
        refuse(bent, 3, "/stations/2/height", BLY_E_RANGE);
        memcpy(bent, good, sizeof good);
        bent[0].exponent = bad[i] == 2.1 ? 1.1 : bad[i];
        refuse(bent, 3, "/stations/0/exponent", BLY_E_RANGE);
        memcpy(bent, good, sizeof good);
        bent[1].x = bad[i] == 2.1 ? 0.0 : bad[i];
        refuse(bent, 3, "/stations/1/x", BLY_E_RANGE);
        memcpy(bent, good, sizeof good);
        bent[1].centre = bad[i] == -0.001 ? -2.1 : bad[i];
        refuse(bent, 3, "/stations/1/centre", BLY_E_RANGE);
    }
    memcpy(bent, good, sizeof good);
    bent[1].exponent = 20.5;
    refuse(bent, 3, "/stations/1/exponent", BLY_E_RANGE);
    bent[1] = good[1];
    bent[2].x = bent[1].x;
    refuse(bent, 3, "/stations/2/x", BLY_E_RANGE);
    memcpy(bent, good, sizeof good);
    bent[1].width = 0.0;
    refuse(bent, 3, "/stations/1/width", BLY_E_RANGE);
    bent[1].width = 1e-7;
    refuse(bent, 3, "/stations/1/width", BLY_E_RANGE);
    refuse(good, 1, "/stations", BLY_E_MISSING);
    refuse(good, 0, "/stations", BLY_E_MISSING);
    refuse(NULL, 0, "/stations", BLY_E_MISSING);
    refuse(good, 2001, "/stations", BLY_E_RANGE);
    const BlyStation nothing[2] = {{0.0, 0.0, 0.0, 0.0, 2.0}, {0.04, 0.0, 0.0, 0.0, 2.0}};
    refuse(nothing, 2, "/stations", BLY_E_RANGE);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sphere_is_exact),
        cmocka_unit_test(sphere_through_uneven_stations),
        cmocka_unit_test(spheroid_matches_published_values),
        cmocka_unit_test(ellipsoid_area),
        cmocka_unit_test(cylinder_with_faces),
        cmocka_unit_test(cone_and_frustum),
        cmocka_unit_test(blunt_ends),
        cmocka_unit_test(superellipse_prism),
        cmocka_unit_test(converges_over_stations),
        cmocka_unit_test(scaling_and_mirroring),
        cmocka_unit_test(sections_and_half_widths),
        cmocka_unit_test(bad_stations_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
