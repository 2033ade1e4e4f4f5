/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The farthest and the nearest of a mesh, by going down the tree on the better side first. */
#include "mesh/mesh_body.h"

enum { DEEPEST = 64 }; /* twice the levels of any tree: a stack holds one sibling a level */

static double reach_of(const MeshBox *box, BlyVec3 d) {
    BlyVec3 steep = bly_vec(fabs(d.x), fabs(d.y), fabs(d.z));
    return bly_vec_dot(mesh_box_middle(box), d) + bly_vec_dot(mesh_box_half(box), steep);
}

static double leaf_reach(const MeshBody *mesh, size_t leaf, BlyVec3 d) {
    double most = -HUGE_VAL;
    size_t count = mesh->mesh.facet_count, end = mesh_leaf_start(&mesh->tree, count, leaf + 1);
    for (size_t i = mesh_leaf_start(&mesh->tree, count, leaf); i < end; i++) {
        for (int k = 0; k < 3; k++)
            most = fmax(most, bly_vec_dot(mesh_corner(&mesh->mesh, i, k), d));
    }
    return most;
}

double mesh_support(const BlyBody *body, BlyVec3 d) {
    const MeshBody *mesh = mesh_of(body);
    const MeshTree *tree = &mesh->tree;
    size_t stack[DEEPEST], depth = 0;
    double most = -HUGE_VAL;
    stack[depth++] = 1;
    while (depth > 0) {
        size_t node = stack[--depth];
        if (reach_of(&tree->box[node], d) <= most)
            continue;
        if (node >= tree->leaves) {
            most = fmax(most, leaf_reach(mesh, node - tree->leaves, d));
            continue;
        }
        size_t a = 2 * node, b = a + 1;
        bool a_first = reach_of(&tree->box[a], d) >= reach_of(&tree->box[b], d);
        stack[depth++] = a_first ? b : a;
        stack[depth++] = a_first ? a : b;
    }
    return most;
}

/* Squared distance from p to the segment a b. */
static double to_segment(BlyVec3 p, BlyVec3 a, BlyVec3 b) {
    BlyVec3 ab = bly_vec_sub(b, a), ap = bly_vec_sub(p, a);
    double length = bly_vec_dot(ab, ab), t = length > 0.0 ? bly_vec_dot(ap, ab) / length : 0.0;
    BlyVec3 off = bly_vec_sub(ap, bly_vec_scale(ab, fmin(1.0, fmax(0.0, t))));
    return bly_vec_dot(off, off);
}

/* Squared distance to a facet: to its plane where the foot lies within, else to an edge. */
static double to_facet(BlyVec3 p, BlyVec3 a, BlyVec3 b, BlyVec3 c) {
    BlyVec3 n = bly_vec_cross(bly_vec_sub(b, a), bly_vec_sub(c, a));
    double square = bly_vec_dot(n, n);
    BlyVec3 ap = bly_vec_sub(p, a), bp = bly_vec_sub(p, b), cp = bly_vec_sub(p, c);
    if (square > 0.0 && bly_vec_dot(bly_vec_cross(bly_vec_sub(b, a), ap), n) >= 0.0 &&
        bly_vec_dot(bly_vec_cross(bly_vec_sub(c, b), bp), n) >= 0.0 &&
        bly_vec_dot(bly_vec_cross(bly_vec_sub(a, c), cp), n) >= 0.0) {
        double height = bly_vec_dot(ap, n);
        return height * height / square;
    }
    return fmin(to_segment(p, a, b), fmin(to_segment(p, b, c), to_segment(p, c, a)));
}

static double to_box(const MeshBox *box, BlyVec3 p) {
    BlyVec3 m = mesh_box_middle(box), half = mesh_box_half(box);
    double x = fmax(0.0, fabs(p.x - m.x) - half.x);
    double y = fmax(0.0, fabs(p.y - m.y) - half.y);
    double z = fmax(0.0, fabs(p.z - m.z) - half.z);
    return x * x + y * y + z * z;
}

double mesh_distance(const BlyMesh *mesh, const MeshTree *tree, BlyVec3 p, double most) {
    size_t stack[DEEPEST], depth = 0;
    double least = most * most;
    stack[depth++] = 1;
    while (depth > 0) {
        size_t node = stack[--depth];
        if (to_box(&tree->box[node], p) >= least)
            continue;
        if (node < tree->leaves) {
            size_t a = 2 * node, b = a + 1;
            bool a_first = to_box(&tree->box[a], p) <= to_box(&tree->box[b], p);
            stack[depth++] = a_first ? b : a;
            stack[depth++] = a_first ? a : b;
            continue;
        }
        size_t leaf = node - tree->leaves;
        size_t end = mesh_leaf_start(tree, mesh->facet_count, leaf + 1);
        for (size_t i = mesh_leaf_start(tree, mesh->facet_count, leaf); i < end; i++)
            least = fmin(least, to_facet(p, mesh_corner(mesh, i, 0), mesh_corner(mesh, i, 1),
                                         mesh_corner(mesh, i, 2)));
    }
    return sqrt(least);
}
