/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body in the flow: strips across its length, summed up once. Straight flow meets all strips
 * alike, so that cross flow and ideal flow come to four numbers. */
#include "tow/parts.h"

#include <gsl/gsl_math.h>

enum { STRIPS = 96, FALL = 3 }; /* the section's fall is looked at over so many strips */

typedef struct Strips {
    double from, step;
    double width[STRIPS], height[STRIPS];
} Strips;

static Strips cut_up(const BlyBody *hull) {
    BlyBox box = bly_body_box(hull);
    Strips strips = {.from = box.low.x, .step = (box.high.x - box.low.x) / STRIPS};
    for (int i = 0; i < STRIPS; i++) {
        BlySection section;
        if (!bly_body_section(hull, strips.from + (i + 0.5) * strips.step, &section))
            continue;
        strips.width[i] = section.width;
        strips.height[i] = section.back - section.belly;
    }
    return strips;
}

static double middle(const Strips *strips, int i) {
    return strips->from + (i + 0.5) * strips->step;
}

static double area(const Strips *strips, int i) {
    return M_PI_4 * strips->width[i] * strips->height[i];
}

/* Where ideal flow ends, m from the nose: 0.378 length + 0.527 x1, x1 the place of the section's
 * steepest fall (Hopkins 1951, NACA RM A51C14, as handed on by the DATCOM, from memory). A fall
 * that is steepest in the last strips of a rounded end is steepest at the end itself. */
static double ideal_up_to(const Strips *strips) {
    double steepest = 0, x1 = STRIPS;
    for (int i = 0; i + FALL < STRIPS; i++) {
        double fall = area(strips, i) - area(strips, i + FALL);
        if (fall > steepest) {
            steepest = fall;
            x1 = i + FALL + 1 == STRIPS ? STRIPS : i + 0.5 * (FALL + 1);
        }
    }
    return fmin(0.378 * STRIPS + 0.527 * x1, STRIPS) * strips->step;
}

/* Share of the endless cylinder's drag that a body so slender has: Jorgensen 1977, NASA TR R-474,
 * read off a fit by others. */
static double cross_share(double slender) {
    static const double x[] = {2, 3, 4, 5, 6, 8, 10};
    static const double eta[] = {0.572, 0.591, 0.608, 0.624, 0.638, 0.663, 0.683};
    int i = 0;
    while (i < 5 && slender > x[i + 1])
        i++;
    double u = GSL_MIN_DBL(GSL_MAX_DBL((slender - x[i]) / (x[i + 1] - x[i]), 0), 1);
    return eta[i] + u * (eta[i + 1] - eta[i]);
}

static double greatest_section(const Strips *strips) {
    double most = 0;
    for (int i = 0; i < STRIPS; i++)
        most = fmax(most, area(strips, i));
    return most;
}

static void sum_cross(const Strips *strips, double tie_x, double share, TowBody *out) {
    for (int i = 0; i < STRIPS; i++) {
        if (!(strips->height[i] > 0))
            continue;
        double b = strips->width[i];
        double part = share * 1.2 * sqrt(b / strips->height[i]) * b * strips->step;
        out->cross[0] += part;
        out->cross[1] += part * (middle(strips, i) - tie_x);
    }
}

/* The integral of dA/dx (x - tie) by parts, A rising from nothing at the nose: no derivative of a
 * drawn outline is taken. */
static void sum_potential(const Strips *strips, double tie_x, double share, TowBody *out) {
    double end = strips->from + ideal_up_to(strips), integral = 0, last = 0;
    for (int i = 0; i < STRIPS; i++) {
        double inside = fmin(fmax((end - middle(strips, i)) / strips->step + 0.5, 0), 1);
        double across = M_PI_4 * strips->width[i] * strips->width[i];
        integral += across * inside * strips->step;
        if (i > 0 && end >= middle(strips, i - 1)) {
            double before = M_PI_4 * gsl_pow_2(strips->width[i - 1]);
            double u = fmin((end - middle(strips, i - 1)) / strips->step, 1);
            last = before + u * (across - before);
        }
    }
    out->potential[0] = share * last;
    out->potential[1] = share * (last * (end - tie_x) - integral);
}

/* What a body of finite length leaves of its sections' added mass: of the ellipsoid of its length,
 * width and height, k_up - k_along over the endless cylinder's width/height. */
static bool ideal_share(const BlyBody *hull, double *out, BlyError *err) {
    BlyBox box = bly_body_box(hull);
    double semi[3] = {0.5 * (box.high.x - box.low.x), 0.5 * (box.high.y - box.low.y),
                      0.5 * (box.high.z - box.low.z)},
           k[3];
    if (!bly_added_mass(semi, k, err))
        return false;
    *out = (k[2] - k[0]) * semi[2] / semi[1];
    return true;
}

bool tow_body_of(const BlyBlank *blank, BlyVec3 tie, const BlyWater *water, TowBody *out,
                 BlyError *err) {
    double volume = blank->hull_volume * bly_blank_swelling(blank, water->temperature);
    double grow = cbrt(volume / bly_body_solid(blank->hull)->volume), share;
    Strips strips = cut_up(blank->hull);
    BlyArea front = bly_blank_seen(blank, M_PI_2);
    BlySides sides = bly_blank_sides(blank);
    if (!ideal_share(blank->hull, &share, err))
        return false;
    *out = (TowBody){.length = STRIPS * strips.step * grow,
                     .diameter = sqrt(greatest_section(&strips) / M_PI_4) * grow,
                     .front = front.area * grow * grow,
                     .axis = front.centroid.z - tie.z,
                     .bluntest = fmax(sides.blunt[0], sides.blunt[1])};
    sum_cross(&strips, tie.x, cross_share(out->length / out->diameter), out);
    sum_potential(&strips, tie.x, share, out);
    for (int i = 0; i < 2; i++) {
        out->cross[i] *= grow * grow;
        out->potential[i] *= grow * grow;
    }
    return true;
}
