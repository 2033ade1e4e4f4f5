/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag of a compact body that is not a sphere, after Hoelzer & Sommerfeld 2008, Powder Technology
 * 184, 361-365. Their mean over orientations makes a streamlined body that moves along its axis
 * drag two to four times too much: its pressure there is Hoerner's. */
#include "sink/drag.h"

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

/* Of two ends the mean: an end that is no blunter than a half ball adds nothing. */
static double flatness(const double blunt[2]) {
    return (drag_ease(blunt[0], 0.5, 1) + drag_ease(blunt[1], 0.5, 1)) / 2;
}

bool bly_drag_end(const BlyDragAxis *axis, BlyDragBody *body, BlyError *err) {
    BlyDragBody along;
    if (!want_positive(axis->length, "/length", err) ||
        !want_positive(1 + axis->blunt[0] + axis->blunt[1], "/blunt", err) ||
        !bly_drag_body(body->volume, axis->surface, axis->seen_along, axis->seen_beside, &along,
                       err))
        return false;
    double thick = sqrt(4 * axis->seen_along / M_PI) / axis->length;
    double blunt = drag_newton(along.sphericity, along.crosswise);
    double streamlined = fmin(0.44 * thick / along.crosswise, blunt);
    double flat = flatness(axis->blunt);
    body->end = (BlyDragEnd){.crosswise = along.crosswise,
                             .lengthwise = along.lengthwise,
                             .pressure = flat * blunt + (1 - flat) * streamlined};
    return true;
}

/* Trap: 0.42 times a power of ten, and the logarithm is to base ten. */
double drag_newton(double sphericity, double crosswise) {
    return 0.42 * pow(10, 0.4 * pow(-log10(fmin(sphericity, 1)), 0.2)) / crosswise;
}

/* Creeping flow and friction. */
static double viscous(double sphericity, double lengthwise, double reynolds) {
    double phi = fmin(sphericity, 1), root = sqrt(phi);
    return 8 / (reynolds * sqrt(lengthwise)) + 16 / (reynolds * root) +
           3 / (sqrt(reynolds) * root * sqrt(root));
}

double drag_hoelzer(const BlyDragBody *body, double reynolds) {
    return viscous(body->sphericity, body->lengthwise, reynolds) +
           drag_newton(body->sphericity, body->crosswise);
}

static double blend(double round, double sphere, double shaped) {
    return round * sphere + (1 - round) * shaped;
}

static bool sound(const BlyDragBody *body) {
    return positive(body->sphericity) && positive(body->crosswise) && positive(body->lengthwise) &&
           body->end.share >= 0 && body->end.share <= 1 &&
           (body->end.share == 0 || (positive(body->end.lengthwise) && body->end.pressure >= 0));
}

/* The law between is linear in sin^2 of the angle between flow and axis. */
double bly_drag_body_cd(const BlyDragBody *body, double reynolds) {
    if (!(reynolds > 0) || !sound(body))
        return NAN;
    double phi = body->sphericity, share = body->end.share;
    double round = drag_ease(phi, DRAG_ROUND_FROM, 1);
    double sphere = round > 0 ? bly_drag_sphere(reynolds) : 0;
    double cd = round < 1 ? blend(round, sphere, drag_hoelzer(body, reynolds)) : sphere;
    if (share == 0)
        return cd;
    double end = viscous(phi, body->end.lengthwise, reynolds) + body->end.pressure;
    end = blend(drag_ease(phi, DRAG_END_ROUND_FROM, 1), sphere, end);
    return (1 - share) * cd + share * end;
}
