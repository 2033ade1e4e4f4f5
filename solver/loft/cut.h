/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the loft room: the sums of a cut, shared by cut.c and cut_sums.c. */
#ifndef BALLASTRY_LOFT_CUT_H
#define BALLASTRY_LOFT_CUT_H

#include "loft/loft_body.h"

/* Below this sine of the angle between x and the plane's normal the plane counts as square to x.
 * What is left out is of its second order. */
#define SQUARE_SINE 1e-6

/* One place on a panel: d and q of cut.c's head, and the reach of the section's vertices on the y
 * and z axis. */
typedef struct Probe {
    double s, d, q, side, top;
} Probe;

/* A chord of the waterplane in its own axes: `along` is lengthwise, from <= to crosswise, so that
 * either end stays on its own side of the edge from chord to chord. */
typedef struct Chord {
    double along, from, to;
} Chord;

typedef struct Cutter {
    const Loft *loft;
    BlyPlane plane;
    double sine;                                     /* of the angle between x and up */
    double volume, x, y, z;                          /* and first moments */
    double area, along, across;                      /* waterplane, and first moments */
    double along_along, across_across, along_across; /* second moments about the axes' origin */
    double perimeter;
    bool open; /* the waterplane's edge runs on from `last` */
    Chord last;
} Cutter;

static inline void cut_add_volume(Cutter *cut, double volume, double x, double y, double z) {
    cut->volume += volume;
    cut->x += x;
    cut->y += y;
    cut->z += z;
}

/* The chord of the plane in the section at `at`, of which `below` is under water. */
Chord cut_chord(const Cutter *cut, const Slice *at, const BlyBelow *below);
/* A chord with weight `step` along; continues the edge. */
void cut_add_chord(Cutter *cut, const Chord *chord, double step);
/* The edge starts, ends or turns the corner of an end face at this section. */
void cut_touch(Cutter *cut, const Slice *at, const Probe *probe);
BlyCut cut_result(const Cutter *cut);
BlyCut loft_cut_square(const Loft *loft, BlyPlane plane);

#endif
