/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the shape room: quadrature around a section. */
#ifndef BALLASTRY_SHAPE_CONTOUR_H
#define BALLASTRY_SHAPE_CONTOUR_H

#include "shape/numeric.h"

enum { BLY_CONTOUR_MAX = 100 };

/* Nodes along the starboard half of the unit superellipse, for integrals by a parameter s: the
 * point (u, v), the outward normal (nu, nv) times the contour's speed, how the point moves when the
 * exponent grows, and `bend` such that the normal of the section (b u, c v) turns by b c bend/(c^2
 * nu^2 + b^2 nv^2) ds. */
typedef struct BlyContour {
    size_t count;
    double u[BLY_CONTOUR_MAX], v[BLY_CONTOUR_MAX];
    double nu[BLY_CONTOUR_MAX], nv[BLY_CONTOUR_MAX], bend[BLY_CONTOUR_MAX];
    double un[BLY_CONTOUR_MAX], vn[BLY_CONTOUR_MAX], weight[BLY_CONTOUR_MAX];
} BlyContour;

/* half + 1 nodes at equal angles, from the top to the bottom; half up to 64. */
void bly_contour_ellipse(size_t half, BlyContour *out);
/* The same nodes moved towards the sharp ends of an ellipse with b/c = ratio. */
void bly_contour_bend(const BlyContour *base, double ratio, BlyContour *out);
/* Any other exponent; up to 12 nodes in the rule. */
void bly_contour_oval(double n, const BlyRule *rule, BlyContour *out);

#endif
