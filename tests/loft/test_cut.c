/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies cut by planes: closed forms (ellipsoids by an affine map to the sphere, cylinders, cones),
 * published floating values, brute force, and laws. */
#include "loft/bodies.h"
#include "support/table.h"
#include <gsl/gsl_errno.h>

static const double tilts[] = {0.0, 0.05, 0.4, -0.9, 1.4, 1.5707, 1.5707963, 2.2, 3.1, -2.0};
enum { TILTS = sizeof tilts / sizeof tilts[0] };
static const double heels[] = {0.0, 0.3, -1.2, 2.5};
enum { HEELS = sizeof heels / sizeof heels[0] };

/* An ellipsoid is p = centre + D P with P on the unit sphere; `shear` tilts its centre line. The
 * plane up.p = h becomes N.P = t; below it the sphere's cap has the volume pi (2/3 + t - t^3/3) and
 * the moment -pi (1 - t^2)^2 / 4 along N. */
static void check_ellipsoid_cut(const BlyBody *body, const double axis[3], double shear, double z,
                                BlyPlane plane) {
    BlyVec3 centre = bly_vec(axis[0], 0.0, z), up = plane.up;
    /* columns of D: (a, 0, shear a), (0, b, 0), (0, 0, c); m = D^T up */
    double m[3] = {axis[0] * (up.x + shear * up.z), axis[1] * up.y, axis[2] * up.z};
    double q = sqrt(m[0] * m[0] + m[1] * m[1] + m[2] * m[2]);
    double t = (plane.height - bly_vec_dot(up, centre)) / q;
    double det = axis[0] * axis[1] * axis[2], n[3] = {m[0] / q, m[1] / q, m[2] / q};
    BlyCut cut = bly_body_cut(body, plane);
    if (t <= -1.0 || t >= 1.0) {
        assert_close(cut.volume, t < 0.0 ? 0.0 : 4.0 / 3.0 * PI * det, 1e-12 * det, 1e-9);
        assert_close(cut.area, 0.0, 0.0, 0.0);
        return;
    }
    double volume = PI * (2.0 / 3.0 + t - t * t * t / 3.0), r2 = (1.0 - t) * (1.0 + t);
    double down = -0.25 * PI * r2 * r2 / volume;
    BlyVec3 along_n =
        bly_vec(axis[0] * n[0], axis[1] * n[1], axis[2] * n[2] + shear * axis[0] * n[0]);
    assert_close(cut.volume, volume * det, 1e-10 * det, 1e-8);
    assert_vec_close(cut.centroid, bly_vec_add(centre, bly_vec_scale(along_n, down)), 1e-9);
    double area = PI * r2 * det / q;
    assert_close(cut.area, area, 0.0, 1e-8);
    assert_vec_close(cut.area_centroid, bly_vec_add(centre, bly_vec_scale(along_n, t)), 1e-9);
    /* second moments: r2/4 (I - N N^T) of the disc, mapped by D */
    BlyVec3 e1 = bly_vec_sub(bly_vec(1.0, 0.0, 0.0), bly_vec_scale(up, up.x));
    e1 = hypot(up.y, up.z) < 1e-6 ? bly_vec(0.0, 0.0, 1.0)
                                  : bly_vec_scale(e1, 1.0 / bly_vec_norm(e1));
    BlyVec3 e2 = bly_vec_cross(up, e1);
    double f1[3] = {axis[0] * (e1.x + shear * e1.z), axis[1] * e1.y, axis[2] * e1.z};
    double f2[3] = {axis[0] * (e2.x + shear * e2.z), axis[1] * e2.y, axis[2] * e2.z};
    double f1n = 0.0, f2n = 0.0, f11 = 0.0, f22 = 0.0, f12 = 0.0;
    for (int i = 0; i < 3; i++) {
        f1n += f1[i] * n[i];
        f2n += f2[i] * n[i];
        f11 += f1[i] * f1[i];
        f22 += f2[i] * f2[i];
        f12 += f1[i] * f2[i];
    }
    double big = 0.25 * r2 * area * fmax(f11, f22);
    assert_close(cut.along, 0.25 * r2 * area * (f11 - f1n * f1n), 1e-8 * big, 1e-8);
    assert_close(cut.across, 0.25 * r2 * area * (f22 - f2n * f2n), 1e-8 * big, 1e-8);
    assert_close(cut.mixed, 0.25 * r2 * area * (f12 - f1n * f2n), 1e-8 * big, 1e-8);
    /* girth of the ellipse with these semi-axes (Ramanujan's second formula) */
    double s1 = 4.0 * cut.along / area, s2 = 4.0 * cut.across / area, s12 = 4.0 * cut.mixed / area;
    double mean = 0.5 * (s1 + s2), half = hypot(0.5 * (s1 - s2), s12);
    double p = sqrt(mean + half), r = sqrt(mean - half), h = pow((p - r) / (p + r), 2.0);
    double girth = PI * (p + r) * (1.0 + 3.0 * h / (10.0 + sqrt(4.0 - 3.0 * h)));
    assert_close(cut.perimeter, girth, 0.0, 1e-2);
}

static void sweep_ellipsoid(const BlyBody *body, const double axis[3], double shear, double z) {
    static const double shares[] = {-1.1, -0.999, -0.9, -0.4, 0.0, 0.3, 0.8, 0.9999, 1.2};
    for (size_t i = 0; i < TILTS; i++) {
        for (size_t j = 0; j < HEELS; j++) {
            BlyPlane plane = make_plane(tilts[i], heels[j], bly_vec(axis[0], 0.0, z));
            BlyVec3 up = plane.up;
            double q = sqrt(pow(axis[0] * (up.x + shear * up.z), 2.0) + pow(axis[1] * up.y, 2.0) +
                            pow(axis[2] * up.z, 2.0));
            double middle = plane.height;
            for (size_t k = 0; k < sizeof shares / sizeof shares[0]; k++) {
                plane.height = middle + shares[k] * q;
                check_ellipsoid_cut(body, axis, shear, z, plane);
            }
        }
    }
}

static void sphere_caps(void **state) {
    (void)state;
    const double axis[3] = {0.01, 0.01, 0.01};
    BlyBody *body = make_ellipsoid(axis[0], axis[1], axis[2], 0.0);
    sweep_ellipsoid(body, axis, 0.0, 0.0);
    bly_body_free(body);
}

static void ellipsoids_tilted_and_heeled(void **state) {
    (void)state;
    const double axis[3] = {0.045, 0.007, 0.011};
    BlyBody *body = make_ellipsoid(axis[0], axis[1], axis[2], 0.003);
    sweep_ellipsoid(body, axis, 0.0, 0.003);
    bly_body_free(body);
}

/* Centre line on a slope: still an ellipsoid, sheared. */
static void sheared_ellipsoid(void **state) {
    (void)state;
    const double axis[3] = {0.04, 0.009, 0.006};
    double shear = 0.2;
    const BlyStation stations[] = {{0.0, 0.0, 0.0, -shear * axis[0], 2.0},
                                   {axis[0], 2.0 * axis[1], 2.0 * axis[2], 0.0, 2.0},
                                   {2.0 * axis[0], 0.0, 0.0, shear * axis[0], 2.0}};
    BlyBody *body = make_body(stations, 3);
    sweep_ellipsoid(body, axis, shear, 0.0);
    bly_body_free(body);
}

/* Source: tests/loft/hydrostatics.csv. Lengths there are in R (or b); here R = 0.05 m. */
static double row_value(const Table *table, const char *name, double s, const char *quantity) {
    for (size_t i = 0; i < table_rows(table); i++) {
        const char *share = strstr(table_text(table, i, "inputs"), "s=");
        if (strcmp(table_text(table, i, "case"), name) == 0 && share != NULL &&
            fabs(atof(share + 2) - s) < 1e-12 &&
            strcmp(table_text(table, i, "quantity"), quantity) == 0)
            return table_number(table, i, "value");
    }
    fail_msg("no row for %s, s = %g, %s", name, s, quantity);
    return NAN;
}

static void published_floating_values(void **state) {
    (void)state;
    Table *table = table_read("tests/loft/hydrostatics.csv");
    const double share[] = {0.1, 0.25, 0.5, 0.75, 0.9};
    double r = 0.05, v = 4.0 / 3.0 * PI;
    BlyBody *ball = make_ellipsoid(r, r, r, 0.0), *log = make_cylinder(8.0 * r, r);
    for (size_t i = 0; i < 5; i++) {
        double s = share[i];
        double h = row_value(table, "sphere floating", s, "draft h");
        BlyCut cut = bly_body_cut(ball, (BlyPlane){bly_vec_up(0.0, 0.0), (h - 1.0) * r});
        assert_close(cut.volume / (r * r * r), s * v, 4e-8, 0.0);
        assert_close(cut.centroid.z / r + 1.0,
                     row_value(table, "sphere floating", s, "height of centre of buoyancy KB"),
                     1e-8, 0.0);
        const char *name = "circular cylinder floating axis horizontal";
        h = row_value(table, name, s, "draft h");
        cut = bly_body_cut(log, (BlyPlane){bly_vec_up(0.0, 0.0), (h - 1.0) * r});
        assert_close(cut.volume / (r * r * r), s * PI * 8.0, 1e-7, 0.0);
        assert_close(cut.centroid.z / r + 1.0,
                     row_value(table, name, s, "height of centre of buoyancy KB"), 2e-8, 0.0);
        if (s == 0.25 || s == 0.5 || s == 0.9) {
            double bm_l = row_value(table, name, s, "longitudinal BM_L");
            assert_close(cut.along / cut.volume / r, bm_l, 1e-6, 0.0);
            assert_close(cut.across / cut.volume / r, row_value(table, name, s, "transverse BM_T"),
                         1e-6, 0.0);
        }
    }
    bly_body_free(ball);
    bly_body_free(log);
    BlyBody *egg = make_ellipsoid(4.0 * r, r, r, 0.0);
    const char *name = "prolate spheroid floating axis horizontal";
    for (size_t i = 0; i < 5; i++) {
        double s = share[i];
        if (s == 0.1 || s == 0.75)
            continue;
        double h = row_value(table, "sphere floating", s, "draft h");
        BlyCut cut = bly_body_cut(egg, (BlyPlane){bly_vec_up(0.0, 0.0), (h - 1.0) * r});
        assert_close(cut.volume / pow(r, 3.0), row_value(table, name, s, "displaced volume"), 1e-6,
                     0.0);
        assert_close(cut.centroid.z / r + 1.0, row_value(table, name, s, "KB"), 1e-6, 0.0);
        assert_close(cut.across / cut.volume / r, row_value(table, name, s, "BM_T"), 1e-6, 0.0);
        assert_close(cut.along / cut.volume / r, row_value(table, name, s, "BM_L"), 1e-6, 0.0);
    }
    bly_body_free(egg);
    table_free(table);
}

/* A standing cylinder, from exactly upright to well tilted; the plane misses both faces. With
 * x < x0 - z tan a: volume A x0, moments -tan a I and (A x0^2 + I tan^2 a)/2. */
static void standing_cylinder(void **state) {
    (void)state;
    double l = 0.08, r = 0.006, x0 = 0.03, area = PI * r * r, inertia = area * r * r / 4.0;
    BlyBody *body = make_cylinder(l, r);
    const double lean[] = {0.0, 1e-9, 1e-7, 0.99e-6, 1.01e-6, 1e-5, 1e-3, 0.1, 0.8};
    for (size_t i = 0; i < sizeof lean / sizeof lean[0]; i++) {
        for (int turned = 0; turned < 2; turned++) {
            double way = turned ? -1.0 : 1.0, slope = tan(lean[i]), side = 0.6, rise = 0.8;
            BlyPlane plane = {bly_vec(way * cos(lean[i]), side * sin(lean[i]), rise * sin(lean[i])),
                              way * cos(lean[i]) * x0};
            BlyCut cut = bly_body_cut(body, plane);
            double below = turned ? l - x0 : x0;
            assert_close(cut.volume, area * below, 0.0, 1e-9);
            assert_close(cut.centroid.y, -side * slope * inertia / (area * below), 1e-12, 1e-6);
            assert_close(cut.centroid.z, -rise * slope * inertia / (area * below), 1e-12, 1e-6);
            double from_end =
                0.5 * (area * below * below + inertia * slope * slope) / (area * below);
            assert_close(turned ? l - cut.centroid.x : cut.centroid.x, from_end, 0.0, 1e-9);
            assert_close(cut.area, area / cos(lean[i]), 0.0, 1e-8);
            double stretched = area / cos(lean[i]) * r * r / 4.0;
            bool square = lean[i] < 1e-6;
            double stretch = 1.0 / pow(cos(lean[i]), 2.0);
            assert_close(cut.along, square ? inertia : stretched * stretch, 0.0, 1e-7);
            assert_close(cut.across, stretched, 0.0, 1e-7);
            assert_close(cut.perimeter, 2.0 * PI * r * 0.5 * (1.0 + sqrt(stretch)), 0.0, 1.5e-2);
            assert_vec_close(cut.area_centroid, bly_vec(x0, 0.0, 0.0), 1e-9);
        }
    }
    bly_body_free(body);
}

static void standing_cone(void **state) {
    (void)state;
    double l = 0.05, r = 0.01, d = 0.02;
    BlyBody *cone = make_frustum(l, 0.0, r);
    BlyCut cut = bly_body_cut(cone, (BlyPlane){bly_vec(1.0, 0.0, 0.0), d});
    double part = r * d / l;
    assert_close(cut.volume, PI * part * part * d / 3.0, 0.0, 1e-11);
    assert_close(cut.centroid.x, 0.75 * d, 0.0, 1e-11);
    assert_close(cut.area, PI * part * part, 0.0, 1e-11);
    assert_close(cut.along, PI * pow(part, 4.0) / 4.0, 0.0, 1e-11);
    cut = bly_body_cut(cone, (BlyPlane){bly_vec(-1.0, 0.0, 0.0), -d});
    assert_close(cut.volume, PI * (r * r * l - part * part * d) / 3.0, 0.0, 1e-11);
    /* tilted: an elliptic cone; its volume is a third of base times height over the plane */
    double a = 0.4, half = atan(r / l), s = d * cos(a);
    BlyPlane plane = {bly_vec(cos(a), 0.0, sin(a)), s};
    double big = 0.5 * s * (tan(half + a) + tan(half - a));
    double middle = 0.5 * s * (tan(half - a) - tan(half + a)); /* of the ellipse, along the cut */
    double x_mid = s * cos(a) - middle * sin(a), small2 = pow(r / l * x_mid, 2.0);
    double z_mid = s * sin(a) + middle * cos(a);
    double base = PI * big * sqrt(small2 - z_mid * z_mid);
    cut = bly_body_cut(cone, plane);
    assert_close(cut.area, base, 0.0, 1e-8);
    assert_close(cut.volume, base * s / 3.0, 0.0, 1e-8);
    assert_vec_close(cut.centroid, bly_vec(0.75 * x_mid, 0.0, 0.75 * z_mid), 1e-9);
    bly_body_free(cone);
}

static void nothing_and_everything(void **state) {
    (void)state;
    BlyBody *body = make_minnow(2.0, 1.0);
    const BlySolid *whole = bly_body_solid(body);
    for (size_t i = 0; i < TILTS; i++) {
        BlyPlane plane = make_plane(tilts[i], 0.2, whole->centroid);
        plane.height += 0.2;
        BlyCut cut = bly_body_cut(body, plane);
        assert_close(cut.volume, whole->volume, 0.0, 1e-13);
        assert_vec_close(cut.centroid, whole->centroid, 1e-14);
        assert_close(cut.area, 0.0, 0.0, 0.0);
        plane.height -= 0.4;
        cut = bly_body_cut(body, plane);
        assert_close(cut.volume, 0.0, 0.0, 0.0);
        assert_vec_close(cut.centroid, whole->centroid, 0.0);
        assert_close(cut.perimeter, 0.0, 0.0, 0.0);
    }
    bly_body_free(body);
}

static void check_complement(const BlyBody *body, BlyPlane plane) {
    const BlySolid *whole = bly_body_solid(body);
    BlyPlane other = {bly_vec_scale(plane.up, -1.0), -plane.height};
    BlyCut below = bly_body_cut(body, plane), above = bly_body_cut(body, other);
    assert_close(below.volume + above.volume, whole->volume, 0.0, 2e-8);
    BlyVec3 moment = bly_vec_add(bly_vec_scale(below.centroid, below.volume),
                                 bly_vec_scale(above.centroid, above.volume));
    assert_vec_close(bly_vec_scale(moment, 1.0 / whole->volume), whole->centroid, 2e-9);
    assert_close(below.area, above.area, 1e-12, 1e-9);
    assert_close(below.along, above.along, 1e-20, 1e-9);
    assert_close(below.across, above.across, 1e-20, 1e-9);
}

static void check_mirror(const BlyBody *body, const BlyBody *flipped, double tilt, double heel,
                         double height) {
    BlyCut one = bly_body_cut(body, (BlyPlane){bly_vec_up(tilt, heel), height});
    BlyCut port = bly_body_cut(body, (BlyPlane){bly_vec_up(tilt, -heel), height});
    assert_close(one.volume, port.volume, 1e-20, 1e-12);
    assert_close(one.centroid.y, -port.centroid.y, 1e-13, 0.0);
    assert_close(one.mixed, -port.mixed, 1e-22, 1e-9);
    BlyVec3 up = bly_vec_up(tilt, heel);
    BlyCut back = bly_body_cut(flipped, (BlyPlane){bly_vec(up.x, up.y, -up.z), height});
    assert_close(one.volume, back.volume, 1e-20, 1e-12);
    assert_close(one.centroid.z, -back.centroid.z, 1e-13, 0.0);
    assert_close(one.across, back.across, 1e-22, 1e-9);
}

static void below_and_above_make_the_whole(void **state) {
    (void)state;
    const double exponent[] = {2.0, 1.4, 2.6, 9.0};
    for (size_t n = 0; n < 4; n++) {
        BlyBody *body = make_minnow(exponent[n], 1.0), *flipped = make_minnow(exponent[n], -1.0);
        for (size_t i = 0; i < TILTS; i++) {
            for (size_t j = 0; j < HEELS; j++) {
                BlyPlane plane = make_plane(tilts[i], heels[j], bly_vec(0.04, 0.001, 0.002));
                check_complement(body, plane);
                check_mirror(body, flipped, tilts[i], heels[j], plane.height);
            }
        }
        bly_body_free(body);
        bly_body_free(flipped);
    }
}

/* Equilibrium is found by roots: the waterplane must be the volume's derivative. */
static void area_is_the_derivative(void **state) {
    (void)state;
    const double exponent[] = {2.0, 1.6, 3.0};
    for (size_t n = 0; n < 3; n++) {
        BlyBody *body = make_minnow(exponent[n], 1.0);
        for (size_t i = 0; i < TILTS; i++) {
            for (int k = -4; k <= 4; k++) {
                BlyPlane plane = make_plane(tilts[i], 0.1 * k, bly_vec(0.04, 0.0, 0.0013 * k));
                double step = 2e-7, area = bly_body_cut(body, plane).area;
                plane.height += step;
                double more = bly_body_cut(body, plane).volume;
                plane.height -= 2.0 * step;
                double less = bly_body_cut(body, plane).volume;
                assert_close((more - less) / (2.0 * step), area, 1e-6 * 1e-4, 2e-6);
            }
        }
        bly_body_free(body);
    }
}

/* Shallow dips from a nanometre to a tenth of a millimetre, at places between the stations. */
static void touching_is_smooth(void **state) {
    (void)state;
    const double axis[3] = {0.045, 0.007, 0.011};
    BlyBody *body = make_ellipsoid(axis[0], axis[1], axis[2], 0.0);
    for (double tilt = -0.8; tilt < 0.8; tilt += 0.0371) {
        for (double dip = 1e-7; dip < 2e-4; dip *= 3.7) {
            BlyVec3 up = bly_vec_up(tilt, 0.0);
            double q = hypot(axis[0] * up.x, axis[2] * up.z), part = dip / q;
            BlyCut cut = bly_body_cut(body, (BlyPlane){up, axis[0] * up.x - q + dip});
            double volume = PI * part * part * (1.0 - part / 3.0);
            assert_close(cut.volume / (axis[0] * axis[1] * axis[2]), volume, 1e-12, 1e-6);
            cut =
                bly_body_cut(body, (BlyPlane){bly_vec_scale(up, -1.0), -axis[0] * up.x - q + dip});
            assert_close(cut.volume / (axis[0] * axis[1] * axis[2]), volume, 1e-12, 1e-6);
        }
    }
    bly_body_free(body);
}

/* Brute force: columns over a fine grid of (x, z), cut at the plane along y. */
static double column_volume(const BlyBody *body, BlyPlane plane, double *moment_z) {
    enum { NX = 400, NZ = 300 };
    BlyBox box = bly_body_box(body);
    double dx = (box.high.x - box.low.x) / NX, volume = 0.0;
    *moment_z = 0.0;
    for (int i = 0; i < NX; i++) {
        BlySection at;
        double x = box.low.x + dx * (i + 0.5);
        assert_true(bly_body_section(body, x, &at));
        double dz = at.height / NZ;
        for (int k = 0; k < NZ; k++) {
            double z = at.belly + dz * (k + 0.5), half = bly_body_half_width(body, x, z);
            double rest = plane.height - plane.up.x * x - plane.up.z * z, from = -half, to = half;
            if (plane.up.y > 0.0)
                to = fmax(-half, fmin(half, rest / plane.up.y));
            else if (plane.up.y < 0.0)
                from = fmin(half, fmax(-half, rest / plane.up.y));
            else if (rest < 0.0)
                to = from;
            volume += (to - from) * dx * dz;
            *moment_z += (to - from) * dx * dz * z;
        }
    }
    return volume;
}

static void brute_force_agrees(void **state) {
    (void)state;
    const double exponent[] = {1.3, 2.0, 2.7, 7.0};
    for (size_t n = 0; n < 4; n++) {
        BlyBody *body = make_minnow(exponent[n], 1.0);
        for (int i = 0; i < 5; i++) {
            BlyPlane plane =
                make_plane(0.35 * i - 0.5, 0.1 + 0.6 * i, bly_vec(0.035, 0.0, 0.001 * i));
            double moment_z, volume = column_volume(body, plane, &moment_z);
            BlyCut cut = bly_body_cut(body, plane);
            assert_close(cut.volume, volume, 0.0, 3e-4);
            assert_close(cut.centroid.z, moment_z / volume, 2e-6, 0.0);
        }
        bly_body_free(body);
    }
}

/* Exponent running from ellipse to box: no common table serves; brute force again. */
static void running_exponent(void **state) {
    (void)state;
    const BlyStation stations[] = {{0.0, 0.0, 0.0, 0.0, 2.0},
                                   {0.02, 0.014, 0.018, 0.0, 2.0},
                                   {0.05, 0.012, 0.016, 0.001, 4.0},
                                   {0.08, 0.004, 0.006, 0.002, 5.0}};
    BlyBody *body = make_body(stations, 4);
    BlyPlane plane = make_plane(0.2, 0.3, bly_vec(0.04, 0.0, 0.002));
    double moment_z, volume = column_volume(body, plane, &moment_z);
    BlyCut cut = bly_body_cut(body, plane);
    assert_close(cut.volume, volume, 0.0, 3e-4);
    check_complement(body, plane);
    plane.height = 1.0;
    volume = column_volume(body, plane, &moment_z);
    assert_close(bly_body_solid(body)->volume, volume, 0.0, 3e-4);
    bly_body_free(body);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sphere_caps),
        cmocka_unit_test(ellipsoids_tilted_and_heeled),
        cmocka_unit_test(sheared_ellipsoid),
        cmocka_unit_test(published_floating_values),
        cmocka_unit_test(standing_cylinder),
        cmocka_unit_test(standing_cone),
        cmocka_unit_test(nothing_and_everything),
        cmocka_unit_test(below_and_above_make_the_whole),
        cmocka_unit_test(area_is_the_derivative),
        cmocka_unit_test(touching_is_smooth),
        cmocka_unit_test(brute_force_agrees),
        cmocka_unit_test(running_exponent),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
