/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where an upright line meets a mesh. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

/* +1 where the line through (x, y) passes the edge a b on its low side in x and b lies at greater
 * y, -1 where at less, else 0: worked out alike for both facets of the edge, so that a line on it
 * meets one of them alone. */
static int passes_edge(BlyVec3 a, BlyVec3 b, double x, double y) {
    if ((a.y > y) == (b.y > y))
        return 0;
    BlyVec3 low = a.y < b.y ? a : b, high = a.y < b.y ? b : a;
    if (!(x < low.x + (y - low.y) / (high.y - low.y) * (high.x - low.x)))
        return 0;
    return b.y > a.y ? 1 : -1;
}

/* Whether, and how, that line meets a facet. */
static bool meets(const BlyMesh *mesh, size_t i, double x, double y, MeshCrossing *out) {
    int turns = 0;
    double area = 0.0, sum = 0.0, low = HUGE_VAL, high = -HUGE_VAL;
    for (int k = 0; k < 3; k++) {
        BlyVec3 a = mesh_corner(mesh, i, k), b = mesh_corner(mesh, i, (k + 1) % 3);
        turns += passes_edge(a, b, x, y);
        double w = (a.x - x) * (b.y - y) - (b.x - x) * (a.y - y);
        area += w;
        sum += w * mesh_corner(mesh, i, (k + 2) % 3).z;
        low = fmin(low, a.z);
        high = fmax(high, a.z);
    }
    if (turns == 0 || area == 0.0)
        return false;
    *out = (MeshCrossing){fmin(high, fmax(low, sum / area)), -turns};
    return true;
}

static bool keep(MeshColumn *column, MeshCrossing crossing, BlyError *err) {
    if (column->count == column->room) {
        size_t room = column->room == 0 ? 64 : 2 * column->room;
        MeshCrossing *wider = realloc(column->at, room * sizeof *wider);
        if (wider == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a line through a mesh");
        column->at = wider;
        column->room = room;
    }
    column->at[column->count++] = crossing;
    return true;
}

static int by_height(const void *a, const void *b) {
    const MeshCrossing *x = a, *y = b;
    if (x->z != y->z)
        return x->z < y->z ? -1 : 1;
    return y->in - x->in; /* of two parts that touch, into the next before out of the last */
}

static bool cross_leaf(const BlyMesh *mesh, const MeshTree *tree, size_t leaf, BlyVec3 at,
                       MeshColumn *out, BlyError *err) {
    size_t end = mesh_leaf_start(tree, mesh->facet_count, leaf + 1);
    for (size_t i = mesh_leaf_start(tree, mesh->facet_count, leaf); i < end; i++) {
        MeshCrossing crossing;
        out->looked++;
        if (meets(mesh, i, at.x, at.y, &crossing) && !keep(out, crossing, err))
            return false;
    }
    return true;
}

bool mesh_column(const BlyMesh *mesh, const MeshTree *tree, double x, double y, MeshColumn *out,
                 BlyError *err) {
    size_t stack[64], depth = 0;
    out->count = out->looked = 0;
    stack[depth++] = 1;
    while (depth > 0) {
        size_t node = stack[--depth];
        const MeshBox *box = &tree->box[node];
        BlyVec3 middle = mesh_box_middle(box), half = mesh_box_half(box);
        if (fabs(x - middle.x) > half.x + 1e-9 || fabs(y - middle.y) > half.y + 1e-9)
            continue;
        if (node < tree->leaves) {
            stack[depth++] = 2 * node + 1;
            stack[depth++] = 2 * node;
        } else if (!cross_leaf(mesh, tree, node - tree->leaves, bly_vec(x, y, 0.0), out, err)) {
            return false;
        }
    }
    if (out->count > 1)
        qsort(out->at, out->count, sizeof *out->at, by_height);
    return true;
}
