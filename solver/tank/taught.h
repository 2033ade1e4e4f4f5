/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: what each reading taught, and which ones contradict. */
#ifndef BALLASTRY_TANK_TAUGHT_H
#define BALLASTRY_TANK_TAUGHT_H

#include "tank/squares.h"

/* Where the least squares came out. */
typedef struct Solution {
    double *z, *slopes,
        *covariance;   /* parameters; readings x parameters; parameters x parameters */
    double *predicted; /* readings */
} Solution;

bool solution_begin(Solution *solution, const Squares *s, BlyError *err) BLY_MUST_CHECK;
void solution_end(Solution *solution);

/* Solves from z = 0 with the readings in use. */
bool solution_find(Solution *solution, Squares *s, BlyError *err) BLY_MUST_CHECK;

/* Sum of squares of the readings in use and of the corrections. */
double solution_chi_square(const Solution *solution, const Squares *s);

/* Fills weight, correction, alone, contradiction, contradicts and expected of each. */
bool taught_find(const Solution *solution, Squares *s, BlyTaught *taught,
                 BlyError *err) BLY_MUST_CHECK;

#endif
