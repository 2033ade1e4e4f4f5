/* SPDX-License-Identifier: GPL-3.0-or-later */
/* For the rooms that make bodies: what every kind of body holds, and what a kind must be able to
 * do.
 *
 * A kind (the loft, a body through stations; the mesh, a body bounded by triangles) embeds BlyBody
 * as its first member, fills the looked-up figures when it is made, and gives a table of functions
 * for the rest. Everybody else uses ballastry/shape.h. */
#ifndef BALLASTRY_SHAPE_SHAPE_H
#define BALLASTRY_SHAPE_SHAPE_H

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

/* A strip where it crosses one x (given): the line it is laid on, and how high above it (inwards)
 * the bent strip lies in the mean, and what bulges out of the coat over it. strip_at is false when
 * it does not go around the body there. */
typedef struct BlyStripPoint {
    double x, z;
    double slope; /* inwards positive */
    double rise, bulge;
} BlyStripPoint;

/* Half a section under a strip, from the line to the strip's edge: with e the height above the
 * line and q the turning from it, int ds, int e ds, int e dq, and q and y at the edge. */
typedef struct BlyStripBend {
    double arc, rise_arc, rise_turn, turn, y;
} BlyStripBend;
/* Fills in at->rise and at->bulge. */
void bly_strip_heights(const BlyStripBend *bend, const BlyStripSpec *spec, BlyStripPoint *at);

/* What an end shows along x, and how squarely: see bly_body_blunt. */
typedef struct BlyBluntSums {
    double shown[2], square[2]; /* nose, tail */
} BlyBluntSums;
/* A spot of the skin with this vector area, outward. */
void bly_blunt_add(BlyBluntSums *sums, double ax, double ay, double az);

typedef struct BlyBodyKind {
    bool (*section)(const BlyBody *body, double x, BlySection *out);
    double (*half_width)(const BlyBody *body, double x, double z);
    BlyArea (*seen)(const BlyBody *body, BlyVec3 direction);
    void (*blunt)(const BlyBody *body, BlyBluntSums *sums); /* adds the whole skin */
    BlyCut (*cut)(const BlyBody *body, BlyPlane plane);
    double (*support)(const BlyBody *body, BlyVec3 direction);
    bool (*coated)(const BlyBody *body, double thickness, BlyBody **out, BlyError *err);
    bool (*strip_at)(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at);
    size_t strip_nodes;                                      /* along the line */
    BlyFilled (*filled)(const BlyBody *body, BlyVec3 point); /* asked of a `hollow` body only */
    void (*free)(BlyBody *body);
} BlyBodyKind;

struct BlyBody {
    const BlyBodyKind *kind;
    BlySolid solid, material;
    BlyArea surface, side, plan;
    BlyBox box;
    BlyCurvature curvature;
    BlyBody *rough; /* owned; NULL: none */
    bool hollow;    /* or filled less than solid */
    atomic_int more_owners;
};

/* The strip as a whole, by the kind's strip_at. BLY_E_RANGE at /width. */
bool strip_put(const BlyBody *body, const BlyStripSpec *spec, BlyStripLaid *out,
               BlyError *err) BLY_MUST_CHECK;

#endif
