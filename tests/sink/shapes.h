/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Closed forms of the plain shapes that the drag tests use: volume, surface, what is seen. */
#ifndef BALLASTRY_TESTS_SINK_SHAPES_H
#define BALLASTRY_TESTS_SINK_SHAPES_H

#include "support/check.h"
#include "ballastry/sink.h"

#include <gsl/gsl_math.h>

static inline BlyDragBody test_sphere(double diameter) {
    return (BlyDragBody){
        .volume = M_PI / 6 * gsl_pow_3(diameter), .sphericity = 1, .crosswise = 1, .lengthwise = 1};
}

/* Axis length `length`, unit diameter; the flow along the axis or square to it. */
static inline BlyDragBody test_cylinder(double length, bool along) {
    BlyDragBody body = {0};
    double side = length, end = M_PI / 4, seen = along ? end : side;
    /* seen from all sides square to a cross flow: |cos| of the side and |sin| of the ends */
    double beside = along ? side : 2 / M_PI * (side + end);
    BlyError err = {0};
    assert_true(
        bly_drag_body(M_PI / 4 * length, M_PI * length + M_PI / 2, seen, beside, &body, &err));
    return body;
}

static inline double spheroid_surface(double axis, double b) {
    if (axis > b) {
        double e = sqrt(1 - gsl_pow_2(b / axis));
        return 2 * M_PI * b * b * (1 + axis / (b * e) * asin(e));
    }
    double e = sqrt(1 - gsl_pow_2(axis / b));
    return 2 * M_PI * b * b * (1 + (1 - e * e) / e * atanh(e));
}

/* Half axis `axis` on the axis of revolution, `b` across it (not equal). */
static inline BlyDragBody test_spheroid(double axis, double b, bool along) {
    BlyDragBody body = {0};
    double side = M_PI * axis * b, end = M_PI * b * b, beside = side;
    if (!along) { /* mean of the areas seen from a circle of directions through the axis */
        beside = 0;
        for (int i = 0; i < 1000; i++) {
            double turn = (i + 0.5) / 1000 * M_PI;
            beside += hypot(side * sin(turn), end * cos(turn)) / 1000;
        }
    }
    BlyError err = {0};
    assert_true(bly_drag_body(4.0 / 3 * M_PI * axis * b * b, spheroid_surface(axis, b),
                              along ? end : side, beside, &body, &err));
    return body;
}

/* The same at any attitude; `end` is cos^2 of the angle between flow and axis. A long ellipsoid is
 * as blunt as its closed form says: below 1/2. */
static inline BlyDragBody test_spheroid_at(double axis, double b, double end) {
    BlyDragBody body = test_spheroid(axis, b, false);
    BlyDragAxis along = {.surface = spheroid_surface(axis, b),
                         .seen_along = M_PI * b * b,
                         .seen_beside = M_PI * axis * b,
                         .length = 2 * axis,
                         .blunt = {0.5, 0.5}};
    BlyError err = {0};
    assert_true(bly_drag_end(&along, &body, &err));
    body.end.share = end;
    return body;
}

#endif
