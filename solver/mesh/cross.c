/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Does a surface run through itself? Three looks, none of which sees all:
 *
 * - each pair of facets near each other: does an edge of one pierce the other;
 * - upright lines spread over the body: every one must enter and leave by turns. That finds large
 *   parts that lie in each other edge on edge and plane on plane, where no edge pierces anything;
 * - each edge: do its two facets lie back on each other.
 *
 * A mesh is only as exact as its numbers, and STL's are single: what is shallower than 1e-5 of the
 * body's diagonal moves no figure and is let be. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

static const double depth_share = 1e-5; /* of the diagonal */
static const double flat_angle = 1e-4;  /* rad between two sheets of a fold */
static const double fold_share = 1e-4;  /* of the diagonal: least height of a facet over the fold */

enum { LINES = 4096, PAIR_WORK = 8 };
/* Looks at nodes, boxes and facets, a pair of facets counts as several: some four seconds. A plain
 * mesh takes 120 a facet; only a fan of tens of thousands of needles comes near. */
static const size_t work_most = 600000000;

typedef struct Search {
    const BlyMesh *mesh;
    const MeshTree *tree;
    double least; /* m, depth of a crossing that counts */
    size_t work;
} Search;

/* fmin and fmax are calls, and too slow here. */
static double least_of(double a, double b, double c) {
    double ab = a < b ? a : b;
    return ab < c ? ab : c;
}

static double most_of(double a, double b, double c) {
    double ab = a > b ? a : b;
    return ab > c ? ab : c;
}

static BlyBox facet_box(const BlyMesh *mesh, size_t i) {
    BlyVec3 a = mesh_corner(mesh, i, 0), b = mesh_corner(mesh, i, 1), c = mesh_corner(mesh, i, 2);
    return (BlyBox){{least_of(a.x, b.x, c.x), least_of(a.y, b.y, c.y), least_of(a.z, b.z, c.z)},
                    {most_of(a.x, b.x, c.x), most_of(a.y, b.y, c.y), most_of(a.z, b.z, c.z)}};
}

static bool boxes_meet(const BlyBox *a, const BlyBox *b) {
    return a->low.x <= b->high.x && b->low.x <= a->high.x && a->low.y <= b->high.y &&
           b->low.y <= a->high.y && a->low.z <= b->high.z && b->low.z <= a->high.z;
}

static bool nodes_meet(const MeshBox *a, const MeshBox *b) {
    BlyVec3 apart = bly_vec_sub(mesh_box_middle(a), mesh_box_middle(b));
    BlyVec3 reach = bly_vec_add(mesh_box_half(a), mesh_box_half(b));
    return fabs(apart.x) <= reach.x && fabs(apart.y) <= reach.y && fabs(apart.z) <= reach.z;
}

/* How far the line p q passes the facet's edges by, on their inner sides; 0 where it passes one on
 * its outer side. */
static double clear_of_edges(BlyVec3 p, BlyVec3 q, const BlyVec3 t[3]) {
    BlyVec3 d = bly_vec_sub(q, p);
    double least = HUGE_VAL, turn = 0.0;
    for (int k = 0; k < 3; k++) {
        BlyVec3 a = t[k], b = t[(k + 1) % 3], across = bly_vec_cross(d, bly_vec_sub(b, a));
        double side = bly_vec_dot(across, bly_vec_sub(a, p));
        if (turn * side < 0.0)
            return 0.0;
        turn = side;
        double size = bly_vec_norm(across);
        least = fmin(least, size > 0.0 ? fabs(side) / size : 0.0);
    }
    return least;
}

/* How deep the edges of facet i pierce facet j. The first test sends all but a few away: the
 * corners of i lie on one side of j's plane, or in it, as those of neighbours do. */
static double pierce(const BlyMesh *mesh, size_t i, size_t j, double least, BlyVec3 *at) {
    const BlyVec3 s[3] = {mesh_corner(mesh, i, 0), mesh_corner(mesh, i, 1),
                          mesh_corner(mesh, i, 2)};
    const BlyVec3 t[3] = {mesh_corner(mesh, j, 0), mesh_corner(mesh, j, 1),
                          mesh_corner(mesh, j, 2)};
    BlyVec3 n = bly_vec_cross(bly_vec_sub(t[1], t[0]), bly_vec_sub(t[2], t[0]));
    double h[3], square = bly_vec_dot(n, n), deepest = 0.0;
    for (int k = 0; k < 3; k++)
        h[k] = bly_vec_dot(n, bly_vec_sub(s[k], t[0]));
    double high = most_of(h[0], h[1], h[2]), low = least_of(h[0], h[1], h[2]);
    double enough = least * least * square;
    if (!(high > 0.0 && low < 0.0 && high * high > enough && low * low > enough))
        return 0.0;
    double size = sqrt(square);
    for (int k = 0; k < 3; k++) {
        int m = (k + 1) % 3;
        double depth = fmin(fabs(h[k]), fabs(h[m])) / size;
        if (h[k] * h[m] >= 0.0 || depth <= fmax(least, deepest))
            continue;
        depth = fmin(depth, clear_of_edges(s[k], s[m], t));
        if (depth <= fmax(least, deepest))
            continue;
        deepest = depth;
        *at = bly_vec_add(s[k], bly_vec_scale(bly_vec_sub(s[m], s[k]), h[k] / (h[k] - h[m])));
    }
    return deepest;
}

double mesh_facets_cross(const BlyMesh *mesh, size_t i, size_t j, double least, BlyVec3 *at) {
    double deepest = pierce(mesh, i, j, least, at);
    return fmax(deepest, pierce(mesh, j, i, fmax(least, deepest), at));
}

/* All pairs of a facet of leaf a with one of leaf b, which may be the same leaf. */
static bool leaves_cross(Search *search, size_t a, size_t b, BlyVec3 *at) {
    const BlyMesh *mesh = search->mesh;
    size_t first_b = mesh_leaf_start(search->tree, mesh->facet_count, b);
    size_t end_b = mesh_leaf_start(search->tree, mesh->facet_count, b + 1);
    size_t first_a = mesh_leaf_start(search->tree, mesh->facet_count, a);
    size_t end_a = mesh_leaf_start(search->tree, mesh->facet_count, a + 1);
    BlyBox box[MESH_PER_LEAF];
    for (size_t j = first_b; j < end_b; j++)
        box[j - first_b] = facet_box(mesh, j);
    for (size_t i = first_a; i < end_a; i++) {
        BlyBox own = facet_box(mesh, i);
        size_t from = a == b ? i + 1 : first_b;
        search->work += end_b - from;
        for (size_t j = from; j < end_b; j++) {
            if (!boxes_meet(&own, &box[j - first_b]))
                continue;
            search->work += PAIR_WORK;
            if (mesh_facets_cross(mesh, i, j, search->least, at) > 0.0)
                return true;
        }
    }
    return false;
}

/* Down the tree in pairs of nodes of one level: 3 more wait at each of 22 levels at most. */
static bool pairs_cross(Search *search, BlyVec3 *at) {
    const MeshTree *tree = search->tree;
    size_t stack[128][2] = {{1, 1}}, depth = 1;
    while (depth > 0 && search->work < work_most) {
        size_t a = stack[--depth][0], b = stack[depth][1];
        search->work++;
        if (a != b && !nodes_meet(&tree->box[a], &tree->box[b]))
            continue;
        if (a >= tree->leaves) {
            if (leaves_cross(search, a - tree->leaves, b - tree->leaves, at))
                return true;
            continue;
        }
        for (size_t k = 0; k < 4; k++) {
            if (a == b && k == 2) /* the same as k = 1 */
                continue;
            stack[depth][0] = 2 * a + (k >> 1);
            stack[depth++][1] = 2 * b + (k & 1);
        }
    }
    return false;
}

/* Whether a line is inside twice over, or less than not at all, for longer than what is let be. */
static bool line_crosses(const MeshColumn *line, double least, double *z) {
    int within = 0;
    for (size_t i = 0; i + 1 < line->count; i++) {
        within += line->at[i].in;
        bool good = within == 0 || within == 1;
        if (!good && line->at[i + 1].z - line->at[i].z > least) {
            *z = 0.5 * (line->at[i + 1].z + line->at[i].z);
            return true;
        }
    }
    return false;
}

/* Spread evenly, and off any grid that a mesh is likely to lie on: multiples of 1/g and 1/g^2 with
 * g^3 = g + 1, less their whole parts. */
static bool lines_cross(Search *search, bool *found, BlyVec3 *at, BlyError *err) {
    const double g = 1.32471795724474602596;
    BlyBox box = mesh_box(search->mesh);
    MeshColumn line = {0};
    bool good = true;
    for (int i = 0; good && !*found && i < LINES && search->work < work_most; i++) {
        double u = fmod(0.5 + i / g, 1.0), v = fmod(0.5 + i / (g * g), 1.0);
        at->x = box.low.x + u * (box.high.x - box.low.x);
        at->y = box.low.y + v * (box.high.y - box.low.y);
        good = mesh_column(search->mesh, search->tree, at->x, at->y, &line, err);
        search->work += line.looked;
        *found = good && line_crosses(&line, search->least, &at->z);
    }
    free(line.at);
    return good;
}

/* Whether facets i and j, which share the edge k of i, lie back on each other. */
static bool folded(const BlyMesh *mesh, size_t i, int k, size_t j, double height) {
    BlyVec3 n = mesh_area(mesh, i), m = mesh_area(mesh, j);
    double dot = bly_vec_dot(n, m);
    if (!(dot < 0.0) || bly_vec_norm(bly_vec_cross(n, m)) > -flat_angle * dot)
        return false;
    BlyVec3 edge = bly_vec_sub(mesh_corner(mesh, i, (k + 1) % 3), mesh_corner(mesh, i, k));
    double low = 2.0 * fmin(bly_vec_norm(n), bly_vec_norm(m));
    return low > height * bly_vec_norm(edge);
}

static bool edges_fold(const BlyMesh *mesh, const uint32_t (*across)[3], double height,
                       BlyVec3 *at) {
    for (size_t i = 0; i < mesh->facet_count; i++) {
        for (int k = 0; k < 3; k++) {
            if (across[i][k] <= i || !folded(mesh, i, k, across[i][k], height))
                continue;
            BlyVec3 a = mesh_corner(mesh, i, k), b = mesh_corner(mesh, i, (k + 1) % 3);
            *at = bly_vec_scale(bly_vec_add(a, b), 0.5);
            return true;
        }
    }
    return false;
}

/* In mm to a thousandth, zero without a sign. */
static double told(double at) {
    return round(1e6 * at) / 1e3 + 0.0;
}

static bool refuse(const char *what, BlyVec3 at, const char *mend, BlyError *err) {
    return bly_fail(err, BLY_E_CONFLICT, NULL,
                    "%s near x %.4g, y %.4g, z %.4g mm (from the nose, to starboard, up); %s", what,
                    told(at.x), told(at.y), told(at.z), mend);
}

bool mesh_check_crossing(const BlyMesh *mesh, const MeshTree *tree, const uint32_t (*across)[3],
                         bool *searched, BlyError *err) {
    BlyBox box = mesh_box(mesh);
    double diagonal = bly_vec_norm(bly_vec_sub(box.high, box.low));
    Search search = {.mesh = mesh, .tree = tree, .least = depth_share * diagonal};
    BlyVec3 at = box.low;
    bool found = false;
    if (edges_fold(mesh, across, fold_share * diagonal, &at))
        return refuse("lies folded back on itself", at, "cut the fold off where it was drawn", err);
    if (!lines_cross(&search, &found, &at, err))
        return false;
    if (found || pairs_cross(&search, &at))
        return refuse("runs through itself", at,
                      "join what crosses into one surface where it was drawn", err);
    *searched = search.work < work_most;
    return true;
}
