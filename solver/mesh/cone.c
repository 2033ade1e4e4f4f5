/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cones of normals over the tree, for silhouettes: where a node and all that borders on it face the
 * eye, or all turn away, no edge of it lies on the silhouette. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

static double angle_between(BlyVec3 a, BlyVec3 b) {
    return atan2(bly_vec_norm(bly_vec_cross(a, b)), bly_vec_dot(a, b));
}

/* Widest angle from the axis to the normal of a facet of the leaf or of one across its edges; PI
 * when a facet has none. */
static double leaf_angle(const MeshBody *mesh, size_t leaf, BlyVec3 axis) {
    size_t count = mesh->mesh.facet_count, end = mesh_leaf_start(&mesh->tree, count, leaf + 1);
    double size = bly_vec_norm(axis), least = 1.0;
    for (size_t i = mesh_leaf_start(&mesh->tree, count, leaf); i < end; i++) {
        const uint32_t around[4] = {(uint32_t)i, mesh->across[i][0], mesh->across[i][1],
                                    mesh->across[i][2]};
        for (int k = 0; k < 4; k++) {
            BlyVec3 n = mesh->area[around[k]];
            double both = bly_vec_norm(n) * size;
            if (!(both > 0.0))
                return PI;
            least = fmin(least, bly_vec_dot(n, axis) / both);
        }
    }
    return acos(fmax(-1.0, least));
}

static double node_angle(const MeshTree *tree, size_t node, const double *angle) {
    BlyVec3 axis = tree->sums[node].area;
    double widest = 0.0;
    for (size_t child = 2 * node; child <= 2 * node + 1; child++)
        widest = fmax(widest, angle[child] + angle_between(axis, tree->sums[child].area));
    return fmin(PI, widest);
}

/* A hair wider than found, for rounding. */
bool mesh_cones_make(MeshBody *mesh, BlyError *err) {
    MeshTree *tree = &mesh->tree;
    tree->cone = calloc(2 * tree->leaves, sizeof *tree->cone);
    if (tree->cone == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    for (size_t node = 2 * tree->leaves - 1; node >= 1; node--) {
        BlyVec3 axis = tree->sums[node].area;
        tree->cone[node] = node >= tree->leaves ? leaf_angle(mesh, node - tree->leaves, axis)
                                                : node_angle(tree, node, tree->cone);
    }
    for (size_t node = 1; node < 2 * tree->leaves; node++) {
        double wide = tree->cone[node] + 1e-6;
        tree->cone[node] = wide < 0.5 * PI ? sin(wide) : 2.0;
    }
    return true;
}
