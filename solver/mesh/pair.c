/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which facets meet at which edge. Each half-edge is filed under the lower of its two points; a
 * point has some six of them, so that sorting within a point's file is cheap. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

/* One facet's side of an edge. `side` is 3 * facet + corner. */
typedef struct Half {
    uint32_t high, side;
    bool backward; /* the facet runs from the higher point to the lower */
} Half;

typedef struct Files {
    size_t *start; /* of each point's file; one more than there are points */
    Half *half;
} Files;

static int by_edge(const void *a, const void *b) {
    const Half *x = a, *y = b;
    if (x->high != y->high)
        return x->high < y->high ? -1 : 1;
    return (x->side > y->side) - (x->side < y->side);
}

static uint32_t lower_point(const uint32_t facet[3], int k) {
    uint32_t a = facet[k], b = facet[(k + 1) % 3];
    return a < b ? a : b;
}

static bool file_halves(const BlyMesh *mesh, Files *files, BlyError *err) {
    files->start = calloc(mesh->point_count + 2, sizeof *files->start);
    files->half = calloc(3 * mesh->facet_count + 1, sizeof *files->half);
    if (files->start == NULL || files->half == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the edges of a mesh");
    for (size_t i = 0; i < mesh->facet_count; i++) {
        for (int k = 0; k < 3; k++)
            files->start[lower_point(mesh->facets[i], k) + 2]++;
    }
    for (size_t p = 2; p < mesh->point_count + 2; p++)
        files->start[p] += files->start[p - 1];
    for (size_t i = 0; i < mesh->facet_count; i++) {
        for (int k = 0; k < 3; k++) {
            uint32_t a = mesh->facets[i][k], b = mesh->facets[i][(k + 1) % 3];
            size_t place = files->start[(a < b ? a : b) + 1]++;
            files->half[place] = (Half){a < b ? b : a, (uint32_t)(3 * i) + (uint32_t)k, a > b};
        }
    }
    return true;
}

static void note_fault(const BlyMesh *mesh, BlyMeshFault fault, uint32_t side, BlyMeshCheck *out) {
    bool hole = fault == BLY_MESH_OPEN, held_hole = out->first == BLY_MESH_OPEN;
    size_t facet = side / 3;
    bool before = out->first == BLY_MESH_CLOSED || (held_hole && !hole) ||
                  (held_hole == hole && facet < out->facet);
    if (!before)
        return;
    int k = (int)(side % 3);
    BlyVec3 a = mesh_corner(mesh, facet, k), b = mesh_corner(mesh, facet, (k + 1) % 3);
    out->first = fault;
    out->facet = facet;
    out->at = bly_vec_scale(bly_vec_add(a, b), 0.5);
}

/* One edge with its `count` halves. */
static void join(const BlyMesh *mesh, const Half *half, size_t count, uint32_t (*across)[3],
                 BlyMeshCheck *check) {
    if (count == 1) {
        check->open++;
        note_fault(mesh, BLY_MESH_OPEN, half[0].side, check);
    } else if (count > 2) {
        check->crowded++;
        note_fault(mesh, BLY_MESH_CROWDED, half[0].side, check);
    } else if (half[0].backward == half[1].backward) {
        check->turned++;
        note_fault(mesh, BLY_MESH_TURNED, half[0].side, check);
    }
    for (size_t i = 0; across != NULL && i < count; i++) {
        uint32_t other = count == 2 ? half[1 - i].side : half[i].side;
        across[half[i].side / 3][half[i].side % 3] = other / 3;
    }
}

static void join_file(const BlyMesh *mesh, Half *half, size_t count, uint32_t (*across)[3],
                      BlyMeshCheck *check) {
    if (count > 1)
        qsort(half, count, sizeof *half, by_edge);
    for (size_t i = 0, run; i < count; i += run) {
        for (run = 1; i + run < count && half[i + run].high == half[i].high; run++)
            continue;
        join(mesh, half + i, run, across, check);
    }
}

bool bly_mesh_pair(const BlyMesh *mesh, uint32_t (*across)[3], BlyMeshCheck *check, BlyError *err) {
    Files files = {0};
    *check = (BlyMeshCheck){0};
    bool good = file_halves(mesh, &files, err);
    for (size_t p = 0; good && p < mesh->point_count; p++) {
        size_t start = files.start[p], end = files.start[p + 1];
        join_file(mesh, files.half + start, end - start, across, check);
    }
    free(files.start);
    free(files.half);
    return good;
}
