/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stand-in: density and viscosity about one water as a polynomial of second degree in temperature
 * and salinity: within a few degrees, and the few grams that a refractometer is off, it is the
 * published formulas to 2e-6 of the density and 2e-4 of the viscosity. Exact at the nominal.
 * Held to them in tests/spread/test_quick.c (near_water). */
#include "spread/quick.h"

#include <math.h>

static const double step_t = 1.0, step_s = 1e-3;

/* Density, ln nu at a place of the stencil. */
static bool at(double t, double s, double out[2], BlyError *err) {
    BlyWater water;
    if (!bly_water_at(t, s, &water, err))
        return false;
    out[0] = water.density;
    out[1] = log(water.viscosity / water.density);
    return true;
}

/* The stencil keeps within the formulas' range; the polynomial is then shifted to the nominal. */
static void polynomial(const double f[3][3], double dt, double ds, double out[6]) {
    double c = f[1][1];
    double t = (f[2][1] - f[0][1]) / (2 * step_t), tt = (f[2][1] + f[0][1] - 2 * c) / 2;
    double s = (f[1][2] - f[1][0]) / (2 * step_s),
           ss = (f[1][2] + f[1][0] - 2 * c) / (2 * step_s * step_s);
    double ts = (f[2][2] - f[2][0] - f[0][2] + f[0][0]) / (4 * step_t * step_s);
    out[1] = t + 2 * tt * dt + ts * ds;
    out[2] = s + 2 * ss * ds + ts * dt;
    out[3] = tt;
    out[4] = ts;
    out[5] = ss;
}

bool quick_water_make(const BlyWaterFacts *facts, QuickWater *out, BlyError *err) {
    double t = facts->temperature.value, s = facts->salinity.value, centre[2];
    *out = (QuickWater){.temperature = t,
                        .salinity = s,
                        .sigma_temperature = facts->temperature.give / BLY_SIGMAS_95,
                        .sigma_salt = facts->salinity.give / BLY_SIGMAS_95};
    if (!at(t, s, centre, err))
        return false;
    double t_middle = fmin(fmax(t, step_t), BLY_WATER_WARMEST - step_t);
    double s_middle = fmin(fmax(s, step_s), BLY_WATER_SALTIEST - step_s);
    double f[2][3][3], point[2];
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            if (!at(t_middle + (i - 1) * step_t, s_middle + (j - 1) * step_s, point, err))
                return false;
            f[0][i][j] = point[0];
            f[1][i][j] = point[1];
        }
    }
    polynomial((const double(*)[3])f[0], t - t_middle, s - s_middle, out->density);
    polynomial((const double(*)[3])f[1], t - t_middle, s - s_middle, out->log_nu);
    out->density[0] = centre[0];
    out->log_nu[0] = centre[1];
    return true;
}

static double value(const double c[6], double t, double s) {
    return c[0] + t * (c[1] + t * c[3] + s * c[4]) + s * (c[2] + s * c[5]);
}

void quick_water_at(const QuickWater *near, double u_temperature, double u_salt,
                    double *temperature, double *density, double *nu) {
    double t = near->sigma_temperature * u_temperature, s = near->sigma_salt * u_salt;
    t = fmin(fmax(t, -near->temperature), BLY_WATER_WARMEST - near->temperature);
    s = fmin(fmax(s, -near->salinity), BLY_WATER_SALTIEST - near->salinity);
    *temperature = near->temperature + t;
    *density = value(near->density, t, s);
    *nu = exp(value(near->log_nu, t, s));
}
