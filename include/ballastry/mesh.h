/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies bounded by triangles: a mesh, laid into body axes, checked, and made into a BlyBody.
 *
 * The room that reads files (ballastry/stl.h) gives a BlyMesh in metres in the file's own axes.
 * docs/mesh.md says how its figures are worked out. */
#ifndef BALLASTRY_MESH_H
#define BALLASTRY_MESH_H

#include <stdint.h>

#include "ballastry/shape.h"

BLY_API_BEGIN

/* A facet lists its corners counter-clockwise as seen from outside. */
typedef struct BlyMesh {
    size_t point_count, facet_count;
    BlyVec3 *points;       /* m; owned */
    uint32_t (*facets)[3]; /* indices of points; owned */
} BlyMesh;

enum { BLY_MESH_FACETS_MAX = 4000000, BLY_MESH_SHELLS_MAX = 32 };

void bly_mesh_release(BlyMesh *mesh);

/* How the edges of a mesh meet. A closed mesh has no faults. */
typedef enum BlyMeshFault {
    BLY_MESH_CLOSED,
    BLY_MESH_OPEN,   /* an edge with one facet: a hole */
    BLY_MESH_TURNED, /* two facets that run the same way along their edge: one shows its inside */
    BLY_MESH_CROWDED /* an edge with three facets or more */
} BlyMeshFault;

typedef struct BlyMeshCheck {
    size_t open, turned, crowded; /* edges of each fault */
    BlyMeshFault first;           /* the fault of the lowest facet; a hole comes last */
    size_t facet;                 /* its index */
    BlyVec3 at;                   /* m, the middle of its edge */
} BlyMeshCheck;

/* across[i][k] becomes the facet beyond the edge from corner k of facet i to the next one (itself
 * where the edge is open or crowded); may be NULL. Fails with BLY_E_MEMORY alone. */
bool bly_mesh_pair(const BlyMesh *mesh, uint32_t (*across)[3], BlyMeshCheck *check,
                   BlyError *err) BLY_MUST_CHECK;

/* Turns and shifts the mesh into body axes: nose at x = 0, the middles of its box at y = 0 and z =
 * 0. `nose` and `up` are unit vectors along an axis of the file; a zero one is found and filled in:
 * the nose at the fuller end of the longest side, up along +z, or +y where the nose lies along z.
 * Fails with BLY_E_CONFLICT where both lie along one axis. */
bool bly_mesh_lay(BlyMesh *mesh, BlyVec3 *nose, BlyVec3 *up, BlyError *err) BLY_MUST_CHECK;

/* How a printed body is filled. */
typedef struct BlyMeshFill {
    double wall;   /* m, skin on every surface, inner ones too; NAN: solid throughout */
    double infill; /* 0 to 1, share of material behind the skin */
} BlyMeshFill;

typedef struct BlyMeshFacts {
    size_t shells;        /* all */
    size_t hollows;       /* shells that bound a hollow */
    size_t turned;        /* shells that were inside out */
    double hollow_volume; /* m3 */
    bool even;            /* starboard and port alike, but for how the facets lie */
    bool searched;        /* the surface was looked through for places where it crosses itself */
} BlyMeshFacts;

/* The body that a closed mesh in body axes bounds; the mesh is copied. Shells within shells are
 * hollows, and bodies within hollows. Its outside (bly_body_solid and all the rest) is that of the
 * outer shells; bly_body_material is what is left within by hollows and fill. `fill` may be NULL.
 * Fails with BLY_E_RANGE (no facets, more than BLY_MESH_FACETS_MAX or BLY_MESH_SHELLS_MAX, no
 * volume, a size below 1e-6 or above 2 m, a wall or share off its range), BLY_E_CONFLICT (not
 * closed, shells that run through each other, a surface that runs through itself by more than 1e-5
 * of the body's diagonal or lies folded back on itself) and BLY_E_MEMORY. */
bool bly_body_from_mesh(const BlyMesh *mesh, const BlyMeshFill *fill, BlyBody **out,
                        BlyMeshFacts *facts, BlyError *err) BLY_MUST_CHECK;

/* The mesh of a body made by bly_body_from_mesh, or coated from one, without hollows; NULL for
 * any other kind. */
const BlyMesh *bly_body_mesh(const BlyBody *body);
/* The same with the shells that bound hollows, turned inward; the body's own, as it lives. */
const BlyMesh *bly_body_mesh_whole(const BlyBody *body);

BLY_API_END

#endif
