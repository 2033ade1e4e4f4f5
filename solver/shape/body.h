/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the shape room: what every kind of body holds, and what a kind must be able to do.
 *
 * A kind (the loft, a body through stations; the mesh, a body bounded by triangles) embeds BlyBody
 * as its first member, fills the looked-up figures when it is made, and gives a table of functions
 * for the rest. */
#ifndef BALLASTRY_SHAPE_BODY_H
#define BALLASTRY_SHAPE_BODY_H

#include "ballastry/shape.h"

#include <stdatomic.h>

/* What the parallel surfaces of a body need beside its area: integrals over the skin of the mean
 * curvature H and of the total curvature K, edges and corners included. */
typedef struct BlyCurvature {
    double mean;          /* integral of H, m */
    double total;         /* integral of K: 4 pi for a body of one piece with no hole through it */
    BlyVec3 mean_moment;  /* integral of H p, m2 */
    BlyVec3 total_moment; /* integral of K p, m */
} BlyCurvature;

typedef struct BlyStripSpec {
    BlySide side;
    double x_from, x_to, width, thickness;
} BlyStripSpec;

/* A strip where it crosses one x (given): the line it is laid on, and how high above it the bent
 * strip lies in the mean. strip_at is false when it does not go around the body there. */
typedef struct BlyStripPoint {
    double x, z;
    double slope; /* inwards positive */
    double rise;
} BlyStripPoint;

typedef struct BlyBodyKind {
    bool (*section)(const BlyBody *body, double x, BlySection *out);
    double (*half_width)(const BlyBody *body, double x, double z);
    BlyArea (*seen)(const BlyBody *body, BlyVec3 direction);
    BlyCut (*cut)(const BlyBody *body, BlyPlane plane);
    double (*support)(const BlyBody *body, BlyVec3 direction);
    bool (*coated)(const BlyBody *body, double thickness, BlyBody **out, BlyError *err);
    bool (*strip_at)(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at);
    size_t strip_nodes; /* along the line */
    void (*free)(BlyBody *body);
} BlyBodyKind;

struct BlyBody {
    const BlyBodyKind *kind;
    BlySolid solid, material;
    BlyArea surface, side, plan;
    BlyBox box;
    BlyCurvature curvature;
    BlyBody *rough; /* owned; NULL: none */
    atomic_int more_owners;
};

/* The strip as a whole, by the kind's strip_at; length may be NULL. BLY_E_RANGE at /width. */
bool bly_strip_lay(const BlyBody *body, const BlyStripSpec *spec, BlySolid *out, double *length,
                   BlyError *err) BLY_MUST_CHECK;

#endif
