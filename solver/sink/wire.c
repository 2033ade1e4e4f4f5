/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag of round wire: hooks, rings, eyes. */
#include "sink/drag.h"

#include <gsl/gsl_math.h>

/* 1 - exp(-x); expm1 is the dearer way, and only small x need it. */
static double rise_to_one(double x) {
    return x > 0.5 ? 1 - exp(-x) : -expm1(-x);
}

/* Cheng 2013, J. Hydraul. Eng. 139, 602-611: below the drag crisis of the cylinder. */
double bly_drag_wire(double reynolds) {
    if (!(reynolds > 0))
        return NAN;
    double root = sqrt(reynolds);
    return 11 / (root * sqrt(root)) + 0.9 * rise_to_one(1000 / reynolds) +
           1.2 * rise_to_one(pow(reynolds / 4500, 0.7));
}

/* The lower end is ours: there the formula is 8 % below Lamb's creeping-flow solution. */
bool bly_drag_wire_known(double reynolds) {
    return reynolds >= 0.01 && reynolds <= 2e5;
}

/* DNV-RP-C205, finite cylinder with both ends free, Re below 2e5, over diameter / length, so that
 * no ends is 0. The last point is a data book's Cd 0.63 at length = diameter, over 1.2. */
double bly_drag_wire_ends(double aspect) {
    static const double stubby[] = {0,        1.0 / 100, 1.0 / 50, 1.0 / 40, 1.0 / 20,
                                    1.0 / 10, 1.0 / 5,   1.0 / 2,  1};
    static const double left[] = {1, 0.98, 0.87, 0.82, 0.74, 0.68, 0.62, 0.58, 0.525};
    if (!(aspect >= 1))
        return NAN;
    return drag_table(stubby, left, sizeof left / sizeof left[0], 1 / aspect);
}

/* Only the flow square to the wire drags (from memory; Hoerner, Fluid-Dynamic Drag, chapter 3):
 * force square to the wire ~ cos^2, its part along the flow ~ cos^3, the area seen ~ cos. */
double bly_drag_wire_lean(double lean) {
    if (!(lean >= 0 && lean <= M_PI_2))
        return NAN;
    return gsl_pow_2(cos(lean));
}
