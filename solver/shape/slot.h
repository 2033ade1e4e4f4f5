/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the shape room: what slot.c and wall.c share. */
#ifndef BALLASTRY_SHAPE_SLOT_H
#define BALLASTRY_SHAPE_SLOT_H

#include "ballastry/facets.h"

/* A directed edge of a wall's rim; the wall lies to its left, seen from outside. */
typedef struct WallEdge {
    uint32_t from, to;
} WallEdge;

/* Fills the loops of edges, all in one plane with this outward normal, with facets that use no
 * other points. Loops may lie within loops. Facets go behind those of `mesh`, which must have room
 * for edge_count + 2 loops more. Fails with BLY_E_INTERNAL when the edges are no loops, and
 * BLY_E_MEMORY. */
bool bly_wall_fill(BlyMesh *mesh, const WallEdge *edges, size_t edge_count, BlyVec3 normal,
                   BlyError *err) BLY_MUST_CHECK;

#endif
