/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the water back: what was seen of the lure on its line corrects three figures of the model
 * for lures of this shape: the factor on the lip's force, that on the drag of hooks and rings, and
 * where on the lip its force acts. Weighted least squares as in tank.h, with the lure's own
 * uncertain inputs and the other figures of the model free beside them, so that what they may
 * explain is not put down to the lip. docs/tow.md. */
#ifndef BALLASTRY_TOW_LEARN_H
#define BALLASTRY_TOW_LEARN_H

#include "ballastry/tow_range.h"

BLY_API_BEGIN

typedef enum BlyTowReadKind {
    BLY_TOW_READ_DEPTH, /* m, trolled */
    BLY_TOW_READ_PULL,  /* N, on a scale that holds the line's upper end, where it leaves the water
                         */
    BLY_TOW_READ_NOSE,  /* rad nose-down, seen from beside */
    BLY_TOW_READ_UNDER, /* m/s from which on it is drawn under */
    BLY_TOW_READ_KINDS
} BlyTowReadKind;
const char *bly_tow_read_words(BlyTowReadKind kind); /* "trolled depth" */

typedef struct BlyTowReading {
    BlyTowReadKind kind;
    BlyFigure value; /* give above 0: half-width of 95 of 100 */
    double speed;    /* m/s; of UNDER not read */
    BlyTowLine line; /* as it was out; of NOSE and UNDER not read */
} BlyTowReading;

/* What to expect of a marked line, a spring scale, a photograph, a pace, as half-width of 95 of
 * 100: a tenth of the depth and 0.1 m; a tenth of the pull and 0.02 N; 4 degrees; a fifth of the
 * speed. From memory. */
double bly_tow_read_give(BlyTowReadKind kind, double value);

enum { BLY_TOW_READINGS_MAX = 16, BLY_TOW_LEARNT = 3 };

/* Gives are half-widths of 95 of 100. */
typedef struct BlyTowCorrection {
    BlyTowFactor factor; /* LIP, WIRE, CENTRE */
    BlyFigure before, after;
    double learnt; /* share of its variance that the readings took away, 0 to 1 */
    bool beyond;   /* lies outside of bly_tow_bounds: more than the factor is off for this shape */
} BlyTowCorrection;

typedef struct BlyTowLesson {
    size_t count;
    double before[BLY_TOW_READINGS_MAX], after[BLY_TOW_READINGS_MAX]; /* what the model says */
    BlyTowCorrection corrections[BLY_TOW_LEARNT];
    double together[3]; /* correlations of wire with lip, centre with lip, centre with wire */
    double chi_square;  /* readings and all that was free, in standard deviations, squared */
    double chance;      /* of one at least as large by accident */
    bool contradiction; /* below 3 in 1000: a reading slipped, or the model does not hold here */
} BlyTowLesson;

/* The lure as it is fitted, in the build's own water. BLY_E_RANGE with the place ("reading 2") for
 * what cannot be, BLY_E_CONFLICT for a lure that lies nowhere. */
bool bly_tow_learn(const BlyBuild *build, const BlyTowReading *readings, size_t count,
                   BlyTowLesson *out, BlyError *err) BLY_MUST_CHECK;

/* The key under "learnt"/"tow" of a build: "lip_factor", "wire_factor", "lip_centre". */
const char *bly_tow_learnt_key(int correction);

BLY_API_END

#endif
