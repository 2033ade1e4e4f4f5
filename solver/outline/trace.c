/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Traces: lists of cubics, and what can be done to them whatever they mean. */
#include "outline/cubic.h"

#include <math.h>
#include <stdlib.h>

void bly_trace_release(BlyTrace *trace) {
    free(trace->cubic);
    *trace = (BlyTrace){0};
}

bool bly_trace_add(BlyTrace *trace, const BlyCubic *cubic, BlyError *err) {
    if (trace->count == BLY_TRACE_MOST)
        return bly_fail(err, BLY_E_RANGE, NULL, "more than %d curves", BLY_TRACE_MOST);
    if (trace->count == trace->room) {
        size_t room = trace->room == 0 ? 32 : 2 * trace->room;
        BlyCubic *more = realloc(trace->cubic, room * sizeof *more);
        if (more == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu curves", room);
        trace->cubic = more;
        trace->room = room;
    }
    trace->cubic[trace->count++] = *cubic;
    return true;
}

bool bly_trace_line(BlyTrace *trace, double x0, double y0, double x1, double y1, BlyError *err) {
    const BlyCubic line = {{x0, x0 + (x1 - x0) / 3.0, x1 - (x1 - x0) / 3.0, x1},
                           {y0, y0 + (y1 - y0) / 3.0, y1 - (y1 - y0) / 3.0, y1}};
    return bly_trace_add(trace, &line, err);
}

bool bly_trace_join(BlyTrace *trace, const BlyTrace *more, BlyError *err) {
    for (size_t i = 0; i < more->count; i++) {
        if (!bly_trace_add(trace, &more->cubic[i], err))
            return false;
    }
    return true;
}

void bly_trace_map(BlyTrace *trace, const BlyAffine *by) {
    for (size_t i = 0; i < trace->count; i++) {
        BlyCubic *cubic = &trace->cubic[i];
        for (int k = 0; k < 4; k++) {
            double x = cubic->x[k], y = cubic->y[k];
            cubic->x[k] = by->a * x + by->c * y + by->e;
            cubic->y[k] = by->b * x + by->d * y + by->f;
        }
    }
}

BlyAffine bly_affine_after(const BlyAffine *then, const BlyAffine *first) {
    return (BlyAffine){.a = then->a * first->a + then->c * first->b,
                       .b = then->b * first->a + then->d * first->b,
                       .c = then->a * first->c + then->c * first->d,
                       .d = then->b * first->c + then->d * first->d,
                       .e = then->a * first->e + then->c * first->f + then->e,
                       .f = then->b * first->e + then->d * first->f + then->f};
}

double cubic_at(const double p[4], double t) {
    double u = 1.0 - t;
    return u * u * (u * p[0] + 3.0 * t * p[1]) + t * t * (3.0 * u * p[2] + t * p[3]);
}

/* Where the derivative (p1 - p0) u^2 + 2 (p2 - p1) u t + (p3 - p2) t^2 is zero inside (0, 1). The
 * stable form of the quadratic's roots: no difference of nearly equal numbers. */
int cubic_turns(const double p[4], double turn[2]) {
    double c = p[1] - p[0], half = p[2] - p[1] - c, a = p[3] - p[2] - 2.0 * (p[2] - p[1]) + c;
    double disc = half * half - a * c;
    int count = 0;
    if (!(disc >= 0.0))
        return 0;
    double q = -(half + (half < 0.0 ? -sqrt(disc) : sqrt(disc)));
    double root[2] = {a != 0.0 ? q / a : -1.0, q != 0.0 ? c / q : -1.0};
    for (int i = 0; i < 2; i++) {
        if (root[i] > 0.0 && root[i] < 1.0 && !(count == 1 && root[i] == turn[0]))
            turn[count++] = root[i];
    }
    if (count == 2 && turn[0] > turn[1]) {
        double swap = turn[0];
        turn[0] = turn[1];
        turn[1] = swap;
    }
    return count;
}

void cubic_range(const double p[4], double *low, double *high) {
    double turn[2];
    int turns = cubic_turns(p, turn);
    *low = fmin(p[0], p[3]);
    *high = fmax(p[0], p[3]);
    for (int i = 0; i < turns; i++) {
        double value = cubic_at(p, turn[i]);
        *low = fmin(*low, value);
        *high = fmax(*high, value);
    }
}

BlyExtent bly_trace_extent(const BlyTrace *trace) {
    BlyExtent all = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
    if (trace->count == 0)
        return (BlyExtent){0};
    for (size_t i = 0; i < trace->count; i++) {
        double low, high;
        cubic_range(trace->cubic[i].x, &low, &high);
        all.x_low = fmin(all.x_low, low);
        all.x_high = fmax(all.x_high, high);
        cubic_range(trace->cubic[i].y, &low, &high);
        all.y_low = fmin(all.y_low, low);
        all.y_high = fmax(all.y_high, high);
    }
    return all;
}
