/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: what the finished lure does in its own water, and how sure that is. */
#ifndef BALLASTRY_TANK_FORECAST_H
#define BALLASTRY_TANK_FORECAST_H

#include "tank/forward.h"

/* `covariance` NULL: the parameters are independent, as before any reading. */
bool forecast_make(Forward *forward, const double *z, const double *covariance, BlyForecast *out,
                   BlyError *err) BLY_MUST_CHECK;

/* The dry bare body's mass and its give, kg. */
bool forecast_body_mass(Forward *forward, const double *z, const double *covariance, BlyFigure *out,
                        BlyError *err) BLY_MUST_CHECK;

#endif
