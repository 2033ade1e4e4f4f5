/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Area and middle of what cubics go around, by Green's theorem: A = 1/2 closed integral of x dy -
 * y dx, exact for cubics with four Gauss-Legendre nodes (degree 7; the integrand has degree 5).
 * Nodes and weights: Abramowitz and Stegun, table 25.4. */
#ifndef BALLASTRY_TESTS_SVG_MEASURE_H
#define BALLASTRY_TESTS_SVG_MEASURE_H

#include "support/check.h"
#include "ballastry/outline.h"

static inline double cubic_value(const double p[4], double t) {
    double u = 1 - t;
    return u * u * u * p[0] + 3 * u * u * t * p[1] + 3 * u * t * t * p[2] + t * t * t * p[3];
}

static inline double cubic_slope(const double p[4], double t) {
    double u = 1 - t;
    return 3 * (u * u * (p[1] - p[0]) + 2 * u * t * (p[2] - p[1]) + t * t * (p[3] - p[2]));
}

/* Signed: positive when it goes around with y to the left of x, as in mathematics. */
static inline double trace_area(const BlyTrace *trace) {
    static const double node[4] = {-0.861136311594053, -0.339981043584856, 0.339981043584856,
                                   0.861136311594053};
    static const double weight[4] = {0.347854845137454, 0.652145154862546, 0.652145154862546,
                                     0.347854845137454};
    double sum = 0;
    for (size_t i = 0; i < trace->count; i++) {
        const BlyCubic *c = &trace->cubic[i];
        for (int k = 0; k < 4; k++) {
            double t = 0.5 + 0.5 * node[k];
            sum += 0.25 * weight[k] *
                   (cubic_value(c->x, t) * cubic_slope(c->y, t) -
                    cubic_value(c->y, t) * cubic_slope(c->x, t));
        }
    }
    return sum;
}

#endif
