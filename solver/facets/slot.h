/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the facets room: what slot.c, slot_part.c and wall.c share. */
#ifndef BALLASTRY_FACETS_SLOT_H
#define BALLASTRY_FACETS_SLOT_H

#include "ballastry/facets.h"

/* The two walls and the bottom; bits of a point that was made on them. */
enum { FRONT, BACK, BOTTOM, PLANES };

/* dot(normal, p) = height; the slot lies on the side where it is smaller. */
typedef struct Cutting {
    BlyVec3 normal;
    double height;
} Cutting;

typedef struct Saw {
    BlyMesh mesh;        /* under way; owned */
    unsigned char *made; /* bits of every point; owned */
    size_t point_room, facet_room;
    Cutting plane[PLANES];
} Saw;

static inline double saw_beyond(const Cutting *plane, BlyVec3 p) {
    return bly_vec_dot(plane->normal, p) - plane->height;
}

/* slot_part.c: room for so many points and facets; 0: as many as there is. */
bool saw_need(Saw *saw, size_t points, size_t facets, BlyError *err) BLY_MUST_CHECK;
/* Parts every facet that the plane crosses; the new points carry its bit. */
bool saw_part(Saw *saw, int which, BlyError *err) BLY_MUST_CHECK;

/* A directed edge of a wall's rim; the wall lies to its left, seen from outside. */
typedef struct WallEdge {
    uint32_t from, to;
} WallEdge;

/* Fills the loops of edges, all in one plane with this outward normal, with facets that use no
 * other points. Loops may lie within loops. Facets go behind those of `mesh`, which must have room
 * for edge_count + 2 loops more. Fails with BLY_E_INTERNAL when the edges are no loops, and
 * BLY_E_MEMORY. */
bool wall_fill(BlyMesh *mesh, const WallEdge *edges, size_t edge_count, BlyVec3 normal,
               BlyError *err) BLY_MUST_CHECK;

#endif
