/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lofts: bodies whose sections at constant x are superellipses, through stations or by the sizes of
 * a plain shape. docs/loft.md says how they are worked out. */
#ifndef BALLASTRY_LOFT_H
#define BALLASTRY_LOFT_H

#include "ballastry/shape.h"

BLY_API_BEGIN

typedef struct BlyStation {
    double x;        /* m, increasing from station to station */
    double width;    /* m, >= 0 */
    double height;   /* m, >= 0 */
    double centre;   /* m, height of the section's middle; any sign */
    double exponent; /* superellipse |y/b|^n + |z/c|^n = 1; 1.2 to 20, 2 is an ellipse */
} BlyStation;

/* A body through stations (2 to 2000; deep copies). Between stations the squares of width and
 * height, and the centre and exponent themselves, follow Steffen's monotone cubic (docs/loft.md),
 * so that round ends and cones come out exact; with two stations they run straight, so a cone needs
 * three, and a sphere one at its greatest section. A first or last station with size gives a flat
 * end face; one of width or height 0 a knife edge. Between the ends no size may be 0. Sizes above 0
 * are 1e-6 to 2 m, |x| and |centre| at most 2 m.
 * Fails with BLY_E_MISSING (fewer than 2), BLY_E_RANGE and where "/stations/3/width" and the like.
 */
bool bly_body_from_stations(const BlyStation *stations, size_t count, BlyBody **out,
                            BlyError *err) BLY_MUST_CHECK;

/* A plain shape with the given length, greatest width and height (m), volume (m3) and, unless NAN,
 * lengthwise centroid (m from the nose; NAN: in the middle), all exactly. The family:
 * docs/loft.md. Refused (BLY_E_RANGE, where "/length", "/width", "/height", "/volume" or
 * "/centroid_x") with the range that is possible: volume 0.27 to 0.89 of the box length x width x
 * height. */
typedef struct BlyPlainShape {
    double length, width, height, volume, centroid_x;
} BlyPlainShape;
bool bly_body_from_plain(const BlyPlainShape *plain, BlyBody **out, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
