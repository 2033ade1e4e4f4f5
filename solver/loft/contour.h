/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the loft room: quadrature around a section. */
#ifndef BALLASTRY_LOFT_CONTOUR_H
#define BALLASTRY_LOFT_CONTOUR_H

#include "numeric/numeric.h"

enum { CONTOUR_MAX = 100 };

/* Nodes along the starboard half of the unit superellipse, for integrals by a parameter s: the
 * point (u, v), the outward normal (nu, nv) times the contour's speed, how the point moves when the
 * exponent grows, and `bend` such that the normal of the section (b u, c v) turns by b c bend/(c^2
 * nu^2 + b^2 nv^2) ds. */
typedef struct Contour {
    size_t count;
    double u[CONTOUR_MAX], v[CONTOUR_MAX];
    double nu[CONTOUR_MAX], nv[CONTOUR_MAX], bend[CONTOUR_MAX];
    double un[CONTOUR_MAX], vn[CONTOUR_MAX], weight[CONTOUR_MAX];
} Contour;

/* half + 1 nodes at equal angles, from the top to the bottom; half up to 64. */
void contour_ellipse(size_t half, Contour *out);
/* The same nodes moved towards the sharp ends of an ellipse with b/c = ratio. */
void contour_bend(const Contour *base, double ratio, Contour *out);
/* Any other exponent; up to 12 nodes in the rule. */
void contour_oval(double n, const BlyRule *rule, Contour *out);

#endif
