/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: what the finished lure does in its own water, and how sure that is. */
#ifndef BALLASTRY_TANK_FORECAST_H
#define BALLASTRY_TANK_FORECAST_H

#include "tank/model.h"

/* `covariance` NULL: the knobs are independent, as before any reading. */
bool forecast_make(Model *model, const double *z, const double *covariance, BlyForecast *out,
                   BlyError *err) BLY_MUST_CHECK;

/* The dry bare body's mass and its give, kg. */
bool forecast_body_mass(Model *model, const double *z, const double *covariance, BlyFigure *out,
                        BlyError *err) BLY_MUST_CHECK;

#endif
