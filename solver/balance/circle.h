/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All rising roots of a smooth function over the whole circle. */
#ifndef BALLASTRY_BALANCE_CIRCLE_H
#define BALLASTRY_BALANCE_CIRCLE_H

#include "ballastry/error.h"

/* Gives f(t) and df/dt, NAN where it is not known. False stops the search. */
typedef bool (*BlyCircleFn)(double t, void *user, double *f, double *slope);

enum { BLY_CIRCLE_MAX = 16 };

/* f < 0 at `low`, f >= 0 at `high`; the angles may run past pi. */
typedef struct BlyBracket {
    double low, high;
    double f_low, f_high;
    double slope_low, slope_high;
    bool slopes; /* whether they are known */
} BlyBracket;

typedef struct BlyBrackets {
    BlyBracket at[BLY_CIRCLE_MAX];
    size_t count;
    bool more;      /* there are more than fit: f is noise */
    double largest; /* greatest |f| seen: what is far below it is rounding */
} BlyBrackets;

/* For fn with slopes. Looks at `samples` even angles and, where the cubic through two neighbours
 * turns back towards zero between them, looks there too. False when fn fails. */
bool circle_rising(BlyCircleFn fn, void *user, size_t samples, BlyBrackets *out);

/* The same for a function without slopes, which may have corners: looks at four times `per_quarter`
 * angles, alike to both sides of level and closest about level, upright and between, where what
 * is seen of a flat side or a slender body changes most; more closely where the sign changes; and
 * down each dip towards zero. False when fn fails. */
bool circle_rising_plain(BlyCircleFn fn, void *user, size_t per_quarter, BlyBrackets *out);

/* The root in a bracket to about 1e-11 rad, wrapped into (-pi, pi]. With slopes by Newton's
 * method as long as that stays inside, else by Brent's. fn is called last at the root itself. fn
 * may have become sharper since the search: a root may then lie a little beyond the bracket, or
 * there may be none after all, which is NAN. False when fn fails. */
bool circle_root(BlyCircleFn fn, void *user, const BlyBracket *bracket, double *root);

/* The same angle in (-pi, pi]. */
double circle_wrap(double t);

/* Order for angles: nearest to level first, of two alike (1e-7 rad) the nose-down one. For qsort:
 * below zero, zero, above zero. */
int circle_compare(double a, double b);

#endif
