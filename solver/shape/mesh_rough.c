/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quick stand-ins for a large mesh: rings of its own sections with some thousand facets, and for a
 * very large one some ten thousand, with the former as its own stand-in. A search makes a hundred
 * cuts before it is near its answer; those it makes in the smallest. */
#include "shape/mesh.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

/* How finely a stand-in is cut up. */
typedef struct Grain {
    size_t least;            /* facets: made for meshes of no fewer */
    int rings, step, around; /* step: a point at each so many levels */
} Grain;

enum { ROUND = 2 * (MESH_LEVELS - 1) };
static const Grain grains[] = {{3000, 24, 8, ROUND / 8}, {50000, 120, 2, ROUND / 2}};
enum { GRAINS = sizeof grains / sizeof grains[0] };

/* From the belly up the starboard side to the back, and down the port side. */
static void fill_ring(const MeshBody *mesh, const Grain *grain, double x, BlyVec3 *ring) {
    MeshOutline at;
    mesh_outline(mesh, x, &at);
    for (int j = 0; j < grain->around; j++) {
        bool starboard = j <= grain->around / 2, end = j == 0 || j == grain->around / 2;
        int level = grain->step * (starboard ? j : grain->around - j);
        double half = end ? 0.0 : at.half[level];
        ring[j] = bly_vec(x, at.off[level] + (starboard ? half : -half), at.z[level]);
    }
}

static BlyVec3 tip(const MeshBody *mesh, double x) {
    MeshOutline at;
    mesh_outline(mesh, x, &at);
    return bly_vec(x, at.off[MESH_LEVELS / 2], 0.5 * (at.z[0] + at.z[MESH_LEVELS - 1]));
}

static void fill_points(const MeshBody *mesh, const Grain *grain, BlyMesh *out) {
    BlyBox box = mesh->body.box;
    double half = 0.5 * (box.high.x - box.low.x), middle = 0.5 * (box.high.x + box.low.x);
    BlyVec3 *to = out->points;
    for (int i = 0; i < grain->rings; i++, to += grain->around)
        fill_ring(mesh, grain, middle - half * cos(PI * (i + 0.5) / grain->rings), to);
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
static void fill_facets(const Grain *grain, BlyMesh *out) {
    int around = grain->around, end = around * (grain->rings - 1), nose = end + around;
    out->facet_count = 0;
    for (int j = 0; j < around; j++) {
        int k = (j + 1) % around;
        put(out, nose, k, j);
        put(out, nose + 1, end + j, end + k);
        for (int a = j, b = k; a < end; a += around, b += around) {
            if (j < around / 2) {
                put(out, a, b, b + around);
                put(out, a, b + around, a + around);
            } else {
                put(out, a, b, a + around);
                put(out, b, b + around, a + around);
            }
        }
    }
}

static bool fill_rough(const MeshBody *mesh, const Grain *grain, MeshBody *rough, BlyError *err) {
    size_t around = (size_t)grain->around, rings = (size_t)grain->rings;
    rough->body.kind = &bly_mesh_kind;
    rough->even = mesh->even;
    if (!mesh_allocate(rings * around + 2, 2 * rings * around, &rough->mesh, err))
        return false;
    fill_points(mesh, grain, &rough->mesh);
    fill_facets(grain, &rough->mesh);
    if (!mesh_sort(&rough->mesh, err) || !mesh_tree_make(&rough->mesh, &rough->tree, err) ||
        !mesh_leaves_make(&rough->mesh, &rough->tree, err))
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
        BlyCut a = bly_mesh_cut(&mesh->body, plane), b = bly_mesh_cut(&rough->body, plane);
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

bool mesh_rough_make(MeshBody *mesh, BlyError *err) {
    for (int i = 0; i < GRAINS && mesh->mesh.facet_count >= grains[i].least; i++) {
        MeshBody *rough = calloc(1, sizeof *rough);
        if (rough == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
        rough->body.kind = &bly_mesh_kind;
        rough->body.rough = mesh->body.rough;
        mesh->body.rough = &rough->body;
        if (!fill_rough(mesh, &grains[i], rough, err))
            return false;
    }
    const MeshBody *finest = bly_mesh_body(mesh->body.rough);
    if (finest != NULL && !is_alike(mesh, finest)) {
        bly_body_free(mesh->body.rough);
        mesh->body.rough = NULL;
    }
    return true;
}
