/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The area of a mesh seen along a direction: its true silhouette, overlaps counted once.
 *
 * An edge between a facet that faces the eye and one that does not lies on the silhouette (or on a
 * fold within it). Along a line across the view the number of facing layers changes by one at each
 * such edge, up or down by how the edge runs; what is seen is where it is above zero. Lines lie at
 * the middles of equal steps of t, a = middle - half cos t, so that round outlines are smooth in t,
 * with the weights that integrate sin t exactly. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

enum { LINES = 240 };

typedef struct Crossing {
    int line, step;
    double at;
} Crossing;

typedef struct View {
    const MeshBody *mesh;
    BlyVec3 eye, along, across;
    double middle, half;
    Crossing *crossing;
    size_t count, room;
    bool full;
} View;

static void keep(View *view, int line, double at, int step) {
    if (view->count == view->room) {
        size_t room = view->room == 0 ? 4 * LINES : 2 * view->room;
        Crossing *wider = realloc(view->crossing, room * sizeof *wider);
        if (wider == NULL) {
            view->full = true;
            return;
        }
        view->crossing = wider;
        view->room = room;
    }
    view->crossing[view->count++] = (Crossing){line, step, at};
}

static double line_at(const View *view, int line) {
    return view->middle - view->half * cos(PI * (line + 0.5) / LINES);
}

static void add_edge(View *view, BlyVec3 from, BlyVec3 to) {
    double a0 = bly_vec_dot(view->along, from), a1 = bly_vec_dot(view->along, to);
    double c0 = bly_vec_dot(view->across, from), c1 = bly_vec_dot(view->across, to);
    double low = fmin(a0, a1), high = fmax(a0, a1);
    double share = fmin(1.0, fmax(-1.0, (view->middle - low) / view->half));
    int first = (int)floor(acos(share) / PI * LINES - 0.5) - 1;
    for (int line = first < 0 ? 0 : first; line < LINES; line++) {
        double a = line_at(view, line);
        if (a >= high)
            break;
        if (a >= low)
            keep(view, line, c0 + (c1 - c0) * (a - a0) / (a1 - a0), a1 > a0 ? 1 : -1);
    }
}

/* A facet seen edge-on does not face. */
static bool faces(const View *view, size_t i) {
    return bly_vec_dot(view->mesh->area[i], view->eye) > 0.0;
}

static void find_in_leaf(View *view, size_t leaf) {
    const BlyMesh *mesh = &view->mesh->mesh;
    size_t end = mesh_leaf_start(&view->mesh->tree, mesh->facet_count, leaf + 1);
    for (size_t i = mesh_leaf_start(&view->mesh->tree, mesh->facet_count, leaf); i < end; i++) {
        if (!faces(view, i))
            continue;
        for (int k = 0; k < 3; k++) {
            if (!faces(view, view->mesh->across[i][k]))
                add_edge(view, mesh_corner(mesh, i, k), mesh_corner(mesh, i, (k + 1) % 3));
        }
    }
}

/* Where the cone of normals keeps clear of the eye's plane there is no such edge. */
static void find_edges(View *view) {
    const MeshTree *tree = &view->mesh->tree;
    size_t stack[64], depth = 0;
    stack[depth++] = 1;
    while (depth > 0) {
        size_t node = stack[--depth];
        BlyVec3 axis = tree->sums[node].area;
        if (fabs(bly_vec_dot(axis, view->eye)) > tree->cone[node] * bly_vec_norm(axis))
            continue;
        if (node >= tree->leaves) {
            find_in_leaf(view, node - tree->leaves);
            continue;
        }
        stack[depth++] = 2 * node + 1;
        stack[depth++] = 2 * node;
    }
}

static int by_line(const void *a, const void *b) {
    const Crossing *x = a, *y = b;
    if (x->line != y->line)
        return x->line - y->line;
    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    return y->step - x->step;
}

typedef struct Seen {
    double area, along, across;
} Seen;

/* Seen against `eye`, with along x across = eye, a facing layer has its edge counter-clockwise: an
 * edge that runs on along the line's own axis opens the layer. */
static Seen add_up(const View *view) {
    Seen sum = {0};
    int layers = 0;
    double from = 0.0;
    for (size_t i = 0; i < view->count; i++) {
        const Crossing *crossing = &view->crossing[i];
        if (i == 0 || crossing->line != view->crossing[i - 1].line)
            layers = 0;
        int before = layers;
        layers += crossing->step;
        if (before <= 0 && layers > 0)
            from = crossing->at;
        if (!(before > 0 && layers <= 0))
            continue;
        double t = PI * (crossing->line + 0.5) / LINES;
        double step = 2.0 * sin(0.5 * PI / LINES) * view->half * sin(t);
        double area = (crossing->at - from) * step;
        sum.area += area;
        sum.along += area * line_at(view, crossing->line);
        sum.across += area * 0.5 * (from + crossing->at);
    }
    return sum;
}

static View view_of(const MeshBody *mesh, BlyVec3 eye) {
    BlyVec3 along = bly_vec_sub(bly_vec(1.0, 0.0, 0.0), bly_vec_scale(eye, eye.x));
    if (hypot(eye.y, eye.z) < 1e-6)
        along = bly_vec_sub(bly_vec(0.0, 0.0, 1.0), bly_vec_scale(eye, eye.z));
    along = bly_vec_scale(along, 1.0 / bly_vec_norm(along));
    double high = mesh_support(&mesh->body, along);
    double low = -mesh_support(&mesh->body, bly_vec_scale(along, -1.0));
    return (View){.mesh = mesh,
                  .eye = eye,
                  .along = along,
                  .across = bly_vec_cross(eye, along),
                  .middle = 0.5 * (low + high),
                  .half = 0.5 * (high - low)};
}

BlyArea mesh_seen(const BlyBody *body, BlyVec3 direction) {
    const MeshBody *mesh = mesh_of(body);
    View view = view_of(mesh, direction);
    find_edges(&view);
    if (view.count > 0)
        qsort(view.crossing, view.count, sizeof *view.crossing, by_line);
    Seen sum = add_up(&view);
    bool good = !view.full && sum.area > 0.0;
    free(view.crossing);
    if (!good)
        return (BlyArea){view.full ? NAN : 0.0, body->surface.centroid};
    BlyVec3 deep = bly_vec_scale(direction, bly_vec_dot(direction, body->solid.centroid));
    BlyVec3 flat = bly_vec_add(bly_vec_scale(view.along, sum.along / sum.area),
                               bly_vec_scale(view.across, sum.across / sum.area));
    BlyVec3 centroid = bly_vec_add(deep, flat);
    if (mesh->even && direction.y == 0.0)
        centroid.y = 0.0;
    return (BlyArea){sum.area, centroid};
}
