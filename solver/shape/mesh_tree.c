/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Facets sorted along a space-filling curve (Morton's), and the tree over runs of them. */
#include "shape/mesh.h"

#include <stdlib.h>

enum { CURVE_BITS = 20 };

typedef struct Place {
    uint64_t code;
    uint32_t facet;
} Place;

static int by_place(const void *a, const void *b) {
    const Place *x = a, *y = b;
    if (x->code != y->code)
        return x->code < y->code ? -1 : 1;
    return (x->facet > y->facet) - (x->facet < y->facet);
}

/* The bits of v, two zeros between each. */
static uint64_t spread_bits(uint64_t v) {
    uint64_t out = 0;
    for (int bit = 0; bit < CURVE_BITS; bit++)
        out |= (v >> bit & 1) << (3 * bit);
    return out;
}

static uint64_t curve_code(BlyVec3 share) {
    const double cells = (double)(1 << CURVE_BITS) - 1.0;
    return spread_bits((uint64_t)(share.x * cells)) << 2 |
           spread_bits((uint64_t)(share.y * cells)) << 1 | spread_bits((uint64_t)(share.z * cells));
}

static double share_of(double at, double low, double high) {
    return high > low ? fmin(1.0, fmax(0.0, (at - low) / (high - low))) : 0.0;
}

static void fill_places(const BlyMesh *mesh, Place *place) {
    BlyBox box = mesh_box(mesh);
    double most =
        fmax(box.high.x - box.low.x, fmax(box.high.y - box.low.y, box.high.z - box.low.z));
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 m = bly_vec_add(mesh_corner(mesh, i, 0),
                                bly_vec_add(mesh_corner(mesh, i, 1), mesh_corner(mesh, i, 2)));
        m = bly_vec_scale(m, 1.0 / 3.0);
        place[i].facet = (uint32_t)i;
        place[i].code = curve_code(bly_vec(share_of(m.x, box.low.x, box.low.x + most),
                                           share_of(m.y, box.low.y, box.low.y + most),
                                           share_of(m.z, box.low.z, box.low.z + most)));
    }
}

/* Facets in the order of place[]; points in the order in which the facets first name them, those
 * without a facet left out. */
static void reorder(const Place *place, uint32_t *number, const BlyMesh *from, BlyMesh *to) {
    uint32_t used = 0;
    for (size_t p = 0; p < from->point_count; p++)
        number[p] = UINT32_MAX;
    for (size_t i = 0; i < from->facet_count; i++) {
        for (int k = 0; k < 3; k++) {
            uint32_t p = from->facets[place[i].facet][k];
            if (number[p] == UINT32_MAX) {
                number[p] = used;
                to->points[used++] = from->points[p];
            }
            to->facets[i][k] = number[p];
        }
    }
    to->point_count = used;
}

bool mesh_sort(BlyMesh *mesh, BlyError *err) {
    BlyMesh sorted;
    if (!mesh_allocate(mesh->point_count, mesh->facet_count, &sorted, err))
        return false;
    Place *place = calloc(mesh->facet_count + 1, sizeof *place);
    uint32_t *number = calloc(mesh->point_count + 1, sizeof *number);
    bool good = place != NULL && number != NULL;
    if (good) {
        fill_places(mesh, place);
        qsort(place, mesh->facet_count, sizeof *place, by_place);
        reorder(place, number, mesh, &sorted);
        bly_mesh_release(mesh);
        *mesh = sorted;
    } else {
        bly_mesh_release(&sorted);
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory to sort a mesh");
    }
    free(place);
    free(number);
    return good;
}

static void add_facet_sums(const BlyMesh *mesh, size_t i, MeshSums *sum) {
    BlyVec3 a = mesh_corner(mesh, i, 0), b = mesh_corner(mesh, i, 1), c = mesh_corner(mesh, i, 2);
    BlyVec3 s = bly_vec_add(a, bly_vec_add(b, c)), n = mesh_area(mesh, i);
    double volume = bly_vec_dot(a, n) / 3.0;
    const double area[3] = {n.x, n.y, n.z}, corner[3] = {s.x, s.y, s.z};
    sum->volume += volume;
    sum->area = bly_vec_add(sum->area, n);
    sum->volume_sum = bly_vec_add(sum->volume_sum, bly_vec_scale(s, volume));
    for (int r = 0; r < 3; r++) {
        for (int k = 0; k < 3; k++)
            sum->area_sum[r][k] += area[r] * corner[k];
    }
}

static MeshSums add_sums(const MeshSums *a, const MeshSums *b) {
    MeshSums out = {.volume = a->volume + b->volume,
                    .area = bly_vec_add(a->area, b->area),
                    .volume_sum = bly_vec_add(a->volume_sum, b->volume_sum)};
    for (int r = 0; r < 3; r++) {
        for (int k = 0; k < 3; k++)
            out.area_sum[r][k] = a->area_sum[r][k] + b->area_sum[r][k];
    }
    return out;
}

/* Boxes are half a hair larger than what they hold, so that rounding never leaves a corner out. */
static MeshBox box_of(BlyVec3 low, BlyVec3 high) {
    BlyVec3 size = bly_vec_sub(high, low);
    return (MeshBox){bly_vec_scale(bly_vec_add(low, high), 0.5), bly_vec_scale(size, 0.5)};
}

static MeshBox join_boxes(const MeshBox *a, const MeshBox *b) {
    BlyVec3 al = bly_vec_sub(a->middle, a->half), ah = bly_vec_add(a->middle, a->half);
    BlyVec3 bl = bly_vec_sub(b->middle, b->half), bh = bly_vec_add(b->middle, b->half);
    return box_of(bly_vec(fmin(al.x, bl.x), fmin(al.y, bl.y), fmin(al.z, bl.z)),
                  bly_vec(fmax(ah.x, bh.x), fmax(ah.y, bh.y), fmax(ah.z, bh.z)));
}

static void fill_leaf(const BlyMesh *mesh, MeshTree *tree, size_t leaf) {
    size_t start = mesh_leaf_start(tree, mesh->facet_count, leaf);
    size_t end = mesh_leaf_start(tree, mesh->facet_count, leaf + 1);
    BlyVec3 low = mesh_corner(mesh, start < end ? start : 0, 0), high = low;
    MeshSums *sums = &tree->sums[tree->leaves + leaf];
    for (size_t i = start; i < end; i++) {
        add_facet_sums(mesh, i, sums);
        for (int k = 0; k < 3; k++) {
            BlyVec3 p = mesh_corner(mesh, i, k);
            low = bly_vec(fmin(low.x, p.x), fmin(low.y, p.y), fmin(low.z, p.z));
            high = bly_vec(fmax(high.x, p.x), fmax(high.y, p.y), fmax(high.z, p.z));
        }
    }
    tree->box[tree->leaves + leaf] = box_of(low, high);
}

bool mesh_tree_make(const BlyMesh *mesh, MeshTree *out, BlyError *err) {
    size_t leaves = 1;
    while (leaves * MESH_PER_LEAF < mesh->facet_count)
        leaves *= 2;
    *out = (MeshTree){.leaves = leaves};
    out->box = calloc(2 * leaves, sizeof *out->box);
    out->sums = calloc(2 * leaves, sizeof *out->sums);
    if (out->box == NULL || out->sums == NULL) {
        mesh_tree_release(out);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh of %zu facets",
                        mesh->facet_count);
    }
    for (size_t leaf = 0; leaf < leaves; leaf++)
        fill_leaf(mesh, out, leaf);
    for (size_t node = leaves - 1; node >= 1; node--) {
        out->box[node] = join_boxes(&out->box[2 * node], &out->box[2 * node + 1]);
        out->sums[node] = add_sums(&out->sums[2 * node], &out->sums[2 * node + 1]);
    }
    return true;
}

void mesh_tree_release(MeshTree *tree) {
    free(tree->box);
    free(tree->sums);
    free(tree->cone);
    *tree = (MeshTree){0};
}
