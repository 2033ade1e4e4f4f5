/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quick stand-in for a large mesh: rings of its own sections, mirrored, with some thousand
 * facets. A search makes a hundred cuts before it is near its answer; those it makes here. */
#include "shape/mesh.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

enum { LARGE = 10000, RINGS = 60, LEVEL_STEP = 3 };
enum { LEVELS = (MESH_LEVELS - 1) / LEVEL_STEP + 1, AROUND = 2 * (LEVELS - 1) };

/* From the belly up the starboard side to the back, and down the port side. */
static void fill_ring(const MeshBody *mesh, double x, BlyVec3 *ring) {
    double z[MESH_LEVELS], half[MESH_LEVELS];
    mesh_outline(mesh, x, z, half);
    for (int j = 0; j < AROUND; j++) {
        int level = LEVEL_STEP * (j < LEVELS ? j : AROUND - j);
        double y = j == 0 || j == LEVELS - 1 ? 0.0 : half[level];
        ring[j] = bly_vec(x, j < LEVELS ? y : -y, z[level]);
    }
}

static void fill_points(const MeshBody *mesh, BlyMesh *out) {
    BlyBox box = mesh->body.box;
    double half = 0.5 * (box.high.x - box.low.x), middle = 0.5 * (box.high.x + box.low.x);
    for (int i = 0; i < RINGS; i++)
        fill_ring(mesh, middle - half * cos(PI * (i + 0.5) / RINGS), out->points + AROUND * i);
    BlySection nose, tail;
    (void)bly_mesh_section(&mesh->body, box.low.x, &nose);
    (void)bly_mesh_section(&mesh->body, box.high.x, &tail);
    out->points[RINGS * AROUND] = bly_vec(box.low.x, 0.0, nose.centre);
    out->points[RINGS * AROUND + 1] = bly_vec(box.high.x, 0.0, tail.centre);
}

static void put(BlyMesh *out, int a, int b, int c) {
    uint32_t *to = out->facets[out->facet_count++];
    to[0] = (uint32_t)a;
    to[1] = (uint32_t)b;
    to[2] = (uint32_t)c;
}

/* Mirrored too, so that no side is favoured. */
static void fill_facets(BlyMesh *out) {
    out->facet_count = 0;
    for (int j = 0; j < AROUND; j++) {
        int k = (j + 1) % AROUND, end = AROUND * (RINGS - 1);
        put(out, RINGS * AROUND, k, j);
        put(out, RINGS * AROUND + 1, end + j, end + k);
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

bool mesh_rough_make(MeshBody *mesh, BlyError *err) {
    if (!mesh->even || mesh->mesh.facet_count < LARGE)
        return true;
    MeshBody *rough = calloc(1, sizeof *rough);
    if (rough == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    mesh->body.rough = &rough->body;
    rough->body.kind = &bly_mesh_kind;
    rough->even = true;
    if (!mesh_allocate(RINGS * AROUND + 2, 2 * RINGS * AROUND, &rough->mesh, err))
        return false;
    fill_points(mesh, &rough->mesh);
    fill_facets(&rough->mesh);
    if (!mesh_sort(&rough->mesh, err) || !mesh_tree_make(&rough->mesh, &rough->tree, err))
        return false;
    rough->body.box = mesh_box(&rough->mesh);
    rough->body.solid = mesh_solid(&rough->mesh);
    rough->body.solid.centroid.y = 0.0;
    return true;
}
