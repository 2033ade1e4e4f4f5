/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a body does to parts on it and in it: strips bent around the section, plates in a slot. */
#include "loft/bodies.h"
#include <gsl/gsl_errno.h>

static BlySolid strip_of(const BlyBody *body, BlySide side, double from, double to, double width,
                         double thickness, double *length) {
    BlyError err = {0};
    BlySolid out;
    if (!bly_body_strip(body, side, from, to, width, thickness, &out, length, &err))
        fail_msg("%s: %s", err.where, err.text);
    return out;
}

/* Bent on a cylinder of radius r the strip is a sector of a ring: with the half angle
 * q = width/(2 r + t) its centroid lies 2/3 sin q/q (ro^3 - ri^3)/(ro^2 - ri^2) from the axis. */
static double ring_centroid(double r, double width, double t) {
    double q = width / (2.0 * r + t), out = r + t;
    return 2.0 / 3.0 * sin(q) / q * (out * out * out - r * r * r) / (out * out - r * r);
}

static void strip_on_a_cylinder(void **state) {
    (void)state;
    double r = 0.008, t = 0.0005, width = 0.010, length;
    BlyBody *body = make_cylinder(0.08, r);
    for (int back = 0; back < 2; back++) {
        BlySolid strip = strip_of(body, back ? BLY_BACK : BLY_BELLY, 0.02, 0.05, width, t, &length);
        assert_close(length, 0.03, 0.0, 1e-12);
        assert_close(strip.volume, 0.03 * width * t, 0.0, 1e-12);
        double z = ring_centroid(r, width, t);
        assert_vec_close(strip.centroid, bly_vec(0.035, 0.0, back ? z : -z), 1e-9);
        assert_true(isnan(strip.xx));
    }
    bly_body_free(body);
}

/* All the way around the cylinder the centroid is the axis. */
static void strip_all_around(void **state) {
    (void)state;
    double r = 0.005, t = 0.0004, girth = PI * (2.0 * r + t);
    BlyBody *body = make_cylinder(0.05, r);
    BlySolid strip = strip_of(body, BLY_BELLY, 0.01, 0.03, girth * (1.0 - 1e-9), t, NULL);
    assert_close(strip.centroid.z, 0.0, 1e-8, 0.0);
    BlyError err = {0};
    assert_false(bly_body_strip(body, BLY_BELLY, 0.01, 0.03, girth * 1.001, t, &strip, NULL, &err));
    assert_string_equal(err.where, "/width");
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_body_free(body);
}

/* A round bar lying on a slope: its sections at constant x are ellipses r/cos a high, its centre
 * runs as x tan a. The strip is the one on the level cylinder, turned by a. */
static void strip_on_a_sloping_bar(void **state) {
    (void)state;
    double r = 0.006, t = 0.0005, width = 0.009, length;
    for (double a = -0.5; a < 0.6; a += 0.25) {
        const BlyStation stations[] = {{0.0, 2.0 * r, 2.0 * r / cos(a), 0.0, 2.0},
                                       {0.04, 2.0 * r, 2.0 * r / cos(a), 0.04 * tan(a), 2.0}};
        BlyBody *body = make_body(stations, 2);
        BlySolid strip = strip_of(body, BLY_BELLY, 0.01, 0.03, width, t, &length);
        assert_close(length, 0.02 / cos(a), 0.0, 1e-9);
        assert_close(strip.volume, length * width * t, 0.0, 1e-12);
        /* the belly's middle at x = 0.02 lies under the axis by r across it */
        double foot = 0.02 - r * sin(a), depth = ring_centroid(r, width, t);
        BlyVec3 axis = bly_vec(foot, 0.0, foot * tan(a));
        BlyVec3 want = bly_vec_add(axis, bly_vec(sin(a) * depth, 0.0, -cos(a) * depth));
        assert_vec_close(strip.centroid, want, 1e-8);
        bly_body_free(body);
    }
}

/* On a frustum the line is straight: the length is that of the slant. */
static void strip_length_follows_the_line(void **state) {
    (void)state;
    double length;
    BlyBody *body = make_frustum(0.05, 0.004, 0.012);
    double slope = 0.008 / 0.05;
    (void)strip_of(body, BLY_BELLY, 0.01, 0.04, 0.006, 0.0005, &length);
    assert_close(length, 0.03 * hypot(1.0, slope), 0.0, 1e-9);
    bly_body_free(body);
    /* around a sphere from 30 to 150 deg, at half thickness */
    double r = 0.02, t = 0.001;
    body = make_ellipsoid(r, r, r, 0.0);
    (void)strip_of(body, BLY_BELLY, r * (1.0 - cos(PI / 6.0)), r * (1.0 + cos(PI / 6.0)), 0.004, t,
                   &length);
    assert_close(length, (r + 0.5 * t) * 2.0 * PI / 3.0, 0.0, 1e-6);
    bly_body_free(body);
}

/* The trap: laid flat at the lowest point a strip would sit too low by half a millimetre and
 * more.*/
static void flat_strip_would_sit_too_low(void **state) {
    (void)state;
    BlyBody *body = make_minnow(2.0, 1.0);
    BlySection at;
    assert_true(bly_body_section(body, 0.034, &at));
    double t = 0.0005;
    BlySolid strip = strip_of(body, BLY_BELLY, 0.033, 0.035, 0.010, t, NULL);
    double flat = at.belly - 0.5 * t;
    print_message("a 10 mm strip bent on a 14 x 19 mm section sits %.2f mm above flat\n",
                  1e3 * (strip.centroid.z - flat));
    assert_between(strip.centroid.z - flat, 0.5e-3, 2.5e-3);
    bly_body_free(body);
}

/* Brute force: a fine polygon of the section square to the line, walked to half the width. */
static double walked_rise(const BlyBody *body, double x, double width, double t) {
    BlySection at;
    assert_true(bly_body_section(body, x, &at));
    double c = at.height / 2.0 / hypot(1.0, at.belly_slope), b = at.width / 2.0, walked = 0.0;
    double area = 0.0, moment = 0.0, y0 = 0.0, e0 = 0.0, q0 = 0.0;
    for (int i = 1; i <= 400000; i++) {
        double k = PI * i / 400000.0, v = pow(fabs(cos(k)), 2.0 / at.exponent);
        double y = b * pow(sin(k), 2.0 / at.exponent), e = c * (1.0 - (k < PI / 2.0 ? v : -v));
        double q = atan2(e - e0, y - y0), ds = hypot(y - y0, e - e0);
        double turn = i == 1 ? 0.0 : q - q0;
        walked += ds + 0.5 * t * turn;
        if (walked > 0.5 * width)
            break;
        double ring = t * ds + 0.5 * t * t * turn;
        area += ring;
        moment += ring * e - cos(q) * (0.5 * t * t * ds + t * t * t / 3.0 * turn);
        y0 = y, e0 = e, q0 = q;
    }
    return moment / area;
}

static void strip_on_a_box_like_section(void **state) {
    (void)state;
    const double exponent[] = {1.7, 2.0, 3.0, 5.0};
    for (int i = 0; i < 4; i++) {
        const BlyStation stations[] = {{0.0, 0.014, 0.020, 0.0, exponent[i]},
                                       {0.05, 0.014, 0.020, 0.0, exponent[i]}};
        BlyBody *body = make_body(stations, 2);
        double t = 0.0006, width = 0.016;
        BlySolid strip = strip_of(body, BLY_BELLY, 0.01, 0.02, width, t, NULL);
        assert_close(strip.centroid.z, -0.010 + walked_rise(body, 0.015, width, t), 5e-6, 0.0);
        bly_body_free(body);
    }
}

static void strip_errors_are_named(void **state) {
    (void)state;
    BlyBody *body = make_minnow(2.0, 1.0);
    const struct {
        double from, to, width, thickness;
        const char *where;
    } bad[] = {{-0.001, 0.03, 0.008, 0.0005, "/x/0"},   {NAN, 0.03, 0.008, 0.0005, "/x/0"},
               {0.1, 0.2, 0.008, 0.0005, "/x/0"},       {0.03, 0.03, 0.008, 0.0005, "/x/1"},
               {0.03, 0.02, 0.008, 0.0005, "/x/1"},     {0.03, 0.091, 0.008, 0.0005, "/x/1"},
               {0.03, NAN, 0.008, 0.0005, "/x/1"},      {0.02, 0.03, 0.0, 0.0005, "/width"},
               {0.02, 0.03, NAN, 0.0005, "/width"},     {0.02, 0.03, 0.2, 0.0005, "/width"},
               {0.02, 0.03, 0.008, -1.0, "/thickness"}, {0.02, 0.03, 0.008, NAN, "/thickness"}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyError err = {0};
        BlySolid out;
        assert_false(bly_body_strip(body, BLY_BELLY, bad[i].from, bad[i].to, bad[i].width,
                                    bad[i].thickness, &out, NULL, &err));
        assert_string_equal(err.where, bad[i].where);
        assert_int_equal(err.code, BLY_E_RANGE);
    }
    bly_body_free(body);
}

/* --- plates -----------------------------------------------------------------------------------*/

static double constant(double s, const void *user) {
    (void)s;
    return *(const double *)user;
}

/* A plane at the distance p from a sphere's centre meets it in a disc of radius rho. A wide plate
 * in that plane holds the whole disc; a narrow one the disc between two chords. */
static void plate_through_a_sphere(void **state) {
    (void)state;
    double r = 0.01, a = 0.7, p = 0.003, rho = sqrt(r * r - p * p), wide = 0.02, w = 0.004;
    BlyBody *body = make_ellipsoid(r, r, r, 0.001);
    BlyVec3 along = bly_vec(-cos(a), 0.0, -sin(a)), across = bly_vec(-sin(a), 0.0, cos(a));
    BlyVec3 foot = bly_vec_add(bly_vec(r, 0.0, 0.001), bly_vec_scale(across, p));
    BlyPlateSplit split = bly_body_split_plate(body, foot, along, -0.03, 0.03, constant, &wide);
    assert_close(split.inner.area, PI * rho * rho, 0.0, 1e-6);
    assert_vec_close(split.inner.centroid, foot, 1e-8);
    assert_close(split.inner.area + split.outer.area, 2.0 * wide * 0.06, 0.0, 1e-6);
    split = bly_body_split_plate(body, foot, along, -0.03, 0.03, constant, &w);
    double band = 2.0 * (w * sqrt(rho * rho - w * w) + rho * rho * asin(w / rho));
    assert_close(split.inner.area, band, 0.0, 1e-6);
    /* from the middle outwards: half the disc, its centroid at 4 rho/(3 pi) */
    split = bly_body_split_plate(body, foot, along, 0.0, 0.03, constant, &wide);
    assert_close(split.inner.area, 0.5 * PI * rho * rho, 0.0, 1e-6);
    BlyVec3 centroid = bly_vec_add(foot, bly_vec_scale(along, 4.0 * rho / (3.0 * PI)));
    assert_vec_close(split.inner.centroid, centroid, 1e-8);
    double outer = 2.0 * wide * 0.03, inner = split.inner.area;
    double s = (outer * 0.015 - inner * 4.0 * rho / (3.0 * PI)) / (outer - inner);
    assert_vec_close(split.outer.centroid, bly_vec_add(foot, bly_vec_scale(along, s)), 1e-8);
    bly_body_free(body);
}

/* A lip with a round end in a cylinder's belly, leaning forward: the section along the plate is
 * an ellipse r by r/sin a; the plate's round end is a half disc. */
typedef struct RoundLip {
    double half, straight;
} RoundLip;

static double round_lip(double s, const void *user) {
    const RoundLip *lip = user;
    double over = s - lip->straight;
    if (over <= 0.0)
        return lip->half;
    return sqrt(fmax(0.0, lip->half * lip->half - over * over));
}

static void lip_in_a_cylinder(void **state) {
    (void)state;
    double r = 0.007, a = 0.7, depth = 0.009;
    RoundLip lip = {0.010, 0.020};
    BlyBody *body = make_cylinder(0.08, r);
    BlyVec3 mouth = bly_vec(0.02, 0.0, -r), along = bly_vec(-cos(a), 0.0, -sin(a));
    double end = lip.straight + lip.half;
    BlyPlateSplit split = bly_body_split_plate(body, mouth, along, -depth, end, round_lip, &lip);
    /* inside: width 2 sqrt(r^2 - z^2), z = -r - s sin a, over -depth < s < 0; the plate is wider */
    double z = -r + depth * sin(a);
    double segment = r * r * acos(-z / r) + z * sqrt(r * r - z * z);
    assert_close(split.inner.area, segment / sin(a), 0.0, 1e-6);
    double whole = 2.0 * lip.half * (lip.straight + depth) + 0.5 * PI * lip.half * lip.half;
    assert_close(split.inner.area + split.outer.area, whole, 0.0, 1e-5);
    double z_mean = -2.0 / 3.0 * pow(r * r - z * z, 1.5) / segment;
    assert_close(split.inner.centroid.z, z_mean, 1e-7, 0.0);
    assert_close(split.inner.centroid.x, 0.02 + (z_mean + r) / tan(a), 1e-7, 0.0);
    bly_body_free(body);
}

static void plate_off_the_body(void **state) {
    (void)state;
    double w = 0.005;
    BlyBody *body = make_cylinder(0.05, 0.01);
    BlyVec3 mouth = bly_vec(0.02, 0.0, -0.02);
    BlyPlateSplit split =
        bly_body_split_plate(body, mouth, bly_vec(-1.0, 0.0, 0.0), 0.0, 0.03, constant, &w);
    assert_close(split.inner.area, 0.0, 0.0, 0.0);
    assert_close(split.outer.area, 2.0 * w * 0.03, 0.0, 1e-12);
    assert_vec_close(split.outer.centroid, bly_vec(0.005, 0.0, -0.02), 1e-15);
    assert_vec_close(split.inner.centroid, mouth, 0.0);
    bly_body_free(body);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(strip_on_a_cylinder),
        cmocka_unit_test(strip_all_around),
        cmocka_unit_test(strip_on_a_sloping_bar),
        cmocka_unit_test(strip_length_follows_the_line),
        cmocka_unit_test(flat_strip_would_sit_too_low),
        cmocka_unit_test(strip_on_a_box_like_section),
        cmocka_unit_test(strip_errors_are_named),
        cmocka_unit_test(plate_through_a_sphere),
        cmocka_unit_test(lip_in_a_cylinder),
        cmocka_unit_test(plate_off_the_body),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
