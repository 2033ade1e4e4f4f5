/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The edge of the waterplane, along which the surface film pulls: prisms whose sections are
 * superellipses, from near a diamond to near a box, against closed forms, and any hull by walking
 * around the waterplane from the inside. */
#include "loft/bodies.h"
#include <gsl/gsl_errno.h>

/* The greatest share by which the polygon through the chords may miss these edges. */
static const double polygon = 1e-3;

static BlyBody *make_prism(double length, double b, double c, double n) {
    const BlyStation stations[] = {{0.0, 2.0 * b, 2.0 * c, 0.0, n},
                                   {length, 2.0 * b, 2.0 * c, 0.0, n}};
    return make_body(stations, 2);
}

/* Half the width of |y/b|^n + |z/c|^n = 1 at z, straight from its equation. */
static double half_width(double b, double c, double n, double z) {
    double rest = 1.0 - pow(fabs(z / c), n);
    return rest > 0.0 ? b * pow(rest, 1.0 / n) : 0.0;
}

static const double exponents[] = {1.2, 1.6, 2.0, 2.6, 3.5, 8.0, 20.0};
enum { EXPONENTS = sizeof exponents / sizeof exponents[0] };

/* Level water at z: a rectangle, 2 (L + 2 y). */
static void prisms_lie_level(void **state) {
    (void)state;
    double length = 0.08, b = 0.007, c = 0.009;
    for (size_t i = 0; i < EXPONENTS; i++) {
        BlyBody *body = make_prism(length, b, c, exponents[i]);
        for (double z = -0.95 * c; z < c; z += 0.19 * c) {
            double y = half_width(b, c, exponents[i], z);
            BlyCut cut = bly_body_cut(body, (BlyPlane){bly_vec_up(0.0, 0.0), z});
            assert_close(cut.perimeter, 2.0 * (length + 2.0 * y), 1e-12, 1e-9);
        }
        bly_body_free(body);
    }
}

/* Tilted about the middle the water runs from below the axis to above it. Each edge is y(z) over
 * z / sin t: a diamond's is straight but for its rounding, a box's runs along the sides and across
 * the ends. */
static double tilted_edge(double length, double b, double c, double n, double tilt) {
    enum { STEPS = 40000 };
    double reach = fmin(0.5 * length, c / tan(tilt)), sum = 0.0, y_last = 0.0, along = 0.0;
    for (int i = 0; i <= STEPS; i++) {
        double x = reach * -cos(PI * i / STEPS), y = half_width(b, c, n, x * tan(tilt));
        if (i > 0)
            sum += 2.0 * hypot((x - along) / cos(tilt), y - y_last);
        else
            sum += 2.0 * y; /* on the end face, if it gets there */
        along = x, y_last = y;
    }
    return sum + 2.0 * y_last;
}

static void prisms_lie_tilted(void **state) {
    (void)state;
    static const double tilts[] = {0.02, 0.1, 0.3, 1.0};
    double length = 0.08, b = 0.007, c = 0.009;
    for (size_t i = 0; i < EXPONENTS; i++) {
        BlyBody *body = make_prism(length, b, c, exponents[i]);
        for (size_t t = 0; t < sizeof tilts / sizeof tilts[0]; t++) {
            /* up = (-sin t, 0, cos t): the surface stands higher aft */
            BlyPlane plane = {bly_vec(-sin(tilts[t]), 0.0, cos(tilts[t])), 0.0};
            plane.height = plane.up.x * 0.5 * length;
            BlyCut cut = bly_body_cut(body, plane);
            assert_close(cut.perimeter, tilted_edge(length, b, c, exponents[i], tilts[t]), 0.0,
                         polygon);
        }
        bly_body_free(body);
    }
}

static bool is_inside(const BlyBody *body, BlyVec3 p) {
    return fabs(p.y) < bly_body_half_width(body, p.x, p.z);
}

/* From the waterplane's middle outwards to the skin, all around; the hulls here are seen whole from
 * there. */
static double walked_edge(const BlyBody *body, const BlyPlane *plane, BlyVec3 middle) {
    enum { RAYS = 800 };
    BlyVec3 up = plane->up, e1 = bly_vec_sub(bly_vec(1.0, 0.0, 0.0), bly_vec_scale(up, up.x));
    e1 = bly_vec_scale(e1, 1.0 / bly_vec_norm(e1));
    BlyVec3 e2 = bly_vec_cross(up, e1), first = middle, last = middle;
    double sum = 0.0;
    for (int i = 0; i <= RAYS; i++) {
        /* rays are drawn out lengthwise as the hull is */
        double w = 2.0 * PI * i / RAYS, low = 0.0, high = 0.3;
        BlyVec3 way = bly_vec_add(bly_vec_scale(e1, 6.0 * cos(w)), bly_vec_scale(e2, sin(w)));
        for (int k = 0; k < 32; k++) {
            double at = 0.5 * (low + high);
            *(is_inside(body, bly_vec_add(middle, bly_vec_scale(way, at))) ? &low : &high) = at;
        }
        BlyVec3 here = bly_vec_add(middle, bly_vec_scale(way, low));
        if (i > 0)
            sum += bly_vec_norm(bly_vec_sub(here, last));
        else
            first = here;
        last = here;
    }
    return sum + bly_vec_norm(bly_vec_sub(first, last));
}

/* Tilted and heeled, deep and shallow. */
static void walked_around(void **state) {
    (void)state;
    for (size_t i = 0; i < EXPONENTS; i++) {
        BlyBody *body = make_minnow(exponents[i], 1.0);
        BlyVec3 middle = bly_body_solid(body)->centroid;
        int looked = 0;
        for (double tilt = -0.2; tilt < 0.21; tilt += 0.1) {
            for (double heel = -1.2; heel < 1.3; heel += 0.6) {
                for (double off = -3e-3; off < 3.1e-3; off += 1.5e-3) {
                    BlyPlane plane = {bly_vec_up(tilt, heel), 0.0};
                    plane.height = bly_vec_dot(plane.up, middle) + off;
                    BlyCut cut = bly_body_cut(body, plane);
                    if (!is_inside(body, cut.area_centroid))
                        continue;
                    assert_close(cut.perimeter, walked_edge(body, &plane, cut.area_centroid), 0.0,
                                 polygon);
                    looked++;
                }
            }
        }
        assert_true(looked > 60);
        bly_body_free(body);
    }
}

/* Whether the body lies on its belly or on its back, to port or to starboard, the edge is as long.
 */
static void edge_has_no_side(void **state) {
    (void)state;
    for (size_t i = 0; i < EXPONENTS; i++) {
        BlyBody *body = make_minnow(exponents[i], 1.0);
        for (double tilt = -1.3; tilt < 1.31; tilt += 0.26) {
            for (double heel = 0.0; heel < 1.6; heel += 0.5) {
                BlyPlane plane = {bly_vec_up(tilt, heel), 0.0};
                plane.height = bly_vec_dot(plane.up, bly_body_solid(body)->centroid);
                double edge = bly_body_cut(body, plane).perimeter;
                BlyPlane over = {bly_vec_scale(plane.up, -1.0), -plane.height};
                assert_close(bly_body_cut(body, over).perimeter, edge, 0.0, 1e-9);
                BlyPlane other = {bly_vec_up(tilt, -heel), plane.height};
                assert_close(bly_body_cut(body, other).perimeter, edge, 0.0, 1e-9);
            }
        }
        bly_body_free(body);
    }
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(prisms_lie_level),
        cmocka_unit_test(prisms_lie_tilted),
        cmocka_unit_test(walked_around),
        cmocka_unit_test(edge_has_no_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
