/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A mesh cut by a plane, exactly on its facets.
 *
 * The part below the plane is closed by its waterplane. Seen from an apex O on the plane, the
 * waterplane's own cone is flat; so volume and moment below are those of the cones from O to the
 * facets below and to the lower pieces of the facets that are crossed. With V, A and S of a facet
 * (mesh.h) the cone from O has
 *
 *     volume V - A.O/3,   moment about O: (V - A.O/3)(S - 3 O)/4,
 *
 * which is a sum of the tree's sums, so that whole runs of facets count at once. The crossed facets
 * give the waterplane's edge, piece by piece and counter-clockwise; its area and moments follow by
 * Green's theorem. The cost is that of the facets crossed, some square root of all. */
#include "mesh/mesh_body.h"

enum { DEEPEST = 64 };

typedef struct Cutter {
    const MeshBody *mesh;
    BlyPlane plane;
    BlyVec3 apex; /* on the plane */
    double slack; /* m: a box so near to the plane is looked into */
    double volume;
    BlyVec3 moment; /* of the volume, about the apex */
    MeshEdgeSink sink;
    void *user;
} Cutter;

static void add_below(Cutter *cut, const MeshSums *sums) {
    BlyVec3 o = cut->apex;
    double volume = sums->volume - bly_vec_dot(sums->area, o) / 3.0;
    const double(*m)[3] = sums->area_sum;
    BlyVec3 turned = bly_vec(o.x * m[0][0] + o.y * m[1][0] + o.z * m[2][0],
                             o.x * m[0][1] + o.y * m[1][1] + o.z * m[2][1],
                             o.x * m[0][2] + o.y * m[1][2] + o.z * m[2][2]);
    BlyVec3 moment = bly_vec_sub(sums->volume_sum, bly_vec_scale(turned, 1.0 / 3.0));
    moment = bly_vec_sub(moment, bly_vec_scale(o, 3.0 * volume));
    cut->volume += volume;
    cut->moment = bly_vec_add(cut->moment, bly_vec_scale(moment, 0.25));
}

/* The cone from the apex to a triangle, given relative to it. */
static inline void add_cone(Cutter *cut, const BlyVec3 *a, const BlyVec3 *b, const BlyVec3 *c,
                            double sign) {
    double volume = sign / 6.0 * bly_vec_dot(*a, bly_vec_cross(*b, *c));
    BlyVec3 s = bly_vec_add(*a, bly_vec_add(*b, *c));
    cut->volume += volume;
    cut->moment = bly_vec_add(cut->moment, bly_vec_scale(s, 0.25 * volume));
}

/* A point of a leaf, relative to the apex, and its height above the plane. */
typedef struct Corner {
    BlyVec3 p;
    double d;
} Corner;

/* Where an edge crosses the plane: always from its lower end, so that both its facets find the very
 * same point. */
static inline BlyVec3 crossing(const Corner *low, const Corner *high) {
    double part = low->d / (low->d - high->d);
    return bly_vec_add(low->p, bly_vec_scale(bly_vec_sub(high->p, low->p), part));
}

/* Of a crossed facet, the tip that is alone on its side: added when it is below, taken off the
 * whole when it is above. */
static void add_tip(Cutter *cut, const Corner *lone, const Corner *next, const Corner *last) {
    bool below = lone->d < 0.0;
    BlyVec3 on_next = below ? crossing(lone, next) : crossing(next, lone);
    BlyVec3 on_last = below ? crossing(lone, last) : crossing(last, lone);
    add_cone(cut, &lone->p, &on_next, &on_last, below ? 1.0 : -1.0);
    if (cut->sink != NULL)
        cut->sink(cut->user, below ? on_last : on_next, below ? on_next : on_last);
}

/* What the plane leaves of a facet whose corners are measured. */
static void add_facet(Cutter *cut, const Corner *a, const Corner *b, const Corner *c) {
    int wet = (a->d < 0.0) + (b->d < 0.0) + (c->d < 0.0);
    if (wet == 0)
        return;
    if (wet >= 2)
        add_cone(cut, &a->p, &b->p, &c->p, 1.0);
    if (wet == 3)
        return;
    if ((a->d < 0.0) == (wet == 1))
        add_tip(cut, a, b, c);
    else if ((b->d < 0.0) == (wet == 1))
        add_tip(cut, b, c, a);
    else
        add_tip(cut, c, a, b);
}

/* Most of the leaves that are looked at lie wholly on one side. */
static void add_leaf(Cutter *cut, size_t leaf) {
    const BlyMesh *mesh = &cut->mesh->mesh;
    const MeshTree *tree = &cut->mesh->tree;
    size_t start = mesh_leaf_start(tree, mesh->facet_count, leaf);
    size_t facets = mesh_leaf_start(tree, mesh->facet_count, leaf + 1) - start, below = 0;
    Corner corner[MESH_PER_LEAF][3];
    for (size_t i = 0; i < facets; i++) {
        for (int k = 0; k < 3; k++) {
            Corner *at = &corner[i][k];
            at->p = bly_vec_sub(mesh_corner(mesh, start + i, k), cut->apex);
            at->d = bly_vec_dot(cut->plane.up, at->p);
            below += at->d < 0.0;
        }
    }
    if (below == 3 * facets)
        add_below(cut, &tree->sums[tree->leaves + leaf]);
    else if (below > 0)
        for (size_t i = 0; i < facets; i++)
            add_facet(cut, &corner[i][0], &corner[i][1], &corner[i][2]);
}

static void walk(Cutter *cut) {
    const MeshTree *tree = &cut->mesh->tree;
    size_t stack[DEEPEST], depth = 0;
    BlyVec3 up = cut->plane.up, steep = bly_vec(fabs(up.x), fabs(up.y), fabs(up.z));
    stack[depth++] = 1;
    while (depth > 0) {
        size_t node = stack[--depth];
        const MeshBox *box = &tree->box[node];
        double height = bly_vec_dot(up, mesh_box_middle(box)) - cut->plane.height;
        double reach = bly_vec_dot(steep, mesh_box_half(box)) + cut->slack;
        if (height > reach)
            continue;
        if (height < -reach) {
            add_below(cut, &tree->sums[node]);
        } else if (node < tree->leaves) {
            stack[depth++] = 2 * node + 1;
            stack[depth++] = 2 * node;
        } else {
            add_leaf(cut, node - tree->leaves);
        }
    }
}

static Cutter start(const MeshBody *mesh, BlyPlane plane, MeshEdgeSink sink, void *user) {
    BlyVec3 middle = mesh_box_middle(&mesh->tree.box[1]), half = mesh_box_half(&mesh->tree.box[1]);
    double off = plane.height - bly_vec_dot(plane.up, middle);
    return (Cutter){.mesh = mesh,
                    .plane = plane,
                    .apex = bly_vec_add(middle, bly_vec_scale(plane.up, off)),
                    .slack = 1e-12 * (bly_vec_norm(half) + fabs(off) + bly_vec_norm(middle)),
                    .sink = sink,
                    .user = user};
}

typedef struct SinkPast {
    MeshEdgeSink sink;
    void *user;
    BlyVec3 apex;
} SinkPast;

static void pass_on(void *user, BlyVec3 from, BlyVec3 to) {
    const SinkPast *past = user;
    past->sink(past->user, bly_vec_add(past->apex, from), bly_vec_add(past->apex, to));
}

void mesh_walk_edges(const MeshBody *mesh, BlyPlane plane, MeshEdgeSink sink, void *user) {
    SinkPast past = {.sink = sink, .user = user};
    Cutter cut = start(mesh, plane, pass_on, &past);
    past.apex = cut.apex;
    walk(&cut);
}

/* Sums over the waterplane's edge, in its own axes about the apex. */
typedef struct Rim {
    BlyVec3 along, across;
    double area, l, c, ll, cc, lc, length;
} Rim;

static void add_edge(void *user, BlyVec3 from, BlyVec3 to) {
    Rim *rim = user;
    double l0 = bly_vec_dot(rim->along, from), c0 = bly_vec_dot(rim->across, from);
    double l1 = bly_vec_dot(rim->along, to), c1 = bly_vec_dot(rim->across, to);
    double w = l0 * c1 - l1 * c0; /* twice the triangle to the apex */
    rim->area += w / 2.0;
    rim->l += w * (l0 + l1) / 6.0;
    rim->c += w * (c0 + c1) / 6.0;
    rim->ll += w * (l0 * l0 + l0 * l1 + l1 * l1) / 12.0;
    rim->cc += w * (c0 * c0 + c0 * c1 + c1 * c1) / 12.0;
    rim->lc += w * (2.0 * (l0 * c0 + l1 * c1) + l0 * c1 + l1 * c0) / 24.0;
    rim->length += sqrt((l1 - l0) * (l1 - l0) + (c1 - c0) * (c1 - c0));
}

/* Lengthwise is x seen on the plane, or z when the plane is square to x. */
static Rim rim_of(BlyVec3 up) {
    BlyVec3 along = bly_vec_sub(bly_vec(1.0, 0.0, 0.0), bly_vec_scale(up, up.x));
    if (hypot(up.y, up.z) < 1e-6)
        along = bly_vec_sub(bly_vec(0.0, 0.0, 1.0), bly_vec_scale(up, up.z));
    along = bly_vec_scale(along, 1.0 / bly_vec_norm(along));
    return (Rim){.along = along, .across = bly_vec_cross(up, along)};
}

static void store_rim(const MeshBody *mesh, const Cutter *cut, const Rim *rim, BlyCut *out) {
    double l = rim->l / rim->area, c = rim->c / rim->area;
    out->area = rim->area;
    out->area_centroid = bly_vec_add(
        cut->apex, bly_vec_add(bly_vec_scale(rim->along, l), bly_vec_scale(rim->across, c)));
    out->along = rim->ll - rim->area * l * l;
    out->across = rim->cc - rim->area * c * c;
    out->mixed = rim->lc - rim->area * l * c;
    out->perimeter = rim->length;
    if (mesh->even && cut->plane.up.y == 0.0)
        out->area_centroid.y = out->mixed = 0.0;
}

BlyCut mesh_cut(const BlyBody *body, BlyPlane plane) {
    const MeshBody *mesh = mesh_of(body);
    Rim rim = rim_of(plane.up);
    Cutter cut = start(mesh, plane, add_edge, &rim);
    BlyVec3 nowhere = body->solid.centroid;
    BlyCut out = {.centroid = nowhere, .area_centroid = nowhere};
    walk(&cut);
    out.volume = fmin(fmax(0.0, cut.volume), body->solid.volume);
    if (cut.volume > 1e-14 * body->solid.volume)
        out.centroid = bly_vec_add(cut.apex, bly_vec_scale(cut.moment, 1.0 / cut.volume));
    if (mesh->even && plane.up.y == 0.0)
        out.centroid.y = 0.0;
    if (rim.area > 0.0)
        store_rim(mesh, &cut, &rim, &out);
    return out;
}
