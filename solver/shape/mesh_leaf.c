/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each leaf's corners side by side in memory, each corner once: a cut looks into some thousand
 * leaves of a large mesh, and would otherwise fetch every corner of every facet from all over. */
#include "shape/mesh.h"

#include <stdlib.h>

/* The leaf's points in the order in which its facets first name them, and each facet's three among
 * them. Returns how many points there are. */
static uint32_t fill_leaf(const BlyMesh *mesh, size_t start, size_t end,
                          uint32_t name[MESH_LEAF_POINTS], MeshLeafFacet *facet) {
    uint32_t count = 0;
    for (size_t i = start; i < end; i++) {
        for (int k = 0; k < 3; k++) {
            uint32_t p = mesh->facets[i][k], at = 0;
            while (at < count && name[at] != p)
                at++;
            if (at == count)
                name[count++] = p;
            facet[i].corner[k] = (uint8_t)at;
        }
    }
    return count;
}

static uint32_t number_points(const BlyMesh *mesh, MeshTree *tree) {
    uint32_t name[MESH_LEAF_POINTS], used = 0;
    for (size_t leaf = 0; leaf < tree->leaves; leaf++) {
        MeshBox *box = &tree->box[tree->leaves + leaf];
        box->first = used;
        box->count =
            fill_leaf(mesh, mesh_leaf_start(tree, mesh->facet_count, leaf),
                      mesh_leaf_start(tree, mesh->facet_count, leaf + 1), name, tree->facet);
        used += box->count;
    }
    return used;
}

static void copy_points(const BlyMesh *mesh, MeshTree *tree) {
    for (size_t leaf = 0; leaf < tree->leaves; leaf++) {
        const MeshBox *box = &tree->box[tree->leaves + leaf];
        size_t end = mesh_leaf_start(tree, mesh->facet_count, leaf + 1);
        for (size_t i = mesh_leaf_start(tree, mesh->facet_count, leaf); i < end; i++) {
            for (int k = 0; k < 3; k++)
                tree->point[box->first + tree->facet[i].corner[k]] = mesh_corner(mesh, i, k);
        }
    }
}

bool mesh_leaves_make(const BlyMesh *mesh, MeshTree *tree, BlyError *err) {
    tree->facet = calloc(mesh->facet_count + 1, sizeof *tree->facet);
    if (tree->facet != NULL)
        tree->point = calloc(number_points(mesh, tree) + 1, sizeof *tree->point);
    if (tree->facet == NULL || tree->point == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh of %zu facets",
                        mesh->facet_count);
    copy_points(mesh, tree);
    return true;
}
