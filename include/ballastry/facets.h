/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A body's surface as triangles, for those who print or mill it, and the lip slot sawn into it. SI,
 * body axes. */
#ifndef BALLASTRY_FACETS_H
#define BALLASTRY_FACETS_H

#include "ballastry/mesh.h"

BLY_API_BEGIN

/* The surface of a body within `chord` (m, 1e-6 to 1e-3) of the true one, closed and outward: rings
 * along the body, as many and with as many corners as it takes, measured in the middle of every
 * facet's edges and of every pair of facets. The points lie on the true surface. A body made of a
 * mesh gives that mesh as it is, hollows too, whatever the chord. Owned by the caller:
 * bly_mesh_release. Fails with BLY_E_RANGE (chord; more facets than BLY_MESH_FACETS_MAX) and
 * BLY_E_MEMORY. */
bool bly_body_facets(const BlyBody *body, double chord, BlyMesh *out, BlyError *err) BLY_MUST_CHECK;

/* A slot as a saw leaves it: right through from side to side, `thickness` wide, its middle plane
 * through `mouth` and across the lure, from the open end along `along` (unit vector in the x-z
 * plane) to `depth` behind the mouth. */
typedef struct BlySlot {
    BlyVec3 mouth, along;
    double thickness, depth; /* m, above 0 */
} BlySlot;

/* The mesh without what the slot takes, closed and outward again; cut exactly along the slot's
 * planes, which may shift by up to 2e-6 m so that none runs through a corner of the mesh. Fails
 * with BLY_E_CONFLICT: the slot misses the body, or cuts it in two; with BLY_E_INTERNAL when what
 * comes out is not closed. */
bool bly_mesh_slot(const BlyMesh *mesh, const BlySlot *slot, BlyMesh *out,
                   BlyError *err) BLY_MUST_CHECK;

/* m3 that the slot takes from the true body: areas of the slot's middle plane and its two walls
 * within the body, by Simpson's rule. */
double bly_slot_volume(const BlyBody *body, const BlySlot *slot);

/* m3 that the slot takes from a closed mesh, hollows left out: areas of BLY_SLOT_PLANES planes
 * along it, each exact. Off by at most the difference of its area at the two walls over so many,
 * where that grows or falls all the way; where it leaps (a hollow ends within the slot) by the leap
 * over so many. */
enum { BLY_SLOT_PLANES = 64 };
double bly_mesh_slot_volume(const BlyMesh *mesh, const BlySlot *slot);

/* m3 within a closed, outward mesh. */
double bly_mesh_volume(const BlyMesh *mesh);

BLY_API_END

#endif
