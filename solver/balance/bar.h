/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of a part is wet where the water's surface may cross it. */
#ifndef BALLASTRY_BALANCE_BAR_H
#define BALLASTRY_BALANCE_BAR_H

#include "ballastry/lure.h"

/* A bar is a volume spread evenly along a line, and up and down by `thick` about it, so that a
 * bar that lies level goes under steadily and not all at once. Everything is per volume. */
typedef struct BlyBarWet {
    double share_a, share_b; /* wet share of the volume, as it acts at either end of the line */
    double work;             /* m: the integral of depth over the wet part */
    double aa, ab, bb;       /* 1/m: change of share_a and share_b with the depth of a and b */
} BlyBarWet;

/* Depths (m, positive under water) of the line's two ends; thick > 0. */
BlyBarWet bar_wet(double depth_a, double depth_b, double thick);

/* The thickness (m) of a bar with an item's volume: square if it has length, else a cube. */
double bar_thickness(const BlyItem *item);

#endif
