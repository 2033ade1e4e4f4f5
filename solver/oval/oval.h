/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The superellipse |u|^n + |v|^n = 1, its areas and moments, and the
 * part of it below a straight line. All in closed form for the ellipse (n = 2), by series of the
 * incomplete beta function for every other exponent. */
#ifndef BALLASTRY_OVAL_OVAL_H
#define BALLASTRY_OVAL_OVAL_H

#include <stdbool.h>

enum { BLY_OVAL_TERMS = 44 };

typedef struct BlyOval {
    double n;
    bool ellipse;
    double quarter; /* area of one quadrant of the unit superellipse */
    double lever;   /* integral of u over it */
    double square;  /* integral of u^2 over it */
    /* Series of a sector between an axis and a point: its area, and its moments across and along
     * that axis; see oval.c. Not set for the ellipse. */
    double sector[BLY_OVAL_TERMS], across[BLY_OVAL_TERMS], along[BLY_OVAL_TERMS];
} BlyOval;

void bly_oval_init(BlyOval *oval, double n);
double bly_oval_quarter(double n);
double bly_oval_square(double n);

/* The section |y/b|^n + |z/c|^n = 1 below the line uy y + uz z = d. */
typedef struct BlyBelow {
    double area, y, z;     /* area, and its first moments about the section's middle */
    double y1, z1, y2, z2; /* ends of the chord */
} BlyBelow;

/* The greatest value of uy y + uz z on the section. */
double bly_oval_support(double n, double b, double c, double uy, double uz);

/* Needs |d| < q, with q = bly_oval_support(...). */
BlyBelow bly_oval_below(const BlyOval *oval, double b, double c, double uy, double uz, double d,
                        double q);

/* The point of the unit contour for the parameter w, which runs like an angle from the v axis: 0 at
 * (0, 1), 45 deg on the diagonal, 90 deg at (1, 0); and its derivatives by w. */
void bly_oval_point(double n, double w, double *u, double *v, double *du, double *dv);

#endif
