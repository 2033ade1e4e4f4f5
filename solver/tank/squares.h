/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: least squares over the readings, held by the tolerances. */
#ifndef BALLASTRY_TANK_SQUARES_H
#define BALLASTRY_TANK_SQUARES_H

#include "tank/forward.h"

/* Readings as the forward model gives them (drift as v |v|), with their standard deviations. */
typedef struct Squares {
    Forward *forward;
    size_t count;
    Probe *probes;
    double *read, *sigma;
    bool *use;            /* readings that pull */
    bool *active;         /* parameters that some reading feels */
    double *said, *other; /* room for the readings, for the parameters */
    bool settled; /* the search that ended last did so at a least sum, not at the foot of a step */
} Squares;

bool squares_begin(Squares *s, Forward *forward, const BlyReading *readings, size_t count,
                   BlyError *err) BLY_MUST_CHECK;
void squares_end(Squares *s);

/* A reading less what is predicted, in its standard deviations. */
double squares_miss(const Squares *s, size_t reading, double predicted);

/* Sets `active` from the slopes where the parameters stand. */
bool squares_find_active(Squares *s, const double *z, BlyError *err) BLY_MUST_CHECK;

/* Moves z (one for each parameter) from where it is to the least sum of squares, and settles the
 * forward model there. It always ends; `settled` says how. */
bool squares_solve(Squares *s, double *z, BlyError *err) BLY_MUST_CHECK;

/* Derivatives of the readings by z in the readings' standard deviations, count rows. */
bool squares_slopes(Squares *s, const double *z, double *slopes, BlyError *err) BLY_MUST_CHECK;

/* Covariance of z, parameter_count squared: (1 + sum of g g')^-1 over the readings in use. */
bool squares_covariance(const Squares *s, const double *slopes, double *out,
                        BlyError *err) BLY_MUST_CHECK;

/* g' C g for a row of slopes. */
double squares_variance(const double *row, const double *covariance, size_t size);

#endif
