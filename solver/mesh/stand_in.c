/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stand-in of a large mesh (bly_body_rough): rings of its own sections, some thousand facets. A
 * search makes a hundred cuts before it is near its answer, and makes them in the stand-in; its
 * answer is of the mesh itself. Held to the full cut by is_alike() below for every body, and by
 * tests/balance/test_float_rough.c and tests/fit/test_fit_mesh.c: the same rests and lists with the
 * stand-in and without. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

/* Smaller meshes are quick themselves. A point of a ring at each so many levels. */
enum { FACETS_LEAST = 3000, RINGS = 24, STEP = 8, AROUND = 2 * (MESH_LEVELS - 1) / STEP };

/* From the belly up the starboard side to the back, and down the port side. */
static void fill_ring(const MeshBody *mesh, double x, BlyVec3 *ring) {
    MeshOutline at;
    mesh_outline(mesh, x, &at);
    for (int j = 0; j < AROUND; j++) {
        bool starboard = j <= AROUND / 2, end = j == 0 || j == AROUND / 2;
        int level = STEP * (starboard ? j : AROUND - j);
        double half = end ? 0.0 : at.half[level];
        ring[j] = bly_vec(x, at.off[level] + (starboard ? half : -half), at.z[level]);
    }
}

static BlyVec3 tip(const MeshBody *mesh, double x) {
    MeshOutline at;
    mesh_outline(mesh, x, &at);
    return bly_vec(x, at.off[MESH_LEVELS / 2], 0.5 * (at.z[0] + at.z[MESH_LEVELS - 1]));
}

static void fill_points(const MeshBody *mesh, BlyMesh *out) {
    BlyBox box = mesh->body.box;
    double half = 0.5 * (box.high.x - box.low.x), middle = 0.5 * (box.high.x + box.low.x);
    BlyVec3 *to = out->points;
    for (int i = 0; i < RINGS; i++, to += AROUND)
        fill_ring(mesh, middle - half * cos(PI * (i + 0.5) / RINGS), to);
    to[0] = tip(mesh, box.low.x);
    to[1] = tip(mesh, box.high.x);
}

static void put(BlyMesh *out, int a, int b, int c) {
    uint32_t *to = out->facets[out->facet_count++];
    to[0] = (uint32_t)a;
    to[1] = (uint32_t)b;
    to[2] = (uint32_t)c;
}

/* Mirrored too, so that no side is favoured. */
static void fill_facets(BlyMesh *out) {
    int end = AROUND * (RINGS - 1), nose = end + AROUND;
    out->facet_count = 0;
    for (int j = 0; j < AROUND; j++) {
        int k = (j + 1) % AROUND;
        put(out, nose, k, j);
        put(out, nose + 1, end + j, end + k);
        for (int a = j, b = k; a < end; a += AROUND, b += AROUND) {
            if (j < AROUND / 2) {
                put(out, a, b, b + AROUND);
                put(out, a, b + AROUND, a + AROUND);
            } else {
                put(out, a, b, a + AROUND);
                put(out, b, b + AROUND, a + AROUND);
            }
        }
    }
}

static bool fill_rough(const MeshBody *mesh, MeshBody *rough, BlyError *err) {
    rough->even = mesh->even;
    if (!mesh_allocate(RINGS * AROUND + 2, 2 * RINGS * AROUND, &rough->mesh, err))
        return false;
    fill_points(mesh, &rough->mesh);
    fill_facets(&rough->mesh);
    if (!mesh_sort(&rough->mesh, err) || !mesh_tree_make(&rough->mesh, &rough->tree, err))
        return false;
    rough->body.box = mesh_box(&rough->mesh);
    rough->body.solid = mesh_solid(&rough->mesh);
    if (rough->even)
        rough->body.solid.centroid.y = 0.0;
    return true;
}

/* Volume and centroid below a plane through the box's middle, and a quarter of its extent below and
 * above that. */
static bool alike_below(const MeshBody *mesh, const MeshBody *rough, BlyVec3 up) {
    static const double enough = 0.01;
    BlyBox box = mesh->body.box;
    BlyVec3 middle = bly_vec_scale(bly_vec_add(box.low, box.high), 0.5);
    BlyVec3 half = bly_vec_scale(bly_vec_sub(box.high, box.low), 0.5);
    double extent = fabs(up.x) * half.x + fabs(up.y) * half.y + fabs(up.z) * half.z;
    double scale = mesh->body.solid.volume / rough->body.solid.volume;
    for (int i = -1; i <= 1; i++) {
        BlyPlane plane = {up, bly_vec_dot(up, middle) + 0.5 * i * extent};
        BlyCut a = mesh_cut(&mesh->body, plane), b = mesh_cut(&rough->body, plane);
        BlyVec3 off = bly_vec_sub(bly_vec_scale(a.centroid, a.volume),
                                  bly_vec_scale(b.centroid, b.volume * scale));
        double most = enough * mesh->body.solid.volume;
        if (!(fabs(a.volume - b.volume * scale) <= most && fabs(off.x) <= 2.0 * most * half.x &&
              fabs(off.y) <= 2.0 * most * half.y && fabs(off.z) <= 2.0 * most * half.z))
            return false;
    }
    return true;
}

/* A body of several parts side by side, or with clefts, is not what its sections' chords say. */
static bool is_alike(const MeshBody *mesh, const MeshBody *rough) {
    static const double angles[][2] = {{0.0, 0.0}, {1.0, 0.0},  {-1.0, 0.0}, {0.0, 0.5 * PI},
                                       {0.5, 0.8}, {-0.5, 0.8}, {0.2, -0.8}, {-0.2, -0.8}};
    if (!(rough->body.solid.volume > 0.0))
        return false;
    for (size_t i = 0; i < sizeof angles / sizeof angles[0]; i++) {
        if (!alike_below(mesh, rough, bly_vec_up(angles[i][0], angles[i][1])))
            return false;
    }
    return true;
}

bool mesh_stand_in_make(MeshBody *mesh, BlyError *err) {
    if (mesh->mesh.facet_count < FACETS_LEAST)
        return true;
    MeshBody *rough = calloc(1, sizeof *rough);
    if (rough == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    rough->body.kind = &mesh_kind;
    mesh->body.rough = &rough->body;
    if (!fill_rough(mesh, rough, err))
        return false;
    if (!is_alike(mesh, rough)) {
        bly_body_free(mesh->body.rough);
        mesh->body.rough = NULL;
    }
    return true;
}
