/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: 90 % ranges of what is read, from the covariance of the parameters. */
#ifndef BALLASTRY_TANK_BANDS_H
#define BALLASTRY_TANK_BANDS_H

#include "tank/forward.h"

enum { BANDS_MAX = 4 };

/* `covariance` NULL: the parameters are independent, as before any reading. count <= BANDS_MAX.
 * `sigma` may be NULL. Drift as v |v|, as the forward model has it. */
bool bands_find(Forward *forward, const double *z, const double *covariance, const Probe *probes,
                size_t count, BlyBand90 *out, double *sigma, BlyError *err) BLY_MUST_CHECK;

#endif
