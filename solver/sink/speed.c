/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steady speed: drag grows with it until it carries the net weight. */
#include "sink/drag.h"
#include "numeric/roots.h"

#include <gsl/gsl_math.h>

static const double least_force = 1e-15, greatest_force = 1e6;

/* Forces span fifteen decades and drag goes from speed to speed squared: in logarithms the curve
 * is all but straight. */
typedef struct Task {
    const BlyDragSet *set;
    const BlyWater *water;
    double force;
} Task;

static double drag(const Task *task, double speed) {
    return 0.5 * task->water->density * speed * speed *
           drag_area_raw(task->set, task->water, speed, NULL);
}

static double excess(double log_speed, void *params) {
    const Task *task = params;
    return log(drag(task, exp(log_speed)) / task->force);
}

/* Below the crisis drag over speed never falls, so the speed at the crisis, scaled down with the
 * force, is too slow or right. Beyond it, drag ends up growing with the square of speed. */
static void bracket(const Task *task, double *low, double *high) {
    double diameter = bly_drag_diameter(task->set->body.volume);
    double crisis = DRAG_CRISIS_RE * task->water->viscosity / (task->water->density * diameter);
    double carried = drag(task, crisis);
    if (task->force <= carried) {
        *low = crisis * task->force / carried * (1 - 1e-9);
        *high = crisis;
        return;
    }
    *high = crisis;
    do {
        *low = *high;
        *high *= 2;
    } while (drag(task, *high) < task->force);
}

/* Brent's method to the last digits; returns a GSL status. */
static int find_root(Task *task, double *speed) {
    gsl_root_fsolver solver;
    BlySolverRoom room;
    double low, high;
    bracket(task, &low, &high);
    gsl_function function = {.function = excess, .params = task};
    int status = bly_brent_begin(&solver, &room, &function, log(low), log(high));
    for (int i = 0; status == GSL_SUCCESS && i < 200; i++) {
        status = gsl_root_fsolver_iterate(&solver);
        if (status != GSL_SUCCESS)
            break;
        double left = gsl_root_fsolver_x_lower(&solver), right = gsl_root_fsolver_x_upper(&solver);
        if (gsl_root_test_interval(left, right, 1e-13, 0) == GSL_SUCCESS) {
            *speed = exp(gsl_root_fsolver_root(&solver));
            return GSL_SUCCESS;
        }
    }
    return status == GSL_SUCCESS ? GSL_EMAXITER : status;
}

static bool solve(Task *task, double *speed, BlyError *err) {
    int status = find_root(task, speed);
    if (status != GSL_SUCCESS)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "no speed found for %g N: %s", task->force,
                        gsl_strerror(status));
    return true;
}

bool bly_drag_speed(const BlyDragSet *set, const BlyWater *water, double force, BlyDragResult *out,
                    BlyError *err) {
    if (!drag_set_sound(set, water, err))
        return false;
    if (!(fabs(force) <= greatest_force))
        return bly_fail(err, BLY_E_RANGE, "/force", "got %g N, expected at most %g N either way",
                        force, greatest_force);
    if (fabs(force) < least_force) {
        *out = (BlyDragResult){.speed = 0, .reynolds = 0, .cd = NAN, .area = NAN};
        return true;
    }
    Task task = {.set = set, .water = water, .force = fabs(force)};
    double speed = 0;
    if (!solve(&task, &speed, err))
        return false;
    double re = water->density * speed * bly_drag_diameter(set->body.volume) / water->viscosity;
    *out = (BlyDragResult){.speed = copysign(speed, force),
                           .reynolds = re,
                           .cd = bly_drag_body_cd(&set->body, re),
                           .area = drag_area_raw(set, water, speed, NULL),
                           .notes = drag_notes(set, water, speed, force)};
    return true;
}
