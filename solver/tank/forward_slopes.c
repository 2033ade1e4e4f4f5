/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Derivatives of what is read by the parameters (the Jacobian), by differences. */
#include "tank/forward.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

/* In standard deviations: near neutral, drift bends within tenths of a milligram. */
static const double step = 1e-3;

/* Of rises to either side of the middle, over `above` and `below`: the mean slope, or that of the
 * side that goes on smoothly where the other one jumps. */
static double slope_of(double rise_up, double above, double rise_down, double below) {
    static const double jump = 30.0;
    bool up = above > 0.0 && isfinite(rise_up), down = below > 0.0 && isfinite(rise_down);
    double a = up ? rise_up / above : 0.0, b = down ? rise_down / below : 0.0;
    if (up && down && fabs(a) <= jump * fabs(b) && fabs(b) <= jump * fabs(a))
        return (rise_up + rise_down) / (above + below);
    if (up && down)
        return fabs(a) < fabs(b) ? a : b;
    return up ? a : b;
}

/* One parameter up and down by a step, within its range; the slopes come in `up`. */
static bool slope(Forward *m, double *z, size_t k, const Probe *probes, size_t count,
                  const double *middle, double *up, double *down, BlyError *err) {
    double here = z[k], low, high;
    quantities_range(m->quantities, k, &low, &high);
    high = fmin(here + step, high);
    low = fmax(here - step, low);
    z[k] = high;
    bool good = forward_try(m, z, LOOK_NEAR, probes, count, up, err);
    z[k] = low;
    good = good && forward_try(m, z, LOOK_NEAR, probes, count, down, err);
    z[k] = here;
    for (size_t i = 0; good && i < count; i++)
        up[i] = slope_of(probe_difference(&probes[i], up[i], middle[i]), high - here,
                         probe_difference(&probes[i], middle[i], down[i]), here - low);
    return good;
}

bool forward_slopes(Forward *m, const double *z, const bool *active, const Probe *probes,
                    size_t count, double *out, BlyError *err) {
    double *moved = calloc(m->parameter_count + 3 * count + 1, sizeof *moved);
    if (!moved)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the derivatives");
    double *up = moved + m->parameter_count, *down = up + count, *middle = down + count;
    for (size_t k = 0; k < m->parameter_count; k++)
        moved[k] = z[k];
    bool good = forward_try(m, z, LOOK_NEAR, probes, count, middle, err);
    for (size_t k = 0; good && k < m->parameter_count; k++) {
        if (!active || active[k])
            good = slope(m, moved, k, probes, count, middle, up, down, err);
        for (size_t i = 0; good && i < count; i++)
            out[i * m->parameter_count + k] = !active || active[k] ? up[i] : 0.0;
    }
    free(moved);
    return good;
}
