/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rest attitude of a lure that differs little from one whose attitude is known. */
#include "rest/flow.h"
#include "moments/moments.h"
#include "numeric/roots.h"

static const double far_off = 0.35, probe = 1e-4; /* rad */

typedef struct Turning {
    BlyFlow *flow;
    const BlySums *sums;
    BlyError *err;
    bool broken;
    double slope; /* as last looked at, kg m/rad */
} Turning;

static double moment(double t, void *user) {
    Turning *turning = user;
    BlyDrift drift = {0};
    const BlySums *sums = turning->sums;
    if (!flow_drift(turning->flow, t, sums->net_weight, &drift, turning->err))
        turning->broken = true;
    WeightInWater weight = {sums->net_weight, sums->wx, sums->wz};
    return moments_turning(weight, cos(t), sin(t), drift.drag_x, drift.couple);
}

static double slope(double t, void *user) {
    Turning *turning = user;
    turning->slope = (moment(t + probe, user) - moment(t - probe, user)) / (2.0 * probe);
    return turning->slope;
}

static void moment_and_slope(double t, void *user, double *f, double *df) {
    *f = moment(t, user);
    *df = slope(t, user);
}

/* The secant method takes the slope once, where it begins. */
static bool iterate(Turning *turning, double guess, double *angle) {
    gsl_root_fdfsolver solver;
    BlySolverRoom room;
    gsl_function_fdf function = {moment, slope, moment_and_slope, turning};
    int status = bly_slope_begin(&solver, &room, gsl_root_fdfsolver_secant, &function, guess);
    double last = guess;
    for (int step = 0; status == GSL_SUCCESS && !turning->broken && step < 12; step++) {
        status = gsl_root_fdfsolver_iterate(&solver);
        *angle = gsl_root_fdfsolver_root(&solver);
        if (!isfinite(*angle) || fabs(*angle - guess) > far_off)
            return false;
        if (fabs(*angle - last) < 1e-9)
            return slope(*angle, turning) > 0.0;
        last = *angle;
    }
    return false;
}

bool flow_rest_near(BlyFlow *flow, const BlySums *sums, double guess, double *angle,
                    double *stiffness, BlyError *err) {
    Turning turning = {.flow = flow, .sums = sums, .err = err};
    bool found = iterate(&turning, guess, angle) && !turning.broken;
    *stiffness = turning.slope;
    return found;
}
