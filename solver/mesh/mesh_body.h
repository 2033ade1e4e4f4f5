/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the mesh room: the mesh body.
 *
 * Facets lie in the order of a space-filling curve, so that every run of them is near together. A
 * binary tree over the runs holds their boxes and what their cones to the origin add up to; a plane
 * then visits only the facets that it crosses. Sections are looked up in a table (profile.c).
 */
#ifndef BALLASTRY_MESH_MESH_BODY_H
#define BALLASTRY_MESH_MESH_BODY_H

#include "ballastry/mesh.h"
#include "shape/shape.h"

/* With a, b, c a facet's corners: sums of V = a.(b x c)/6, the cone to the origin; of A, the
 * vector area; of V S and of A_i S_j, S = a + b + c. From these follow volume and moment of the
 * cones to any other apex: cut.c. */
typedef struct MeshSums {
    double volume;
    BlyVec3 area, volume_sum;
    double area_sum[3][3];
} MeshSums;

/* A node's box, a hair larger than what it holds, so that rounding never leaves a corner out. */
typedef struct MeshBox {
    float middle[3], half[3];
} MeshBox;
static inline BlyVec3 mesh_box_middle(const MeshBox *box) {
    return bly_vec(box->middle[0], box->middle[1], box->middle[2]);
}
static inline BlyVec3 mesh_box_half(const MeshBox *box) {
    return bly_vec(box->half[0], box->half[1], box->half[2]);
}

/* Facets of a leaf, at most. */
enum { MESH_PER_LEAF = 8 };

/* Node 1 is the root, node k has the children 2k and 2k + 1; leaf i is node leaves + i. */
typedef struct MeshTree {
    int levels;
    size_t leaves; /* two to the power of levels */
    MeshBox *box;  /* of 2 * leaves nodes; box 0 unused */
    MeshSums *sums;
    /* Normals of a node's facets, and of those across their edges, lie within a cone around the sum
     * of its areas: the sine of its half-angle, 2 from a right angle on. NULL until made. */
    double *cone;
} MeshTree;

/* Stations crowd towards both ends, levels towards belly and back: in the angles theta and phi of
 * x = middle - half cos(theta), z = middle - half cos(phi), round shapes are smooth. */
enum { MESH_STATIONS = 257, MESH_LEVELS = 97 };
typedef struct MeshStation {
    double x, belly, back, width, exponent;
    double belly_slope, back_slope;
    double half[MESH_LEVELS]; /* half the chord at each level */
    double off[MESH_LEVELS];  /* y of the chord's middle; 0 throughout in an even mesh */
} MeshStation;

/* A hollow or printed body in cells, (i * ny + j) * nz + k: the share of each that lies within the
 * outer shells, and that which material fills. */
typedef struct MeshCells {
    BlyVec3 low, step; /* m */
    size_t nx, ny, nz;
    float *within, *filled; /* owned */
} MeshCells;

typedef struct MeshInside {
    BlyMesh whole; /* all shells; empty where there are no hollows */
    MeshCells cells;
} MeshInside;

typedef struct MeshBody {
    BlyBody body; /* first: a BlyBody * is a MeshBody * */
    BlyMesh mesh; /* outer shells alone */
    uint32_t (*across)[3];
    BlyVec3 *area; /* vector area of each facet: along its outward normal, as long as it is large */
    MeshTree tree;
    MeshStation *station; /* MESH_STATIONS */
    BlyVec3 *move;        /* of each point for a layer of thickness 1; NULL for a coated body */
    double cubic[4];    /* the volume with all points moved by s times their move, by powers of s */
    bool even;          /* starboard and port are alike but for how the facets lie */
    MeshInside *inside; /* owned; NULL: solid throughout, or coated */
} MeshBody;

extern const BlyBodyKind mesh_kind;

static inline const MeshBody *mesh_of(const BlyBody *body) {
    return (const MeshBody *)body;
}
static inline BlyVec3 mesh_corner(const BlyMesh *mesh, size_t facet, int k) {
    return mesh->points[mesh->facets[facet][k]];
}
/* A facet's vector area, for meshes that are not yet a body. */
static inline BlyVec3 mesh_area(const BlyMesh *mesh, size_t facet) {
    BlyVec3 a = mesh_corner(mesh, facet, 0);
    BlyVec3 ab = bly_vec_sub(mesh_corner(mesh, facet, 1), a);
    BlyVec3 ac = bly_vec_sub(mesh_corner(mesh, facet, 2), a);
    return bly_vec_scale(bly_vec_cross(ab, ac), 0.5);
}
BlyBox mesh_box(const BlyMesh *mesh);
/* Copies nothing: room for so many points and facets. */
bool mesh_allocate(size_t points, size_t facets, BlyMesh *out, BlyError *err) BLY_MUST_CHECK;

/* shells.c: parts the mesh into shells, finds which lie within which, turns those that are
 * inside out. facets of `outer` and of the whole come out turned outward or, for hollows, inward.
 */
bool mesh_shells(const BlyMesh *mesh, BlyMesh *outer, BlyMesh *whole, BlyMeshFacts *facts,
                 BlyError *err) BLY_MUST_CHECK;

/* tree.c: sorts the facets (and numbers the points anew in their order), builds the tree. */
bool mesh_sort(BlyMesh *mesh, BlyError *err) BLY_MUST_CHECK;
bool mesh_tree_make(const BlyMesh *mesh, MeshTree *out, BlyError *err) BLY_MUST_CHECK;
bool mesh_cones_make(MeshBody *mesh, BlyError *err) BLY_MUST_CHECK; /* cone.c */
void mesh_tree_release(MeshTree *tree);
static inline size_t mesh_leaf_start(const MeshTree *tree, size_t facets, size_t leaf) {
    return leaf * facets >> tree->levels;
}
/* Distance from a point to the nearest facet, or `most` when none is nearer. */
double mesh_distance(const BlyMesh *mesh, const MeshTree *tree, BlyVec3 point, double most);

/* column.c: where the upright line at (x, y) meets the surface, lowest first. The caller frees
 * out->at once, after any number of lines. */
typedef struct MeshCrossing {
    double z;
    int in; /* 1: going up, the line enters the mesh there; -1: it leaves */
} MeshCrossing;
typedef struct MeshColumn {
    MeshCrossing *at;
    size_t count, room;
    size_t looked; /* at so many facets */
} MeshColumn;
bool mesh_column(const BlyMesh *mesh, const MeshTree *tree, double x, double y, MeshColumn *out,
                 BlyError *err) BLY_MUST_CHECK;

/* cross.c. How deep two facets run through each other, m: an edge of one pierces the other;
 * its ends lie at least so far from the other's plane, its line so far from the lines of the
 * other's edges. The deepest counts, *at is where; 0 when none is deeper than `least`. */
double mesh_facets_cross(const BlyMesh *mesh, size_t i, size_t j, double least, BlyVec3 *at);
/* Refuses (BLY_E_CONFLICT) a closed mesh, its shells turned aright, that runs through itself or
 * lies folded back on itself. *searched becomes false where that was too much work to tell. */
bool mesh_check_crossing(const BlyMesh *mesh, const MeshTree *tree, const uint32_t (*across)[3],
                         bool *searched, BlyError *err) BLY_MUST_CHECK;

/* solid.c: volume, centroid and second moments; area; and the curvature of edges. */
BlySolid mesh_solid(const BlyMesh *mesh);
BlyArea mesh_surface(const BlyMesh *mesh);
BlyCurvature mesh_curvature(const BlyMesh *mesh, const uint32_t (*across)[3]);

/* cut.c. The sink is told of each edge of the waterplane, counter-clockwise seen from above.
 */
typedef void (*MeshEdgeSink)(void *user, BlyVec3 from, BlyVec3 to);
void mesh_walk_edges(const MeshBody *mesh, BlyPlane plane, MeshEdgeSink sink, void *user);

/* profile.c */
bool mesh_profile_make(MeshBody *mesh, BlyError *err) BLY_MUST_CHECK;
/* The section at x, from belly to back: heights, half-widths and middles at the levels. */
typedef struct MeshOutline {
    double z[MESH_LEVELS], half[MESH_LEVELS], off[MESH_LEVELS];
} MeshOutline;
void mesh_outline(const MeshBody *mesh, double x, MeshOutline *out);
/* One level of it alone. */
typedef struct MeshPlace {
    const MeshStation *fore, *aft;
    double part; /* of the way between them */
} MeshPlace;
MeshPlace mesh_place(const MeshBody *mesh, double x);
void mesh_level(const MeshPlace *place, int level, double *z, double *half);

/* stand_in.c: fills in body.rough for a large mesh; needs the profile and the tree. */
bool mesh_stand_in_make(MeshBody *mesh, BlyError *err) BLY_MUST_CHECK;

/* fill.c: what skin and infill leave of the whole mesh, hollows taken off; and all of it in
 * cells. `whole` is outer->mesh itself where there are no hollows. */
bool mesh_fill(const MeshBody *outer, const BlyMesh *whole, const MeshTree *tree,
               const BlyMeshFill *fill, MeshCells *cells, BlySolid *out,
               BlyError *err) BLY_MUST_CHECK;
void mesh_cells_release(MeshCells *cells);

/* coat.c: fills in move and cubic. */
bool mesh_moves_make(MeshBody *mesh, BlyError *err) BLY_MUST_CHECK;

/* mesh.c. Takes over a mesh of outward shells, whatever the result, and releases it on failure. */
bool mesh_body_make(BlyMesh *mesh, BlyBody **out, BlyError *err) BLY_MUST_CHECK;
/* The same body with its points elsewhere (as many, in their order; taken over likewise). */
bool mesh_body_moved(const MeshBody *like, BlyVec3 *points, const BlyCurvature *curvature,
                     BlyBody **out, BlyError *err) BLY_MUST_CHECK;

bool mesh_section(const BlyBody *body, double x, BlySection *out);
double mesh_half_width(const BlyBody *body, double x, double z);
BlyArea mesh_seen(const BlyBody *body, BlyVec3 direction);
void mesh_blunt(const BlyBody *body, BlyBluntSums *sums);
BlyCut mesh_cut(const BlyBody *body, BlyPlane plane);
double mesh_support(const BlyBody *body, BlyVec3 direction);
bool mesh_coated(const BlyBody *body, double thickness, BlyBody **out, BlyError *err);
bool mesh_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at);
BlyFilled mesh_filled(const BlyBody *body, BlyVec3 point);
void mesh_free(BlyBody *body);

#endif
