/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks of the drawn lure as rows of the programme. At a given attitude, speed and tie
 * couple, drag and down force are sums over hull and choices (tow.h), so that
 *     nose-down within t1 and t2   couple(t1) >= 0, couple(t2) <= 0          exact, for a given tie
 *     drawn under by a speed       down >= 0                                  } to first order
 * about depth within a band          depth(drag, down), its change with both    } the lure taken A
 * lure that stays at the surface has no such slope: there the line is asked to rise as steeply as
 * it takes to get under. Rows steer; what is told was worked through (tow_wish.h). */
#ifndef BALLASTRY_FIT_LINE_ROWS_H
#define BALLASTRY_FIT_LINE_ROWS_H

#include "ballastry/tow_wish.h"
#include "moments/moments.h"

enum { LINE_LOW, LINE_HIGH, LINE_MIDDLE, LINE_DEEP, LINE_UNDER, LINE_ROWS };

typedef struct LineRow {
    bool asked;
    double angle, speed;                /* rad, m/s: where the sums are taken */
    double by_couple, by_drag, by_down; /* what the row counts of each, per N m and N */
    double aim;                         /* NAN: nothing to aim at */
    double base;                        /* all that no choice changes */
    double low, high, unit;             /* the band, and how far off counts as one half-band */
    double along, up;                   /* N, whole force in body axes, for ties elsewhere */
} LineRow;

typedef struct LineRows {
    bool on;
    BlyWater water;
    BlyTowModel model;
    BlyVec3 tie;
    double nose_down; /* rad, at which the lure taken runs; NAN: it lies nowhere */
    LineRow row[LINE_ROWS];
} LineRows;

/* About the lure of this rig, in the first water of the target. `fixed`: whether a seat's choice is
 * no choice (one a seat). Without a wish *out is off. */
bool line_rows_make(const BlyBuild *build, const BlyRig *like, const BlyLure *lure,
                    const bool *fixed, LineRows *out, BlyError *err) BLY_MUST_CHECK;

/* What a choice at a seat adds to each row. */
bool line_rows_choice(const LineRows *rows, const BlyBuild *build, int seat,
                      const BlyChoice *choice, double f[LINE_ROWS], BlyError *err) BLY_MUST_CHECK;
/* What weight alone adds: grams, cm3 and mm. */
void line_rows_weight(const LineRows *rows, const Moments *lump, double f[LINE_ROWS]);

/* How far two sets lie apart, in five degrees of the attitude. */
double line_rows_distance(const LineRows *a, const LineRows *b);

#endif
