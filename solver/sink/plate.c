/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag of a thin flat plate: the lip. */
#include "sink/drag.h"

#include <gsl/gsl_math.h>

/* Cd face on, Re above 1000, over short / long side. Square 1.17 (a data book, Fig 5.13(b) p 95;
 * NACA report 513: 1.16; the disc: 1.17), no ends 1.98 (the same figure); aspects 20, 10 and 5 from
 * memory (White, Fluid Mechanics, Table 7.3: 1.5, 1.3, 1.2). */
static double face_on(double aspect) {
    static const double stubby[] = {0, 1.0 / 20, 1.0 / 10, 1.0 / 5, 1};
    static const double cd[] = {1.98, 1.5, 1.3, 1.2, 1.17};
    return drag_table(stubby, cd, sizeof cd / sizeof cd[0], 1 / aspect);
}

/* A lip on a suspending lure moves at Re of some 100, where only the disc's creeping-flow limit
 * (Cd Re = 20.4) is at hand: the sum of the two published limits bridges between them. */
double bly_drag_plate(double aspect, double reynolds) {
    if (!(aspect >= 1) || !(reynolds > 0))
        return NAN;
    return face_on(aspect) + 20.4 / reynolds;
}

bool bly_drag_plate_known(double reynolds) {
    return reynolds > 1000;
}

/* Duchemin's law for the force square to a plate of low aspect (from memory): over its value face
 * on, 2 s / (1 + s^2) with s the sine of the angle between plate and flow. The force along the flow
 * takes s once more, and so does the area seen: on that area the ratio stays as it is. */
double bly_drag_plate_lean(double lean) {
    if (!(lean >= 0 && lean <= M_PI_2))
        return NAN;
    double s = cos(lean);
    return 2 * s / (1 + s * s);
}
