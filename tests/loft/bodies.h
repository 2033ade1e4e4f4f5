/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies with closed forms, for the tests of shape, loft, mesh and facets. A body that cannot be
 * made fails the test. */
#ifndef BALLASTRY_TESTS_LOFT_BODIES_H
#define BALLASTRY_TESTS_LOFT_BODIES_H

#include "support/check.h"
#include "ballastry/loft.h"

#define PI 3.14159265358979323846

static inline BlyBody *make_body(const BlyStation *stations, size_t count) {
    BlyError err = {0};
    BlyBody *body = NULL;
    if (!bly_body_from_stations(stations, count, &body, &err))
        print_error("%s: %s\n", err.where, err.text);
    assert_non_null(body);
    return body;
}

static inline BlyBody *make_coated(const BlyBody *body, double thickness) {
    BlyError err = {0};
    BlyBody *out = NULL;
    if (!bly_body_coated(body, thickness, &out, &err))
        print_error("%s: %s\n", err.where, err.text);
    assert_non_null(out);
    return out;
}

/* Semi-axes a (along x), b, c about (a, 0, z). */
static inline BlyBody *make_ellipsoid(double a, double b, double c, double z) {
    const BlyStation stations[] = {
        {0.0, 0.0, 0.0, z, 2.0}, {a, 2.0 * b, 2.0 * c, z, 2.0}, {2.0 * a, 0.0, 0.0, z, 2.0}};
    return make_body(stations, 3);
}

static inline BlyBody *make_cylinder(double length, double radius) {
    const BlyStation stations[] = {{0.0, 2.0 * radius, 2.0 * radius, 0.0, 2.0},
                                   {length, 2.0 * radius, 2.0 * radius, 0.0, 2.0}};
    return make_body(stations, 2);
}

/* Point at x = 0 when r0 = 0. Three stations: the squares are then one parabola. */
static inline BlyBody *make_frustum(double length, double r0, double r1) {
    const BlyStation stations[] = {{0.0, 2.0 * r0, 2.0 * r0, 0.0, 2.0},
                                   {0.5 * length, r0 + r1, r0 + r1, 0.0, 2.0},
                                   {length, 2.0 * r1, 2.0 * r1, 0.0, 2.0}};
    return make_body(stations, 3);
}

/* An invented minnow: 90 mm, carved, hump-backed, with a flat tail face. */
static inline BlyBody *make_minnow(double exponent, double flip) {
    const BlyStation stations[] = {{0.000, 0.0, 0.0, flip * 0.0005, exponent},
                                   {0.006, 0.0080, 0.0090, flip * 0.0006, exponent},
                                   {0.020, 0.0130, 0.0165, flip * 0.0015, exponent},
                                   {0.034, 0.0140, 0.0190, flip * 0.0018, exponent},
                                   {0.055, 0.0110, 0.0150, flip * 0.0012, exponent},
                                   {0.076, 0.0070, 0.0100, flip * 0.0006, exponent},
                                   {0.090, 0.0030, 0.0060, flip * 0.0010, exponent}};
    return make_body(stations, sizeof stations / sizeof stations[0]);
}

static inline BlyPlane make_plane(double nose_down, double heel, BlyVec3 through) {
    BlyVec3 up = bly_vec_up(nose_down, heel);
    return (BlyPlane){up, bly_vec_dot(up, through)};
}

static inline void assert_vec_close(BlyVec3 actual, BlyVec3 expected, double tolerance) {
    assert_close(actual.x, expected.x, tolerance, 0.0);
    assert_close(actual.y, expected.y, tolerance, 0.0);
    assert_close(actual.z, expected.z, tolerance, 0.0);
}

#endif
