/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the svg room: elliptical arcs. */
#ifndef BALLASTRY_SVG_ARC_H
#define BALLASTRY_SVG_ARC_H

#include "ballastry/outline.h"

/* A path's arc from (x0, y0) to (x1, y1) with radii, rotation (deg) and its two flags. */
typedef struct Arc {
    double x0, y0, rx, ry, rotation_deg;
    bool large, sweep;
    double x1, y1;
} Arc;

/* Appends it as cubics. */
bool arc_add(const Arc *arc, BlyTrace *out, BlyError *err) BLY_MUST_CHECK;

/* A whole upright ellipse, one closed stroke. */
bool ellipse_add(double cx, double cy, double rx, double ry, BlyTrace *out,
                 BlyError *err) BLY_MUST_CHECK;

#endif
