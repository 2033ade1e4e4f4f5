/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a drawn lure lies: where the couple about the tie is nothing and falls. The line has no
 * couple there and needs no unknown. */
#include "numeric/roots.h"
#include "tow/parts.h"

#include <gsl/gsl_math.h>

#define DEGREE (M_PI / 180)

enum { LOOKS = 41 }; /* over 80 degrees either way */

static double couple(double nose_down, void *user) {
    return tow_force(user, nose_down).couple;
}

/* NAN where the couple does not fall through nothing there. */
static double falling_root(const TowAt *at, double low, double high) {
    TowAt copy = *at; /* GSL wants its parameters writable */
    gsl_function function = {couple, &copy};
    gsl_root_fsolver solver;
    BlySolverRoom room;
    if (!(couple(low, &copy) > 0) || !(couple(high, &copy) <= 0))
        return NAN;
    int status = bly_brent_begin(&solver, &room, &function, low, high);
    double root = NAN;
    for (int i = 0; status == GSL_SUCCESS && i < 100; i++) {
        status = gsl_root_fsolver_iterate(&solver);
        root = gsl_root_fsolver_root(&solver);
        if (gsl_root_fsolver_x_upper(&solver) - gsl_root_fsolver_x_lower(&solver) < 1e-10)
            break;
    }
    return root;
}

static void keep(TowRoots *roots, double angle) {
    size_t i = roots->count < TOW_ROOTS ? roots->count++ : TOW_ROOTS - 1;
    for (; i > 0 && fabs(roots->angle[i - 1]) > fabs(angle); i--)
        roots->angle[i] = roots->angle[i - 1];
    roots->angle[i] = angle;
}

TowRoots tow_roots(const TowAt *at) {
    TowRoots roots = {.count = 0};
    double step = 160 * DEGREE / (LOOKS - 1);
    TowAt copy = *at;
    double before = couple(-80 * DEGREE, &copy);
    for (int i = 1; i < LOOKS; i++) {
        double to = -80 * DEGREE + i * step, here = couple(to, &copy);
        if (before > 0 && here <= 0)
            keep(&roots, falling_root(at, to - step, to));
        before = here;
    }
    return roots;
}

double tow_root_near(const TowAt *at, double guess) {
    return falling_root(at, guess - 8 * DEGREE, guess + 8 * DEGREE);
}

double tow_followed(const BlyTow *tow, const BlyTowModel *model, double speed) {
    double angle = NAN, faster = fmax(speed, BLY_TOW_FASTEST);
    for (;;) {
        TowAt at = tow_at(tow, model, faster);
        double next = isnan(angle) ? NAN : tow_root_near(&at, angle);
        if (isnan(next)) {
            TowRoots roots = tow_roots(&at);
            next = roots.count > 0 ? roots.angle[0] : NAN;
        }
        angle = next;
        if (faster <= speed)
            return angle;
        faster = fmax(faster * 0.7, speed);
    }
}

double tow_stiffness(const TowAt *at, double angle) {
    const double h = 1e-4;
    return (tow_force(at, angle - h).couple - tow_force(at, angle + h).couple) / (2 * h);
}
