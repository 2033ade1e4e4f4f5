/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlines of lips: half-width along the length, and area in closed form. s runs from the slot end.
 * TONGUE: a half circle of the full width ends the straight sides; shorter than that it is the
 * circle's cap. ROUND: an ellipse of the full width through the two corners of the straight root.
 * DRAWN: the maker's points, straight between.
 */
#include "ballastry/parts.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

typedef struct Ellipse {
    double centre, along, across; /* m */
    double cut; /* where the root's corners lie, in semi-axes before the centre: 0 to 1 */
} Ellipse;

static Ellipse round_ellipse(const BlyPart *outline, double length) {
    double share = fmin(1, outline->root_width / outline->width);
    double cut = sqrt(1 - share * share);
    double along = (length - outline->root_length) / (1 + cut);
    return (Ellipse){outline->root_length + along * cut, along, outline->width / 2, cut};
}

static double chord(double radius, double off_centre) {
    double square = radius * radius - off_centre * off_centre;
    return square > 0 ? sqrt(square) : 0;
}

/* Where the last point at or before s stands; the first where none does. */
static size_t drawn_before(const BlyPart *outline, double s) {
    size_t low = 0, high = outline->drawn_count;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (outline->drawn[2 * middle] <= s)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Straight between the points; a shorter plate begins further out. */
static double drawn_half_width(const BlyPart *outline, double length, double s) {
    double at = s + outline->length_most - length;
    if (outline->drawn_count < 2)
        return NAN;
    size_t i = drawn_before(outline, at);
    i -= i + 1 == outline->drawn_count;
    const double *a = outline->drawn + 2 * i, *b = a + 2;
    double share = fmin(fmax((at - a[0]) / (b[0] - a[0]), 0), 1);
    return a[1] + share * (b[1] - a[1]);
}

static double drawn_area(const BlyPart *outline, double length) {
    double from = fmax(outline->length_most - length, 0), area = 0;
    if (outline->drawn_count < 2)
        return NAN;
    for (size_t i = 0; i + 1 < outline->drawn_count; i++) {
        const double *a = outline->drawn + 2 * i, *b = a + 2;
        double begin = fmax(a[0], from);
        if (b[0] <= begin)
            continue;
        double first = a[1] + (b[1] - a[1]) * (begin - a[0]) / (b[0] - a[0]);
        area += (b[0] - begin) * (first + b[1]);
    }
    return area;
}

double bly_outline_half_width(const BlyPart *outline, double length, double s) {
    if (!(s >= 0 && s <= length))
        return 0;
    double half = outline->width / 2;
    switch (outline->form) {
    case BLY_OUTLINE_SQUARE:
        return half;
    case BLY_OUTLINE_TONGUE:
        return s <= length - half ? half : chord(half, s - (length - half));
    case BLY_OUTLINE_FLARED:
        return (outline->root_width + (outline->width - outline->root_width) * s / length) / 2;
    case BLY_OUTLINE_ROUND: {
        if (s < outline->root_length || length <= outline->root_length)
            return outline->root_width / 2;
        Ellipse e = round_ellipse(outline, length);
        return e.across * chord(1, (s - e.centre) / e.along);
    }
    case BLY_OUTLINE_DRAWN:
        return drawn_half_width(outline, length, s);
    default:
        return NAN;
    }
}

/* Area of a circle of this radius beyond a chord `off_centre` from the centre (-radius .. radius),
 * on the side that holds +x. */
static double circle_beyond(double radius, double off_centre) {
    return radius * radius * acos(off_centre / radius) - off_centre * chord(radius, off_centre);
}

double bly_outline_area(const BlyPart *outline, double length) {
    if (!(length > 0))
        return length <= 0 ? 0 : NAN;
    double width = outline->width, half = width / 2;
    switch (outline->form) {
    case BLY_OUTLINE_SQUARE:
        return width * length;
    case BLY_OUTLINE_TONGUE:
        return length >= half ? width * (length - half) + pi / 2 * half * half
                              : circle_beyond(half, half - length);
    case BLY_OUTLINE_FLARED:
        return (outline->root_width + width) / 2 * length;
    case BLY_OUTLINE_ROUND: {
        double root = outline->root_width * fmin(length, outline->root_length);
        if (length <= outline->root_length)
            return root;
        Ellipse e = round_ellipse(outline, length);
        return root + e.along * e.across * circle_beyond(1, -e.cut);
    }
    case BLY_OUTLINE_DRAWN:
        return drawn_area(outline, length);
    default:
        return NAN;
    }
}
