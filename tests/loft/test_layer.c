/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parallel layers and coated bodies: Steiner polynomials in closed form, Minkowski's formula for
 * convex bodies, a polyhedron as brute force, and what is seen along a direction. */
#include "loft/bodies.h"
#include <gsl/gsl_errno.h>

/* M (integral of mean curvature) and the two curvature moments, read off a body's layer: its volume
 * is A d + M d^2 + 4/3 pi d^3 and its moment [p] d + [H p] d^2 + [K p] d^3/3. */
typedef struct Steiner {
    double mean;
    BlyVec3 mean_moment, total_moment;
} Steiner;

static Steiner read_steiner(const BlyBody *body) {
    double d = 0.01;
    BlyVec3 m[2];
    double v[2];
    for (int i = 0; i < 2; i++) {
        double to = d * (i + 1);
        BlySolid layer = bly_body_layer(body, 0.0, to);
        BlyArea skin = *bly_body_surface(body);
        v[i] = (layer.volume - skin.area * to) / (to * to);
        m[i] = bly_vec_sub(bly_vec_scale(layer.centroid, layer.volume),
                           bly_vec_scale(skin.centroid, skin.area * to));
        m[i] = bly_vec_scale(m[i], 1.0 / (to * to));
    }
    BlyVec3 cubic = bly_vec_scale(bly_vec_sub(m[1], m[0]), 1.0 / d);
    assert_close(v[1] - v[0], 4.0 / 3.0 * PI * d, 0.0, 1e-8);
    return (Steiner){v[0] - 4.0 / 3.0 * PI * d, bly_vec_sub(m[0], bly_vec_scale(cubic, d)),
                     bly_vec_scale(cubic, 3.0)};
}

static void layer_of_a_sphere(void **state) {
    (void)state;
    double r = 0.01;
    BlyBody *body = make_ellipsoid(r, r, r, 0.002);
    for (double d = 1e-5; d < 2e-3; d *= 3.0) {
        BlySolid layer = bly_body_layer(body, 0.5 * d, d);
        double inner = r + 0.5 * d, outer = r + d;
        assert_close(layer.volume, 4.0 / 3.0 * PI * (pow(outer, 3.0) - pow(inner, 3.0)), 0.0, 1e-9);
        assert_vec_close(layer.centroid, bly_vec(r, 0.0, 0.002), 1e-12);
        assert_true(isnan(layer.xx) && isnan(layer.xz));
    }
    bly_body_free(body);
}

/* The trap: area times thickness undercounts a coat of 0.3 mm on a lure by some 2 %. */
static void second_order_counts(void **state) {
    (void)state;
    BlyBody *body = make_minnow(2.0, 1.0);
    double d = 3e-4, flat = bly_body_surface(body)->area * d;
    double real = bly_body_layer(body, 0.0, d).volume;
    print_message("0.3 mm on the minnow: area x thickness undercounts by %.2f %%\n",
                  100.0 * (1.0 - flat / real));
    assert_between(1.0 - flat / real, 0.015, 0.06);
    bly_body_free(body);
}

/* Source: Steiner's formula for the circular cylinder: M = pi L + pi^2 R (textbook; from memory,
 * and from the edges' half turning angle, 2 x 1/2 x pi/2 x 2 pi R). */
static void layer_of_a_cylinder(void **state) {
    (void)state;
    double l = 0.06, r = 0.005;
    BlyBody *body = make_cylinder(l, r);
    Steiner s = read_steiner(body);
    assert_close(s.mean, PI * l + PI * PI * r, 0.0, 1e-8);
    assert_vec_close(s.mean_moment, bly_vec(0.5 * l * s.mean, 0.0, 0.0), 1e-10);
    assert_vec_close(s.total_moment, bly_vec(4.0 * PI * 0.5 * l, 0.0, 0.0), 1e-7);
    bly_body_free(body);
}

/* Cone with half-angle a, point at 0, base at h: the mantle gives pi h, the edge turns by 90 deg +
 * a; the point holds the solid angle 2 pi (1 - sin a) of the normals, the edge the rest. */
static void layer_of_a_cone(void **state) {
    (void)state;
    double h = 0.05, r = 0.012, a = atan(r / h), edge = PI * r * (0.5 * PI + a);
    BlyBody *body = make_frustum(h, 0.0, r);
    Steiner s = read_steiner(body);
    assert_close(s.mean, PI * h + edge, 0.0, 1e-8);
    assert_close(s.mean_moment.x, 0.5 * PI * h * h + edge * h, 0.0, 1e-8);
    assert_close(s.total_moment.x, 2.0 * PI * (1.0 + sin(a)) * h, 0.0, 1e-6);
    assert_close(s.mean_moment.z, 0.0, 1e-12, 0.0);
    bly_body_free(body);
}

/* For a convex body M is the integral over all directions of its support function (Minkowski), and
 * the moment of K three times that of support times direction (Steiner point); see R. Schneider,
 * Convex Bodies: The Brunn-Minkowski Theory, chapters 1 and 4 (from memory). Here evaluated on a
 * grid of directions for a sheared ellipsoid p = c + D P: support = up.c + |D^T up|. */
static void layer_of_a_sheared_ellipsoid(void **state) {
    (void)state;
    double a = 0.04, b = 0.009, c = 0.006, shear = 0.2, mean = 0.0;
    enum { N = 400 };
    for (int i = 0; i < N; i++) {
        double x = -1.0 + 2.0 * (i + 0.5) / N, ring = sqrt(1.0 - x * x);
        for (int j = 0; j < N; j++) {
            double f = 2.0 * PI * (j + 0.5) / N, y = ring * cos(f), z = ring * sin(f);
            mean += sqrt(pow(a * (x + shear * z), 2.0) + pow(b * y, 2.0) + pow(c * z, 2.0)) * 4.0 *
                    PI / (N * (double)N);
        }
    }
    const BlyStation stations[] = {{0.0, 0.0, 0.0, -shear * a, 2.0},
                                   {a, 2.0 * b, 2.0 * c, 0.0, 2.0},
                                   {2.0 * a, 0.0, 0.0, shear * a, 2.0}};
    BlyBody *body = make_body(stations, 3);
    Steiner s = read_steiner(body);
    assert_close(s.mean, mean, 0.0, 1e-5); /* the grid's own error */
    assert_vec_close(s.mean_moment, bly_vec(a * s.mean, 0.0, 0.0), 1e-9);
    assert_vec_close(s.total_moment, bly_vec(4.0 * PI * a, 0.0, 0.0), 1e-5);
    bly_body_free(body);
}

/* Brute force: a polyhedron with vertices on the body. Its edges carry half length times turning
 * angle, its corners 2 pi less their face angles (Steiner's formula for polyhedra). */
enum { ROWS = 480, COLS = 192 };

static BlyVec3 skin_point(const BlyBody *body, int i, int j) {
    BlyBox box = bly_body_box(body);
    BlySection at;
    double part = 0.5 * (1.0 - cos(PI * i / ROWS));
    double x = i == 0      ? box.low.x
               : i == ROWS ? box.high.x
                           : box.low.x + part * (box.high.x - box.low.x);
    assert_true(bly_body_section(body, x, &at));
    double w = 2.0 * PI * j / COLS, e = 2.0 / at.exponent;
    return bly_vec(x, 0.5 * at.width * copysign(pow(fabs(sin(w)), e), sin(w)),
                   at.centre + 0.5 * at.height * copysign(pow(fabs(cos(w)), e), cos(w)));
}

static BlyVec3 unit_normal(BlyVec3 a, BlyVec3 b, BlyVec3 c) {
    BlyVec3 n = bly_vec_cross(bly_vec_sub(b, a), bly_vec_sub(c, a));
    double size = bly_vec_norm(n);
    return size > 0.0 ? bly_vec_scale(n, 1.0 / size) : n;
}

static void add_edge(Steiner *sum, BlyVec3 a, BlyVec3 b, BlyVec3 n1, BlyVec3 n2) {
    BlyVec3 along = bly_vec_sub(b, a), turn = bly_vec_cross(n1, n2);
    double length = bly_vec_norm(along), sine = bly_vec_dot(turn, along) / fmax(length, 1e-30);
    double weight = 0.5 * length * atan2(sine, bly_vec_dot(n1, n2));
    sum->mean += weight;
    sum->mean_moment =
        bly_vec_add(sum->mean_moment, bly_vec_scale(bly_vec_scale(bly_vec_add(a, b), 0.5), weight));
}

/* Triangles of the strip between rows i and i + 1: lower (p00, p10, p11), upper (p00, p11, p01). */
static BlyVec3 (*mesh_points(const BlyBody *body))[COLS] {
    BlyVec3(*p)[COLS] = calloc(ROWS + 1, sizeof *p);
    assert_non_null(p);
    for (int i = 0; i <= ROWS; i++) {
        for (int j = 0; j < COLS; j++)
            p[i][j] = skin_point(body, i, j);
    }
    return p;
}

static BlyVec3 mesh_normal(BlyVec3 (*p)[COLS], int i, int j, bool upper) {
    int k = (j + 1) % COLS;
    j = (j + COLS) % COLS;
    if (i < 0)
        return bly_vec(-1.0, 0.0, 0.0);
    if (i >= ROWS)
        return bly_vec(1.0, 0.0, 0.0);
    BlyVec3 n = upper ? unit_normal(p[i][j], p[i + 1][k], p[i][k])
                      : unit_normal(p[i][j], p[i + 1][j], p[i + 1][k]);
    /* next to a tip one of the two triangles is empty: its neighbour's normal stands in */
    if (bly_vec_norm(n) == 0.0)
        n = upper ? unit_normal(p[i][j], p[i + 1][j], p[i + 1][k])
                  : unit_normal(p[i][j], p[i + 1][k], p[i][k]);
    return n;
}

static double corner(BlyVec3 at, BlyVec3 a, BlyVec3 b) {
    BlyVec3 u = bly_vec_sub(a, at), v = bly_vec_sub(b, at);
    double across = bly_vec_norm(bly_vec_cross(u, v)), along = bly_vec_dot(u, v);
    return across == 0.0 && along == 0.0 ? 0.0 : atan2(across, along);
}

/* The face angles that meet at the vertex (i, j). */
static double angles_at(BlyVec3 (*p)[COLS], int i, int j) {
    int k = (j + 1) % COLS, h = (j + COLS - 1) % COLS;
    BlyVec3 at = p[i][j];
    double sum = 0.0;
    if (i < ROWS) {
        sum += corner(at, p[i + 1][j], p[i + 1][k]) + corner(at, p[i + 1][k], p[i][k]);
        sum += corner(at, p[i][h], p[i + 1][j]);
    }
    if (i > 0) {
        sum += corner(at, p[i - 1][j], p[i][k]) + corner(at, p[i - 1][h], p[i - 1][j]);
        sum += corner(at, p[i][h], p[i - 1][h]);
    }
    if (i == 0 || i == ROWS)
        sum += corner(at, p[i][h], p[i][k]);
    return sum;
}

static void add_corners(BlyVec3 (*p)[COLS], Steiner *sum) {
    double total = 0.0;
    for (int i = 0; i <= ROWS; i++) {
        bool point = bly_vec_norm(bly_vec_sub(p[i][0], p[i][COLS / 3])) < 1e-12;
        double left = point ? 2.0 * PI : 0.0;
        for (int j = 0; j < COLS; j++) {
            left -= angles_at(p, i, j);
            if (!point)
                left += 2.0 * PI;
            if (point && j + 1 < COLS)
                continue;
            total += left;
            sum->total_moment = bly_vec_add(sum->total_moment, bly_vec_scale(p[i][j], left));
            left = 0.0;
        }
    }
    assert_close(total, 4.0 * PI, 0.0, 1e-9); /* Descartes: the mesh itself is sound */
}

static Steiner polyhedron(const BlyBody *body) {
    Steiner sum = {0};
    BlyVec3(*p)[COLS] = mesh_points(body);
    for (int i = 0; i <= ROWS; i++) {
        for (int j = 0; j < COLS; j++) {
            int k = (j + 1) % COLS;
            /* around: between row i - 1 (lower) and row i (upper) */
            BlyVec3 before = mesh_normal(p, i - 1, j, false), after = mesh_normal(p, i, j, true);
            add_edge(&sum, p[i][j], p[i][k], before, after);
            if (i == ROWS)
                continue;
            BlyVec3 low = mesh_normal(p, i, j, false), up = mesh_normal(p, i, j, true);
            add_edge(&sum, p[i][j], p[i + 1][k], up, low);
            BlyVec3 last = mesh_normal(p, i, j - 1 < 0 ? COLS - 1 : j - 1, true);
            add_edge(&sum, p[i][j], p[i + 1][j], low, last);
        }
    }
    add_corners(p, &sum);
    free(p);
    return sum;
}

static void check_polyhedron(const BlyBody *body, double rel) {
    Steiner s = read_steiner(body), brute = polyhedron(body);
    assert_close(s.mean, brute.mean, 0.0, rel);
    assert_close(s.mean_moment.x, brute.mean_moment.x, 0.0, rel);
    assert_close(s.mean_moment.z, brute.mean_moment.z, 0.02 * rel * s.mean, rel);
    assert_close(s.total_moment.x, brute.total_moment.x, 0.0, 3.0 * rel);
    assert_close(s.total_moment.z, brute.total_moment.z, 0.05 * rel, 3.0 * rel);
}

static void check_shape(const BlyStation *stations, size_t count, double rel) {
    BlyBody *body = make_body(stations, count);
    check_polyhedron(body, rel);
    bly_body_free(body);
}

static void layer_of_any_body(void **state) {
    (void)state;
    BlyBody *body = make_ellipsoid(0.04, 0.008, 0.008, 0.001);
    check_polyhedron(body, 4e-4);
    bly_body_free(body);
    const double exponent[] = {2.0, 2.5, 3.0};
    for (int i = 0; i < 3; i++) {
        body = make_minnow(exponent[i], 1.0);
        check_polyhedron(body, 4e-4);
        bly_body_free(body);
    }
    const BlyStation sloping[] = {{0.0, 0.012, 0.010, -0.004, 2.0},
                                  {0.03, 0.016, 0.014, 0.0, 2.0},
                                  {0.06, 0.006, 0.008, 0.007, 2.0}};
    check_shape(sloping, 3, 4e-4);
    const BlyStation slim[] = {{0.0, 0.012, 0.010, -0.004, 2.0}, {0.06, 0.006, 0.018, 0.007, 4.0}};
    check_shape(slim, 2, 6e-4); /* the exponent runs */
}

/* Tails that end in an upright edge: a round one (squares linear) and a sharp wedge (quadratic). */
static void layer_of_knife_edges(void **state) {
    (void)state;
    const BlyStation round_edge[] = {{0.0, 0.012, 0.016, 0.0, 2.0}, {0.03, 0.0, 0.010, 0.002, 2.0}};
    check_shape(round_edge, 2, 4e-4);
    const BlyStation wedge[] = {{0.0, 0.012, 0.016, 0.0, 2.0},
                                {0.015, 0.006, 0.013, 0.001, 2.0},
                                {0.03, 0.0, 0.010, 0.002, 2.0}};
    check_shape(wedge, 3, 4e-4);
}

/* --- the coated body --------------------------------------------------------------------------*/

static void check_coated(const BlyBody *body, double d) {
    BlyBody *outer = make_coated(body, d);
    const BlySolid *in = bly_body_solid(body), *out = bly_body_solid(outer);
    BlySolid layer = bly_body_layer(body, 0.0, d);
    assert_close(out->volume, in->volume + layer.volume, 0.0, 1e-12);
    BlyVec3 moment = bly_vec_add(bly_vec_scale(in->centroid, in->volume),
                                 bly_vec_scale(layer.centroid, layer.volume));
    assert_vec_close(out->centroid, bly_vec_scale(moment, 1.0 / out->volume), 1e-13);
    /* outlines: within 5 % of the layer's thickness of the parallel ones */
    BlyBox a = bly_body_box(body), b = bly_body_box(outer);
    assert_close(b.low.x, a.low.x - d, 0.05 * d, 0.0);
    assert_close(b.high.x, a.high.x + d, 0.05 * d, 0.0);
    assert_close(b.high.y, a.high.y + d, 0.05 * d, 0.0);
    assert_close(b.low.z, a.low.z - d, 0.05 * d, 0.0);
    assert_close(b.high.z, a.high.z + d, 0.05 * d, 0.0);
    /* skin of the parallel surface: A + 2 M d + 4 pi d^2 */
    Steiner s = read_steiner(body);
    double skin = bly_body_surface(body)->area + 2.0 * s.mean * d + 4.0 * PI * d * d;
    assert_close(bly_body_surface(outer)->area, skin, 0.0, 2e-3);
    BlyCut cut = bly_body_cut(outer, make_plane(0.1, 0.0, out->centroid));
    assert_between(cut.volume / out->volume, 0.3, 0.7);
    bly_body_free(outer);
}

static void coats_agree_with_layers(void **state) {
    (void)state;
    for (double d = 2e-5; d < 1.1e-3; d *= 3.0) {
        BlyBody *body = make_ellipsoid(0.04, 0.006, 0.010, 0.001);
        check_coated(body, d);
        bly_body_free(body);
        body = make_minnow(2.0, 1.0);
        check_coated(body, d);
        bly_body_free(body);
        body = make_minnow(2.6, 1.0);
        check_coated(body, d);
        bly_body_free(body);
        body = make_cylinder(0.06, 0.005);
        check_coated(body, d);
        bly_body_free(body);
        body = make_frustum(0.05, 0.0, 0.008);
        check_coated(body, d);
        bly_body_free(body);
    }
}

static void coated_sphere_is_a_sphere(void **state) {
    (void)state;
    double r = 0.01, d = 4e-4;
    BlyBody *body = make_ellipsoid(r, r, r, 0.0), *outer = make_coated(body, d);
    assert_close(bly_body_surface(outer)->area, 4.0 * PI * (r + d) * (r + d), 0.0, 1e-9);
    assert_close(bly_body_box(outer).low.x, -d, 1e-12, 0.0);
    for (double x = 0.001; x < 0.0195; x += 0.0017)
        assert_close(bly_body_half_width(outer, x, 0.003),
                     sqrt((r + d) * (r + d) - (x - r) * (x - r) - 9e-6), 1e-10, 0.0);
    bly_body_free(outer);
    outer = make_coated(body, 0.0);
    assert_close(bly_body_solid(outer)->volume, bly_body_solid(body)->volume, 0.0, 0.0);
    bly_body_free(body); /* the copy owns its own panels */
    assert_close(bly_body_half_width(outer, r, 0.0), r, 1e-15, 0.0);
    bly_body_free(outer);
}

/* A coated cone: the parallel of a cone with a rounded point. Half-widths by geometry. */
static void coated_cone_is_rounded(void **state) {
    (void)state;
    double h = 0.05, r = 0.01, d = 5e-4, a = atan(r / h);
    BlyBody *body = make_frustum(h, 0.0, r), *outer = make_coated(body, d);
    for (double x = 0.001; x < h; x += 0.0043)
        assert_close(bly_body_half_width(outer, x, 0.0), r / h * x + d / cos(a), 2e-6, 0.0);
    for (double x = -0.9 * d; x < -d * sin(a); x += 0.1 * d)
        assert_close(bly_body_half_width(outer, x, 0.0), sqrt(d * d - x * x), 2e-6, 0.0);
    bly_body_free(body);
    bly_body_free(outer);
}

static void thickness_is_checked(void **state) {
    (void)state;
    BlyBody *body = make_cylinder(0.05, 0.01), *outer = NULL;
    const double bad[] = {-1e-6, NAN, INFINITY, 0.11};
    for (int i = 0; i < 4; i++) {
        BlyError err = {0};
        assert_false(bly_body_coated(body, bad[i], &outer, &err));
        assert_int_equal(err.code, BLY_E_RANGE);
        assert_string_equal(err.where, "/thickness");
    }
    bly_body_free(body);
}

/* --- what is seen -----------------------------------------------------------------------------*/

/* Projection of an ellipsoid along d: pi sqrt(b^2 c^2 dx^2 + a^2 c^2 dy^2 + a^2 b^2 dz^2). */
static void seen_of_an_ellipsoid(void **state) {
    (void)state;
    double a = 0.045, b = 0.007, c = 0.011, worst = 0.0;
    BlyBody *body = make_ellipsoid(a, b, c, 0.002);
    for (double t = -1.6; t < 1.7; t += 0.083) {
        for (double h = -3.1; h < 3.2; h += 0.171) {
            BlyVec3 d = bly_vec_up(t, h);
            BlyArea seen = bly_body_seen(body, d);
            double area =
                PI * sqrt(pow(b * c * d.x, 2.0) + pow(a * c * d.y, 2.0) + pow(a * b * d.z, 2.0));
            worst = fmax(worst, fabs(seen.area / area - 1.0));
            assert_vec_close(seen.centroid, bly_vec(a, 0.0, 0.002), 1e-5);
        }
    }
    print_message("seen area of an ellipsoid: worst %.1e\n", worst);
    assert_between(worst, 0.0, 1e-3);
    bly_body_free(body);
}

static void seen_of_a_cylinder(void **state) {
    (void)state;
    double l = 0.05, r = 0.01;
    BlyBody *body = make_cylinder(l, r);
    for (double t = -1.5; t < 1.6; t += 0.1) {
        BlyVec3 d = bly_vec_up(t, 0.4);
        double area = 2.0 * r * l * hypot(d.y, d.z) + PI * r * r * fabs(d.x);
        assert_close(bly_body_seen(body, d).area, area, 0.0, 1e-3);
        assert_close(bly_body_seen(body, bly_vec_scale(d, -1.0)).area, area, 0.0, 1e-3);
    }
    bly_body_free(body);
}

static void seen_agrees_with_plan_and_side(void **state) {
    (void)state;
    const double exponent[] = {1.5, 2.0, 3.0, 6.0};
    for (int i = 0; i < 4; i++) {
        BlyBody *body = make_minnow(exponent[i], 1.0);
        BlyArea seen = bly_body_seen(body, bly_vec(0.0, 0.0, 1.0));
        assert_close(seen.area, bly_body_plan(body)->area, 0.0, 2e-3);
        assert_close(seen.centroid.x, bly_body_plan(body)->centroid.x, 1e-4, 0.0);
        assert_close(seen.centroid.z, bly_body_plan(body)->centroid.z, 1e-5, 0.0);
        seen = bly_body_seen(body, bly_vec(0.0, 1.0, 0.0));
        assert_close(seen.area, bly_body_side(body)->area, 0.0, 2e-3);
        assert_close(seen.centroid.x, bly_body_side(body)->centroid.x, 1e-4, 0.0);
        assert_close(seen.centroid.z, bly_body_side(body)->centroid.z, 1e-5, 0.0);
        bly_body_free(body);
    }
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layer_of_a_sphere),
        cmocka_unit_test(second_order_counts),
        cmocka_unit_test(layer_of_a_cylinder),
        cmocka_unit_test(layer_of_a_cone),
        cmocka_unit_test(layer_of_a_sheared_ellipsoid),
        cmocka_unit_test(layer_of_any_body),
        cmocka_unit_test(layer_of_knife_edges),
        cmocka_unit_test(coats_agree_with_layers),
        cmocka_unit_test(coated_sphere_is_a_sphere),
        cmocka_unit_test(coated_cone_is_rounded),
        cmocka_unit_test(thickness_is_checked),
        cmocka_unit_test(seen_of_an_ellipsoid),
        cmocka_unit_test(seen_of_a_cylinder),
        cmocka_unit_test(seen_agrees_with_plan_and_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
