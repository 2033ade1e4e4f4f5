/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag of a compact body that is not a sphere, after Hoelzer & Sommerfeld 2008, Powder Technology
 * 184, 361-365. */
#include "sink/drag_parts.h"

#include <gsl/gsl_math.h>

double bly_drag_diameter(double volume) {
    return cbrt(6 * volume / M_PI);
}

static bool positive(double x) {
    return isfinite(x) && x > 0;
}

static bool want_positive(double x, const char *where, BlyError *err) {
    return positive(x) ||
           bly_fail(err, BLY_E_RANGE, where, "got %g, expected a positive number", x);
}

bool bly_drag_body(double volume, double surface, double seen_along, double seen_beside,
                   BlyDragBody *out, BlyError *err) {
    if (!want_positive(volume, "/volume", err) || !want_positive(surface, "/surface", err) ||
        !want_positive(seen_along, "/seen_along", err) ||
        !want_positive(seen_beside, "/seen_beside", err))
        return false;
    double aside = surface / 2 - seen_beside;
    if (!(aside > 0))
        return bly_fail(err, BLY_E_RANGE, "/surface",
                        "half the surface, %g m2, does not exceed the area seen beside, %g m2",
                        surface / 2, seen_beside);
    double section = M_PI / 4 * gsl_pow_2(bly_drag_diameter(volume));
    *out = (BlyDragBody){.volume = volume,
                         .sphericity = fmin(4 * section / surface, 1),
                         .crosswise = section / seen_along,
                         .lengthwise = section / aside};
    return true;
}

/* Trap: the last term is 0.42 times a power of ten, and the logarithm is to base ten. */
double bly_drag_hoelzer(const BlyDragBody *body, double reynolds) {
    double phi = fmin(body->sphericity, 1);
    double newton = 0.42 * pow(10, 0.4 * pow(-log10(phi), 0.2)) / body->crosswise;
    return 8 / (reynolds * sqrt(body->lengthwise)) + 16 / (reynolds * sqrt(phi)) +
           3 / (sqrt(reynolds) * pow(phi, 0.75)) + newton;
}

double bly_drag_body_cd(const BlyDragBody *body, double reynolds) {
    if (!(reynolds > 0) || !positive(body->sphericity) || !positive(body->crosswise) ||
        !positive(body->lengthwise))
        return NAN;
    double round = bly_drag_ease(body->sphericity, BLY_DRAG_ROUND_FROM, 1);
    double sphere = round > 0 ? bly_drag_sphere(reynolds) : 0;
    double shaped = round < 1 ? bly_drag_hoelzer(body, reynolds) : 0;
    return round * sphere + (1 - round) * shaped;
}
