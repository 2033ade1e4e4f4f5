/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The standard drag curve of a smooth sphere, after Clift, Grace & Weber 1978, Bubbles, Drops and
 * Particles, Table 5.2, p 112. */
#include "sink/drag.h"

#include <gsl/gsl_interp.h>
#include <math.h>

double drag_ease(double x, double from, double to) {
    double u = (x - from) / (to - from);
    if (u <= 0)
        return 0;
    return u >= 1 ? 1 : u * u * (3 - 2 * u);
}

double drag_table(const double x[], const double y[], size_t count, double at) {
    size_t i = gsl_interp_bsearch(x, at, 0, count - 1);
    double u = fmin(fmax((at - x[i]) / (x[i + 1] - x[i]), 0), 1);
    return y[i] + u * (y[i + 1] - y[i]);
}

/* Range n of the table holds above upper_end[n - 1] and up to upper_end[n]. */
static const double upper_end[] = {0.01, 20, 260, 1500, 1.2e4, 4.4e4, 3.38e5, 4e5, 1e6};
enum { RANGES = sizeof upper_end / sizeof upper_end[0] + 1 };

static double range_formula(int range, double re) {
    double w = log10(re);
    switch (range) {
    case 0:
        return 3.0 / 16 + 24 / re;
    case 1:
        return 24 / re * (1 + 0.1315 * pow(re, 0.82 - 0.05 * w));
    case 2:
        return 24 / re * (1 + 0.1935 * pow(re, 0.6305));
    case 3:
        return pow(10, 1.6435 + w * (-1.1242 + w * 0.1558));
    case 4:
        return pow(10, -2.4571 + w * (2.5558 + w * (-0.9295 + w * 0.1049)));
    case 5:
        return pow(10, -1.9181 + w * (0.6370 + w * -0.0636));
    case 6:
        return pow(10, -4.3390 + w * (1.5809 + w * -0.1546));
    case 7:
        return 29.78 - 5.3 * w;
    case 8:
        return 0.1 * w - 0.49;
    default:
        return 0.19 - 8e4 / re;
    }
}

/* The printed ranges miss one another by up to 0.8 % below the crisis and 21 % at 4e5. A root
 * finder needs a continuous curve, so the first 2 % of each range ease over from the one before. */
double bly_drag_sphere(double reynolds) {
    if (!(reynolds > 0))
        return NAN;
    int range = 0;
    while (range < RANGES - 1 && reynolds > upper_end[range])
        range++;
    double cd = range_formula(range, reynolds);
    if (range == 0 || reynolds >= 1.02 * upper_end[range - 1])
        return cd;
    double before = range_formula(range - 1, reynolds);
    return before +
           (cd - before) * drag_ease(reynolds, upper_end[range - 1], 1.02 * upper_end[range - 1]);
}

bool bly_drag_sphere_known(double reynolds) {
    return reynolds > 0 && reynolds <= 2e5;
}
