/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mesh bodies against closed forms: polyhedra exactly, round bodies within the bound that their
 * facets leave; and against laws of cutting, scale and mirror. */
#include "loft/bodies.h"
#include "support/meshes.h"

static BlyBody *brick_body(BlyVec3 low, BlyVec3 high) {
    BlyMesh mesh = mesh_brick(low, high);
    BlyBody *body = mesh_to_body(&mesh);
    bly_mesh_release(&mesh);
    return body;
}

/* a x b x c: volume, moments abc a^2/12, faces; seen along d each face by its cosine. */
static void a_box_is_exact(void **state) {
    (void)state;
    const double a = 0.09, b = 0.014, c = 0.02;
    BlyBody *body = brick_body(bly_vec(0.0, -b / 2, -c / 2), bly_vec(a, b / 2, c / 2));
    const BlySolid *solid = bly_body_solid(body);
    assert_close(solid->volume, a * b * c, 0.0, 1e-13);
    assert_vec_close(solid->centroid, bly_vec(a / 2, 0.0, 0.0), 1e-15);
    assert_close(solid->xx, a * b * c * a * a / 12.0, 0.0, 1e-12);
    assert_close(solid->yy, a * b * c * b * b / 12.0, 0.0, 1e-12);
    assert_close(solid->zz, a * b * c * c * c / 12.0, 0.0, 1e-12);
    assert_close(solid->xz, 0.0, 1e-20, 0.0);
    assert_close(bly_body_surface(body)->area, 2.0 * (a * b + b * c + c * a), 0.0, 1e-13);
    assert_close(bly_body_side(body)->area, a * c, 0.0, 1e-12);
    assert_close(bly_body_plan(body)->area, a * b, 0.0, 1e-12);
    for (int i = 0; i < 12; i++) {
        BlyVec3 d = bly_vec_up(0.3 * i, 0.17 * i);
        double seen = b * c * fabs(d.x) + a * c * fabs(d.y) + a * b * fabs(d.z);
        assert_close(bly_body_seen(body, d).area, seen, 0.0, 2e-4);
        double reach =
            bly_vec_dot(d, solid->centroid) + 0.5 * (a * fabs(d.x) + b * fabs(d.y) + c * fabs(d.z));
        assert_close(bly_body_support(body, d), reach, 1e-15, 0.0);
    }
    double blunt[2];
    bly_body_blunt(body, blunt);
    assert_close(blunt[0], 1.0, 1e-12, 0.0);
    assert_close(blunt[1], 1.0, 1e-12, 0.0);
    bly_body_free(body);
}

/* Steiner's polynomial of a box: V + 2(ab + bc + ca) d + pi (a + b + c) d^2 + 4/3 pi d^3. */
static void layers_of_a_box(void **state) {
    (void)state;
    const double a = 0.09, b = 0.014, c = 0.02, d = 0.0007;
    BlyBody *body = brick_body(bly_vec(0.0, -b / 2, -c / 2), bly_vec(a, b / 2, c / 2));
    double want =
        2.0 * (a * b + b * c + c * a) * d + PI * (a + b + c) * d * d + 4.0 / 3.0 * PI * d * d * d;
    BlySolid layer = bly_body_layer(body, 0.0, d);
    assert_close(layer.volume, want, 0.0, 1e-12);
    assert_vec_close(layer.centroid, bly_vec(a / 2, 0.0, 0.0), 1e-12);
    BlyBody *hull = make_coated(body, d);
    assert_close(bly_body_solid(hull)->volume, a * b * c + want, 0.0, 1e-12);
    assert_vec_close(bly_body_solid(hull)->centroid, bly_vec(a / 2, 0.0, 0.0), 1e-12);
    assert_close(bly_body_box(hull).high.y, b / 2 + d, 0.05 * d, 0.0);
    assert_close(bly_body_box(hull).low.x, -d, 0.05 * d, 0.0);
    bly_body_free(hull);
    bly_body_free(body);
}

/* A plane x/p + y/q + z/r = 1 cuts the corner of a box at the origin off as a tetrahedron: volume
 * pqr/6, centroid at a quarter of each; the cut is a triangle. */
static void a_corner_cut_off(void **state) {
    (void)state;
    const double p = 0.05, q = 0.009, r = 0.012;
    BlyBody *body = brick_body(bly_vec(0.0, 0.0, 0.0), bly_vec(0.09, 0.014, 0.02));
    BlyVec3 n = bly_vec(1.0 / p, 1.0 / q, 1.0 / r);
    double norm = bly_vec_norm(n);
    BlyCut cut = bly_body_cut(body, (BlyPlane){bly_vec_scale(n, 1.0 / norm), 1.0 / norm});
    assert_close(cut.volume, p * q * r / 6.0, 0.0, 1e-12);
    assert_vec_close(cut.centroid, bly_vec(p / 4, q / 4, r / 4), 1e-14);
    double sides[3] = {hypot(p, q), hypot(q, r), hypot(r, p)};
    assert_close(cut.perimeter, sides[0] + sides[1] + sides[2], 0.0, 1e-12);
    double half = 0.5 * cut.perimeter; /* Heron */
    assert_close(cut.area, sqrt(half * (half - sides[0]) * (half - sides[1]) * (half - sides[2])),
                 0.0, 1e-10);
    assert_vec_close(cut.area_centroid, bly_vec(p / 3, q / 3, r / 3), 1e-14);
    bly_body_free(body);
}

/* A brick afloat: the waterplane is a rectangle l x b: l^3 b/12 and l b^3/12. */
static void a_waterplane_of_a_box(void **state) {
    (void)state;
    BlyBody *body = brick_body(bly_vec(0.0, -0.007, -0.01), bly_vec(0.09, 0.007, 0.01));
    BlyCut cut = bly_body_cut(body, (BlyPlane){bly_vec(0.0, 0.0, 1.0), 0.004});
    assert_close(cut.volume, 0.09 * 0.014 * 0.014, 0.0, 1e-12);
    assert_vec_close(cut.centroid, bly_vec(0.045, 0.0, -0.003), 1e-15);
    assert_close(cut.area, 0.09 * 0.014, 0.0, 1e-12);
    assert_close(cut.along, 0.09 * 0.09 * 0.09 * 0.014 / 12.0, 0.0, 1e-12);
    assert_close(cut.across, 0.014 * 0.014 * 0.014 * 0.09 / 12.0, 0.0, 1e-12);
    assert_close(cut.mixed, 0.0, 0.0, 0.0);
    /* on a face exactly, a hair off it, and clear of the body */
    BlyPlane top = {bly_vec(0.0, 0.0, 1.0), 0.01};
    assert_close(bly_body_cut(body, top).volume, 0.09 * 0.014 * 0.02, 0.0, 1e-12);
    top.height = -0.01;
    assert_close(bly_body_cut(body, top).volume, 0.0, 1e-20, 0.0);
    top.height = -0.02;
    assert_close(bly_body_cut(body, top).area, 0.0, 0.0, 0.0);
    bly_body_free(body);
}

/* The prism over a regular n-gon with corners at radius r: area n r^2/2 sin(2 pi/n). A cone on it
 * has a third, its centroid at a quarter from the base. */
static void prisms_and_cones(void **state) {
    (void)state;
    const double length = 0.08, r = 0.009;
    for (size_t n = 3; n < 100; n += 31) {
        double base = 0.5 * (double)n * r * r * sin(2.0 * PI / (double)n);
        BlyMesh mesh = mesh_frustum(length, r, r, n);
        BlyBody *body = mesh_to_body(&mesh);
        assert_close(bly_body_solid(body)->volume, base * length, 0.0, 1e-12);
        assert_close(bly_body_surface(body)->area,
                     2.0 * base + 2.0 * (double)n * r * sin(PI / (double)n) * length, 0.0, 1e-12);
        BlyCut cut = bly_body_cut(body, (BlyPlane){bly_vec(1.0, 0.0, 0.0), 0.02});
        assert_close(cut.volume, base * 0.02, 0.0, 1e-12);
        assert_close(cut.area, base, 0.0, 1e-12);
        bly_body_free(body);
        bly_mesh_release(&mesh);
        mesh = mesh_frustum(length, 1e-9 * r, r, n);
        body = mesh_to_body(&mesh);
        assert_close(bly_body_solid(body)->volume, base * length / 3.0, 0.0, 1e-8);
        assert_close(bly_body_solid(body)->centroid.x, 0.75 * length, 0.0, 1e-8);
        bly_body_free(body);
        bly_mesh_release(&mesh);
    }
}

/* The mesh of an ellipsoid lies between the ellipsoid and the one shrunk to `least`; so do all its
 * cuts by planes. A cap of the unit sphere below N.P = t holds pi (2/3 + t - t^3/3). */
static double cap(double t) {
    t = fmin(1.0, fmax(-1.0, t));
    return PI * (2.0 / 3.0 + t - t * t * t / 3.0);
}

static void ellipsoids_and_their_caps(void **state) {
    (void)state;
    const double a = 0.045, b = 0.007, c = 0.0095;
    BlyVec3 middle = bly_vec(a, 0.0, 0.0);
    BlyMesh mesh = mesh_ellipsoid(a, b, c, middle, 90, 64);
    double least = mesh_ellipsoid_least(&mesh, a, b, c, middle), det = a * b * c;
    assert_between(least, 0.995, 1.0);
    BlyBody *body = mesh_to_body(&mesh);
    double whole = 4.0 / 3.0 * PI * det;
    assert_between(bly_body_solid(body)->volume, whole * pow(least, 3.0), whole);
    assert_vec_close(bly_body_solid(body)->centroid, middle, 1e-12);
    assert_close(bly_body_solid(body)->xx, whole * a * a / 5.0, 0.0, 5.0 * (1.0 - least));
    for (int i = 0; i < 200; i++) {
        BlyVec3 up = bly_vec_up(0.13 * i, 0.31 * i);
        double q = sqrt(pow(a * up.x, 2.0) + pow(b * up.y, 2.0) + pow(c * up.z, 2.0));
        double t = 1.1 * sin(0.7 * i);
        BlyPlane plane = {up, bly_vec_dot(up, middle) + t * q};
        BlyCut cut = bly_body_cut(body, plane);
        double full = det * cap(t), shrunk = det * pow(least, 3.0) * cap(t / least);
        assert_between(cut.volume, shrunk - 1e-12 * whole, full + 1e-12 * whole);
        double area = t < 1.0 && t > -1.0 ? PI * (1.0 - t * t) * det / q : 0.0;
        double inner = fabs(t) < least ? PI * (least * least - t * t) * det / q : 0.0;
        assert_between(cut.area, inner * (1.0 - 1e-12), area * (1.0 + 1e-12) + 1e-20);
    }
    bly_body_free(body);
    bly_mesh_release(&mesh);
}

/* What is seen of an ellipsoid along d: pi sqrt((bc dx)^2 + (ca dy)^2 + (ab dz)^2). */
static void silhouettes(void **state) {
    (void)state;
    const double a = 0.045, b = 0.007, c = 0.0095;
    BlyVec3 middle = bly_vec(a, 0.0, 0.0);
    BlyMesh mesh = mesh_ellipsoid(a, b, c, middle, 90, 64);
    double least = mesh_ellipsoid_least(&mesh, a, b, c, middle);
    BlyBody *body = mesh_to_body(&mesh);
    for (int i = 0; i < 40; i++) {
        BlyVec3 d = bly_vec_up(0.23 * i, 0.41 * i);
        double whole = PI * sqrt(pow(b * c * d.x, 2) + pow(c * a * d.y, 2) + pow(a * b * d.z, 2));
        BlyArea seen = bly_body_seen(body, d);
        assert_between(seen.area, whole * least * least * (1.0 - 1e-4), whole * (1.0 + 1e-4));
        assert_vec_close(seen.centroid, middle, 2e-6);
    }
    double blunt[2]; /* a loft of the same sizes */
    BlyBody *loft = make_ellipsoid(a, b, c, 0.0);
    double lofted[2];
    bly_body_blunt(body, blunt);
    bly_body_blunt(loft, lofted);
    assert_close(blunt[0], lofted[0], 2e-3, 0.0);
    assert_close(blunt[1], lofted[1], 2e-3, 0.0);
    bly_body_free(loft);
    bly_body_free(body);
    bly_mesh_release(&mesh);
}

/* Two balls, one behind the other: what is seen along x is one disc, from the side two. Half the
 * integral of |n.d| would count two along x. */
static void overlaps_are_seen_once(void **state) {
    (void)state;
    const double r = 0.01;
    BlyMesh mesh = mesh_ellipsoid(r, r, r, bly_vec(r, 0.0, 0.0), 60, 60);
    BlyMesh other = mesh_ellipsoid(r, r, r, bly_vec(5.0 * r, 0.0, 0.0), 60, 60);
    mesh_join(&mesh, &other, false);
    BlyBody *body = mesh_to_body(&mesh);
    assert_close(bly_body_seen(body, bly_vec(1.0, 0.0, 0.0)).area, PI * r * r, 0.0, 4e-3);
    assert_close(bly_body_side(body)->area, 2.0 * PI * r * r, 0.0, 4e-3);
    bly_body_free(body);
    bly_mesh_release(&mesh);
}

static void cut_halves_add_up(const BlyBody *body) {
    const BlySolid *whole = bly_body_solid(body);
    BlyBox box = bly_body_box(body);
    BlyVec3 middle = bly_vec_scale(bly_vec_add(box.low, box.high), 0.5);
    for (int i = 0; i < 100; i++) {
        BlyVec3 up = bly_vec_up(0.37 * i, 0.53 * i), down = bly_vec_scale(up, -1.0);
        double height = bly_vec_dot(up, middle) + 0.004 * sin(1.1 * i);
        BlyCut below = bly_body_cut(body, (BlyPlane){up, height});
        BlyCut above = bly_body_cut(body, (BlyPlane){down, -height});
        assert_close(below.volume + above.volume, whole->volume, 0.0, 1e-12);
        BlyVec3 sum = bly_vec_add(bly_vec_scale(below.centroid, below.volume),
                                  bly_vec_scale(above.centroid, above.volume));
        assert_vec_close(bly_vec_scale(sum, 1.0 / whole->volume), whole->centroid, 1e-11);
        assert_close(below.area, above.area, 1e-18, 1e-10);
        const double step = 1e-6; /* dV/dh is the waterplane */
        double low = bly_body_cut(body, (BlyPlane){up, height - step}).volume;
        double high = bly_body_cut(body, (BlyPlane){up, height + step}).volume;
        assert_close((high - low) / (2.0 * step), below.area, 1e-9, 1e-5);
    }
}

static void halves_add_up_to_the_whole(void **state) {
    (void)state;
    BlyMesh mesh = mesh_ellipsoid(0.03, 0.008, 0.011, bly_vec(0.03, 0.0, 0.001), 40, 31);
    BlyMesh other = mesh_ellipsoid(0.01, 0.006, 0.004, bly_vec(0.075, 0.002, 0.003), 20, 17);
    mesh_join(&mesh, &other, false);
    BlyBody *body = mesh_to_body(&mesh);
    cut_halves_add_up(body);
    bly_body_free(body);
    bly_mesh_release(&mesh);
}

/* Twice as large: volume by 8. Mirrored in y: the same but for the sign of y; facets must then be
 * turned, which the reader of shells does by itself. */
static void scale_and_mirror(void **state) {
    (void)state;
    BlyMesh mesh = mesh_ellipsoid(0.03, 0.008, 0.011, bly_vec(0.03, 0.0, 0.001), 40, 31);
    BlyMesh bump = mesh_ellipsoid(0.003, 0.002, 0.002, bly_vec(0.01, 0.02, 0.0), 10, 11);
    mesh_join(&mesh, &bump, false);
    BlyBody *body = mesh_to_body(&mesh);
    BlySolid was = *bly_body_solid(body);
    double skin = bly_body_surface(body)->area;
    BlyCut cut = bly_body_cut(body, (BlyPlane){bly_vec_up(0.2, 0.4), 0.003});
    bly_body_free(body);
    for (size_t p = 0; p < mesh.point_count; p++)
        mesh.points[p].y *= -1.0;
    BlyMeshFacts facts;
    BlyError err = {0};
    assert_true(bly_body_from_mesh(&mesh, NULL, &body, &facts, &err));
    assert_int_equal(facts.turned, 2);
    assert_close(bly_body_solid(body)->volume, was.volume, 0.0, 1e-13);
    assert_close(bly_body_solid(body)->centroid.y, -was.centroid.y, 1e-16, 1e-12);
    BlyCut mirrored = bly_body_cut(body, (BlyPlane){bly_vec_up(0.2, -0.4), 0.003});
    assert_close(mirrored.volume, cut.volume, 0.0, 1e-12);
    assert_close(mirrored.centroid.y, -cut.centroid.y, 1e-14, 0.0);
    assert_close(mirrored.across, cut.across, 0.0, 1e-10);
    bly_body_free(body);
    for (size_t p = 0; p < mesh.point_count; p++)
        mesh.points[p] = bly_vec_scale(mesh.points[p], 2.0);
    body = mesh_to_body(&mesh);
    assert_close(bly_body_solid(body)->volume, 8.0 * was.volume, 0.0, 1e-12);
    assert_close(bly_body_surface(body)->area, 4.0 * skin, 0.0, 1e-12);
    bly_body_free(body);
    bly_mesh_release(&mesh);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_box_is_exact),
        cmocka_unit_test(layers_of_a_box),
        cmocka_unit_test(a_corner_cut_off),
        cmocka_unit_test(a_waterplane_of_a_box),
        cmocka_unit_test(prisms_and_cones),
        cmocka_unit_test(ellipsoids_and_their_caps),
        cmocka_unit_test(silhouettes),
        cmocka_unit_test(overlaps_are_seen_once),
        cmocka_unit_test(halves_add_up_to_the_whole),
        cmocka_unit_test(scale_and_mirror),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
