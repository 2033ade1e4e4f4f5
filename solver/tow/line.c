/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line between lure and rod: in the water bent by its drag and weight, in the air straight. */
#include "tow/parts.h"

#include <gsl/gsl_math.h>

/* Along the line: towed cables, from memory; 0.005 to 0.02. */
static const double along_cd = 0.01;

enum { STEPS = 96, KEEP_EVERY = STEPS / (BLY_TOW_POINTS - 1) };

typedef struct Water {
    const BlyWater *water;
    double diameter, speed, weight; /* m, m/s; N a metre in water */
} Water;

typedef struct Point {
    double slope, tension, ahead, up; /* rad above the way ahead, N; m from the lure */
} Point;

/* By the length from the lure. Only the flow square to the line bends it. */
static Point change(const Water *w, Point p) {
    double cosine = cos(p.slope), sine = sin(p.slope);
    double pressure = 0.5 * w->water->density * w->speed * w->speed * w->diameter;
    double re = w->water->density * w->speed * fabs(sine) * w->diameter / w->water->viscosity;
    double across = re > 0 ? pressure * bly_drag_wire(re) * sine * fabs(sine) : 0;
    return (Point){.slope = -(across - w->weight * cosine) / p.tension,
                   .tension = M_PI * along_cd * pressure * cosine * cosine + w->weight * sine,
                   .ahead = cosine,
                   .up = sine};
}

static Point moved(Point p, Point by, double step) {
    return (Point){p.slope + by.slope * step, p.tension + by.tension * step,
                   p.ahead + by.ahead * step, p.up + by.up * step};
}

/* Runge and Kutta's step of fourth order. */
static Point stepped(const Water *w, Point p, double step) {
    Point a = change(w, p), b = change(w, moved(p, a, step / 2)),
          c = change(w, moved(p, b, step / 2)), d = change(w, moved(p, c, step));
    Point sum = moved(moved(moved(a, b, 2), c, 2), d, 1);
    return moved(p, sum, step / 6);
}

/* m by which the rest of the line, drawn on straight, ends above the rod's tip when the lure is as
 * deep as the line has risen so far. */
static double over(const BlyTowLine *line, const Point *p, double gone) {
    return (line->length - gone) * sin(p->slope) - line->rod;
}

static void keep(BlyTowCurve *curve, const Point *p) {
    if (curve->count == BLY_TOW_POINTS)
        curve->count--; /* the surface takes the last place */
    curve->ahead[curve->count] = p->ahead;
    curve->below[curve->count++] = p->up;
}

/* Halves the step in which the line comes out of the water. */
static double surface(const Water *w, const BlyTowLine *line, Point *p, double gone, double step) {
    double low = 0, high = step;
    for (int i = 0; i < 60; i++) {
        double half = (low + high) / 2;
        Point there = stepped(w, *p, half);
        if (over(line, &there, gone + half) > 0)
            low = half;
        else
            high = half;
    }
    *p = stepped(w, *p, high);
    return gone + high;
}

static void follow(const Water *w, const BlyTowLine *line, Point p, BlyTowCurve *out) {
    double step = line->length / STEPS, gone = 0;
    keep(out, &p);
    for (int i = 1; i <= STEPS; i++) {
        Point next = stepped(w, p, step);
        if (over(line, &next, gone + step) <= 0) {
            gone = surface(w, line, &p, gone, step);
            break;
        }
        p = next;
        gone += step;
        if (i % KEEP_EVERY == 0)
            keep(out, &p);
    }
    keep(out, &p);
    out->depth = p.up;
    out->wet = gone;
    out->tension = p.tension;
    for (size_t i = 0; i < out->count; i++)
        out->below[i] = out->depth - out->below[i];
}

static bool sound(double x, double low, double high, const char *where, BlyError *err) {
    return (x >= low && x <= high) ||
           bly_fail(err, BLY_E_RANGE, where, "got %g, expected %g to %g", x, low, high);
}

BlyTowLine bly_tow_line_usual(void) {
    return (BlyTowLine){.length = 30, .diameter = 0.3e-3, .rod = 1, .density = 1140};
}

bool bly_tow_line(const BlyTowLine *line, const BlyWater *water, double pull, double rise,
                  double speed, BlyTowCurve *out, BlyError *err) {
    if (!sound(line->length, 0.1, 1000, "/length", err) ||
        !sound(line->diameter, 1e-5, 1e-2, "/diameter", err) ||
        !sound(line->rod, 0, 100, "/rod", err) ||
        !sound(line->density, 200, 20000, "/density", err) ||
        !sound(speed, BLY_TOW_SLOWEST, BLY_TOW_FASTEST, "/speed", err))
        return false;
    *out = (BlyTowCurve){.depth = 0, .tension = pull};
    Point start = {.slope = rise, .tension = pull};
    if (!(pull > 0) || !(over(line, &start, 0) > 0) || !(rise > 0))
        return true;
    Water w = {water, line->diameter, speed,
               (line->density - water->density) * M_PI_4 * gsl_pow_2(line->diameter) * BLY_GRAVITY};
    follow(&w, line, start, out);
    return true;
}

/* A straight light line, reeled in from a point at the surface: the lure's path keeps the angle
 * `rise` to it, so that its slope is tan(rise) ln(length/left), deepest where that is `rise`. */
double bly_tow_cast_most(double rise, double length) {
    if (!(rise > 0))
        return 0;
    return length * sin(rise) * exp(-rise / tan(rise));
}
