/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "balance/circle.h"
#include "numeric/roots.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_poly.h>
#include <math.h>

enum { SAMPLES_MAX = 96, SPLITS_MAX = 3, STEPS_MAX = 100, NEWTON_MAX = 8 };

/* Rest angles of a lure are symmetric more often than not; samples stay clear of 0, 45, 90. */
static const double first_sample = 0.37;
static const double root_tolerance = 1e-11;
/* Newton's steps shrink like squares: one this small leaves less than the above. */
static const double newton_tolerance = 2e-6;

typedef struct Sample {
    double t, f, slope;
} Sample;

typedef struct Search {
    BlyCircleFn fn;
    void *user;
    BlyBrackets *out;
} Search;

static bool sample_at(Search *search, double t, Sample *out) {
    out->t = t;
    if (!search->fn(t, search->user, &out->f, &out->slope) || !isfinite(out->f))
        return false;
    search->out->largest = fmax(search->out->largest, fabs(out->f));
    return true;
}

/* The cubic with the values and slopes of a and b, as c[0] + c[1] s + .. for s from 0 to 1. */
static void cubic_through(const Sample *a, const Sample *b, double c[4]) {
    double step = b->t - a->t;
    double da = a->slope * step, db = b->slope * step;
    c[0] = a->f;
    c[1] = da;
    c[2] = 3 * (b->f - a->f) - 2 * da - db;
    c[3] = 2 * (a->f - b->f) + da + db;
}

/* Where between a and b the function may turn without its ends telling: there the cubic has a
 * turning point that is beyond zero or at least nearer to it than the ends. */
static bool hidden_turn(const Sample *a, const Sample *b, double *t) {
    double c[4], turn[2] = {0, 0};
    cubic_through(a, b, c);
    int turns = gsl_poly_solve_quadratic(3 * c[3], 2 * c[2], c[1], &turn[0], &turn[1]);
    for (int i = 0; i < turns; i++) {
        double s = turn[i];
        if (!(s > 0.02 && s < 0.98))
            continue;
        double value = gsl_poly_eval(c, 4, s);
        bool crossing = (a->f < 0) != (b->f < 0);
        bool towards_zero = value * a->f < 0 || fabs(value) < 0.9 * fmin(fabs(a->f), fabs(b->f));
        if (crossing || towards_zero) {
            *t = a->t + s * (b->t - a->t);
            return true;
        }
    }
    return false;
}

static bool look_between(Search *search, const Sample *a, const Sample *b, int splits) {
    double t;
    if (splits > 0 && hidden_turn(a, b, &t)) {
        Sample middle;
        if (!sample_at(search, t, &middle))
            return false;
        return look_between(search, a, &middle, splits - 1) &&
               look_between(search, &middle, b, splits - 1);
    }
    if (!(a->f < 0 && b->f >= 0))
        return true;
    search->out->more = search->out->count == BLY_CIRCLE_MAX;
    if (!search->out->more)
        search->out->at[search->out->count++] =
            (BlyBracket){a->t, b->t, a->f, b->f, a->slope, b->slope, true};
    return true;
}

bool circle_rising(BlyCircleFn fn, void *user, size_t samples, BlyBrackets *out) {
    Search search = {fn, user, out};
    Sample sample[SAMPLES_MAX];
    *out = (BlyBrackets){.count = 0};
    if (samples < 8 || samples > SAMPLES_MAX)
        return false;
    for (size_t i = 0; i < samples; i++) {
        double t = -M_PI + 2 * M_PI * ((double)i + first_sample) / (double)samples;
        if (!sample_at(&search, t, &sample[i]))
            return false;
    }
    for (size_t i = 0; i < samples; i++) {
        Sample next = sample[(i + 1) % samples];
        if (i + 1 == samples)
            next.t += 2 * M_PI;
        if (!look_between(&search, &sample[i], &next, SPLITS_MAX))
            return false;
    }
    return true;
}

double circle_wrap(double t) {
    double wrapped = remainder(t, 2 * M_PI);
    return wrapped <= -M_PI ? M_PI : wrapped; /* NAN stays NAN */
}

int circle_compare(double a, double b) {
    double p = round(fabs(a) * 1e7), q = round(fabs(b) * 1e7); /* whole steps keep it an order */
    if (p != q)
        return p < q ? -1 : 1;
    return a > b ? -1 : a < b;
}

/* GSL wants plain functions of one number; a failure of fn is kept aside. */
typedef struct Bridge {
    BlyCircleFn fn;
    void *user;
    bool failed;
} Bridge;

static void bridge_both(double t, void *user, double *f, double *slope) {
    Bridge *bridge = user;
    *f = *slope = NAN;
    if (!bridge->fn(t, bridge->user, f, slope))
        bridge->failed = true;
}

static double bridge_value(double t, void *user) {
    double f, slope;
    bridge_both(t, user, &f, &slope);
    return f;
}

static double bridge_slope(double t, void *user) {
    double f, slope;
    bridge_both(t, user, &f, &slope);
    return slope;
}

/* Where the cubic through the ends meets zero. */
static double first_guess(const BlyBracket *b) {
    Sample low = {b->low, b->f_low, b->slope_low}, high = {b->high, b->f_high, b->slope_high};
    double c[4], root[3] = {-1, -1, -1};
    cubic_through(&low, &high, c);
    if (c[3] != 0)
        gsl_poly_solve_cubic(c[2] / c[3], c[1] / c[3], c[0] / c[3], &root[0], &root[1], &root[2]);
    for (int i = 0; i < 3; i++) {
        if (root[i] >= 0 && root[i] <= 1)
            return b->low + root[i] * (b->high - b->low);
    }
    return b->low - b->f_low * (b->high - b->low) / (b->f_high - b->f_low);
}

static bool root_by_newton(Bridge *bridge, const BlyBracket *bracket, double *root) {
    gsl_function_fdf function = {bridge_value, bridge_slope, bridge_both, bridge};
    gsl_root_fdfsolver solver;
    BlySolverRoom room;
    bool found = false;
    double last = first_guess(bracket), margin = 0.1 * (bracket->high - bracket->low);
    bool inside =
        bly_slope_begin(&solver, &room, gsl_root_fdfsolver_newton, &function, last) == GSL_SUCCESS;
    for (int step = 0; inside && !found && step < NEWTON_MAX; step++) {
        if (gsl_root_fdfsolver_iterate(&solver) != GSL_SUCCESS || bridge->failed)
            break;
        double t = gsl_root_fdfsolver_root(&solver);
        inside = t >= bracket->low - margin && t <= bracket->high + margin;
        found = inside && fabs(t - last) <= newton_tolerance;
        last = t;
    }
    *root = last;
    return found;
}

/* NAN when f does not rise through zero there. */
static double root_by_brent(Bridge *bridge, double low, double high) {
    gsl_function function = {bridge_value, bridge};
    if (!(bridge_value(low, bridge) < 0 && bridge_value(high, bridge) >= 0))
        return NAN;
    gsl_root_fsolver solver;
    BlySolverRoom room;
    int status = bly_brent_begin(&solver, &room, &function, low, high);
    for (int step = 0; status == GSL_SUCCESS && step < STEPS_MAX; step++) {
        status = gsl_root_fsolver_iterate(&solver);
        double width = gsl_root_fsolver_x_upper(&solver) - gsl_root_fsolver_x_lower(&solver);
        if (bridge->failed || width <= root_tolerance)
            break;
    }
    double root = gsl_root_fsolver_root(&solver);
    (void)bridge_value(root, bridge);
    return status == GSL_SUCCESS ? root : NAN;
}

bool circle_root(BlyCircleFn fn, void *user, const BlyBracket *bracket, double *root) {
    Bridge bridge = {fn, user, false};
    double margin = 0.1 * (bracket->high - bracket->low);
    if (!bracket->slopes || !root_by_newton(&bridge, bracket, root))
        *root = root_by_brent(&bridge, bracket->low, bracket->high);
    if (isnan(*root))
        *root = root_by_brent(&bridge, bracket->low - margin, bracket->high + margin);
    *root = circle_wrap(*root);
    return !bridge.failed;
}
