/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tree over a mesh's facets. Each node's facets are parted in halves across their longest side,
 * down to leaves of a few: so leaves are compact, and a plane crosses few of them. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

/* A facet and its middle, well enough to part it from others. */
typedef struct Place {
    float at[3];
    uint32_t facet;
} Place;

static void fill_places(const BlyMesh *mesh, Place *place) {
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 m = bly_vec_add(mesh_corner(mesh, i, 0),
                                bly_vec_add(mesh_corner(mesh, i, 1), mesh_corner(mesh, i, 2)));
        place[i] = (Place){{(float)m.x, (float)m.y, (float)m.z}, (uint32_t)i};
    }
}

static int longest_side(const Place *place, size_t count) {
    Place low = place[0], high = place[0];
    for (size_t i = 1; i < count; i++) {
        for (int k = 0; k < 3; k++) {
            low.at[k] = place[i].at[k] < low.at[k] ? place[i].at[k] : low.at[k];
            high.at[k] = place[i].at[k] > high.at[k] ? place[i].at[k] : high.at[k];
        }
    }
    int longest = 0;
    for (int k = 1; k < 3; k++) {
        if (high.at[k] - low.at[k] > high.at[longest] - low.at[longest])
            longest = k;
    }
    return longest;
}

/* No two are alike: facets of one middle come in the order of the file. */
static bool comes_before(const Place *a, const Place *b, int side) {
    return a->at[side] != b->at[side] ? a->at[side] < b->at[side] : a->facet < b->facet;
}

/* The middling one of the first, the last and the one halfway; never the very last of all. */
static Place pivot_of(const Place *place, size_t count, int side) {
    const Place *a = place, *b = place + (count - 1) / 2, *c = place + count - 1;
    const Place *low = comes_before(b, a, side) ? b : a, *high = low == a ? b : a;
    if (comes_before(c, low, side))
        return *low;
    return comes_before(c, high, side) ? *c : *high;
}

/* Hoare's partition: how many come before the pivot or are it; at least one, and not all. */
static size_t part_about(Place *place, size_t count, Place pivot, int side) {
    for (size_t i = 0, j = count - 1;; i++, j--) {
        while (comes_before(&place[i], &pivot, side))
            i++;
        while (comes_before(&pivot, &place[j], side))
            j--;
        if (i >= j)
            return j + 1;
        Place kept = place[i];
        place[i] = place[j];
        place[j] = kept;
    }
}

/* Brings the `first` that come first along a side before all others. */
static void select_first(Place *place, size_t count, size_t first, int side) {
    while (count > 1) {
        size_t lower = part_about(place, count, pivot_of(place, count, side), side);
        if (first < lower) {
            count = lower;
        } else {
            place += lower;
            count -= lower;
            first -= lower;
        }
    }
}

/* Sorts the facets of `count` leaves from `leaf` on. place[] begins with the first leaf's. */
static void part_leaves(const MeshTree *tree, size_t facets, size_t leaf, size_t count,
                        Place *place) {
    if (count == 1)
        return;
    size_t start = mesh_leaf_start(tree, facets, leaf);
    size_t middle = mesh_leaf_start(tree, facets, leaf + count / 2) - start;
    size_t end = mesh_leaf_start(tree, facets, leaf + count) - start;
    if (middle > 0 && middle < end)
        select_first(place, end, middle, longest_side(place, end));
    part_leaves(tree, facets, leaf, count / 2, place);
    part_leaves(tree, facets, leaf + count / 2, count / 2, place + middle);
}

static MeshTree tree_for(size_t facets) {
    MeshTree tree = {.levels = 0, .leaves = 1};
    for (; tree.leaves * MESH_PER_LEAF < facets; tree.leaves *= 2)
        tree.levels++;
    return tree;
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
        const MeshTree tree = tree_for(mesh->facet_count);
        part_leaves(&tree, mesh->facet_count, 0, tree.leaves, place);
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

static MeshBox box_of(BlyVec3 low, BlyVec3 high) {
    const double ends[3][2] = {{low.x, high.x}, {low.y, high.y}, {low.z, high.z}};
    MeshBox box;
    for (int k = 0; k < 3; k++) {
        box.middle[k] = (float)((ends[k][0] + ends[k][1]) / 2.0);
        double half = fmax(ends[k][1] - box.middle[k], box.middle[k] - ends[k][0]);
        box.half[k] = (float)(half * (1.0 + 1e-6));
    }
    return box;
}

static MeshBox join_boxes(const MeshBox *a, const MeshBox *b) {
    BlyVec3 am = mesh_box_middle(a), ah = mesh_box_half(a);
    BlyVec3 bm = mesh_box_middle(b), bh = mesh_box_half(b);
    BlyVec3 al = bly_vec_sub(am, ah), bl = bly_vec_sub(bm, bh);
    am = bly_vec_add(am, ah);
    bm = bly_vec_add(bm, bh);
    return box_of(bly_vec(fmin(al.x, bl.x), fmin(al.y, bl.y), fmin(al.z, bl.z)),
                  bly_vec(fmax(am.x, bm.x), fmax(am.y, bm.y), fmax(am.z, bm.z)));
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
    *out = tree_for(mesh->facet_count);
    size_t leaves = out->leaves;
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
