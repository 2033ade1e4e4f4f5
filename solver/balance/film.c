/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface tension of water. */
#include "ballastry/balance.h"

/* IAPWS R1-76(2014), equation 1; extrapolates well down to -25 C, as the release says. */
double bly_surface_tension(double temperature) {
    const double critical = 647.096;
    double tau = 1 - (temperature + 273.15) / critical;
    if (!(temperature >= -25 && tau >= 0))
        return NAN;
    return 235.8e-3 * pow(tau, 1.256) * (1 - 0.625 * tau);
}
