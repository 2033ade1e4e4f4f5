/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rising roots of a function whose slope is not known and which may have corners. */
#include "balance/circle.h"
#include "numeric/roots.h"

#include <gsl/gsl_math.h>

enum { QUARTER_MAX = 24, PIECES = 4, DIP_STEPS = 60, IDLE_STEPS = 4 };
enum { SAMPLES_MAX = 4 * QUARTER_MAX, POINTS_MAX = PIECES * SAMPLES_MAX };

typedef struct Point {
    double t, f;
} Point;

typedef struct Looking {
    BlyCircleFn fn;
    void *user;
    double largest, sign;
    bool failed;
    Point point[POINTS_MAX + 1];
    size_t count;
} Looking;

static double value_at(Looking *look, double t) {
    double f = NAN, slope;
    if (!look->fn(t, look->user, &f, &slope) || !isfinite(f))
        look->failed = true;
    look->largest = fmax(look->largest, fabs(f));
    return f;
}

static bool add(Looking *look, double t) {
    look->point[look->count++] = (Point){t, value_at(look, t)};
    return !look->failed;
}

static bool changes(double f, double g) {
    return (f < 0) != (g < 0);
}

/* Even angles of a circle rolled out on each quarter: closest at its ends. They lie alike to both
 * sides of level, so that mirror images are looked at alike, and clear of 0, 45 and 90 degrees. */
static bool sample_circle(Looking *look, size_t per_quarter) {
    for (int quarter = -2; quarter < 2; quarter++) {
        for (size_t i = 0; i < per_quarter; i++) {
            double part = ((double)i + 0.5) / (double)per_quarter;
            if (!add(look, M_PI_2 * quarter + M_PI_4 * (1 - cos(M_PI * part))))
                return false;
        }
    }
    look->point[look->count] = look->point[0];
    look->point[look->count++].t += 2 * M_PI;
    return true;
}

/* Where the sign changes it may change three times: looks into such an interval in pieces. */
static bool look_into_changes(Looking *look, const Looking *coarse) {
    for (size_t i = 0; i + 1 < coarse->count; i++) {
        Point a = coarse->point[i], b = coarse->point[i + 1];
        look->point[look->count++] = a;
        for (int k = 1; changes(a.f, b.f) && k < PIECES; k++) {
            if (!add(look, a.t + (b.t - a.t) * k / PIECES))
                return false;
        }
    }
    look->point[look->count++] = coarse->point[coarse->count - 1];
    return true;
}

static double height(double t, void *user) {
    Looking *look = user;
    return look->sign * value_at(look, t);
}

/* Three neighbours on one side of zero, the middle one nearest to it: where between the outer ones
 * the function crosses zero, if it does. Even a corner goes no deeper below the middle than the
 * outer ones rise above it. */
static bool crosses_in_dip(Looking *look, Point a, Point b, Point c, double *t) {
    double low = fabs(b.f), rise = fmax(fabs(a.f), fabs(c.f)) - low;
    if (changes(a.f, b.f) || changes(b.f, c.f) || !(low < fabs(a.f)) || !(low < fabs(c.f)) ||
        low > 2 * rise)
        return false;
    gsl_min_fminimizer solver;
    BlySolverRoom room;
    gsl_function function = {height, look};
    look->sign = b.f < 0 ? -1 : 1;
    int status = bly_least_begin(&solver, &room, &function, a.t, b.t, c.t);
    double least = low;
    for (int i = 0, idle = 0; status == GSL_SUCCESS && i < DIP_STEPS && idle < IDLE_STEPS; i++) {
        status = gsl_min_fminimizer_iterate(&solver);
        double now = gsl_min_fminimizer_f_minimum(&solver);
        if (now < 0)
            break;
        idle = now < 0.999 * least ? 0 : idle + 1; /* not on its way to zero any more */
        least = now;
    }
    *t = gsl_min_fminimizer_x_minimum(&solver);
    return gsl_min_fminimizer_f_minimum(&solver) < 0;
}

static void take(BlyBrackets *out, double low, double f_low, double high, double f_high) {
    if (!(f_low < 0 && f_high >= 0))
        return;
    out->more = out->more || out->count == BLY_CIRCLE_MAX;
    if (!out->more)
        out->at[out->count++] =
            (BlyBracket){.low = low, .high = high, .f_low = f_low, .f_high = f_high};
}

/* The last point is the first one again. */
static Point before(const Looking *look, size_t i) {
    Point point = look->point[i > 0 ? i - 1 : look->count - 2];
    if (i == 0)
        point.t -= 2 * M_PI;
    return point;
}

static void look_for_dip(Looking *look, size_t i, BlyBrackets *out) {
    Point a = before(look, i), b = look->point[i], c = look->point[i + 1];
    double t;
    if (!crosses_in_dip(look, a, b, c, &t))
        return;
    double f = value_at(look, t); /* beyond zero, where its neighbours are not */
    Point left = t < b.t ? a : b, right = t < b.t ? b : c;
    take(out, left.t, left.f, t, f);
    take(out, t, f, right.t, right.f);
}

bool circle_rising_plain(BlyCircleFn fn, void *user, size_t per_quarter, BlyBrackets *out) {
    Looking coarse = {.fn = fn, .user = user}, look = coarse;
    *out = (BlyBrackets){.count = 0};
    if (per_quarter < 2 || per_quarter > QUARTER_MAX || !sample_circle(&coarse, per_quarter) ||
        !look_into_changes(&look, &coarse))
        return false;
    for (size_t i = 0; i + 1 < look.count; i++) {
        const Point *p = &look.point[i];
        take(out, p[0].t, p[0].f, p[1].t, p[1].f);
        look_for_dip(&look, i, out);
    }
    out->largest = fmax(coarse.largest, look.largest);
    return !coarse.failed && !look.failed;
}
