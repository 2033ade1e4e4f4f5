/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a loft reaches along a direction: looked for as its lowest point along the opposite one.
 */
#include "loft/loft_body.h"
#include "numeric/roots.h"

#include <gsl/gsl_math.h>

enum { LOOKS = 48, STEPS_MAX = 40, HALVINGS = 10 };

typedef struct Below {
    const BlyBody *body;
    BlyVec3 up;
    double middle, half; /* m, of the hull along x */
} Below;

/* Lowest point (along up, m) of the section at x = middle - half cos(w); in w round ends are
 * smooth. A superellipse |y/b|^n + |z/c|^n = 1 reaches (|b u|^q + |c v|^q)^(1/q) along (u, v), with
 * 1/n + 1/q = 1: its support function is the dual norm. */
static double lowest_at(double w, void *user) {
    const Below *below = user;
    double x = below->middle - below->half * cos(w);
    BlySection section;
    if (!loft_section(below->body, x, &section))
        return HUGE_VAL;
    double q = section.exponent / (section.exponent - 1);
    double b = fabs(section.width / 2 * below->up.y), c = fabs(section.height / 2 * below->up.z);
    double reach = pow(pow(b, q) + pow(c, q), 1 / q);
    return below->up.x * x + below->up.z * section.centre - reach;
}

/* The least value near `middle`, which must lie below both ends. */
static double refine(Below *below, double left, double middle, double right) {
    gsl_function function = {lowest_at, below};
    double best = lowest_at(middle, below);
    gsl_min_fminimizer solver;
    BlySolverRoom room;
    int status = bly_least_begin(&solver, &room, &function, left, middle, right);
    for (int i = 0; status == GSL_SUCCESS && i < STEPS_MAX; i++) {
        status = gsl_min_fminimizer_iterate(&solver);
        best = fmin(best, gsl_min_fminimizer_f_minimum(&solver));
        if (gsl_min_fminimizer_x_upper(&solver) - gsl_min_fminimizer_x_lower(&solver) < 1e-6)
            break;
    }
    return best;
}

/* The end itself was the lowest look: a round end is lower still close by, a flat one is not. */
static double refine_end(Below *below, double end, double next) {
    double right = next, lowest = lowest_at(end, below);
    for (int i = 0; i < HALVINGS; i++) {
        double middle = (end + right) / 2;
        if (lowest_at(middle, below) < lowest)
            return refine(below, fmin(end, right), middle, fmax(end, right));
        right = middle;
    }
    return lowest;
}

double loft_support(const BlyBody *body, BlyVec3 direction) {
    BlyBox box = body->box;
    Below below = {body, bly_vec_scale(direction, -1), (box.low.x + box.high.x) / 2,
                   (box.high.x - box.low.x) / 2};
    double step = M_PI / LOOKS, height[LOOKS + 1], lowest;
    int best = 0;
    for (int i = 0; i <= LOOKS; i++) {
        height[i] = lowest_at(i * step, &below);
        if (height[i] < height[best])
            best = i;
    }
    if (best == 0)
        lowest = refine_end(&below, 0, step);
    else if (best == LOOKS)
        lowest = refine_end(&below, M_PI, M_PI - step);
    else if (height[best + 1] > height[best])
        lowest = refine(&below, (best - 1) * step, best * step, (best + 1) * step);
    else
        lowest = height[best]; /* flat: the same all along */
    return -lowest;
}
