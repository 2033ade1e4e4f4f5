/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A mesh turned and shifted into body axes. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

void bly_mesh_release(BlyMesh *mesh) {
    free(mesh->points);
    free(mesh->facets);
    *mesh = (BlyMesh){0};
}

bool mesh_allocate(size_t points, size_t facets, BlyMesh *out, BlyError *err) {
    *out = (BlyMesh){.point_count = points, .facet_count = facets};
    out->points = calloc(points + 1, sizeof *out->points);
    out->facets = calloc(facets + 1, sizeof *out->facets);
    if (out->points != NULL && out->facets != NULL)
        return true;
    bly_mesh_release(out);
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh of %zu facets", facets);
}

BlyBox mesh_box(const BlyMesh *mesh) {
    BlyBox box = {bly_vec(HUGE_VAL, HUGE_VAL, HUGE_VAL), bly_vec(-HUGE_VAL, -HUGE_VAL, -HUGE_VAL)};
    for (size_t i = 0; i < mesh->point_count; i++) {
        BlyVec3 p = mesh->points[i];
        box.low = bly_vec(fmin(box.low.x, p.x), fmin(box.low.y, p.y), fmin(box.low.z, p.z));
        box.high = bly_vec(fmax(box.high.x, p.x), fmax(box.high.y, p.y), fmax(box.high.z, p.z));
    }
    return box;
}

static bool is_zero(BlyVec3 v) {
    return v.x == 0.0 && v.y == 0.0 && v.z == 0.0;
}

/* The fuller end of the longest side. A tie goes to the earlier axis and its low end. */
static BlyVec3 find_nose(const BlyMesh *mesh) {
    BlyBox box = mesh_box(mesh);
    BlyVec3 size = bly_vec_sub(box.high, box.low);
    BlyVec3 axis = size.x >= size.y && size.x >= size.z ? bly_vec(1.0, 0.0, 0.0)
                   : size.y >= size.z                   ? bly_vec(0.0, 1.0, 0.0)
                                                        : bly_vec(0.0, 0.0, 1.0);
    BlyVec3 middle = bly_vec_scale(bly_vec_add(box.low, box.high), 0.5);
    BlyVec3 centroid = mesh_solid(mesh).centroid;
    bool high = bly_vec_dot(bly_vec_sub(centroid, middle), axis) > 1e-9 * bly_vec_dot(size, axis);
    return high ? axis : bly_vec_scale(axis, -1.0);
}

bool bly_mesh_lay(BlyMesh *mesh, BlyVec3 *nose, BlyVec3 *up, BlyError *err) {
    if (is_zero(*nose))
        *nose = find_nose(mesh);
    if (is_zero(*up))
        *up = nose->z != 0.0 ? bly_vec(0.0, 1.0, 0.0) : bly_vec(0.0, 0.0, 1.0);
    if (fabs(bly_vec_dot(*nose, *up)) > 0.5)
        return bly_fail(err, BLY_E_CONFLICT, NULL, "nose and up lie along one axis");
    BlyVec3 aft = bly_vec_scale(*nose, -1.0), starboard = bly_vec_cross(*up, aft);
    for (size_t i = 0; i < mesh->point_count; i++) {
        BlyVec3 p = mesh->points[i];
        mesh->points[i] =
            bly_vec(bly_vec_dot(p, aft), bly_vec_dot(p, starboard), bly_vec_dot(p, *up));
    }
    BlyBox box = mesh_box(mesh);
    BlyVec3 shift =
        bly_vec(box.low.x, 0.5 * (box.low.y + box.high.y), 0.5 * (box.low.z + box.high.z));
    for (size_t i = 0; i < mesh->point_count; i++)
        mesh->points[i] = bly_vec_sub(mesh->points[i], shift);
    return true;
}
