/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surfaces as triangles, and slots sawn into them: distances from true surfaces by brute force,
 * volumes by closed forms and by the room's own cuts, closedness by the pairing of edges. */
#include "ballastry/facets.h"
#include "lure/kit.h"
#include "support/dice.h"
#include "support/meshes.h"

static void assert_closed(const BlyMesh *mesh) {
    BlyMeshCheck check;
    must(bly_mesh_pair(mesh, NULL, &check, err));
    if (check.first != BLY_MESH_CLOSED)
        print_error("open %zu turned %zu crowded %zu at %g %g %g\n", check.open, check.turned,
                    check.crowded, check.at.x, check.at.y, check.at.z);
    assert_int_equal(check.first, BLY_MESH_CLOSED);
}

/* Distance from a point to a triangle: to its plane where the foot lies within, else to the
 * nearest edge (any book of geometry). */
static double edge_distance(BlyVec3 p, BlyVec3 a, BlyVec3 b) {
    BlyVec3 ab = bly_vec_sub(b, a), ap = bly_vec_sub(p, a);
    double t = fmin(fmax(bly_vec_dot(ap, ab) / bly_vec_dot(ab, ab), 0), 1);
    return bly_vec_norm(bly_vec_sub(ap, bly_vec_scale(ab, t)));
}

static double facet_distance(const BlyMesh *mesh, size_t f, BlyVec3 p) {
    BlyVec3 c[3];
    for (int k = 0; k < 3; k++)
        c[k] = mesh->points[mesh->facets[f][k]];
    BlyVec3 n = bly_vec_cross(bly_vec_sub(c[1], c[0]), bly_vec_sub(c[2], c[0]));
    bool inside = true;
    double least = INFINITY;
    for (int k = 0; k < 3; k++) {
        BlyVec3 a = c[k], b = c[(k + 1) % 3];
        inside = inside && bly_vec_dot(bly_vec_cross(bly_vec_sub(b, a), bly_vec_sub(p, a)), n) >= 0;
        least = fmin(least, edge_distance(p, a, b));
    }
    return inside ? fabs(bly_vec_dot(n, bly_vec_sub(p, c[0]))) / bly_vec_norm(n) : least;
}

static double mesh_off(const BlyMesh *mesh, BlyVec3 p) {
    double least = INFINITY;
    for (size_t f = 0; f < mesh->facet_count; f++)
        least = fmin(least, facet_distance(mesh, f, p));
    return least;
}

/* A point of the true surface by chance: |y/b|^n + |z/c|^n = 1. */
static BlyVec3 surface_point(const BlyBody *body, Dice *dice) {
    BlyBox box = bly_body_box(body);
    double x = box.low.x + (box.high.x - box.low.x) * 0.5 * (1 - cos(dice_between(dice, 0, M_PI)));
    double a = dice_between(dice, 0, 2 * M_PI), c = cos(a), s = sin(a);
    BlySection at;
    assert_true(bly_body_section(body, x, &at));
    double r = pow(pow(fabs(c), at.exponent) + pow(fabs(s), at.exponent), -1 / at.exponent);
    return bly_vec(x, 0.5 * at.width * r * c, at.centre + 0.5 * at.height * r * s);
}

enum { BODIES = 5 };
static BlyBody *body_of(int which) {
    static const BlyStation all[BODIES][4] = {
        {{0, 0, 0, 0, 2}, {40e-3, 16e-3, 20e-3, 0, 2}, {80e-3, 0, 0, 0, 2}, {0, 0, 0, 0, 0}},
        {{0, 4e-3, 6e-3, 1e-3, 3},
         {20e-3, 12e-3, 15e-3, 0, 2.6},
         {55e-3, 10e-3, 9e-3, -1e-3, 4},
         {80e-3, 0, 0, 0, 2}},
        {{0, 0, 8e-3, 0, 2},
         {25e-3, 14e-3, 18e-3, 0, 1.5},
         {60e-3, 9e-3, 3e-3, 0, 2},
         {70e-3, 6e-3, 0, 1e-3, 2}},
        {{0, 20e-3, 20e-3, 0, 20}, {60e-3, 20e-3, 20e-3, 0, 20}, {0, 0, 0, 0, 0}, {0, 0, 0, 0, 0}},
        {{-5e-3, 0, 0, 2e-3, 2},
         {3e-3, 10e-3, 14e-3, 1e-3, 2},
         {70e-3, 3e-3, 4e-3, 0, 2},
         {75e-3, 8e-3, 20e-3, 0, 2}},
    };
    static const size_t counts[BODIES] = {3, 4, 4, 2, 4};
    BlyBody *body = NULL;
    must(bly_body_from_stations(all[which], counts[which], &body, err));
    return body;
}

static void within_the_chord(void **state) {
    (void)state;
    Dice dice = {11};
    for (int b = 0; b < BODIES; b++) {
        BlyBody *body = body_of(b);
        for (double chord = 1e-4; chord > 1e-5; chord /= 5) {
            BlyMesh mesh;
            must(bly_body_facets(body, chord, &mesh, err));
            assert_closed(&mesh);
            double worst = 0, volume = bly_mesh_volume(&mesh);
            for (int i = 0; i < 60; i++)
                worst = fmax(worst, mesh_off(&mesh, surface_point(body, &dice)));
            print_message("body %d, chord %.0f um: %zu facets, %.1f um off\n", b, 1e6 * chord,
                          mesh.facet_count, 1e6 * worst);
            assert_true(worst <= chord);
            assert_close(volume, bly_body_solid(body)->volume, chord * bly_body_surface(body)->area,
                         0);
            bly_mesh_release(&mesh);
        }
        bly_body_free(body);
    }
}

static void back_as_a_body(void **state) {
    (void)state;
    BlyBody *body = body_of(1), *again = NULL;
    BlyMesh mesh, copy;
    must(bly_body_facets(body, 1e-5, &mesh, err));
    must(bly_body_from_mesh(&mesh, NULL, &again, NULL, err));
    double area = bly_body_surface(body)->area;
    assert_close(bly_body_solid(again)->volume, bly_body_solid(body)->volume, 1e-5 * area, 0);
    assert_close(bly_body_solid(again)->centroid.x, bly_body_solid(body)->centroid.x, 1e-5, 0);
    assert_close(bly_body_surface(again)->area, area, 0, 1e-3);
    must(bly_body_facets(again, 1e-3, &copy, err)); /* a mesh is exported as it is */
    assert_int_equal(copy.facet_count, mesh.facet_count);
    assert_close(bly_mesh_volume(&copy), bly_mesh_volume(&mesh), 0, 1e-12);
    bly_mesh_release(&copy);
    bly_mesh_release(&mesh);
    bly_body_free(again);
    bly_body_free(body);
}

static BlySlot slot_at(double x, double z, double degrees, double thickness, double depth) {
    double a = degrees * M_PI / 180;
    return (BlySlot){{x, 0, z}, {-cos(a), 0, -sin(a)}, thickness, depth};
}

/* A brick: the slot takes thickness x depth x width, whatever its angle. */
static void slot_in_a_brick(void **state) {
    (void)state;
    BlyMesh brick = mesh_brick(bly_vec(0, -6e-3, -10e-3), bly_vec(80e-3, 6e-3, 10e-3));
    for (double angle = 25; angle <= 90; angle += 5) {
        BlySlot slot = slot_at(30e-3, -10e-3, angle, 1.2e-3, 8e-3);
        BlyMesh sawn;
        must(bly_mesh_slot(&brick, &slot, &sawn, err));
        assert_closed(&sawn);
        double whole = 80e-3 * 12e-3 * 20e-3, taken = 1.2e-3 * 8e-3 * 12e-3;
        /* planes may move by 2 um to keep clear of corners */
        assert_close(bly_mesh_volume(&sawn), whole - taken, 4e-6 * 8e-3 * 12e-3, 0);
        bly_mesh_release(&sawn);
    }
    bly_mesh_release(&brick);
}

/* Bodies, places, angles by chance: closed, and lighter by what the true body's sections say. */
static void slots_by_chance(void **state) {
    (void)state;
    Dice dice = {12};
    int sawn_ones = 0;
    for (int i = 0; i < 100; i++) {
        BlyBody *body = body_of(i % BODIES);
        BlyBox box = bly_body_box(body);
        BlySection at;
        BlyMesh mesh, sawn;
        double x = box.low.x + dice_between(&dice, 0.1, 0.5) * (box.high.x - box.low.x);
        double angle = i % 4 == 0 ? 90 : dice_between(&dice, 20, 90);
        if (i % 8 == 0 && i % BODIES != 0)
            x = 20e-3; /* through a station */
        assert_true(bly_body_section(body, x, &at));
        BlySlot slot = slot_at(x, at.belly, angle, dice_between(&dice, 0.5e-3, 2e-3),
                               dice_between(&dice, 0.15, 0.6) * at.height);
        must(bly_body_facets(body, 5e-5, &mesh, err));
        BlyError err = {0};
        if (bly_mesh_slot(&mesh, &slot, &sawn, &err)) {
            double taken = bly_slot_volume(body, &slot), before = bly_mesh_volume(&mesh);
            assert_closed(&sawn);
            assert_close(before - bly_mesh_volume(&sawn), taken, 2e-9 + 0.01 * taken, 0);
            bly_mesh_release(&sawn);
            sawn_ones++;
        } else {
            print_message("%d: %s\n", i, err.text);
            assert_int_equal(err.code, BLY_E_CONFLICT);
        }
        bly_mesh_release(&mesh);
        bly_body_free(body);
    }
    print_message("%d of 100 sawn\n", sawn_ones);
    assert_true(sawn_ones > 80);
}

/* A slot that opens a hollow: the wall has a hole, or falls in two. */
static void slot_into_a_hollow(void **state) {
    (void)state;
    for (int i = 0; i < 3; i++) {
        BlyMesh brick = mesh_brick(bly_vec(0, -6e-3, -10e-3), bly_vec(80e-3, 6e-3, 10e-3));
        double floor = -8e-3 + 2e-3 * i; /* the slot ends at -4 mm */
        BlyMesh room = mesh_brick(bly_vec(20e-3, -3e-3, floor), bly_vec(60e-3, 3e-3, floor + 3e-3));
        mesh_join(&brick, &room, true);
        BlySlot slot = slot_at(40e-3, -10e-3, 90, 1e-3, 6e-3);
        BlyMesh sawn;
        must(bly_mesh_slot(&brick, &slot, &sawn, err));
        assert_closed(&sawn);
        double open = fmin(fmax(-4e-3 - floor, 0), 3e-3); /* of the room's height */
        double taken = 1e-3 * (6e-3 * 12e-3 - open * 6e-3);
        double whole = 80e-3 * 12e-3 * 20e-3 - 40e-3 * 6e-3 * 3e-3;
        assert_close(bly_mesh_volume(&sawn), whole - taken, 1e-12 + 5e-6 * 6e-3 * 12e-3, 0);
        bly_mesh_release(&sawn);
        bly_mesh_release(&brick);
    }
}

static void refused(const BlySlot *slot, const char *text) {
    BlyMesh brick = mesh_brick(bly_vec(0, -6e-3, -10e-3), bly_vec(80e-3, 6e-3, 10e-3)), out;
    BlyError err = {0};
    assert_false(bly_mesh_slot(&brick, slot, &out, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    assert_non_null(strstr(err.text, text));
    bly_mesh_release(&brick);
}

static void what_cannot_be_sawn(void **state) {
    (void)state;
    BlySlot off = slot_at(-30e-3, -10e-3, 90, 1e-3, 6e-3), through = off;
    refused(&off, "misses");
    through.mouth.x = 40e-3;
    through.depth = 30e-3;
    refused(&through, "in two");
    BlyMesh mesh;
    BlyBody *body = body_of(0);
    BlyError err = {0};
    assert_false(bly_body_facets(body, 1e-9, &mesh, &err));
    assert_string_equal(err.where, "/chord");
    bly_body_free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_the_chord),   cmocka_unit_test(back_as_a_body),
        cmocka_unit_test(slot_in_a_brick),    cmocka_unit_test(slots_by_chance),
        cmocka_unit_test(slot_into_a_hollow), cmocka_unit_test(what_cannot_be_sawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
