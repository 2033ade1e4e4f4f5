/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surfaces that run through themselves: against brute force over all pairs in whole numbers, and
 * constructions of which plain geometry says whether they do. Clean meshes are let pass. */
#include "loft/bodies.h"
#include "ballastry/facets.h"
#include "mesh/mesh_body.h"
#include "support/dice.h"
#include "support/meshes.h"

static void round_to_single(BlyMesh *mesh) {
    for (size_t p = 0; p < mesh->point_count; p++) {
        double *at[3] = {&mesh->points[p].x, &mesh->points[p].y, &mesh->points[p].z};
        for (int k = 0; k < 3; k++)
            *at[k] = 1e-3 * (double)(float)(1e3 * *at[k]);
    }
}

/* NULL: passes. Else the refusal must hold this text; *err tells. */
static void look(BlyMesh *mesh, const char *refusal, BlyError *err) {
    BlyBody *body = NULL;
    BlyMeshFacts facts;
    *err = (BlyError){0};
    round_to_single(mesh);
    bool good = bly_body_from_mesh(mesh, NULL, &body, &facts, err);
    if (good != (refusal == NULL))
        print_error("%s\n", good ? "not refused" : err->text);
    assert_int_equal(good, refusal == NULL);
    if (good)
        assert_true(facts.searched);
    else if (strstr(err->text, refusal) == NULL)
        fail_msg("%s", err->text);
    bly_body_free(body);
    bly_mesh_release(mesh);
}

static void passes(BlyMesh mesh) {
    BlyError err;
    look(&mesh, NULL, &err);
}

static const BlyVec3 origin = {0.0, 0.0, 0.0};

/* Points of a convex or star-shaped surface moved towards or from its middle leave it star-shaped:
 * it cannot run through itself, however rough. */
static void clean_meshes_pass(void **state) {
    (void)state;
    const size_t fine[][2] = {{2, 3}, {5, 8}, {40, 24}, {300, 150}, {3, 2000}, {3000, 5}};
    Dice dice = {5};
    for (size_t i = 0; i < sizeof fine / sizeof fine[0]; i++) {
        for (int rough = 0; rough < 3; rough++) {
            BlyMesh mesh = mesh_ellipsoid(0.045, 0.008, 0.01, origin, fine[i][0], fine[i][1]);
            for (size_t p = 0; p < mesh.point_count; p++)
                mesh.points[p] = bly_vec_scale(
                    mesh.points[p], 1.0 + dice_between(&dice, -0.5, 0.5) * 0.003 * rough * rough);
            passes(mesh);
        }
    }
}

/* Wall of 20 micrometres around a hollow; a hollow within a hollow; bodies 20 micrometres apart. */
static void thin_walls_pass(void **state) {
    (void)state;
    const double gap = 20e-6;
    BlyMesh brick = mesh_brick(bly_vec(0.0, -0.007, -0.01), bly_vec(0.08, 0.007, 0.01));
    BlyMesh room = mesh_brick(bly_vec(gap, gap - 0.007, gap - 0.01),
                              bly_vec(0.08 - gap, 0.007 - gap, 0.01 - gap));
    BlyMesh core = mesh_brick(bly_vec(2 * gap, 2 * gap - 0.007, 2 * gap - 0.01),
                              bly_vec(0.04, 0.007 - 2 * gap, 0.01 - 2 * gap));
    BlyMesh next = mesh_brick(bly_vec(0.08 + gap, -0.007, -0.01), bly_vec(0.09, 0.007, 0.01));
    mesh_join(&brick, &room, true);
    mesh_join(&brick, &core, false);
    mesh_join(&brick, &next, false);
    passes(brick);
    BlyMesh egg = mesh_ellipsoid(0.045, 0.008, 0.01, origin, 200, 100);
    BlyMesh air = mesh_ellipsoid(0.0445, 0.0078, 0.0097, origin, 150, 70);
    mesh_join(&egg, &air, true);
    passes(egg);
}

/* Carved and knife-edged bodies as they are written for a printer, whole and sawn. */
static void what_is_written_passes(void **state) {
    (void)state;
    const double chord[] = {2e-4, 2e-5}, exponent[] = {1.3, 2.0, 6.0};
    for (int i = 0; i < 6; i++) {
        BlyBody *body = make_minnow(exponent[i % 3], i % 2 == 0 ? 1.0 : -1.0);
        BlyMesh mesh, sawn;
        BlySection at;
        BlyError err = {0};
        assert_true(bly_body_facets(body, chord[i / 3], &mesh, &err));
        assert_true(bly_body_section(body, 0.012, &at));
        BlySlot slot = {{0.012, 0.0, at.belly}, {-0.5, 0.0, -0.75 / cos(PI / 6)}, 8e-4, 5e-3};
        assert_true(bly_mesh_slot(&mesh, &slot, &sawn, &err));
        passes(mesh);
        passes(sawn);
        bly_body_free(body);
    }
}

/* A round bar bent along (t^2, t^3 - t), which meets itself at t = -1 and 1, there `apart` in
 * height: two loops joined by a neck into one shell. Its strands touch where they are 2 r apart,
 * less what the corners of its n-sided section leave: 2 r cos(pi/n). */
typedef struct Bend {
    double apart, radius;
    size_t rings, around;
} Bend;

static BlyVec3 bend_middle(const Bend *bend, double t) {
    return bly_vec(0.03 * t * t, 0.03 * (t * t * t - t), 0.5 * bend->apart * t);
}

static BlyVec3 bend_at(const void *user, size_t i, size_t j) {
    const Bend *bend = user;
    double t = -1.4 + 2.8 * (double)i / (double)(bend->rings - 1);
    double w = 2.0 * PI * ((double)j + 0.5) / (double)bend->around;
    BlyVec3 along = bly_vec(2.0 * t, 3.0 * t * t - 1.0, 0.0);
    BlyVec3 side = bly_vec_scale(bly_vec(-along.y, along.x, 0.0), 1.0 / bly_vec_norm(along));
    BlyVec3 off = bly_vec_scale(side, -bend->radius * sin(w));
    off.z = -bend->radius * cos(w);
    return bly_vec_add(bend_middle(bend, t), off);
}

static BlyMesh bent_bar(double apart, size_t rings, size_t around) {
    Bend bend = {apart, 0.004, rings, around};
    return mesh_rings(rings, around, bend_middle(&bend, -1.4), bend_middle(&bend, 1.4), bend_at,
                      &bend);
}

static void a_loop_through_itself(void **state) {
    (void)state;
    const size_t fine[][2] = {{30, 8}, {200, 24}, {900, 60}};
    for (size_t i = 0; i < sizeof fine / sizeof fine[0]; i++) {
        double touch = 0.008 * cos(PI / (double)fine[i][1]);
        passes(bent_bar(1.2 * 0.008, fine[i][0], fine[i][1])); /* they lean by 4 degrees */
        for (int deep = 0; deep < 3; deep++) {
            double apart = deep == 0 ? touch - 1e-4 : deep == 1 ? 0.5 * touch : 0.0;
            BlyMesh mesh = bent_bar(apart, fine[i][0], fine[i][1]);
            BlyError err;
            double x, y, z;
            look(&mesh, "runs through itself near x ", &err);
            assert_int_equal(
                sscanf(strstr(err.text, "near x "), "near x %lf, y %lf, z %lf mm", &x, &y, &z), 3);
            /* both strands are within their radius of the crossing, square to each other within
             * 37 degrees: 2 r/sin(53 deg) around it */
            assert_true(hypot(x - 30.0, y) < 2.0 * 4.0 / 0.79);
            assert_true(fabs(z) <= 4.0 + 500.0 * apart);
        }
    }
}

/* A polygon in x-z (mm) as a prism, its ends parted as the triangles say. */
static BlyMesh prism(const double (*at)[2], size_t count, const uint32_t (*ends)[3], size_t end) {
    BlyMesh mesh = mesh_room(2 * count, 2 * count + 2 * end);
    for (size_t i = 0; i < 2 * count; i++)
        (void)mesh_point(&mesh, 1e-3 * at[i % count][0], i < count ? -0.005 : 0.005,
                         1e-3 * at[i % count][1]);
    uint32_t n = (uint32_t)count;
    for (uint32_t i = 0; i < n; i++) {
        uint32_t k = (i + 1) % n;
        mesh_facet(&mesh, i, k + n, k);
        mesh_facet(&mesh, i, i + n, k + n);
    }
    for (size_t i = 0; i < end; i++) {
        mesh_facet(&mesh, ends[i][0], ends[i][1], ends[i][2]);
        mesh_facet(&mesh, ends[i][0] + n, ends[i][2] + n, ends[i][1] + n);
    }
    return mesh;
}

/* The back runs forward, a little back on itself, and forward again: at the same height, it is a
 * fold; with the middle sheet sunk, a slit, and no fault. A sheet that stands up is a fin; without
 * thickness, a fold. */
static void folds(void **state) {
    (void)state;
    const uint32_t ends[][3] = {{0, 1, 2}, {0, 2, 3}, {0, 3, 4}, {0, 4, 5}};
    for (int sunk = 0; sunk < 2; sunk++) {
        const double back[][2] = {{0, 0}, {60, 0}, {60, 20}, {30, 20}, {40, 20 - sunk * 2},
                                  {0, 18}};
        const uint32_t slit[][3] = {{0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {0, 4, 5}};
        BlyMesh mesh = prism(back, 6, sunk == 1 ? slit : ends, 4);
        if (sunk == 0)
            mesh.points[5].z = mesh.points[11].z = 0.02;
        BlyError err;
        look(&mesh, sunk == 1 ? NULL : "folded back on itself near x ", &err);
    }
    for (int thick = 0; thick < 2; thick++) {
        const double fin[][2] = {
            {0, 0}, {60, 0}, {60, 20}, {30, 20}, {30 - thick * 0.05, 30}, {30 - thick * 0.1, 20},
            {0, 20}};
        const uint32_t fin_ends[][3] = {{0, 1, 2}, {0, 2, 3}, {0, 3, 5}, {3, 4, 5}, {0, 5, 6}};
        BlyMesh mesh = prism(fin, 7, fin_ends, 5);
        if (thick == 0) /* 3 and 5 are one place, which would be welded: set them 10 mm apart */
            mesh.points[5].x = mesh.points[12].x = 0.03,
            mesh.points[5].z = mesh.points[12].z = 0.01;
        BlyError err;
        look(&mesh, thick == 1 ? NULL : "folded back on itself near x ", &err);
    }
}

/* A band bent to a ring, whose ends overlap plane on plane and edge on edge, or lie apart: no edge
 * pierces a face, so that lines alone find it. */
static void a_band_that_overlaps_itself(void **state) {
    (void)state;
    const uint32_t ends[][3] = {{0, 1, 10}, {0, 10, 11}, {1, 2, 9}, {1, 9, 10}, {2, 3, 8},
                                {2, 8, 9},  {3, 4, 7},   {3, 7, 8}, {4, 5, 6},  {4, 6, 7}};
    for (int apart = 0; apart < 2; apart++) {
        double end = apart == 1 ? 60 : 20;
        const double band[][2] = {{40, 0},   {-20, 0}, {-20, 60}, {100, 60}, {100, 0}, {end, 0},
                                  {end, 20}, {80, 20}, {80, 40},  {0, 40},   {0, 20},  {40, 20}};
        BlyMesh mesh = prism(band, 12, ends, 10);
        BlyError err;
        look(&mesh, apart == 1 ? NULL : "runs through itself", &err);
    }
}

/* One point of a fine mesh pulled right through the other side: too thin for the lines, so that the
 * pairs alone find it. Pulled to just within, it passes. */
static void a_spike(void **state) {
    (void)state;
    for (int out = 0; out < 2; out++) {
        BlyMesh mesh = mesh_ellipsoid(0.045, 0.008, 0.01, origin, 300, 150);
        size_t top = 150 * 120;
        for (size_t p = 150 * 120; p < 150 * 121; p++)
            top = mesh.points[p].z > mesh.points[top].z ? p : top;
        double x = mesh.points[top].x, floor = -mesh.points[top].z;
        mesh.points[top].z = floor + (out == 1 ? -1e-3 : 1e-3);
        BlyError err;
        look(&mesh, out == 1 ? "runs through itself" : NULL, &err);
        double at_x, at_y, at_z;
        if (out == 1) {
            assert_int_equal(sscanf(strstr(err.text, "near x "), "near x %lf, y %lf, z %lf mm",
                                    &at_x, &at_y, &at_z),
                             3);
            assert_close(at_x, 1e3 * x, 0.1, 0.0);
            assert_close(at_y, 0.0, 0.1, 0.0);
            assert_close(at_z, 1e3 * floor, 0.1, 0.0);
        }
    }
}

/* Bricks that lie in each other plane on plane. Side by side they touch and no more. */
static void planes_within_planes(void **state) {
    (void)state;
    for (int apart = 0; apart < 2; apart++) {
        BlyMesh one = mesh_brick(bly_vec(0.0, -0.005, -0.01), bly_vec(0.04, 0.005, 0.01));
        double from = apart == 1 ? 0.04 : 0.02;
        BlyMesh two = mesh_brick(bly_vec(from, -0.005, -0.01), bly_vec(0.07, 0.005, 0.01));
        mesh_join(&one, &two, false);
        BlyError err;
        look(&one, apart == 1 ? NULL : "through", &err);
    }
}

/* ---- brute force, in whole numbers: no rounding, nothing to tune */

typedef struct Whole {
    int64_t x, y, z;
} Whole;

/* Six times the signed volume of a tetrahedron. */
static int64_t sixfold(Whole a, Whole b, Whole c, Whole d) {
    int64_t bx = b.x - a.x, by = b.y - a.y, bz = b.z - a.z, cx = c.x - a.x, cy = c.y - a.y;
    int64_t cz = c.z - a.z, dx = d.x - a.x, dy = d.y - a.y, dz = d.z - a.z;
    return bx * (cy * dz - cz * dy) - by * (cx * dz - cz * dx) + bz * (cx * dy - cy * dx);
}

static int sign(int64_t v) {
    return (v > 0) - (v < 0);
}

static Whole whole_corner(const Whole *at, const BlyMesh *mesh, size_t i, int k) {
    return at[mesh->facets[i][k]];
}

/* An edge of i runs through the inside of j: its ends lie on either side of j's plane, and j's
 * corners go around its line one way. */
static bool whole_pierce(const Whole *at, const BlyMesh *mesh, size_t i, size_t j) {
    Whole t[3];
    for (int k = 0; k < 3; k++)
        t[k] = whole_corner(at, mesh, j, k);
    for (int k = 0; k < 3; k++) {
        Whole p = whole_corner(at, mesh, i, k), q = whole_corner(at, mesh, i, (k + 1) % 3);
        int turn = sign(sixfold(p, q, t[0], t[1]));
        if (sign(sixfold(t[0], t[1], t[2], p)) * sign(sixfold(t[0], t[1], t[2], q)) < 0 &&
            turn != 0 && turn == sign(sixfold(p, q, t[1], t[2])) &&
            turn == sign(sixfold(p, q, t[2], t[0])))
            return true;
    }
    return false;
}

/* Two facets with an edge in common, flat on each other. */
static bool whole_fold(const Whole *at, const BlyMesh *mesh, size_t i, size_t j) {
    for (int k = 0; k < 3; k++) {
        for (int m = 0; m < 3; m++) {
            const uint32_t *f = mesh->facets[i], *g = mesh->facets[j];
            if (f[k] != g[(m + 1) % 3] || f[(k + 1) % 3] != g[m])
                continue;
            Whole a = at[f[k]], b = at[f[(k + 1) % 3]], c = at[f[(k + 2) % 3]],
                  d = at[g[(m + 2) % 3]];
            if (sixfold(a, b, c, d) != 0)
                return false;
            /* (b - a) x (c - a) and (b - a) x (d - a) point the same way */
            int64_t u[3] = {b.x - a.x, b.y - a.y, b.z - a.z}, dot = 0;
            int64_t v[3] = {c.x - a.x, c.y - a.y, c.z - a.z},
                    w[3] = {d.x - a.x, d.y - a.y, d.z - a.z};
            for (int r = 0; r < 3; r++) {
                int s = (r + 1) % 3, q = (r + 2) % 3;
                dot += (u[s] * v[q] - u[q] * v[s]) * (u[s] * w[q] - u[q] * w[s]);
            }
            return dot > 0;
        }
    }
    return false;
}

/* Times gone around a point off the lattice, by solid angles. */
static int turns_about(const BlyMesh *mesh, BlyVec3 p) {
    double sum = 0.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 a = bly_vec_sub(mesh_corner(mesh, i, 0), p);
        BlyVec3 b = bly_vec_sub(mesh_corner(mesh, i, 1), p);
        BlyVec3 c = bly_vec_sub(mesh_corner(mesh, i, 2), p);
        double la = bly_vec_norm(a), lb = bly_vec_norm(b), lc = bly_vec_norm(c);
        sum += 2.0 * atan2(bly_vec_dot(a, bly_vec_cross(b, c)),
                           la * lb * lc + bly_vec_dot(a, b) * lc + bly_vec_dot(b, c) * la +
                               bly_vec_dot(c, a) * lb);
    }
    return (int)lround(sum / (4.0 * PI));
}

/* In how many cells of the lattice the surface goes around twice, or backwards: looked at near
 * their middles, off all planes of symmetry. */
static size_t wound_wrong(const BlyMesh *mesh, bool outward, long reach) {
    size_t wrong = 0;
    for (long n = 0; n < 8 * reach * reach * reach; n++) {
        long i = n % (2 * reach), j = n / (2 * reach) % (2 * reach), k = n / (4 * reach * reach);
        BlyVec3 p =
            bly_vec(1e-3 * ((double)(i - reach) + 0.53), 1e-3 * ((double)(j - reach) + 0.41),
                    1e-3 * ((double)(k - reach) + 0.47));
        int turns = turns_about(mesh, p) * (outward ? 1 : -1);
        wrong += turns != 0 && turns != 1;
    }
    return wrong;
}

enum { REACH = 6 /* of the lattice */, LARGE = 4 /* cells that lines must find */ };

/* A coarse ball on the lattice, its points shaken. */
static BlyMesh shaken(Dice *dice, double by, Whole *at) {
    BlyMesh mesh = mesh_ellipsoid(0.004, 0.004, 0.004, origin, 2 + dice_below(dice, 3),
                                  3 + dice_below(dice, 4));
    for (size_t p = 0; p < mesh.point_count; p++) {
        double *v[3] = {&mesh.points[p].x, &mesh.points[p].y, &mesh.points[p].z};
        long w[3];
        for (int k = 0; k < 3; k++) {
            double shifted = 1e3 * *v[k] + dice_between(dice, -by, by);
            w[k] = lround(fmin((double)REACH, fmax(-(double)REACH, shifted)));
            *v[k] = 1e-3 * (double)w[k];
        }
        at[p] = (Whole){w[0], w[1], w[2]};
    }
    return mesh;
}

static bool usable(const BlyMesh *mesh) {
    for (size_t i = 0; i < mesh->facet_count; i++) {
        if (bly_vec_norm(mesh_area(mesh, i)) < 1e-9)
            return false;
    }
    return fabs(bly_mesh_volume(mesh)) > 1e-9;
}

/* The search's answer for a mesh as it stands, turned outward. */
static bool found_to_cross(const BlyMesh *mesh, bool outward) {
    BlyMesh sorted = mesh_room(mesh->point_count, mesh->facet_count);
    for (size_t p = 0; p < mesh->point_count; p++)
        (void)mesh_point(&sorted, mesh->points[p].x, mesh->points[p].y, mesh->points[p].z);
    for (size_t i = 0; i < mesh->facet_count; i++)
        mesh_facet(&sorted, mesh->facets[i][0], mesh->facets[i][outward ? 1 : 2],
                   mesh->facets[i][outward ? 2 : 1]);
    MeshTree tree;
    BlyMeshCheck check;
    BlyError err = {0};
    bool searched = false;
    uint32_t(*across)[3] = calloc(mesh->facet_count, sizeof *across);
    assert_non_null(across);
    assert_true(mesh_sort(&sorted, &err) && bly_mesh_pair(&sorted, across, &check, &err) &&
                mesh_tree_make(&sorted, &tree, &err));
    bool good = mesh_check_crossing(&sorted, &tree, (const uint32_t(*)[3])across, &searched, &err);
    assert_true(good ? searched : err.code == BLY_E_CONFLICT);
    mesh_tree_release(&tree);
    bly_mesh_release(&sorted);
    free(across);
    return !good;
}

/* On this lattice a crossing is at least 1/500 of a step deep: a determinant of 1 over areas below
 * 500; far above what is let be. So pair by pair both must say the same. Of the whole mesh: pierced
 * or folded, it must be refused; refused, it must be pierced or folded or wound wrong somewhere.
 * Facets that cross in a corner or edge exactly, as they can on a lattice alone, pierce nothing: of
 * those the lines find what is not too small. */
static void against_brute_force(void **state) {
    (void)state;
    Dice dice = {20};
    int crossing = 0, clean = 0, by_lines = 0, runs = repeats(800, 300);
    for (int run = 0; run < runs; run++) {
        Whole at[64];
        BlyMesh mesh = shaken(&dice, dice_between(&dice, 0.0, 4.0), at);
        bool pierced = false, folded = false;
        for (size_t i = 0; usable(&mesh) && i < mesh.facet_count; i++) {
            for (size_t j = i + 1; j < mesh.facet_count; j++) {
                bool brute = whole_pierce(at, &mesh, i, j) || whole_pierce(at, &mesh, j, i);
                BlyVec3 place;
                assert_int_equal(mesh_facets_cross(&mesh, i, j, 2e-7, &place) > 0.0, brute);
                pierced |= brute;
                folded |= whole_fold(at, &mesh, i, j);
            }
        }
        if (usable(&mesh)) {
            bool outward = bly_mesh_volume(&mesh) > 0.0, found = found_to_cross(&mesh, outward);
            bool plain = pierced || folded;
            size_t wrong = plain ? 0 : wound_wrong(&mesh, outward, REACH);
            if (found != plain)
                print_message("run %d: found %d, pierced or folded %d, %zu cells wound wrong\n",
                              run, found, plain, wrong);
            assert_true(found || !(plain || wrong >= LARGE));
            assert_true(plain || wrong > 0 || !found);
            crossing += pierced;
            by_lines += found && !plain;
            clean += !found;
        }
        bly_mesh_release(&mesh);
    }
    print_message("%d cross, %d found by lines alone, %d clean\n", crossing, by_lines, clean);
    assert_true(crossing > runs / 8 && clean > runs / 8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(clean_meshes_pass),
        cmocka_unit_test(thin_walls_pass),
        cmocka_unit_test(what_is_written_passes),
        cmocka_unit_test(a_loop_through_itself),
        cmocka_unit_test(folds),
        cmocka_unit_test(planes_within_planes),
        cmocka_unit_test(against_brute_force),
        cmocka_unit_test(a_spike),
        cmocka_unit_test(a_band_that_overlaps_itself),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
