/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The values that a build file is made of: quantities within a range, figures with their give, and
 * bands. docs/format.md says how they are written. */
#ifndef BALLASTRY_BUILD_VALUE_H
#define BALLASTRY_BUILD_VALUE_H

#include "ballastry/parts.h"
#include "ballastry/units.h"
#include "json/json.h"

/* What may stand in one place of the file. */
typedef struct Quantity {
    BlyDimension dim;
    const char *bare; /* unit of a number without one; NULL for shares, factors and prices */
    double low, high; /* SI, inclusive */
    bool above;       /* more than low, not low itself */
} Quantity;

/* Widest ranges that any build needs; they keep the arithmetic behind them finite. */
extern const Quantity bly_any_length;   /* a place: either side of zero */
extern const Quantity bly_some_length;  /* a size that may vanish: zero or more */
extern const Quantity bly_solid_length; /* a size that may not: above zero */
extern const Quantity bly_some_mass;    /* above zero */

/* The give where the file is silent: a fixed part and a share of the value, added. */
typedef struct Give {
    double fixed; /* in the value's own unit */
    double share;
} Give;

bool build_quantity(const BlyJson *field, const Quantity *what, double *si,
                    BlyError *err) BLY_MUST_CHECK;

/* The least give of a mass that says none, kg: bly_mass_give_least of how it is written. The zeros
 * at the end of a bare number are lost in reading: it counts as written to a tenth at least. 0 for
 * all that is no mass. */
double build_as_written(const BlyJson *field, const Quantity *what);

/* A quantity, or { "value": ..., "give": ... }. Where the file is silent a mass's give is no less
 * than build_as_written. */
bool build_figure(const BlyJson *field, const Quantity *what, Give silent, BlyFigure *out,
                  BlyError *err) BLY_MUST_CHECK;

/* Whether it is a text that ends in '%'. */
bool build_in_percent(const BlyJson *field);

/* A give written out: of the same dimension, or "10 %" of the value where that can be told apart.
 */
bool build_give(const BlyJson *field, const Quantity *what, double value, double *give,
                BlyError *err) BLY_MUST_CHECK;

/* [low, high], null for an open end: -INFINITY, INFINITY. */
bool build_band(const BlyJson *field, const Quantity *what, double *low, double *high,
                BlyError *err) BLY_MUST_CHECK;

/* One quantity, or [from, to] where both ends stand: *low == *high for the one. */
bool build_reach(const BlyJson *field, const Quantity *what, double *low, double *high,
                 BlyError *err) BLY_MUST_CHECK;

/* A name that the file takes from elsewhere, a part's, a material's or a seat's, and that is not
 * there. `near` is the one that may be meant, or NULL. */
bool build_unknown(const BlyJson *field, const char *what, const char *name, const char *near,
                   BlyError *err);

static inline bool build_has(const BlyJson *object, const char *key) {
    return bly_json_member(object, key).node != NULL;
}

/* *out is filled in either case; true when the member is there. */
static inline bool build_member(const BlyJson *object, const char *key, BlyJson *out) {
    *out = bly_json_member(object, key);
    return out->node != NULL;
}

/* The member `key`, when it is there, by one of the readers above. */
bool build_opt_quantity(const BlyJson *object, const char *key, const Quantity *what, double *si,
                        BlyError *err) BLY_MUST_CHECK;
bool build_opt_figure(const BlyJson *object, const char *key, const Quantity *what, Give silent,
                      BlyFigure *out, BlyError *err) BLY_MUST_CHECK;

#endif
