/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The force square to a flat plate of low aspect at any incidence: attached up to its stall,
 * separated beyond. Sources and deviations: docs/tow.md. */
#include "tow/parts.h"

#include <gsl/gsl_math.h>

static double between(const double x[], const double y[], int count, double at) {
    int i = 0;
    while (i < count - 2 && at > x[i + 1])
        i++;
    double u = GSL_MIN_DBL(GSL_MAX_DBL((at - x[i]) / (x[i + 1] - x[i]), 0), 1);
    return y[i] + u * (y[i + 1] - y[i]);
}

double bly_tow_plate_stall(double aspect) {
    static const double a[] = {0, 0.5, 1, 1.5, 2, 3}, deg[] = {48, 44, 38.5, 24, 19, 18};
    return between(a, deg, 6, aspect) * M_PI / 180;
}

/* The form of Polhamus 1966: potential part and the vortices of the edges. */
static double attached(double s, double aspect) {
    static const double a[] = {1, 1.5}, by[] = {2.7, 2.3};
    double potential = 2 * M_PI * aspect / (2 + sqrt(aspect * aspect + 4));
    return potential * s * sqrt(1 - s * s) + between(a, by, 2, aspect) * s * s;
}

/* Hoerner's law with the correction for ends. */
static double separated(double s, double aspect, double face_on) {
    double k = 0.41 * (1 - exp(-17 / aspect));
    return face_on * s * (1 / (0.56 + 0.44 * s) - k) / (1 - k);
}

double bly_tow_plate(double incidence, double aspect, double face_on, double peak) {
    if (!(aspect > 0))
        return NAN;
    double s = fmin(fabs(sin(incidence)), 1), ease = 4 * M_PI / 180;
    double kept = (1 - tanh((asin(s) - bly_tow_plate_stall(aspect) - ease) / ease)) / 2;
    double beyond = separated(s, aspect, face_on);
    return copysign(beyond + peak * kept * (attached(s, aspect) - beyond), sin(incidence));
}
