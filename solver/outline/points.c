/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A smooth stroke through measured points: Akima's curve (GSL) of x and y over the length of the
 * chords, which does not swing where points lie unevenly. Where the way turns sharply the curve is
 * broken, so that a corner stays one. */
#include "outline/cubic.h"

#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdlib.h>

static const double corner = 0.5; /* cosine of 60 degrees */

typedef struct Points {
    double *x, *y, *s; /* s: length of the chords up to here */
    size_t count;
    bool closed; /* then one point more is stored: the first again */
} Points;

/* The stretch [from, to] of the points as one curve. Akima wants five points, a spline three. */
typedef struct Stretch {
    const gsl_interp_type *kind;
    const Points *points;
    size_t from, count;
} Stretch;

static bool slopes(const Stretch *stretch, const double *value, double *slope, BlyError *err) {
    const double *s = stretch->points->s + stretch->from;
    gsl_interp *interp = gsl_interp_alloc(stretch->kind, stretch->count);
    if (interp == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a curve through points");
    bool good = gsl_interp_init(interp, s, value, stretch->count) == 0;
    for (size_t i = 0; good && i < stretch->count; i++)
        good = gsl_interp_eval_deriv_e(interp, s, value, s[i], NULL, &slope[i]) == 0;
    gsl_interp_free(interp);
    return good || bly_fail(err, BLY_E_INTERNAL, NULL, "no curve through the points was found");
}

static bool add_stretch(BlyTrace *trace, const Stretch *stretch, double *dx, double *dy,
                        BlyError *err) {
    const Points *p = stretch->points;
    const double *x = p->x + stretch->from, *y = p->y + stretch->from, *s = p->s + stretch->from;
    if (stretch->count == 2)
        return bly_trace_line(trace, x[0], y[0], x[1], y[1], err);
    if (!slopes(stretch, x, dx, err) || !slopes(stretch, y, dy, err))
        return false;
    if (stretch->kind == gsl_interp_akima_periodic) { /* GSL's slope at the very end is one-sided */
        dx[stretch->count - 1] = dx[0];
        dy[stretch->count - 1] = dy[0];
    }
    for (size_t i = 0; i + 1 < stretch->count; i++) {
        double h = (s[i + 1] - s[i]) / 3.0;
        const BlyCubic piece = {{x[i], x[i] + h * dx[i], x[i + 1] - h * dx[i + 1], x[i + 1]},
                                {y[i], y[i] + h * dy[i], y[i + 1] - h * dy[i + 1], y[i + 1]}};
        if (!bly_trace_add(trace, &piece, err))
            return false;
    }
    return true;
}

static bool sharp(const Points *p, size_t before, size_t at, size_t after) {
    double ax = p->x[at] - p->x[before], ay = p->y[at] - p->y[before];
    double bx = p->x[after] - p->x[at], by = p->y[after] - p->y[at];
    return ax * bx + ay * by < corner * hypot(ax, ay) * hypot(bx, by);
}

static void measure(Points *p) {
    p->s[0] = 0.0;
    for (size_t i = 1; i < p->count; i++)
        p->s[i] = p->s[i - 1] + hypot(p->x[i] - p->x[i - 1], p->y[i] - p->y[i - 1]);
}

static void turn_list(double *list, size_t count, size_t by, double *room) {
    for (size_t i = 0; i < count; i++)
        room[i] = list[(i + by) % count];
    for (size_t i = 0; i < count; i++)
        list[i] = room[i];
}

/* A closed stroke begins at a corner if it has one. Returns whether it has none. */
static bool begin_at_corner(Points *p, double *room) {
    size_t n = p->count, first = n;
    for (size_t i = 0; i < n && first == n; i++) {
        if (sharp(p, (i + n - 1) % n, i, (i + 1) % n))
            first = i;
    }
    if (first < n) {
        turn_list(p->x, n, first, room);
        turn_list(p->y, n, first, room);
    }
    p->x[n] = p->x[0];
    p->y[n] = p->y[0];
    p->count++;
    return first == n;
}

static const gsl_interp_type *kind_for(size_t count) {
    return count >= 5 ? gsl_interp_akima : gsl_interp_cspline;
}

static bool add_all(BlyTrace *trace, Points *p, double *dx, double *dy, BlyError *err) {
    bool round = p->closed && begin_at_corner(p, dx);
    measure(p);
    if (round && p->count >= 6) {
        const Stretch whole = {gsl_interp_akima_periodic, p, 0, p->count};
        return add_stretch(trace, &whole, dx, dy, err);
    }
    size_t from = 0;
    for (size_t i = 1; i < p->count; i++) {
        if (i + 1 < p->count && !sharp(p, i - 1, i, i + 1))
            continue;
        const Stretch part = {kind_for(i - from + 1), p, from, i - from + 1};
        if (!add_stretch(trace, &part, dx, dy, err))
            return false;
        from = i;
    }
    return true;
}

static void take_different(Points *p, const double *x, const double *y, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (p->count > 0 && x[i] == p->x[p->count - 1] && y[i] == p->y[p->count - 1])
            continue;
        p->x[p->count] = x[i];
        p->y[p->count++] = y[i];
    }
    while (p->closed && p->count > 1 && p->x[p->count - 1] == p->x[0] &&
           p->y[p->count - 1] == p->y[0])
        p->count--;
}

bool bly_trace_points(BlyTrace *trace, const double *x, const double *y, size_t count, bool closed,
                      BlyError *err) {
    for (size_t i = 0; i < count; i++) {
        if (!(fabs(x[i]) < 1e3 && fabs(y[i]) < 1e3))
            return bly_fail(err, BLY_E_RANGE, NULL, "a point lies beyond 1000 m");
    }
    if (count < 2 || count > BLY_TRACE_MOST)
        return bly_fail(err, BLY_E_RANGE, NULL, "%zu points; expected 2 to %d", count,
                        BLY_TRACE_MOST);
    size_t room = count + 1;
    double *block = calloc(5 * room, sizeof *block);
    if (block == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu points", count);
    Points points = {block, block + room, block + 2 * room, 0, closed && count > 2};
    take_different(&points, x, y, count);
    bool good = points.count >= 2 ? add_all(trace, &points, block + 3 * room, block + 4 * room, err)
                                  : bly_fail(err, BLY_E_RANGE, NULL, "all points lie in one place");
    free(block);
    return good;
}
