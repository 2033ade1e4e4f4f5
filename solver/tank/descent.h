/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: the way down to the least sum of squares. */
#ifndef BALLASTRY_TANK_DESCENT_H
#define BALLASTRY_TANK_DESCENT_H

#include "tank/squares.h"

/* Moves z from where it is to the least sum of squares nearby, readings' standard deviations taken
 * `ease` (>= 1) times as wide. It always ends; what is found is never worse than where it began.
 * *settled: no step is left that would lower the sum by more than a hundredth of a unit. *sum: what
 * is left with that ease; a reading that does not exist there counts 1e6. */
bool descent_run(Squares *s, double ease, double *z, double *sum, bool *settled,
                 BlyError *err) BLY_MUST_CHECK;

#endif
