/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Added mass of an ellipsoid, and the couple that it puts on a body moving askew. */
#include "sink/drag.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_sf_ellint.h>

static bool axes_sound(const double semi[3], BlyError *err) {
    for (int i = 0; i < 3; i++) {
        if (!(isfinite(semi[i]) && semi[i] > 0))
            return bly_fail(err, BLY_E_RANGE, "/semi", "half axis %d is %g m, expected above 0", i,
                            semi[i]);
    }
    double longest = GSL_MAX_DBL(semi[0], GSL_MAX_DBL(semi[1], semi[2]));
    double shortest = GSL_MIN_DBL(semi[0], GSL_MIN_DBL(semi[1], semi[2]));
    if (longest > 1e6 * shortest)
        return bly_fail(err, BLY_E_RANGE, "/semi",
                        "half axes from %g to %g m, expected at most 1e6 times apart", shortest,
                        longest);
    return true;
}

/* Lamb's alpha = abc integral of d(lambda) / ((a^2 + lambda) sqrt(..)) = 2/3 abc R_D(b^2, c^2,
 * a^2); only ratios count, so the axes are first scaled to abc = 1, far from under- and overflow.
 */
bool bly_added_mass(const double semi[3], double k[3], BlyError *err) {
    if (!axes_sound(semi, err))
        return false;
    double mean = cbrt(semi[0]) * cbrt(semi[1]) * cbrt(semi[2]), square[3], found[3];
    for (int i = 0; i < 3; i++)
        square[i] = gsl_pow_2(semi[i] / mean);
    for (int i = 0; i < 3; i++) {
        gsl_sf_result rd;
        int status = gsl_sf_ellint_RD_e(square[(i + 1) % 3], square[(i + 2) % 3], square[i],
                                        GSL_PREC_DOUBLE, &rd);
        if (status != GSL_SUCCESS)
            return bly_fail(err, BLY_E_INTERNAL, "/semi", "elliptic integral: %s",
                            gsl_strerror(status));
        double alpha = rd.val * 2 / 3;
        found[i] = alpha / (2 - alpha);
    }
    for (int i = 0; i < 3; i++)
        k[i] = found[i];
    return true;
}

double bly_munk_couple(const BlyWater *water, double volume, double speed, double k_along,
                       double k_across, double angle) {
    return 0.5 * water->density * speed * speed * volume * (k_across - k_along) * sin(2 * angle);
}
